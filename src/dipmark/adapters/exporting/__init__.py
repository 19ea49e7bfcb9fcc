"""Writes files that people fill in or keep."""
