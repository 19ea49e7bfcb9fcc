"""Which readings of one hour meter agree: a longest chain of them, and what stands against the rest.

Readings agree when instants inside their intervals exist for which the hours never fall and never outrun the clock.
Put in order of hours, a reading allows *clock minus hours* a span; readings agree when values inside their spans exist
that never fall.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from itertools import accumulate, pairwise
from typing import Final, NamedTuple

import msgspec

from dipmark.facts.base import FactId

HOUR: Final = 3_600_000_000
"""An hour in microseconds, the integer unit of all that is said about meters."""

DIGITS: Final = range(2, 13)
"""Digits before the point with which a meter can be seen to start again at zero."""

ENOUGH: Final = 3
"""So many contradicted readings are named at most."""

_UNITS: Final = tuple((Decimal(1).scaleb(-places), HOUR // 10**places) for places in (1, 0, 2, 3))


def rounding_of(hours: Decimal) -> int:
    """One unit of the last digit shown, in µs, at most an hour.

    Args:
        hours: as shown, in h.

    Example:
        >>> rounding_of(Decimal("12.0")) * 10 == rounding_of(Decimal("12")) == HOUR
        True
    """
    for unit, micro in _UNITS:
        if hours.same_quantum(unit):
            return micro
    exponent = hours.as_tuple().exponent
    return int(HOUR * Decimal(1).scaleb(min(0, exponent))) if isinstance(exponent, int) else HOUR


class Shown(msgspec.Struct, frozen=True, gc=False):
    """A reading before it is judged.

    Args:
        fact: where it stands.
        hours: as shown, in h.
        start: earliest instant, in µs since 1970.
        end: latest instant, in µs since 1970.
        day: the local day it is of.
        micro: hours in µs.
        rounding: one unit of the last digit, in µs.
    """

    fact: FactId
    hours: Decimal
    start: int
    end: int
    day: date
    micro: int
    rounding: int


def shown(fact: FactId, hours: Decimal, start: int, end: int, day: date) -> Shown:
    """A reading with its hours and its rounding in µs; see `Shown` for the arguments."""
    return Shown(fact, hours, start, end, day, int(hours * HOUR), rounding_of(hours))


class Judged(NamedTuple):
    """The readings of one meter between two changes, judged.

    Args:
        kept: index of each reading of the longest chain, in its order, with the hours that turns through zero add.
        against: index of each other reading to those of the nearest kept ones it contradicts, at most three.
        ties: index of each reading that contradicts one kept reading only, and of that one, to the other: either may
            be the wrong one.
    """

    kept: list[tuple[int, int]]
    against: dict[int, tuple[int, ...]]
    ties: dict[int, int]


class Try(NamedTuple):
    """A reading taken as made after so many turns of the meter through zero; they sort by hours, then by time.

    Args:
        hours: shown and added, in µs.
        start: earliest instant, in µs.
        end: latest instant, in µs.
        rounding: in µs.
        number: index of the reading in its segment.
        lap: hours the turns add.
        low: least clock minus hours, in µs.
        high: most clock minus hours, in µs.
    """

    hours: int
    start: int
    end: int
    rounding: int
    number: int
    lap: int
    low: int
    high: int


def judge(segment: Sequence[Shown], digits: int | None) -> Judged:
    """Judge the readings of one meter between two changes.

    A reading that is left out and contradicts only one of those kept would serve as well as that one: nobody can say
    which of the two is wrong.

    Args:
        segment: the readings, in any order.
        digits: digits before the point; None or a number no meter has: it never starts again at zero.

    *Edge*: a reading may differ from its neighbours by their roundings together; for the clock that still agrees, for
    hours that fall it no longer does. *Source*: project rule, common practice.
    """
    tries = in_order(tries_of(segment, digits))
    flags = longest_chain([(one.low, one.high) for one in tries])
    kept = [one for one, keep in zip(tries, flags, strict=True) if keep]
    chosen = {one.number for one in kept}
    against: dict[int, tuple[int, ...]] = {}
    if len(chosen) < len(segment):
        for index, found in _contradicted(tries, flags):
            if index not in chosen:
                against[index] = min(against.get(index, found), found, key=len)
    ties = {index: found[0] for index, found in against.items() if len(found) == 1}
    ties |= {other: index for index, other in ties.items()}
    return Judged([(one.number, one.lap) for one in kept], against, ties)


def tries_of(segment: Sequence[Shown], digits: int | None) -> list[Try]:
    """Each reading with no turn through zero behind it, with one, and so on up to all that may have been by then.

    Args:
        segment: the readings, in any order.
        digits: digits before the point, as in `judge`.
    """
    whole = 10**digits if digits is not None and digits in DIGITS else 0
    turns = turns_of(segment, whole) if whole else []
    tries: list[Try] = []
    for index, one in enumerate(segment):
        start, end, rounding = one.start, one.end, one.rounding
        most = bisect_right(turns, start) if turns and one.hours < whole else 0
        for turn in range(most + 1):
            hours = one.micro + turn * whole * HOUR
            low, high = start - hours - rounding, end - hours + rounding
            tries.append(Try(hours, start, end, rounding, index, turn * whole, low, high))
    return tries


def turns_of(segment: Sequence[Shown], whole: int) -> list[int]:
    """From when on the meter may have turned through zero: where it falls by more than half and the clock allows it.

    One odd reading beside the turn hides it from its neighbours, so the reading before it is asked too.

    Args:
        segment: the readings, in any order.
        whole: hours after which the meter starts again at zero.
    """
    half, full = whole * HOUR // 2, whole * HOUR
    in_time = sorted([(one.start, one.micro, one.end, one.rounding) for one in segment])

    def fell(before: tuple[int, int, int, int], now: tuple[int, int, int, int]) -> bool:
        fall = before[1] - now[1]
        if fall <= half or before[1] >= full:
            return False
        return full - fall <= now[2] - before[0] + now[3] + before[3]

    turns = [before[0] for before, now in pairwise(in_time) if fell(before, now)]
    beside = zip(in_time, in_time[1:], in_time[2:], strict=False)
    turns += [a[0] for a, b, c in beside if fell(a, c) and not fell(a, b) and not fell(b, c)]
    return sorted(turns)


def in_order(tries: list[Try]) -> list[Try]:
    """By hours; but one that its rounding cannot tell from a lower, later one goes before that.

    Args:
        tries: in any order.
    """
    placed: list[Try] = []
    latest = 0
    for one in sorted(tries):
        if one.end < latest:
            placed.insert(_place(placed, one), one)
        else:
            placed.append(one)
        latest = max(latest, one.start)
    return placed


def _place(placed: Sequence[Try], one: Try) -> int:
    at = len(placed)
    for index in range(at - 1, -1, -1):
        other = placed[index]
        if one.hours - other.hours >= one.rounding + HOUR:
            break
        if one.end < other.start and one.hours - other.hours < one.rounding + other.rounding:
            at = index
    return at


def _contradicted(tries: Sequence[Try], kept: Sequence[bool]) -> Iterator[tuple[int, tuple[int, ...]]]:
    """For each try that was not kept its index and those of the nearest kept ones it contradicts, at most three.

    Of those kept the highest low end so far and the lowest high end from here on tell where nothing more will be found.
    """
    chain = [one for one, keep in zip(tries, kept, strict=True) if keep]
    highest = list(accumulate((one.low for one in chain), max))
    lowest = list(accumulate((one.high for one in reversed(chain)), min))[::-1]
    at = 0
    for one, keep in zip(tries, kept, strict=True):
        if keep:
            at += 1
            continue
        before, after = at - 1, at
        found: list[int] = []
        while before >= 0 and len(found) < ENOUGH and highest[before] > one.high:
            found += [chain[before].number] if chain[before].low > one.high else []
            before -= 1
        while after < len(chain) and len(found) < ENOUGH and lowest[after] < one.low:
            found += [chain[after].number] if chain[after].high < one.low else []
            after += 1
        yield one.number, tuple(found)


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
