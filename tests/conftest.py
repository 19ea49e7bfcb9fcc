"""For all tests: made-up cases are the same in every run. No adapter is imported here."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("house", derandomize=True, deadline=None, database=None, print_blob=True)
settings.load_profile("house")


def pytest_report_header() -> str:
    return "made-up cases: derandomised, the same in every run"
