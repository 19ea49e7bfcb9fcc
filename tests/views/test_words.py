"""The words that people read."""

from __future__ import annotations

from datetime import date, timedelta, timezone
from decimal import Decimal

import pytest

from dipmark.derive.due import DueState
from dipmark.derive.state import StateCode
from dipmark.facts.base import Seriousness
from dipmark.views import words
from views.yards import instant, made

FAULTY = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg

walk-round truck:7 2026-11-20T06:00:00+00:00 ana
  answers - {"check":"chain.tension","mark":"fault","symptom":"dry","seriousness":"repair-by","days":3}

fault truck:7 2026-11-20T07:00:00+00:00 ana
  text "horn faint"
  seriousness stop
"""


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("12345.5", "12,345.5 h"),
        ("150", "150 h"),
        ("150.50", "150.5 h"),
        ("0", "0 h"),
        ("1E+3", "1,000 h"),
        (None, "–"),
    ],
)
def test_hours_carry_their_unit(value: str | None, text: str) -> None:
    assert words.hours(None if value is None else Decimal(value)) == text


def test_dates_carry_their_weekday() -> None:
    assert words.day(date(2024, 2, 29)) == "Thu 2024-02-29"
    assert words.day(None) == "–"


def test_a_moment_is_told_by_the_clock_of_the_yard() -> None:
    assert words.moment(instant("2026-11-20T23:30"), timezone(timedelta(hours=1))) == "Sat 2026-11-21 00:30"


def test_every_code_has_a_word() -> None:
    assert set(words.STATE) == set(StateCode.__args__)  # type: ignore[attr-defined]
    assert set(words.SERIOUSNESS) == set(Seriousness.__args__)  # type: ignore[attr-defined]
    assert set(words.DUE) == set(DueState.__args__)  # type: ignore[attr-defined]


def test_how_serious_carries_the_date_where_there_is_one() -> None:
    dry, horn = made(FAULTY, "2026-11-20T08:00").faults
    assert words.serious(dry) == "Repair by Mon 2026-11-23"
    assert words.serious(horn) == "Out of service"


def test_every_state_says_what_to_do_with_the_key() -> None:
    assert set(words.VERDICT) == set(words.STATE)
    assert all("key" in word for word in words.VERDICT.values())


@pytest.mark.parametrize(
    ("day", "said"), [(6, "14 days ago"), (19, "yesterday"), (20, "today"), (21, "tomorrow"), (30, "in 10 days")]
)
def test_how_far_a_day_is(day: int, said: str) -> None:
    assert words.distance(date(2026, 11, day), date(2026, 11, 20)) == said
