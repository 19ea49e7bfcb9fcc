"""Which trucks fail more and more, which far more often than their like, and what fails in a kind of truck."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final, Literal

import msgspec

from dipmark.derive.lessons.watched import Struck, Watched
from dipmark.derive.reliability.enough import faults_needed
from dipmark.derive.reliability.evidence import more_often, rate_limits, ratio_limits
from dipmark.derive.reliability.histories import Histories, History, histories
from dipmark.derive.reliability.power_law import PowerLaw, power_law
from dipmark.derive.reliability.recurrent import FEW, Cumulative, cumulative
from dipmark.derive.reliability.trends import Trends, trends
from dipmark.facts.base import FactId

TIMES: Final = 1.5
"""A truck is a bad one when it surely fails more than so many times as often as the others. Common practice."""

WEAR: Final = 2.0
"""The shape of wear that is to be seen: a rate that rises in a straight line from nought."""

EARLIEST: Final = 1e-6
"""A fault at the very first hours of a watch counts right after it began, in h."""

PARTS: Final = 6
"""So many parts of the truck are told of a kind, those with the most faults."""


class Wears(msgspec.Struct, frozen=True, kw_only=True):
    """Do the faults of a truck come closer together?

    Args:
        truck: its number.
        kind: its kind.
        hours: it was watched for.
        faults: seen in use; those found in the course of work are left out.
        rate: faults in 1000 h.
        low: lower limit of that.
        high: upper limit.
        tests: of trend; None with too few faults.
        law: the power law of its faults; None with too few, or where its first hours are not in the record.
        chance: of faults that look as much like wear where there is none; None with too few to ask.
        more: about so many hours more, and wear would show; None where it would show now, or no fault was seen.
        facts: its faults.
        said: True where the page may say so.
    """

    truck: str
    kind: str
    hours: float
    faults: int
    rate: float
    low: float
    high: float
    tests: Trends | None
    law: PowerLaw | None
    chance: float | None
    more: float | None
    facts: tuple[FactId, ...]
    said: bool = False


class Bad(msgspec.Struct, frozen=True, kw_only=True):
    """Does a truck fail far more often than the others of its kind?

    Args:
        truck: its number.
        kind: its kind.
        times: as often as the others; None where those had no fault.
        low: lower limit of that.
        high: upper limit; None: no upper end.
        chance: of so many faults where it fails `TIMES` times as often as the others.
        worst: its parts with the most faults, and how many.
        facts: its faults.
        said: True where the page may say so.
    """

    truck: str
    kind: str
    times: float | None
    low: float
    high: float | None
    chance: float
    worst: tuple[tuple[str, int], ...]
    facts: tuple[FactId, ...]
    said: bool = False


class Fails(msgspec.Struct, frozen=True, kw_only=True):
    """What the trucks of a kind have, of one part or of all.

    Args:
        kind: the kind.
        of: ``kind``: everything; ``part``: one part; ``labour``: labour on faults, in h.
        part: which.
        trucks: how many are watched.
        hours: all together.
        faults: how many.
        rate: in 1000 h.
        low: lower limit of that.
        high: upper limit.
        mean: the mean cumulative function.
        few: True where at the last fault fewer than `FEW` trucks are watched: its limits are not to be trusted.
    """

    kind: str
    of: Literal["kind", "part", "labour"]
    part: str | None
    trucks: int
    hours: float
    faults: int
    rate: float
    low: float
    high: float
    mean: Cumulative
    few: bool


def wears(trucks: Sequence[Watched], alpha: float) -> tuple[Wears, ...]:
    """Every truck, asked whether it wears out.

    Args:
        trucks: all of the yard.
        alpha: the chance with which a single truck may be called so without ground.

    Laplace's test must say so, and that of Lewis and Robinson, which stands it that faults come in bunches, as they do
    after a repair that does not hold: the weaker of the two counts.
    """
    return tuple(_wears(one, alpha) for one in trucks)


def _wears(one: Watched, alpha: float) -> Wears:
    faults = one.in_use
    units = histories([History(tuple(max(struck.hours - one.start, EARLIEST) for struck in faults), one.hours)])
    tests = trends(units)
    low, high = rate_limits(len(faults), one.hours)
    return Wears(
        truck=one.name,
        kind=one.kind,
        hours=one.hours,
        faults=len(faults),
        rate=1000 * len(faults) / one.hours,
        low=1000 * low,
        high=1000 * high,
        tests=tests,
        law=power_law(histories([_history(one, faults, from_new=True)])) if one.from_new else None,
        chance=_wear(tests),
        more=hours_more(len(faults), one.hours, alpha),
        facts=tuple(struck.fault.fact for struck in faults),
    )


def _wear(tests: Trends | None) -> float | None:
    if tests is None:
        return None
    faster = max(test.p for test in (tests.laplace, tests.lewis_robinson) if test is not None) / 2
    return faster if tests.laplace.statistic > 0 else 1 - faster


def hours_more(faults: int, hours: float, alpha: float) -> float | None:
    """In about how many hours more wear of shape `WEAR` would show; None where it would now, or no fault was seen.

    Args:
        faults: so far.
        hours: so far.
        alpha: the chance with which chance may look like it.
    """
    missing = (faults_needed(WEAR, 1 - alpha) or 0) - faults
    return missing * hours / faults if faults and missing > 0 else None


def _history(one: Watched, faults: Sequence[Struck], *, from_new: bool = False) -> History:
    """Faults of a truck by its hours."""
    start = 0.0 if from_new else one.start
    return History(tuple(min(max(struck.hours, start + EARLIEST), one.now) for struck in faults), one.now, start)


def bad_ones(trucks: Sequence[Watched]) -> tuple[Bad, ...]:
    """Every truck that has others of its kind beside it, compared with them.

    Args:
        trucks: all of the yard.
    """
    found = []
    for one in trucks:
        others = [other for other in trucks if other.kind == one.kind and other is not one]
        if others:
            found.append(_bad(one, others))
    return tuple(found)


def _bad(one: Watched, others: Sequence[Watched]) -> Bad:
    count, elsewhere = len(one.in_use), sum(len(other.in_use) for other in others)
    hours = sum(other.hours for other in others)
    low, high = ratio_limits(count, one.hours, elsewhere, hours)
    return Bad(
        truck=one.name,
        kind=one.kind,
        times=count / one.hours / (elsewhere / hours) if elsewhere else None,
        low=low,
        high=high,
        chance=more_often(count, one.hours, elsewhere, hours, TIMES),
        worst=tuple(Counter(struck.part for struck in one.in_use).most_common(3)),
        facts=tuple(struck.fault.fact for struck in one.in_use),
    )


def fails(trucks: Sequence[Watched]) -> tuple[Fails, ...]:
    """Of each kind of truck: all its faults, its worst parts, the labour they took.

    Args:
        trucks: all of the yard.
    """
    return tuple(one for kind in sorted({truck.kind for truck in trucks}) for one in _of_kind(kind, trucks))


def _of_kind(kind: str, trucks: Sequence[Watched]) -> Iterator[Fails]:
    same = [truck for truck in trucks if truck.kind == kind]
    whole = [_history(truck, truck.struck) for truck in same]
    if not any(one.events for one in whole):
        return
    yield _fails(kind, "kind", None, same, whole)
    parts = Counter(struck.part for truck in same for struck in truck.struck)
    for part, _ in parts.most_common(PARTS):
        own = [_history(truck, [struck for struck in truck.struck if struck.part == part]) for truck in same]
        yield _fails(kind, "part", part, same, own)
    labour = [_labour(truck) for truck in same]
    if any(one.events for one in labour):
        yield _fails(kind, "labour", None, same, labour)


def _labour(one: Watched) -> History:
    told = [(job.hours, job.work.minutes) for job in one.jobs if job.work.mends and job.work.minutes]
    at = tuple(min(max(hours, one.start + EARLIEST), one.now) for hours, _ in told)
    return History(at, one.now, one.start, tuple(minutes / 60 for _, minutes in told))


def _fails(
    kind: str,
    of: Literal["kind", "part", "labour"],
    part: str | None,
    trucks: Sequence[Watched],
    units: Sequence[History],
) -> Fails:
    held: Histories = histories(units)
    hours, count = sum(truck.hours for truck in trucks), len(held.age)
    low, high = rate_limits(count, hours)
    mean = cumulative(held)
    return Fails(
        kind=kind,
        of=of,
        part=part,
        trucks=len(trucks),
        hours=hours,
        faults=count,
        rate=1000 * count / hours,
        low=1000 * low,
        high=1000 * high,
        mean=mean,
        few=int(mean.at_risk[-1]) < FEW,
    )
