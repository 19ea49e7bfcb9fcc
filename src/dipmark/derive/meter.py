"""The hour meter: which readings agree with one another, which are doubtful, and the true hours.

A reading is a time interval (a date is a whole local day) and a rounding. Readings agree when instants inside their
intervals exist for which the hours never fall and never outrun the clock. The largest set that agrees is good; the
rest is doubtful, kept and shown. True hours run on where the meter starts again at zero or is changed.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo
from decimal import Decimal
from itertools import accumulate, pairwise
from typing import Final, Literal

import msgspec

from dipmark.derive.days import day_end, day_start
from dipmark.derive.past import Counted, Counting, enrolled_in
from dipmark.facts.base import FactId, Reading
from dipmark.facts.meter import MeterChanged, MeterRead
from dipmark.facts.truck import Enrolled, Meter, MeterCounts

HOUR: Final = 3_600_000_000
"""An hour in microseconds, the integer unit of this module."""

EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)

DIGITS: Final = range(2, 13)
"""Digits before the point with which a meter can be seen to start again at zero."""

ENOUGH: Final = 3
"""So many contradicted readings are named at most."""

Why = Literal["contradicts", "one of two"]
"""Why a reading is doubtful."""


class Shown(msgspec.Struct, frozen=True):
    """A reading before it is judged.

    Args:
        fact: where it stands.
        hours: as shown, in h.
        start: earliest instant, in µs since 1970.
        end: latest instant, in µs since 1970.
    """

    fact: FactId
    hours: Decimal
    start: int
    end: int

    @property
    def micro(self) -> int:
        """Hours as an integer of µs."""
        return int(self.hours * HOUR)

    @property
    def rounding(self) -> int:
        """One unit of the last digit shown, in µs, at most an hour."""
        exponent = self.hours.as_tuple().exponent
        return int(HOUR * Decimal(1).scaleb(min(0, exponent))) if isinstance(exponent, int) else HOUR


class Good(msgspec.Struct, frozen=True):
    """A reading that agrees with the others.

    Args:
        fact: where it stands.
        shown: hours on the meter.
        hours: true hours: as if the meter had never been changed nor started again at zero.
        start: earliest instant, in µs since 1970.
    """

    fact: FactId
    shown: Decimal
    hours: Decimal
    start: int


class Doubtful(msgspec.Struct, frozen=True):
    """A reading that does not agree.

    Args:
        fact: where it stands.
        shown: hours on the meter.
        why: ``contradicts`` the good readings named; ``one of two``: either this or the other is wrong, ask.
        against: facts it contradicts, at most three.
    """

    fact: FactId
    shown: Decimal
    why: Why
    against: tuple[FactId, ...]


class MeterLife(msgspec.Struct, frozen=True):
    """All that one hour meter of a truck has shown.

    Args:
        name: the meter's name on that truck.
        counts: what it counts; None where nobody has said.
        good: in the order they were read; true hours never fall by more than the roundings.
        doubtful: in order of time, meter after meter where it was changed.
    """

    name: str
    counts: MeterCounts | None
    good: tuple[Good, ...]
    doubtful: tuple[Doubtful, ...]

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
            yield first, (one.order, _on_day(one.id, body.start_hours, body.commissioned, zone))
    elif isinstance(reading := getattr(body, "meter", None), Reading):
        yield reading.meter, (one.order, _shown(one, reading.hours, zone))


def _shown(one: Counted, hours: Decimal, zone: tzinfo) -> Shown:
    if one.whole_day:
        return _on_day(one.id, hours, one.day(zone), zone)
    instant = micros(one.effective)
    return Shown(one.id, hours, instant, instant)


def _on_day(fact: FactId, hours: Decimal, day: date, zone: tzinfo) -> Shown:
    return Shown(fact, hours, micros(day_start(day, zone)), micros(day_end(day, zone)))


def _life(meter: Meter, told: Sequence[_Told]) -> MeterLife:
    good: list[Good] = []
    doubtful: list[Doubtful] = []
    changes = [what for what in told if isinstance(what, _Change)]
    segments: list[list[Shown]] = [[], *([change.new] for change in changes)]
    for what in told:
        if not isinstance(what, _Change):
            segments[sum(_after(what, change) for change in changes)].append(what[1])
    offset, digits = Decimal(0), meter.digits
    for segment, ended, begun in zip(segments, [*changes, None], [None, *changes], strict=True):
        if begun is not None:
            offset = (good[-1].hours if good else offset) - begun.new.hours
            digits = begun.digits or digits
        if ended is not None and ended.old is not None:
            segment.append(ended.old)
        _judge(segment, digits, offset, good, doubtful)
    return MeterLife(meter.name, meter.counts, tuple(good), tuple(doubtful))


def _after(reading: tuple[tuple[datetime, str], Shown], change: _Change) -> bool:
    """True where a reading is the new meter's. Of one made on the same whole day the hours tell whose it is."""
    order, shown = reading
    new = change.new
    together = shown.start == new.start or (shown.start < new.end and new.start < shown.end)
    if change.old is not None and together:
        return abs(shown.hours - new.hours) < abs(shown.hours - change.old.hours)
    return order > change.order


class _Try(msgspec.Struct, frozen=True):
    """A reading taken as made after so many turns of the meter through zero.

    Args:
        index: of the reading in its segment.
        lap: hours the turns add.
        hours: shown and added, in µs.
        rounding: in µs.
        start: earliest instant, in µs.
        end: latest instant, in µs.
    """

    index: int
    lap: int
    hours: int
    rounding: int
    start: int
    end: int

    @property
    def span(self) -> tuple[int, int]:
        """Clock minus hours, from and to, in µs: what agreeing readings never let fall."""
        return self.start - self.hours - self.rounding, self.end - self.hours + self.rounding


def _judge(
    segment: Sequence[Shown], digits: int | None, offset: Decimal, good: list[Good], doubtful: list[Doubtful]
) -> None:
    """Judge the readings of one meter between two changes, and add them to the lists.

    A reading that is left out and contradicts only one of those kept would serve as well as that one: nobody can say
    which of the two is wrong, and both are doubtful.
    """
    whole = 10**digits if digits is not None and digits in DIGITS else 0
    turns = _turns(segment, whole)
    tries = _in_order([one for index, shown in enumerate(segment) for one in _tries(index, shown, whole, turns)])
    kept = longest_chain([one.span for one in tries])
    chosen = {one.index: place for place, one in enumerate(tries) if kept[place]}
    against: dict[int, tuple[int, ...]] = {}
    for index, found in _contradicted(tries, kept):
        if index not in chosen:
            against[index] = min(against.get(index, found), found, key=len)
    ties = {index: found for index, found in against.items() if len(found) == 1}
    tied = {other: (index,) for index, (other,) in ties.items()}
    for index in sorted((*against, *tied), key=lambda i: (segment[i].start, i)):
        why: Why = "one of two" if index in ties or index in tied else "contradicts"
        facts = tuple(segment[other].fact for other in (against | tied)[index])
        doubtful.append(Doubtful(segment[index].fact, segment[index].hours, why, facts))
    for index, place in chosen.items():
        if index not in tied:
            shown = segment[index]
            good.append(Good(shown.fact, shown.hours, shown.hours + tries[place].lap + offset, shown.start))


def _tries(index: int, shown: Shown, whole: int, turns: Sequence[int]) -> Iterator[_Try]:
    """A reading with no turn behind it, with one, and so on up to all that may have been by then."""
    most = bisect_right(turns, shown.start) if shown.hours < whole else 0
    for lap in range(0, whole * most + 1, whole or 1):
        yield _Try(index, lap, shown.micro + lap * HOUR, shown.rounding, shown.start, shown.end)


def _turns(segment: Sequence[Shown], whole: int) -> list[int]:
    """From when on the meter may have turned through zero: where it falls by more than half and the clock allows it.

    One odd reading beside the turn hides it from its neighbours, so the reading before it is asked too.
    """

    def fell(before: Shown, now: Shown) -> bool:
        if before.hours >= whole or before.hours - now.hours <= whole // 2:
            return False
        run = now.micro + whole * HOUR - before.micro
        return run <= now.end - before.start + now.rounding + before.rounding

    in_time = sorted(segment, key=lambda shown: (shown.start, shown.hours)) if whole else []
    turns = [before.start for before, now in pairwise(in_time) if fell(before, now)]
    beside = zip(in_time, in_time[1:], in_time[2:], strict=False)
    turns += [a.start for a, b, c in beside if fell(a, c) and not fell(a, b) and not fell(b, c)]
    return sorted(turns)


def _in_order(tries: list[_Try]) -> list[_Try]:
    """By hours; but one that its rounding cannot tell from a lower, later one goes before that."""
    placed: list[_Try] = []
    latest = 0
    for one in sorted(tries, key=lambda one: (one.hours, one.start, one.end)):
        at = len(placed)
        for index in range(at - 1, -1, -1) if one.end < latest else ():
            other = placed[index]
            if one.hours - other.hours >= one.rounding + HOUR:
                break
            if one.end < other.start and one.hours - other.hours < one.rounding + other.rounding:
                at = index
        placed.insert(at, one)
        latest = max(latest, one.start)
    return placed


def _contradicted(tries: Sequence[_Try], kept: Sequence[bool]) -> Iterator[tuple[int, tuple[int, ...]]]:
    """For each try that was not kept its index and those of the nearest kept ones it contradicts, at most three.

    Of those kept the highest low end so far and the lowest high end from here on tell where nothing more will be found.
    """
    spans = [one.span for one in tries]
    chain = [place for place, keep in enumerate(kept) if keep]
    highest = list(accumulate((spans[place][0] for place in chain), max))
    lowest = list(accumulate((spans[place][1] for place in reversed(chain)), min))[::-1]
    at = 0
    for place, one in enumerate(tries):
        if kept[place]:
            at += 1
            continue
        (low, high), before, after = spans[place], at - 1, at
        found: list[int] = []
        while before >= 0 and len(found) < ENOUGH and highest[before] > high:
            found += [chain[before]] if spans[chain[before]][0] > high else []
            before -= 1
        while after < len(chain) and len(found) < ENOUGH and lowest[after] < low:
            found += [chain[after]] if spans[chain[after]][1] < low else []
            after += 1
        yield one.index, tuple(tries[other].index for other in found)


def longest_chain(spans: Sequence[tuple[int, int]]) -> list[bool]:
    """Which spans belong to a longest chain of values, one in each span, that never fall.

    Args:
        spans: (low, high) in the order of the chain.

    Returns:
        One flag a span. Of several longest chains the one of the earliest spans.

    The lowest last value of a chain of each length is kept sorted: a span moves those inside it one length up, takes
    away the first above its high end and puts in its low end. Undoing the steps backwards finds the members.
    O(n log n) comparisons.

    *Edge*: values may be equal.

    Example:
        >>> longest_chain([(0, 2), (7, 9), (1, 3), (3, 3)])
        [True, False, True, True]
    """
    lowest: list[int] = []
    steps: list[tuple[int, int, int | None]] = []
    for low, high in spans:
        above = bisect_right(lowest, high)
        removed = lowest.pop(above) if above < len(lowest) else None
        place = bisect_left(lowest, low)
        lowest.insert(place, low)
        steps.append((place, above, removed))
    kept = [False] * len(spans)
    wanted, bound = len(lowest), max((high for _, high in spans), default=0)
    for index in range(len(spans) - 1, -1, -1):
        place, above, removed = steps[index]
        lowest.pop(place)
        if removed is not None:
            lowest.insert(above, removed)
        if len(lowest) >= wanted and (wanted == 0 or lowest[wanted - 1] <= bound):
            continue
        kept[index] = True
        wanted, bound = wanted - 1, min(bound, spans[index][1])
    return kept
