"""The book's rules on one machine: written out, run, and read off as directives."""
