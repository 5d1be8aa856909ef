"""Lessons on live circuits: text whose every figure is solved when it is shown, and a machine to measure beside it."""
