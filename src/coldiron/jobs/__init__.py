"""Jobs: the append-only log of one dead machine, and the store that keeps it."""
