"""The kinds of questions, one file a kind: whose it is, how it is put and read, what it changes, how it is told."""
