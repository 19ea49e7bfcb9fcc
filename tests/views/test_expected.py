"""When things are expected, as people say it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dipmark.derive.expected import Expected, Forecast, Pace, Worn
from dipmark.derive.usage.usage import Ask
from dipmark.facts.base import BookId
from dipmark.views.expected import (
    ask_rows,
    ask_words,
    expected_row,
    expected_words,
    near_day,
    pace_words,
    worn_title,
    worn_words,
)

TODAY = date(2026, 11, 9)
NOV = {day: date(2026, 11, day) for day in range(1, 31)}


@pytest.mark.parametrize(
    ("days", "words"),
    [
        ((NOV[9], NOV[12], NOV[17]), "about Thu 12, not before 9, by 17"),
        ((NOV[27], date(2026, 12, 2), date(2027, 1, 8)), "about Wed 2 Dec, not before 27, by 8 Jan 2027"),
        ((date(2026, 12, 1), date(2026, 12, 3), date(2026, 12, 9)), "about Thu 3 Dec, not before 1 Dec, by 9"),
        ((NOV[12], NOV[12], NOV[12]), "on Thu 12"),
        ((NOV[12], None, None), "not before Thu 12"),
        ((NOV[12], NOV[20], None), "about Fri 20, not before 12, no end in sight"),
        ((None, None, None), "not within five years"),
    ],
)
def test_the_three_days(days: tuple[date | None, date | None, date | None], words: str) -> None:
    assert expected_words(Expected(*days), TODAY) == words


def test_another_language_says_its_own_months() -> None:
    words = {"Wed": "mié", "Dec": "dic"}
    assert near_day(date(2026, 12, 2), TODAY, words.__getitem__) == "mié 2 dic"


def test_how_fast_hours_run() -> None:
    assert pace_words(Pace(24.4, 21, None)) == "About 24 h a week, from 21 readings of the meter."
    changed = pace_words(Pace(24.4, 1, NOV[2]))
    assert changed.startswith("About 24 h a week, as trucks of its kind run: there is one reading only.")
    assert changed.endswith("Another job since about 2026-11-02: only what came after counts.")


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (Ask(20.4, 8.6, passed=False), "The dates are 20 days apart: read the meter."),
        (Ask(20.4, 8.6, passed=True), "The mark may have been passed: read the meter."),
        (Ask(None, 8.6, passed=True), "The mark may have been passed: read the meter."),
        (Ask(None, 8.6, passed=False), "No end is in sight: read the meter."),
    ],
)
def test_read_the_meter(ask: Ask, words: str) -> None:
    assert ask_words(ask) == f"{words} After a reading now they are expected to be 9 days apart."


def test_those_first_where_a_reading_gains_most() -> None:
    def ahead(*asks: Ask | None) -> Forecast:
        return Forecast(None, {str(at): Expected(None, None, None, ask) for at, ask in enumerate(asks)}, ())

    rows = ask_rows(
        {
            BookId("truck:1"): ahead(Ask(20, 10, passed=False), Ask(30, 10, passed=False)),
            BookId("truck:2"): ahead(None),
            BookId("truck:3"): ahead(Ask(40, 5, passed=False)),
            BookId("truck:4"): ahead(Ask(None, 5, passed=False)),
        }
    )
    assert [(row.truck, row.gain) for row in rows] == [("4", None), ("3", 35), ("1", 20)]


def test_a_row_says_why_unless_it_goes_by_the_calendar() -> None:
    row = expected_row(Expected(NOV[9], NOV[12], NOV[17], Ask(8, 2, passed=False)), Pace(24, 5, None), TODAY)
    assert (row.early, row.about, row.late) == (NOV[9], NOV[12], NOV[17])
    assert row.because == "About 24 h a week, from 5 readings of the meter."
    assert row.ask is not None
    calendar = expected_row(Expected(NOV[12], NOV[12], NOV[12]), None, TODAY)
    assert (calendar.words, calendar.because, calendar.ask) == ("on Thu 12", None, None)


def test_a_part_that_wears() -> None:
    expected = Expected(None, None, None)
    worn = Worn("chain", ("left",), BookId("item:mast 2"), Decimal(2900), Decimal(3048), None, expected)
    assert worn_title(worn).endswith(", left, mast 2")
    assert worn_title(Worn("chain", (), None, Decimal(1), Decimal(2), None, expected)) == worn_title(worn).split(",")[0]
    assert worn_words(worn) == "The trend reaches its limit about 3,048 h, not before 2,900."
