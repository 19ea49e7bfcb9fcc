"""What wears, how fast, and when it will be at its limit: one measured quantity of one part."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from math import exp, hypot, inf, isfinite, log, nan, sqrt
from typing import Final

import msgspec
import numpy as np

from dipmark.derive.because import Because
from dipmark.derive.trend.doubt import against
from dipmark.derive.trend.fit import FEWEST
from dipmark.derive.trend.left import project
from dipmark.facts.base import FactId
from dipmark.facts.said import Word, says

ORDERING_ONLY: Final = says("For ordering only; the limit decides.")
"""Stands beside hours and dates left on chain, fork and brake. Project rule."""

RULE: Final = "trend.line"

NO_WEAR: Final = says("{} readings show no wear towards the limit of {} {}. Go on measuring.")
WEARS: Final = says("{} {} in 100 h, from {} readings: to the limit of {} {} about {} h, not before {}, by {}.")
WEARS_LONG: Final = says(
    "{} {} in 100 h, from {} readings: to the limit of {} {} about {} h, not before {}, and it may be long."
)
BROKEN: Final = says("But the last reading is {} {} nearer the limit than the line: measure again.")
TOO_FEW: Final = says("{} readings that count, {} at different hours are needed. Measure again.")
NOT_BOTH: Final = says(
    "{0} {4} at {1} h and {2} {4} at {3} h cannot both be true: wear does not go back, and the instrument explains "
    "{5} {4} at most. Measure again, or note the renewal."
)


class Point(msgspec.Struct, frozen=True):
    """One reading.

    Args:
        hours: true hours, which never fall, in h.
        value: in the unit of the limit.
        fact: where it stands.
        renewed: the part was renewed since the reading before; what was before counts no more.
    """

    hours: Decimal
    value: Decimal
    fact: FactId
    renewed: bool = False


class Instrument(msgspec.Struct, frozen=True):
    """With what it is measured.

    Args:
        resolution: one unit of the last digit, or the step it is read in; above nought.
        sd: standard deviation of repeated readings of the same thing; None: not known, the readings themselves show
            it. Where only a bound ± e is stated it is e / √3 (JCGM 100:2008, 4.3.7; from memory).
    """

    resolution: Decimal
    sd: Decimal | None = None


class Limit(msgspec.Struct, frozen=True):
    """Where the part is worn out.

    Args:
        value: the limit.
        grows: the value grows with wear, as a chain does; a fork gets thinner.
        unit: for the sentences.
    """

    value: Decimal
    grows: bool
    unit: str


class Band(msgspec.Struct, frozen=True):
    """An estimate with its range: one truth in ten is below it, one above.

    Args:
        low: the 10 % value.
        middle: the estimate.
        high: the 90 % value; None: no end in sight.
    """

    low: float
    middle: float
    high: float | None


class Dates(msgspec.Struct, frozen=True):
    """Days on which the limit is reached.

    Args:
        low: not before.
        middle: about.
        high: by.

    None: no end in sight.
    """

    low: date | None
    middle: date | None
    high: date | None


class Doubtful(msgspec.Struct, frozen=True):
    """A reading that is kept and shown, but not used.

    Args:
        fact: where it stands.
        because: what it contradicts and what to do.
    """

    fact: FactId
    because: Because


class NotEnough(msgspec.Struct, frozen=True):
    """Nothing can be said of what is left.

    Args:
        because: why, and what to do.
        doubtful: readings that were not used.
    """

    because: Because
    doubtful: tuple[Doubtful, ...]


class Trend(msgspec.Struct, frozen=True):
    """How a part wears.

    Args:
        per_100h: how far the value moves in 100 h.
        level: where the line is now; the last reading may differ.
        left: hours from now until the limit.
        because: the sentence, with the readings the line rests on.
        doubtful: readings that were not used.
    """

    per_100h: float
    level: float
    left: Band
    because: Because
    doubtful: tuple[Doubtful, ...]


def trend_of(
    points: Sequence[Point], limit: Limit, instrument: Instrument, now: Decimal | None = None, word: Word = str
) -> Trend | NotEnough:
    """How fast a part wears and how many hours it has left; only what was read since it was last renewed counts.

    Whether it may still be used its last reading decides, not the line. Where that is nearer the limit than the line by
    more than the instrument explains, the sentence says so: the line does not follow it, and the part may have broken.

    Args:
        points: in the order they were read.
        limit: where it is worn out.
        instrument: with what it is measured.
        now: hours on the meter; None: those of the last reading.
        word: says a sentence in the reader's language.

    *Edge*: three readings are enough; a line at or past the limit has 0 h left.

    Example:
        >>> read = [(0, "40.0"), (500, "39.5"), (1000, "39.1"), (1500, "38.5")]
        >>> points = [Point(Decimal(at), Decimal(value), FactId(str(at))) for at, value in read]
        >>> fork = Limit(Decimal("36.0"), grows=False, unit="mm")
        >>> trend_of(points, fork, Instrument(Decimal("0.1"), sd=Decimal("0.1"))).because.text
        '0.098 mm in 100 h, from 4 readings: to the limit of 36.0 mm about 2,588 h, not before 2,232, by 3,039.'
    """
    first = max((index for index, one in enumerate(points) if one.renewed), default=0)
    counted = points[first:]
    if len(counted) < FEWEST:
        return _too_few(counted, (), word)
    at = counted[-1].hours if now is None else now
    found = project(
        np.array([[float(one.hours) for one in counted]]),
        np.array([[float(one.value) for one in counted]]),
        limit=float(limit.value),
        grows=limit.grows,
        resolution=float(instrument.resolution),
        sd=nan if instrument.sd is None else float(instrument.sd),
        now=float(at),
    )
    used = [one for one, use in zip(counted, found.used[0].tolist(), strict=True) if use]
    allowed, slope, level, low, middle, high = (float(part[0]) for part in found[1:])
    doubtful = _doubtful(counted, limit, allowed, word)
    if len(used) < FEWEST or len({one.hours for one in used}) < 2:
        return _too_few(used, doubtful, word)
    broken = _broken(used[-1], level + slope * float(used[-1].hours - at), limit, allowed, word)
    left = Band(low, middle, high if isfinite(high) else None)
    because = Because(_said(len(used), limit, slope, left, word) + broken, RULE, None, tuple(one.fact for one in used))
    return Trend(slope * 100, level, left, because, doubtful) if isfinite(middle) else NotEnough(because, doubtful)


def _said(readings: int, limit: Limit, slope: float, left: Band, word: Word) -> str:
    if not isfinite(left.middle):
        return word(NO_WEAR).format(readings, limit.value, limit.unit)
    wear, hours = f"{abs(slope) * 100:.2g}", [f"{one:,.0f}" for one in (left.middle, left.low, left.high or 0)]
    said = word(WEARS_LONG if left.high is None else WEARS)
    return said.format(wear, limit.unit, readings, limit.value, limit.unit, *hours)


def _broken(last: Point, line: float, limit: Limit, allowed: float, word: Word) -> str:
    """What to say where the last reading is nearer the limit than the line by more than one reading may be off."""
    beyond = (float(last.value) - line) * (1 if limit.grows else -1)
    if beyond <= allowed / sqrt(2):
        return ""
    return f" {word(BROKEN).format(f'{beyond:.2g}', limit.unit)}"


def _too_few(used: Sequence[Point], doubtful: tuple[Doubtful, ...], word: Word) -> NotEnough:
    text = word(TOO_FEW).format(len(used), FEWEST)
    return NotEnough(Because(text, RULE, None, tuple(one.fact for one in used)), doubtful)


def _doubtful(points: Sequence[Point], limit: Limit, allowed: float, word: Word) -> tuple[Doubtful, ...]:
    """The doubtful readings, each with what it contradicts."""
    worn = [float(one.value) if limit.grows else -float(one.value) for one in points]
    found = []
    for index, other in against(worn, allowed).items():
        one, nearest = points[index], points[other]
        at, then = f"{one.hours:,f}", f"{nearest.hours:,f}"
        text = word(NOT_BOTH).format(one.value, at, nearest.value, then, limit.unit, f"{allowed:.2g}")
        found.append(Doubtful(one.fact, Because(text, "trend.doubtful", None, (one.fact, nearest.fact))))
    return tuple(found)


def days_left(left: Band, hours_per_day: Band) -> Band:
    """Days until the limit from the hours left and the hours a day, both with their ranges.

    The two are taken as independent. How many times an end is away from the middle adds up like the sides of a right
    angle; that is exact where both are log-normal.

    Args:
        left: hours.
        hours_per_day: as the truck is used; its middle above nought.

    *Edge*: nothing left is nothing, however the truck is used; a truck that may stand still has no end in sight.

    Example:
        >>> days_left(Band(500, 1000, 2000), Band(5, 5, 5))
        Band(low=100.0, middle=200.0, high=400.0)
    """
    slow, usual, quick = hours_per_day.low, hours_per_day.middle, hours_per_day.high
    if not left.middle:
        return Band(0.0, 0.0, left.high / slow if left.high is not None and slow else None)
    few = many = inf
    if left.low and quick is not None:
        few = hypot(log(left.middle / left.low), log(quick / usual))
    if left.high is not None and slow:
        many = hypot(log(left.high / left.middle), log(usual / slow))
    middle = left.middle / usual
    return Band(middle * exp(-few), middle, middle * exp(many) if isfinite(many) else None)


def dates_of(days: Band, as_of: date) -> Dates:
    """The days on which the limit is reached, each rounded to the earlier one.

    Args:
        days: left, as in `days_left`.
        as_of: the day from which they count.

    *Edge*: a day that no calendar has is none.

    Example:
        >>> dates_of(Band(9.8, 20.0, None), date(2026, 11, 2))
        Dates(low=datetime.date(2026, 11, 11), middle=datetime.date(2026, 11, 22), high=None)
    """
    low, middle, high = (
        as_of + timedelta(days=int(count)) if count is not None and count < (date.max - as_of).days else None
        for count in (days.low, days.middle, days.high)
    )
    return Dates(low, middle, high)
