"""How early and how late a service may be: shares of its interval."""

from __future__ import annotations

from decimal import Decimal

import pytest

from rules.small import window


@pytest.mark.parametrize(
    ("interval", "late"),
    [("249.9", "24.99"), ("250", "25"), ("250.1", "25"), ("2000", "25")],
)
def test_late_part_is_a_share_and_at_most_its_bound(interval: str, late: str) -> None:
    assert window("10", "10", "25").late_hours(Decimal(interval)) == Decimal(late)


def test_without_a_bound_the_share_alone_counts() -> None:
    assert window("10", "10", None).late_hours(Decimal(2000)) == 200
    assert window("10", "10", "25").early_hours(Decimal(150)) == 15


def test_where_safety_hangs_on_it_nothing_is_late() -> None:
    assert window("10", "0", None).late_hours(Decimal(450)) == 0
