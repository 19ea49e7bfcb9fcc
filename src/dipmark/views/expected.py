"""When something is expected to fall due, as people read it: about Thu 12, not before 9, by 17."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.expected import Expected, Forecast, Pace, Worn
from dipmark.derive.measured import MEASUREMENTS
from dipmark.derive.usage.usage import Ask
from dipmark.facts.base import WEEKDAYS, BookId, name_of
from dipmark.facts.said import Word, says

MONTHS: Final = tuple(
    says(month) for month in ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
)

ON: Final = says("on {}")
ABOUT: Final = says("about {}, not before {}, by {}")
OPEN: Final = says("about {}, not before {}, no end in sight")
NOT_BEFORE: Final = says("not before {}")
FAR: Final = says("not within five years")

PACE: Final = says("About {} h a week, from {} readings of the meter.")
PACE_OF_KIND: Final = says("About {} h a week, as trucks of its kind run: there is one reading only.")
CHANGED: Final = says("Another job since about {}: only what came after counts.")
PASSED: Final = says("The mark may have been passed: read the meter.")
APART: Final = says("The dates are {} days apart: read the meter.")
ENDLESS: Final = says("No end is in sight: read the meter.")
GAIN: Final = says("After a reading now they are expected to be {} days apart.")
WORN: Final = says("The trend reaches its limit about {} h, not before {}.")


class ExpectedRow(msgspec.Struct, frozen=True):
    """When something is expected.

    Args:
        early: one time in ten it is earlier; None: not within five years, as below.
        about: as likely before as after.
        late: one time in ten it is later.
        words: all three as people say them.
        because: how fast the hours run; None: it goes by the calendar.
        ask: read the meter, and what that would gain; None: no need.
    """

    early: date | None
    about: date | None
    late: date | None
    words: str
    because: str | None
    ask: str | None


class AskRow(msgspec.Struct, frozen=True):
    """A truck whose meter ought to be read.

    Args:
        truck: its number.
        text: why, and what it gains.
        gain: by how many days the dates of one service come nearer; None: now there is no end in sight.
    """

    truck: str
    text: str
    gain: float | None


def near_day(day: date, today: date, word: Word = str, *, weekday: bool = True) -> str:
    """A day as people say it: the month is named where it is not the same, the year where that is not.

    Args:
        day: which.
        today: beside which it is said.
        word: says a word in the reader's language.
        weekday: whether it is named.

    Example:
        >>> today = date(2026, 11, 9)
        >>> near_day(date(2026, 11, 12), today), near_day(date(2026, 12, 1), today), near_day(date(2027, 1, 4), today)
        ('Thu 12', 'Tue 1 Dec', 'Mon 4 Jan 2027')
    """
    said = [word(WEEKDAYS[day.weekday()])] if weekday else []
    said.append(str(day.day))
    if (day.year, day.month) != (today.year, today.month):
        said.append(word(MONTHS[day.month - 1]))
    if day.year != today.year:
        said.append(str(day.year))
    return " ".join(said)


def expected_words(expected: Expected, today: date, word: Word = str) -> str:
    """The three days as people say them.

    Args:
        expected: the days.
        today: the yard's day.
        word: says a sentence in the reader's language.

    Example:
        >>> days = [date(2026, 11, day) for day in (9, 12, 17)]
        >>> expected_words(Expected(*days), date(2026, 11, 2))
        'about Thu 12, not before 9, by 17'
    """
    early, about, late = expected.early, expected.about, expected.late
    if early is None:
        return word(FAR)
    if early == about == late:
        return word(ON).format(near_day(early, today, word))
    if about is None:
        return word(NOT_BEFORE).format(near_day(early, today, word))
    first, start = near_day(about, today, word), near_day(early, about, word, weekday=False)
    if early.month != about.month or about.month != today.month:
        start = near_day(early, today, word, weekday=False)
    if late is None:
        return word(OPEN).format(first, start)
    return word(ABOUT).format(first, start, near_day(late, about, word, weekday=False))


def expected_row(expected: Expected, pace: Pace | None, today: date, word: Word = str) -> ExpectedRow:
    """When something is expected, as people read it.

    Args:
        expected: the days.
        pace: of the truck; None: it goes by the calendar.
        today: the yard's day.
        word: says a sentence in the reader's language.
    """
    return ExpectedRow(
        expected.early,
        expected.about,
        expected.late,
        expected_words(expected, today, word),
        None if pace is None else pace_words(pace, word),
        None if expected.ask is None else ask_words(expected.ask, word),
    )


def pace_words(pace: Pace, word: Word = str) -> str:
    """How fast the hours of a truck run.

    Args:
        pace: of the truck.
        word: says a sentence in the reader's language.
    """
    week = f"{pace.per_week:.0f}"
    said = word(PACE_OF_KIND).format(week) if pace.readings == 1 else word(PACE).format(week, pace.readings)
    return said if pace.changed is None else f"{said} {word(CHANGED).format(pace.changed.isoformat())}"


def ask_words(ask: Ask, word: Word = str) -> str:
    """Why the meter ought to be read, and what that gains.

    Args:
        ask: see there.
        word: says a sentence in the reader's language.
    """
    if ask.days is None:
        why = word(PASSED if ask.passed else ENDLESS)
    else:
        why = word(PASSED) if ask.passed else word(APART).format(f"{ask.days:.0f}")
    return f"{why} {word(GAIN).format(f'{ask.then:.0f}')}"


def ask_rows(ahead: Mapping[BookId, Forecast], word: Word = str) -> tuple[AskRow, ...]:
    """The trucks whose meters ought to be read, those first where it gains most.

    Args:
        ahead: what lies ahead of each truck.
        word: says a sentence in the reader's language.
    """
    found: list[AskRow] = []
    for book, forecast in ahead.items():
        asks = [one.ask for one in forecast.dues.values() if one.ask is not None]
        if asks:
            best = max(asks, key=_gain)
            gain = None if best.days is None else best.days - best.then
            found.append(AskRow(name_of(book), ask_words(best, word), gain))
    return tuple(sorted(found, key=lambda one: (one.gain is not None, -(one.gain or 0), one.truck)))


def _gain(ask: Ask) -> float:
    return float("inf") if ask.days is None else ask.days - ask.then


def worn_title(worn: Worn, word: Word = str) -> str:
    """The part that wears, with its place."""
    title = word(MEASUREMENTS[worn.name].text)
    return ", ".join((title, *worn.places, *([name_of(worn.item)] if worn.item else [])))


def worn_words(worn: Worn, word: Word = str) -> str:
    """At which hours a part is expected to be worn."""
    return word(WORN).format(_whole(worn.middle), _whole(worn.low))


def _whole(hours: Decimal) -> str:
    return f"{hours:,.0f}"
