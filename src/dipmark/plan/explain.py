"""Why each job stands where it stands, and what would let those fit that do not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from math import ceil
from typing import Final

import msgspec

from dipmark.facts.said import says
from dipmark.plan.fortnight import Fortnight, Placed
from dipmark.plan.jobs import Job, Visit
from dipmark.plan.make import Solve
from dipmark.plan.model import Short, What, build, spots_of
from dipmark.plan.places import Ground, able, ground
from dipmark.plan.room import Room, Stretch
from dipmark.plan.sentence import Sentence
from dipmark.plan.turn import Held, Taken

CHEAPEST: Final = says("nowhere does it cost less")
ONLY: Final = says("there is no other free place for it")
DEARER: Final = says("the next best free place costs {} more: {}, {}, {}")
CHEAPER: Final[dict[Held | None, str]] = {
    "minutes": says("it would cost {} less on {}, {}, with {}, who has not the time left"),
    "bay": says("it would cost {} less on {}, {}, with {}, but no bay is left"),
    "truck": says("it would cost {} less on {}, {}, with {}, but the truck is in another visit then"),
    "trucks": says("it would cost {} less on {}, {}, with {}, but trucks of its kind are wanted then"),
    None: says("it would cost {} less on {}, {}, with {}, and others more"),
}

WAITS: Final = says("{} may wait: its latest day is {}")
NO_ONE_KNOWS: Final = says("nobody knows when {} comes: ask the supplier")
PART_BY: Final = says("{} by {} instead of {}")
LATEST: Final = says("{} done by {} instead of {}")
OPENS: Final = says("{} done from {} instead of {}")
LEARN: Final = says("somebody who can and may do it: {} ({})")
NOBODY: Final = says("somebody of {} for {}")
NO_DAYS: Final = says("a day on which somebody who can do it works: {}")
LONGER: Final = says("{} takes {} minutes, {} more than the longest shift has")
MINUTES: Final = says("{} works {} minutes longer on {}, {}")
A_BAY: Final = says("{}, {}: bays more: {} ({})")
SPARE: Final = says("{}, {}: trucks more that can be spared: {} ({})")

NEVER: Final = 1_000_000
"""More than anything that is given or waited costs."""
PAYS: Final = says("it could stand in the plan; leaving it out costs less")


class Why(msgspec.Struct, frozen=True):
    """Why a visit stands where it stands.

    Args:
        placed: the visit in its place.
        sentences: the strongest first.
    """

    placed: Placed
    sentences: tuple[Sentence, ...]


class Unmet(msgspec.Struct, frozen=True):
    """A job that is not in the plan.

    Args:
        job: its id.
        due: it should be in the plan; False: it may wait.
        changes: for a due one, each a smallest change that would let it fit, all its sentences together; any one
            will do.
    """

    job: str
    due: bool
    changes: tuple[tuple[Sentence, ...], ...]


def why(plan: Fortnight, jobs: Sequence[Job], room: Room, published: Sequence[Placed] = ()) -> tuple[Why, ...]:
    """Why each visit stands where it does, all others staying where they are.

    Args:
        plan: one without complaints.
        jobs: all there are.
        room: what there is to do them with.
        published: the plan people know of.
    """
    about = ground(jobs, room, published)
    at = {(one.mechanic, one.day, one.shift): one for one in room.stretches}
    where = [(one, at[one.mechanic, one.day, one.shift]) for one in plan.placed]
    return tuple(Why(one, tuple(_why(one, stretch, where, about))) for one, stretch in where)


def _why(placed: Placed, here: Stretch, where: Sequence[tuple[Placed, Stretch]], about: Ground) -> Iterator[Sentence]:
    taken, visit = Taken(about), placed.visit
    for other, stretch in where:
        if other is not placed:
            taken.add(other.visit, stretch)
    spots = spots_of(visit, about)
    cost = spots.pop(here) + taken.more(visit, here)
    cheaper = sorted((own, one.day, one.mechanic, one) for one, own in spots.items() if own < cost)
    if not cheaper:
        yield Sentence(CHEAPEST)
    for own, day, who, stretch in cheaper[:3]:
        held = taken.held(visit, stretch)
        if own + taken.more(visit, stretch) >= cost:
            held = held or "minutes"
        yield Sentence(CHEAPER[held], (_money(cost - own), day, stretch.shift, who))
    free = [
        (own + taken.more(visit, one), one.day, one.mechanic, one)
        for one, own in spots.items()
        if not taken.held(visit, one)
    ]
    dearer = min((one for one in free if one[0] >= cost), default=None)
    if dearer:
        yield Sentence(DEARER, (_money(dearer[0] - cost), dearer[1], dearer[3].shift, dearer[2]))
    elif not free:
        yield Sentence(ONLY)


def _money(mills: int) -> str:
    return f"{mills / 1000:,.2f}"


def unmet(
    plan: Fortnight, jobs: Sequence[Job], room: Room, solve: Solve, published: Sequence[Placed] = ()
) -> tuple[Unmet, ...]:
    """The jobs that are not in a plan, and for each that should be the smallest changes that would let it in.

    Args:
        plan: one without complaints.
        jobs: all there are.
        room: what there is to do them with.
        solve: the solver; it is asked at most four times for each job that should be in.
        published: the plan people know of.

    Everything in the plan stays in it, but may stand elsewhere. Each change is the smallest of its own kind: minutes of
    mechanics, bays, trucks spared, or days.
    """
    about = ground(jobs, room, published)
    return tuple(_unmet(about.jobs[job], plan, about, solve) for job in plan.left)


def _unmet(job: Job, plan: Fortnight, about: Ground, solve: Solve) -> Unmet:
    if job.latest > about.room.last:
        return Unmet(job.id, due=False, changes=((Sentence(WAITS, (job.id, job.latest)),),))
    visit = Visit(job.truck, (job.id,))
    if not spots_of(visit, about):
        return Unmet(job.id, due=True, changes=tuple(_no_spot(job, about)))
    visits = (*(one.visit for one in plan.placed), visit)
    spots = [dict.fromkeys(spots_of(one, about), 0) for one in visits]
    ways = [_given(visits, about, spots, solve, what) for what in ("minutes", "bay", "trucks")]
    if any(way == () for way in ways):
        return Unmet(job.id, due=True, changes=((Sentence(PAYS),),))
    later = _later(job, visits, about, spots, solve)
    return Unmet(job.id, due=True, changes=tuple(way for way in (*ways, later) if way))


def _given(
    visits: Sequence[Visit], about: Ground, spots: Sequence[dict[Stretch, int]], solve: Solve, what: What
) -> tuple[Sentence, ...] | None:
    """The least that has to be given of one kind for all visits to have a place; None: it does not help."""
    its = build(visits, about, spots, [NEVER] * len(visits), what)
    values, _ = solve(its.arrays, 1.0, None)
    if values is None or any(values[column] > 0.5 for column in its.left):
        return None
    return tuple(_said(short, ceil(values[column] - 1e-6)) for short, column in its.given if values[column] > 1e-6)


def _said(short: Short, much: int) -> Sentence:
    day, shift = short.when
    if short.what == "minutes":
        return Sentence(MINUTES, (short.who, much, day, shift))
    return Sentence(A_BAY if short.what == "bay" else SPARE, (day, shift, much, short.who))


def _later(
    job: Job, visits: Sequence[Visit], about: Ground, spots: Sequence[dict[Stretch, int]], solve: Solve
) -> tuple[Sentence, ...] | None:
    """The fewest days that a hard job would have to be done late; None: it is not hard, or days do not help."""
    if not job.hard:
        return None
    soft = msgspec.structs.replace(about, jobs={**about.jobs, job.id: msgspec.structs.replace(job, hard=False)})
    own = {one: max(0, (one.day - job.latest).days) for one in spots_of(visits[-1], soft)}
    its = build(visits, soft, [*spots[:-1], own], [NEVER] * len(visits), "days")
    values, _ = solve(its.arrays, 1.0, None)
    if values is None or any(values[column] > 0.5 for column in its.left):
        return None
    day = next(one.day for one in its.placed(values) if one.visit is visits[-1])
    return (Sentence(LATEST, (job.id, day, job.latest)),)


def _no_spot(job: Job, about: Ground) -> Iterator[tuple[Sentence, ...]]:
    """What would have to be otherwise for a job that can stand nowhere, however empty the plan is."""
    room, minutes = about.room, about.minutes([job.id])
    who = {one.id for one in room.mechanics if able(one, job)}
    if not who:
        here = any(one.firm == job.firm and job.place in one.places for one in room.mechanics)
        what = ", ".join(sorted(job.skills | job.permits))
        yield (Sentence(LEARN, (job.id, what)) if here else Sentence(NOBODY, (job.firm or job.place, job.id)),)
        return
    theirs = [one for one in room.stretches if one.mechanic in who]
    longest = max((one.minutes + one.overtime for one in theirs), default=0)
    if longest < minutes:
        text = Sentence(LONGER, (job.id, minutes, minutes - longest)) if theirs else Sentence(NO_DAYS, (job.id,))
        yield (text,)
        return
    days = sorted({one.day for one in theirs if one.minutes + one.overtime >= minutes})
    last = job.latest if job.hard and job.latest >= room.first else room.last
    before = [day for day in days if day <= last]
    if before:
        yield tuple(_earlier(job, before[-1]))
    after = [day for day in days if job.ready is not None and day >= job.ready]
    if after:
        yield (Sentence(LATEST, (job.id, after[0], job.latest)),)
    if not before and not after:
        yield (Sentence(NO_DAYS, (job.id,)),)


def _earlier(job: Job, day: date) -> Iterator[Sentence]:
    """What would have to come earlier for a job to be done by a day."""
    if job.opens > day:
        yield Sentence(OPENS, (job.id, day, job.opens))
    for part in job.parts:
        if part.ready is None:
            yield Sentence(NO_ONE_KNOWS, (part.name,))
        elif part.ready > day:
            yield Sentence(PART_BY, (part.name, day, part.ready))
