"""The hour meter: which readings agree with one another, which are doubtful, and the true hours.

A reading is a time interval (a date is a whole local day) and a rounding. The largest set that agrees is good; the
rest is doubtful, kept and shown. True hours run on where the meter starts again at zero or is changed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from functools import lru_cache
from typing import Final, Literal

import msgspec

from dipmark.derive.days import day_end, day_start, local_day
from dipmark.derive.meter_chain import DIGITS, HOUR, Shown, judge, rounding_of, shown, turns_of
from dipmark.derive.past import Counted, Counting, enrolled_in
from dipmark.facts.base import FactId, Reading
from dipmark.facts.meter import MeterChanged, MeterRead
from dipmark.facts.truck import Enrolled, Meter, MeterCounts

EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)

TENTH: Final = Decimal("0.1")
"""Hours worked out between readings are given to a tenth."""

USUAL_DIGITS: Final = range(3, 8)
"""Digits before the point that are tried where nobody has said how many the meter has."""

Why = Literal["contradicts", "one of two"]
"""Why a reading is doubtful."""


class Good(msgspec.Struct, frozen=True):
    """A reading that agrees with the others.

    Args:
        fact: where it stands.
        shown: hours on the meter.
        hours: true hours: as if the meter had never been changed nor started again at zero.
        start: earliest instant, in µs since 1970.
        end: latest instant, in µs since 1970.
        day: the local day it is of.
    """

    fact: FactId
    shown: Decimal
    hours: Decimal
    start: int
    end: int
    day: date


class Doubtful(msgspec.Struct, frozen=True):
    """A reading that does not agree.

    Args:
        fact: where it stands.
        shown: hours on the meter.
        why: ``contradicts`` the good readings named; ``one of two``: either this or the other is wrong, ask.
        against: facts it contradicts, at most three.
        start: earliest instant, in µs since 1970.
        end: latest instant, in µs since 1970.
        day: the local day it is of.
    """

    fact: FactId
    shown: Decimal
    why: Why
    against: tuple[FactId, ...]
    start: int
    end: int
    day: date


class Sure(msgspec.Struct, frozen=True):
    """True hours at an instant, and how sure they are.

    Args:
        low: no fewer, in h, rounded down to a tenth.
        high: no more, in h, rounded up to a tenth.
        likely: on a straight line between the good readings before and after, in h; None before the first and after
            the last, where nothing is projected.
    """

    low: Decimal
    high: Decimal
    likely: Decimal | None


class MeterLife(msgspec.Struct, frozen=True):
    """All that one hour meter of a truck has shown.

    Args:
        name: the meter's name on that truck.
        counts: what it counts; None where nobody has said.
        good: in the order they were read; true hours never fall by more than the roundings.
        doubtful: in order of time, meter after meter where it was changed.
        starts_again: hours at which it seems to have started again at zero, where nobody has said how many digits it
            has and more readings would agree so: to be asked; None elsewhere.
    """

    name: str
    counts: MeterCounts | None
    good: tuple[Good, ...]
    doubtful: tuple[Doubtful, ...]
    starts_again: int | None = None

    @property
    def hours(self) -> Decimal | None:
        """True hours of the last good reading; None without one. Never projected."""
        return self.good[-1].hours if self.good else None

    def hours_at(self, instant: datetime) -> Decimal | None:
        """Most true hours of a good reading at or before an instant: a lower bound; None without one.

        *Edge*: a reading made exactly then counts, and so does one of that whole day.
        """
        cut = micros(instant)
        return max((one.hours for one in self.good if one.start <= cut), default=None)

    def hours_of(self, fact: FactId) -> Decimal | None:
        """True hours of the reading in a fact; None where it is doubtful or has none."""
        return next((one.hours for one in self.good if one.fact == fact), None)

    def sure_at(self, instant: datetime) -> Sure | None:
        """True hours at an instant, and how sure they are: between the good readings before and after.

        Args:
            instant: any.

        Returns:
            None where there is no good reading.

        *Edge*: at the very instant of a reading they are sure to its rounding.
        """
        if not self.good:
            return None
        moment = micros(instant)
        least, most = bounds_of(self.good, moment, moment)
        low = (Decimal(least) / HOUR).quantize(TENTH, ROUND_FLOOR)
        high = (Decimal(most) / HOUR).quantize(TENTH, ROUND_CEILING)
        likely = self._between(moment)
        return Sure(low, high, None if likely is None else min(max(likely, low), high))

    def _between(self, moment: int) -> Decimal | None:
        before = max((one for one in self.good if one.start + one.end <= 2 * moment), key=_middle, default=None)
        after = min((one for one in self.good if one.start + one.end >= 2 * moment), key=_middle, default=None)
        if before is None or after is None:
            return None
        length = _middle(after) - _middle(before)
        share = Decimal(2 * moment - _middle(before)) / length if length else 0
        return (before.hours + (after.hours - before.hours) * share).quantize(TENTH)


def bounds_of(good: Sequence[Good], start: int, end: int) -> tuple[int, int]:
    """Least and most true hours, in µs, that a reading of an interval can have beside good readings.

    Args:
        good: readings that agree; without one nothing is ruled out but hours below zero.
        start: earliest instant, in µs since 1970.
        end: latest instant, in µs since 1970.
    """
    low, high = [0], []
    for one in good:
        hours, rounding = int(one.hours * HOUR), rounding_of(one.shown)
        low.append(hours - rounding - max(0, one.end - start))
        high.append(hours + rounding + max(0, end - one.start))
    return max(low), min(high, default=10 ** DIGITS[-1] * HOUR)


def _middle(one: Good) -> int:
    """Twice the middle of its interval."""
    return one.start + one.end


def micros(instant: datetime) -> int:
    """An instant in µs since 1970."""
    return (instant - EPOCH) // timedelta(microseconds=1)


def meters_of(counting: Counting, zone: tzinfo) -> tuple[MeterLife, ...]:
    """The life of each hour meter of a truck: in the order they were enrolled, then those that were only ever read.

    Args:
        counting: the truck's record.
        zone: the yard's, which says when a whole day begins and ends.

    Returns:
        At least one; a truck that nobody gave a meter has one called ``main``, with nothing read.

    *Edge*: a reading may differ from its neighbours by their roundings together; for the clock that still agrees, for
    hours that fall it no longer does. *Source*: project rule, common practice.
    """
    enrolled = enrolled_in(counting)
    meters = {meter.name: meter for meter in (enrolled.meters if enrolled else ()) or (Meter(),)}
    first = next(iter(meters))
    told: dict[str, list[_Told]] = {name: [] for name in meters}
    for one in counting:
        for name, what in _told(one, first, zone):
            told.setdefault(name, []).append(what)
    return tuple(_life(meters.get(name, Meter(name=name)), whole) for name, whole in told.items())


class _Change(msgspec.Struct, frozen=True):
    """A change of the meter: what the new one and the old one showed."""

    order: tuple[datetime, str]
    new: Shown
    old: Shown | None
    digits: int | None


_Told = tuple[tuple[datetime, str], Shown] | _Change
"""What one fact says about a meter: a reading with its place in the record, or a change."""


def _told(one: Counted, first: str, zone: tzinfo) -> Iterator[tuple[str, _Told]]:
    body = one.body
    if isinstance(body, MeterChanged):
        old = None if body.old is None else _shown(one, body.old, zone)
        yield body.meter, _Change(one.order, _shown(one, body.new, zone), old, body.digits)
    elif isinstance(body, MeterRead):
        yield body.meter, (one.order, _shown(one, body.hours, zone))
    elif isinstance(body, Enrolled):
        if body.start_hours is not None and body.commissioned is not None:
            day = body.commissioned
            yield first, (one.order, shown(one.id, body.start_hours, *_whole(day, zone), day))
    elif isinstance(reading := getattr(body, "meter", None), Reading):
        yield reading.meter, (one.order, _shown(one, reading.hours, zone))


def _shown(one: Counted, hours: Decimal, zone: tzinfo) -> Shown:
    """A reading with its interval; a day that had not begun when it was received is the instant of its receipt."""
    if one.whole_day and one.effective == one.happened:
        day = one.day(zone)
        return shown(one.id, hours, *_whole(day, zone), day)
    instant = micros(one.effective)
    return shown(one.id, hours, instant, instant, local_day(one.effective, zone))


@lru_cache(maxsize=4096)
def _whole(day: date, zone: tzinfo) -> tuple[int, int]:
    """First and last instant of a local day, in µs."""
    return micros(day_start(day, zone)), micros(day_end(day, zone))


def _life(meter: Meter, told: Sequence[_Told]) -> MeterLife:
    good: list[Good] = []
    doubtful: list[Doubtful] = []
    again: list[int] = []
    changes = [what for what in told if isinstance(what, _Change)]
    segments: list[list[Shown]] = [[], *([change.new] for change in changes)]
    for what in told:
        if not isinstance(what, _Change):
            segments[sum(_after(what, change) for change in changes) if changes else 0].append(what[1])
    offset, digits = Decimal(0), meter.digits
    for segment, ended, begun in zip(segments, [*changes, None], [None, *changes], strict=True):
        if begun is not None:
            offset = (good[-1].hours if good else offset) - begun.new.hours
            digits = begun.digits or digits
        if ended is not None and ended.old is not None:
            segment.append(ended.old)
        doubts = _judged(segment, digits, offset, good)
        doubtful += doubts
        if doubts and digits is None:
            again += _starts_again(segment)
    return MeterLife(meter.name, meter.counts, tuple(good), tuple(doubtful), again[0] if again else None)


def _after(reading: tuple[tuple[datetime, str], Shown], change: _Change) -> bool:
    """True where a reading is the new meter's. Of one made on the same whole day the hours tell whose it is."""
    order, shown = reading
    new = change.new
    together = shown.start == new.start or (shown.start < new.end and new.start < shown.end)
    if change.old is not None and together:
        return abs(shown.hours - new.hours) < abs(shown.hours - change.old.hours)
    return order > change.order


def _judged(segment: Sequence[Shown], digits: int | None, offset: Decimal, good: list[Good]) -> list[Doubtful]:
    """Judge the readings of one meter between two changes: add the good ones to the list, give the doubtful ones.

    Of a tie both are doubtful.
    """
    judged = judge(segment, digits)
    doubtful: list[Doubtful] = []
    for index in sorted((*judged.against, *judged.ties.keys() - judged.against), key=lambda i: (segment[i].start, i)):
        one, tie = segment[index], judged.ties.get(index)
        why: Why = "contradicts" if tie is None else "one of two"
        against = judged.against[index] if tie is None else (tie,)
        facts = tuple(segment[other].fact for other in against)
        doubtful.append(Doubtful(one.fact, one.hours, why, facts, one.start, one.end, one.day))
    for index, lap in judged.kept:
        if index not in judged.ties:
            one = segment[index]
            good.append(Good(one.fact, one.hours, one.hours + lap + offset, one.start, one.end, one.day))
    return doubtful


def _starts_again(segment: Sequence[Shown]) -> Iterator[int]:
    """The hours at which more readings agree, the last one too, if the meter started again at zero there.

    Where that holds of several, the one with which the most agree.
    """

    def agreeing(digits: int | None) -> int:
        judged = judge(segment, digits)
        turned = digits is None or judged.kept[-1][1] > 0
        return len({index for index, _ in judged.kept} - judged.ties.keys()) if turned else 0

    possible = [digits for digits in USUAL_DIGITS if turns_of(segment, 10**digits)]
    if possible:
        best = max(possible, key=agreeing)
        if agreeing(best) > agreeing(None):
            yield 10**best
