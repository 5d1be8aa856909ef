"""The consultation: a pure session, and the screens that show it."""
