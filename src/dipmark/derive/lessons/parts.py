"""How long parts last: from one renewal to the next, and whether renewing them ahead would pay."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import log
from statistics import fmean
from typing import Final

import msgspec

from dipmark.derive.lessons.watched import Job, Watched
from dipmark.derive.reliability.enough import hours_for_law, hours_for_shape
from dipmark.derive.reliability.evidence import wear_of
from dipmark.derive.reliability.life import Law, Lives, lives, weibull
from dipmark.derive.reliability.life_limits import Limits, weibull_limits
from dipmark.derive.reliability.renewal import age
from dipmark.derive.reliability.survival import Survival, kaplan_meier
from dipmark.facts.base import FactId, folded

FEWEST: Final = 5
"""With fewer failures of a part nothing is said of its wear."""

LEVEL: Final = 0.9
"""Of limits, two-sided."""

TENTH: Final = 0.1
"""The age by which so many have failed is told."""

DEARER: Final = (2.0, 5.0, 10.0)
"""So many times what a renewal ahead costs may a failure cost, standstill and damage counted: nobody writes it down."""


class Part(msgspec.Struct, frozen=True, kw_only=True):
    """A part of a kind of truck, by its renewals.

    Args:
        kind: the kind.
        part: its name.
        failed: lives that ended with a failure.
        running: lives that ended with a renewal at a service, or still run.
        hours: of all lives.
        law: the Weibull law through them; None with fewer than two failures.
        limits: of that.
        survival: the share that lives on, without a law.
        planned: mean labour of work that renewed it ahead, in min; None where none is written down.
        failure: mean labour of work that renewed it at a failure, in min; None where none is written down.
        tenth: hours by which one in ten has failed; None without a law.
        ahead: where a failure costs so many times a renewal ahead, the age at which to renew it; None where waiting
            for the failure costs least.
        chance: of lives that look as much like wear where parts fail by chance alone; None with too few failures.
        more: about so many hours more of all together, and wear would show; None where it does, or never would.
        facts: the work that renewed it.
        said: True where the page may say that it wears out.
    """

    kind: str
    part: str
    failed: int
    running: int
    hours: float
    law: Law | None
    limits: Limits | None
    survival: Survival
    planned: float | None
    failure: float | None
    tenth: float | None
    ahead: tuple[tuple[float, float | None], ...]
    chance: float | None
    more: float | None
    facts: tuple[FactId, ...]
    said: bool = False


class _Life(msgspec.Struct, frozen=True):
    hours: float
    failed: bool


def part_lives(trucks: Sequence[Watched]) -> tuple[Part, ...]:
    """Every part that failed and was renewed more than once on the trucks of a kind, by its name.

    Args:
        trucks: all of the yard.

    A part renewed by work that mends a fault has failed; one renewed at a service had not. Parts of one name renewed
    by the same work are one life. The first life counts where the truck came new.
    """
    return tuple(one for kind in sorted({truck.kind for truck in trucks}) for one in _of_kind(kind, trucks))


def _of_kind(kind: str, trucks: Sequence[Watched]) -> Iterator[Part]:
    same = [truck for truck in trucks if truck.kind == kind]
    names: dict[str, str] = {}
    for truck in same:
        for job in truck.jobs:
            names |= {folded(used.part): used.part for used in job.work.parts if folded(used.part) not in names}
    for name in sorted(names):
        renewed = [(truck, [job for job in truck.jobs if _renews(job, name)]) for truck in same]
        told = [life for truck, jobs in renewed for life in _lives(truck, jobs) if life.hours > 0]
        jobs = [job for _, jobs in renewed for job in jobs]
        if any(life.failed for life in told) and len(jobs) > 1:
            yield _part(kind, names[name], told, jobs)


def _renews(job: Job, name: str) -> bool:
    return any(folded(used.part) == name for used in job.work.parts)


def _lives(truck: Watched, jobs: Sequence[Job]) -> Iterator[_Life]:
    begin = 0.0 if truck.from_new else None
    for job in jobs:
        if begin is not None:
            yield _Life(job.hours - begin, bool(job.work.mends))
        begin = job.hours
    if begin is not None:
        yield _Life(truck.now - begin, failed=False)


def _part(kind: str, name: str, told: Sequence[_Life], jobs: Sequence[Job]) -> Part:
    data = lives([one.hours for one in told], [one.failed for one in told])
    failed = sum(one.failed for one in told)
    law = weibull(data)
    limits = weibull_limits(law, data, LEVEL) if law is not None and failed >= FEWEST else None
    planned, at_failure = (_minutes(jobs, failure=failure) for failure in (False, True))
    return Part(
        kind=kind,
        part=name,
        failed=failed,
        running=len(told) - failed,
        hours=sum(one.hours for one in told),
        law=law,
        limits=limits,
        survival=kaplan_meier(data),
        planned=planned,
        failure=at_failure,
        tenth=law.scale * (-log(1 - TENTH)) ** (1 / law.shape) if law is not None else None,
        ahead=tuple((times, age(law, 1, times).hours) for times in DEARER) if law is not None else (),
        chance=wear_of(data) if failed >= FEWEST else None,
        more=_more(data, law, limits),
        facts=tuple(job.one.id for job in jobs),
    )


def _minutes(jobs: Sequence[Job], *, failure: bool) -> float | None:
    told = [job.work.minutes for job in jobs if bool(job.work.mends) == failure and job.work.minutes]
    return fmean(told) if told else None


def _more(data: Lives, law: Law | None, limits: Limits | None) -> float | None:
    if law is None:
        return hours_for_law(float((data.hours * data.count).sum()), data.failures)
    return (hours_for_shape(data, law, limits) or None) if limits is not None else None
