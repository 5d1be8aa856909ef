"""coldiron: from a dead machine to a proven cause."""

__version__ = "0.1.0"
