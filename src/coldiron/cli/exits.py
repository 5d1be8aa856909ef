"""Exit codes of the commands; the package says what each means."""

DONE, USAGE, BOOK, ANSWERS, STORE, STOPPED = 0, 2, 3, 4, 5, 130
