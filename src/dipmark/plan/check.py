"""Looks over any plan, whoever made it, and reckons its cost anew. It shares nothing with what makes plans."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import Final

import msgspec

from dipmark.facts.said import says
from dipmark.plan.fortnight import Cost, Fortnight, Placed
from dipmark.plan.jobs import WEIGHTS, Job
from dipmark.plan.room import Mechanic, Need, Room, Shift, Stretch
from dipmark.plan.sentence import Sentence, Value

UNKNOWN_JOB: Final = says("{}: there is no such job")
TWICE: Final = says("{}: planned {} times")
FORGOTTEN: Final = says("{}: neither planned nor left out")
EMPTY: Final = says("{}: a visit without a job")
OTHER_TRUCK: Final = says("{}: is a job of {}")
OTHER_YARD: Final = says("{}: jobs in different yards in one visit")
NO_STRETCH: Final = says("{} does not work on {}, {}")
UNSKILLED: Final = says("{} has not learnt {}")
UNPERMITTED: Final = says("{} is not allowed {}")
FOR_FIRM: Final = says("{} goes to {}, not to {}")
FOR_US: Final = says("{} is for our own mechanics, not for {}")
NOT_THERE: Final = says("{} does not work in {}")
TOO_EARLY: Final = says("{}: on {}, may be done from {}")
TOO_LATE: Final = says("{}: on {}, has to be done by {}")
NO_PART: Final = says("{}: {} is not there before {}")
PART_UNKNOWN: Final = says("{}: nobody knows when {} comes")
FULL: Final = says("{} on {}, {}: {} minutes planned, there are {}")
BAYS: Final = says("{}, {}: {} mechanics need a bay ({}), there are {}")
TWO_PLACES: Final = says("{} is in two visits on {}, {}")
SPARED: Final = says("{}, {}: {} trucks of {} free, needed are {}")


class Complaint(msgspec.Struct, frozen=True):
    """One thing that cannot be in a plan.

    Args:
        code: what kind of thing, in words with hyphens.
        sentence: what was found, and what has to be.
        jobs: ids it is about.
    """

    code: str
    sentence: Sentence
    jobs: tuple[str, ...] = ()


class Checked(msgspec.Struct, frozen=True):
    """What was found in a plan.

    Args:
        complaints: none: it can be done.
        cost: reckoned anew.
    """

    complaints: tuple[Complaint, ...]
    cost: Cost


class _Plan(msgspec.Struct, frozen=True):
    """A plan with what it is about, by id."""

    plan: Fortnight
    jobs: dict[str, Job]
    room: Room
    mechanics: dict[str, Mechanic]
    stretches: dict[tuple[str, date, str], Stretch]
    shifts: dict[tuple[date, str], Shift]
    order: dict[tuple[date, str], int]
    known: tuple[Placed, ...]

    def jobs_of(self, placed: Placed) -> list[Job]:
        """The jobs of a visit that there are."""
        return [self.jobs[one] for one in placed.visit.jobs if one in self.jobs]

    def minutes(self, placed: Placed) -> int:
        """How long a visit takes."""
        return self.room.set_up + sum(job.minutes for job in self.jobs_of(placed))

    def when(self, placed: Placed) -> int:
        """Where its shift stands in the order of time."""
        return self.order[placed.day, placed.shift]


def check(plan: Fortnight, jobs: Sequence[Job], room: Room, published: Sequence[Placed] = ()) -> Checked:
    """What in a plan cannot be, and what it costs.

    Args:
        plan: any.
        jobs: all there are.
        room: what there is to do them with.
        published: the plan people know of, if there is one.

    *Edge*: a stretch may be filled to its last minute of overtime; a job may stand on the day its window opens, on its
    latest day, and on the day its part comes; as many trucks as are needed are enough.
    """
    order = {(shift.day, shift.name): at for at, shift in enumerate(room.shifts)}
    stretches = {(one.mechanic, one.day, one.shift): one for one in room.stretches}
    known = tuple(one for one in plan.placed if (one.day, one.shift) in order)
    about = _Plan(
        plan,
        {job.id: job for job in jobs},
        room,
        {one.id: one for one in room.mechanics},
        stretches,
        {(shift.day, shift.name): shift for shift in room.shifts},
        order,
        known,
    )
    found = [*_each_once(about)]
    for one in plan.placed:
        found += [*_visit(about, one), *_who(about, one)]
        for job in about.jobs_of(one):
            found += _when(about, job, one.day)
    found += [*_full(about), *_bays(about), *_two_places(about), *_spared(about)]
    return Checked(tuple(found), _cost(about, published))


def _complaint(code: str, jobs: tuple[str, ...], text: str, *values: Value) -> Complaint:
    return Complaint(code, Sentence(text, values), jobs)


def _each_once(about: _Plan) -> Iterator[Complaint]:
    named = Counter([job for one in about.plan.placed for job in one.visit.jobs] + [*about.plan.left])
    for job, times in named.items():
        if job not in about.jobs:
            yield _complaint("unknown", (job,), UNKNOWN_JOB, job)
        elif times > 1:
            yield _complaint("twice", (job,), TWICE, job, times)
    for job in about.jobs:
        if job not in named:
            yield _complaint("forgotten", (job,), FORGOTTEN, job)


def _visit(about: _Plan, one: Placed) -> Iterator[Complaint]:
    jobs = about.jobs_of(one)
    if not one.visit.jobs:
        yield _complaint("empty", (), EMPTY, one.visit.truck)
    for job in jobs:
        if job.truck != one.visit.truck:
            yield _complaint("other-truck", (job.id,), OTHER_TRUCK, job.id, job.truck)
    if len({job.place for job in jobs}) > 1:
        yield _complaint("other-yard", one.visit.jobs, OTHER_YARD, one.visit.truck)


def _who(about: _Plan, one: Placed) -> Iterator[Complaint]:
    who = about.mechanics.get(one.mechanic)
    if who is None or (one.mechanic, one.day, one.shift) not in about.stretches or one not in about.known:
        yield _complaint("no-stretch", one.visit.jobs, NO_STRETCH, one.mechanic, one.day, one.shift)
        return
    for job in about.jobs_of(one):
        for skill in sorted(job.skills - who.skills):
            yield _complaint("unskilled", (job.id,), UNSKILLED, who.id, skill)
        for permit in sorted(job.permits - who.permits):
            yield _complaint("unpermitted", (job.id,), UNPERMITTED, who.id, permit)
        if job.firm != who.firm and job.firm is not None:
            yield _complaint("not-ours", (job.id,), FOR_FIRM, job.id, job.firm, who.id)
        elif job.firm != who.firm:
            yield _complaint("not-ours", (job.id,), FOR_US, job.id, who.id)
        if job.place not in who.places:
            yield _complaint("not-there", (job.id,), NOT_THERE, who.id, job.place)


def _when(about: _Plan, job: Job, day: date) -> Iterator[Complaint]:
    if day < job.opens:
        yield _complaint("too-early", (job.id,), TOO_EARLY, job.id, day, job.opens)
    last = job.due.early + timedelta(days=job.grace)
    if job.hard and about.room.first <= last < day:
        yield _complaint("too-late", (job.id,), TOO_LATE, job.id, day, last)
    for part in job.parts:
        if part.ready is None:
            yield _complaint("no-part", (job.id,), PART_UNKNOWN, job.id, part.name)
        elif day < part.ready:
            yield _complaint("no-part", (job.id,), NO_PART, job.id, part.name, part.ready)


def _minutes_by_stretch(about: _Plan) -> Counter[tuple[str, date, str]]:
    spent: Counter[tuple[str, date, str]] = Counter()
    for one in about.plan.placed:
        spent[one.mechanic, one.day, one.shift] += about.minutes(one)
    return spent


def _full(about: _Plan) -> Iterator[Complaint]:
    for key, spent in _minutes_by_stretch(about).items():
        stretch = about.stretches.get(key)
        if stretch is not None and spent > stretch.minutes + stretch.overtime:
            inside = [one for one in about.plan.placed if (one.mechanic, one.day, one.shift) == key]
            jobs = tuple(job for one in inside for job in one.visit.jobs)
            yield _complaint("full", jobs, FULL, *key, spent, stretch.minutes + stretch.overtime)


def _bays(about: _Plan) -> Iterator[Complaint]:
    using: dict[tuple[date, str, str, str], set[str]] = {}
    for one in about.known:
        for job in about.jobs_of(one):
            if job.bay is not None:
                using.setdefault((one.day, one.shift, job.bay, job.place), set()).add(one.mechanic)
    for (day, shift, kind, place), who in using.items():
        there = sum(bay.count for bay in about.shifts[day, shift].bays if (bay.kind, bay.place) == (kind, place))
        if len(who) > there:
            yield _complaint("bays", (), BAYS, day, shift, len(who), kind, there)


def _two_places(about: _Plan) -> Iterator[Complaint]:
    where = Counter((one.visit.truck, one.day, one.shift) for one in about.plan.placed)
    for (truck, day, shift), times in where.items():
        if times > 1:
            yield _complaint("two-places", (), TWO_PLACES, truck, day, shift)


def _back(about: _Plan) -> dict[str, int]:
    """From which place in the order of time a truck that stands counts again; trucks that never do are not in it."""
    back: dict[str, int] = {}
    waiting = {job.truck: {one.id for one in about.jobs.values() if one.truck == job.truck and one.standing}
               for job in about.jobs.values() if job.standing}  # fmt: skip
    done = {job: about.when(one) for one in about.known for job in one.visit.jobs}
    for truck, jobs in waiting.items():
        if jobs <= done.keys():
            back[truck] = max(done[job] for job in jobs) + 1
    return back


def _missing(about: _Plan) -> Iterator[tuple[Shift, Need, int, int]]:
    """For each need: how many trucks are free, and how many are free if nobody works on any."""
    groups = {group.id: group for group in about.room.groups}
    back = _back(about)
    inside = {(one.visit.truck, about.when(one)) for one in about.known}
    for at, shift in enumerate(about.room.shifts):
        for need in shift.needs:
            group = groups.get(need.group)
            if group is None:
                continue
            usable = [
                truck
                for truck in group.trucks
                if truck not in group.standing or back.get(truck, len(about.order)) <= at
            ]
            free = sum((truck, at) not in inside for truck in usable)
            yield shift, need, free, len(group.trucks - group.standing)


def _spared(about: _Plan) -> Iterator[Complaint]:
    for shift, need, free, now in _missing(about):
        if free < min(need.trucks, now):
            yield _complaint("spared", (), SPARED, shift.day, shift.name, free, need.group, need.trucks)


def _cost(about: _Plan, published: Sequence[Placed]) -> Cost:
    total = Cost()
    for one in about.plan.placed:
        jobs = about.jobs_of(one)
        for job in jobs:
            total += _on_day(about.room, job, one.day)
        if not any(job.standing for job in jobs):
            total += Cost(busy=10 * about.minutes(one) * _busy(about, one))
    for name in set(about.plan.left) & about.jobs.keys():
        total += _left(about.room, about.jobs[name])
    for key, spent in _minutes_by_stretch(about).items():
        stretch, who = about.stretches.get(key), about.mechanics.get(key[0])
        if stretch is not None and who is not None:
            total += Cost(overtime=10 * who.overtime * max(0, spent - stretch.minutes))
    for _, need, free, _ in _missing(about):
        total += Cost(missing=10 * need.missing * max(0, need.trucks - free))
    return total + Cost(moved=10 * about.room.move * len(moved(about.plan, published, about.jobs, about.room)))


def moved(plan: Fortnight, published: Sequence[Placed], jobs: dict[str, Job], room: Room) -> frozenset[str]:
    """The jobs of a published plan, from its first day on, that are no longer where it had them.

    Args:
        plan: the new one.
        published: the one people know of.
        jobs: by id; what is no longer to be done has not moved.
        room: whose first day counts.
    """
    was = {
        job: (one.day, one.shift, one.mechanic)
        for one in published
        if one.day >= room.first
        for job in one.visit.jobs
        if job in jobs
    }
    now = {job: (one.day, one.shift, one.mechanic) for one in plan.placed for job in one.visit.jobs}
    return frozenset(job for job, place in was.items() if now.get(job) != place)


def _busy(about: _Plan, one: Placed) -> int:
    """What a minute of this truck in the workshop costs in this shift."""
    group = next((group.id for group in about.room.groups if one.visit.truck in group.trucks), None)
    shift = about.shifts.get((one.day, one.shift))
    return sum(need.busy for need in shift.needs if need.group == group) if shift else 0


def _on_day(room: Room, job: Job, day: date) -> Cost:
    days = (job.due.early, job.due.about, job.due.late)
    late = sum(weight * max(0, (day - due).days - job.grace) for weight, due in zip(WEIGHTS, days, strict=True))
    early = sum(weight * max(0, (due - day).days) for weight, due in zip(WEIGHTS, days, strict=True))
    standing = 10 * job.standing_a_day * (day - room.first).days if job.standing else 0
    return Cost(late=late * job.late_a_day, early=early * job.early_a_day, standing=standing)


def _left(room: Room, job: Job) -> Cost:
    """What is left out is done the day after at the earliest; what should have been done before costs extra."""
    after = _on_day(room, job, room.last + timedelta(days=1))
    return msgspec.structs.replace(after, early=0, left=10 * job.left if job.latest <= room.last else 0)
