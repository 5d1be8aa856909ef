"""The version of this program, told in this one place."""

__version__ = "0.1.0"
