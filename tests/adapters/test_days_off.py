"""Holidays of countries and regions, against days that the law itself names."""

from __future__ import annotations

from datetime import date

import pytest

from dipmark.adapters.days_off import days_off


@pytest.mark.parametrize(
    ("country", "day"),
    [
        ("US", date(2026, 7, 3)),  # 5 U.S.C. 6103(b): a Saturday's holiday is kept on the Friday before
        ("US", date(2026, 11, 26)),  # 5 U.S.C. 6103(a): the fourth Thursday in November
        ("DE", date(2026, 10, 3)),  # Einigungsvertrag art. 2(2)
        ("GB-SCT", date(2026, 11, 30)),  # St Andrew's Day Bank Holiday (Scotland) Act 2007
        ("GB-XX", date(2026, 12, 25)),  # a region nobody knows: what holds in all of the country
    ],
)
def test_a_holiday_of_the_law(country: str, day: date) -> None:
    """Sources from memory, not verified."""
    assert day in days_off(country, 2026, 2026)


def test_years_from_the_first_to_the_last() -> None:
    assert {day.year for day in days_off("CA-ON", 2025, 2027)} == {2025, 2026, 2027}


@pytest.mark.parametrize("country", [None, "QQ"])
def test_where_no_country_is_known_nothing_is(country: str | None) -> None:
    assert days_off(country, 2026, 2026) == frozenset()
