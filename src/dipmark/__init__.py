"""dipmark keeps lift trucks between their marks, and keeps the record that proves it."""

__version__ = "0.1.0"
