"""`python -m dipmark`."""

from dipmark.main import run

run()
