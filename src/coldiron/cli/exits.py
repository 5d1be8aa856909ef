"""Exit codes of the commands; the package says what each means."""

DONE, USAGE, BOOK, ANSWERS, STORE, STOPPED = 0, 2, 3, 4, 5, 130
"""2 is what `argparse` ends with, 130 what shells make of Ctrl-C; scripts of users rest on all of them."""
