"""Which jobs of a truck are worth doing in one stop."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from math import inf

from dipmark.plan.fortnight import Placed
from dipmark.plan.jobs import Job, Visit
from dipmark.plan.places import Ground, ground, left_out, on_day, window
from dipmark.plan.room import Room


def fewest(windows: Sequence[tuple[date, date]]) -> tuple[date, ...]:
    """The fewest days such that each window holds one of them.

    *Edge*: first and last day belong to a window.
    *Source*: stabbing intervals by their earliest ends, whose proof is the one of choosing activities (textbook).

    Example:
        >>> march = [date(2025, 3, day) for day in range(1, 9)]
        >>> [day.day for day in fewest([(march[0], march[3]), (march[2], march[5]), (march[4], march[7])])]
        [4, 8]
    """
    days: list[date] = []
    for first, last in sorted(windows, key=lambda one: one[1]):
        if not days or days[-1] < first:
            days.append(last)
    return tuple(days)


def least(jobs: Sequence[Job], room: Room) -> int:
    """How many stops it takes at the least, each job in time, or as late as it must be where its time is past.

    Args:
        jobs: of any trucks, each with a day on which it may be done.
        room: whose days count.
    """
    apart: dict[tuple[str, str | None, str], list[tuple[date, date]]] = {}
    for job in jobs:
        days = window(job, room)
        if days is not None:
            in_time = days[0], min(days[1], job.latest) if job.latest >= days[0] else days[1]
            apart.setdefault((job.truck, job.firm, job.place), []).append(in_time)
    return sum(len(fewest(own)) for own in apart.values())


def stops(jobs: Sequence[Job], room: Room) -> tuple[tuple[Job, ...], ...]:
    """Jobs of one truck put together so that stops and wasted intervals cost least; what may wait and is cheaper so
    is in none of them.

    Args:
        jobs: each may be done on some day of the plan.
        room: whose days and whose cost of a stop count; shifts and mechanics are not asked.

    What a job costs falls to its best day and rises from there, so of any days chosen it takes the last before its best
    or the first from there on: the cheapest choice of days follows day by day. Waiting is a last day, after the plan,
    and costs a stop of its own.
    """  # noqa: D205
    days = [room.first + timedelta(days=at) for at in range(room.days)]
    costs = [_costs(job, days, room) for job in jobs]
    best = [cost.index(min(cost)) for cost in costs]
    stop = 10 * room.stop
    least: list[tuple[float, tuple[int, ...]]] = []
    ends = room.days + 2  # one after waiting, for what lies behind the last stop
    for at in range(ends):
        own = stop if at < ends - 1 else 0
        options = []
        for before in range(-1, at):
            paid, chosen = least[before] if before >= 0 else (0.0, ())
            between = (
                min(cost[before] if before >= 0 else inf, cost[at] if at < ends - 1 else inf)
                for cost, mine in zip(costs, best, strict=True)
                if before < mine <= at
            )
            options.append((paid + own + sum(between), (*chosen, at)))
        least.append(min(options))
    chosen = least[-1][1][:-1]
    return _shared(jobs, costs, chosen, room.days)


def _costs(job: Job, days: Sequence[date], room: Room) -> list[float]:
    """What a job costs on each day, and, where it may wait, after the last."""
    allowed = window(job, room)
    costs = [on_day(job, day, room).total if allowed and allowed[0] <= day <= allowed[1] else inf for day in days]
    return [*costs, left_out(job, room).total if job.latest > room.last else inf]


def _shared(
    jobs: Sequence[Job], costs: Sequence[Sequence[float]], chosen: Sequence[int], wait: int
) -> tuple[tuple[Job, ...], ...]:
    """Each job at the cheapest of the days chosen, the first of several."""
    at: dict[int, list[Job]] = {}
    for job, cost in zip(jobs, costs, strict=True):
        day = min(chosen, key=cost.__getitem__)
        if day != wait:
            at.setdefault(day, []).append(job)
    return tuple(tuple(at[day]) for day in sorted(at))


def visits(jobs: Sequence[Job], room: Room, published: Sequence[Placed] = ()) -> tuple[Visit, ...]:
    """The visits to be planned. Jobs that are in none of them may wait, or can be done on no day of the plan.

    Args:
        jobs: of all trucks.
        room: what there is to do them with.
        published: visits of a published plan stay together as long as somebody can do them in one, and another job of
            the same truck joins where a stop of its own would cost more.
    """
    about = ground(jobs, room, published)
    kept: list[list[Job]] = []
    taken: set[str] = set()
    for one in published:
        here = [about.jobs[job] for job in one.visit.jobs if job in about.was and window(about.jobs[job], room)]
        kept += _possible(here, about)
        taken |= {job.id for job in here}
    apart: dict[tuple[str, str | None, str], list[Job]] = {}
    for job in sorted(jobs, key=lambda one: (one.latest, one.id)):
        if job.id in taken or not window(job, room):
            continue
        for visit in kept:
            if _joins(job, visit, about):
                visit.append(job)
                break
        else:
            apart.setdefault((job.truck, job.firm, job.place), []).append(job)
    fresh = [part for own in apart.values() for stop in stops(own, room) for part in _possible(stop, about)]
    return tuple(Visit(part[0].truck, tuple(job.id for job in part)) for part in (*kept, *fresh))


def _joins(job: Job, visit: Sequence[Job], about: Ground) -> bool:
    """Whether a job is done in a visit of the published plan, where that stands: it costs no more than a stop there."""
    first = visit[0]
    if (job.truck, job.firm, job.place) != (first.truck, first.firm, first.place) or first.id not in about.was:
        return False
    day, shift, who = about.was[first.id]
    there = [one for one in about.room.stretches if (one.day, one.shift, one.mechanic) == (day, shift, who)]
    days = [about.room.first + timedelta(days=at) for at in range(about.room.days)]
    here = _costs(job, [day, *days], about.room)
    together = [one.id for one in (*visit, job)]
    return here[0] <= min(here[1:]) + 10 * about.room.stop and any(about.spot(together, one) for one in there)


def _possible(jobs: Sequence[Job], about: Ground) -> list[list[Job]]:
    """Jobs split as little as first come, first served allows, so that each visit can stand somewhere."""
    parts: list[list[Job]] = []
    for job in jobs:
        for part in parts:
            together = [one.id for one in (*part, job)]
            if any(about.spot(together, stretch) is not None for stretch in about.room.stretches):
                part.append(job)
                break
        else:
            parts.append([job])
    return parts
