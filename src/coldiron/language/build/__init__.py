"""Syntax trees to the records of the book: words resolved, figures checked, templates spread over their parts."""
