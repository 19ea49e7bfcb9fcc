"""Calendar months against the examples of the check values, section 1.4 (own examples)."""

from __future__ import annotations

from datetime import date

import pytest

from dipmark.derive.days import add_months


@pytest.mark.parametrize(
    ("done", "months", "due"),
    [
        # 29 CFR 1910.178(l)(4)(iii): evaluated at least once every three years.
        (date(2023, 3, 14), 36, date(2026, 3, 14)),
        (date(2024, 2, 29), 36, date(2027, 2, 28)),
        # LOLER 1998 reg. 9(3): 12 months, 6 months where persons are lifted.
        (date(2025, 1, 31), 12, date(2026, 1, 31)),
        (date(2025, 1, 31), 6, date(2025, 7, 31)),
        (date(2025, 8, 31), 6, date(2026, 2, 28)),
    ],
)
def test_due_dates(done: date, months: int, due: date) -> None:
    assert add_months(done, months) == due
