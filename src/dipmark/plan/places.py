"""Where a visit may stand, and what it costs there by itself."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

import msgspec

from dipmark.plan.fortnight import Cost, Placed
from dipmark.plan.jobs import WEIGHTS, Job
from dipmark.plan.room import Mechanic, Room, Shift, Stretch


def window(job: Job, room: Room) -> tuple[date, date] | None:
    """The first and last day of the plan on which a job may be done; None: on none.

    *Edge*: what is hard and was to be done before the plan begins has no last day any more: as soon as can be.
    """
    if job.ready is None:
        return None
    first = max(job.ready, room.first)
    last = min(job.latest, room.last) if job.hard and job.latest >= room.first else room.last
    return (first, last) if first <= last else None


def able(mechanic: Mechanic, job: Job) -> bool:
    """Whether he has learnt it, is allowed it, and works there and for that firm."""
    return (
        job.skills <= mechanic.skills
        and job.permits <= mechanic.permits
        and job.firm == mechanic.firm
        and job.place in mechanic.places
    )


def on_day(job: Job, day: date, room: Room) -> Cost:
    """What it costs to do a job on a day, as the three days of its due weigh."""
    late = early = 0
    for weight, due in zip(WEIGHTS, (job.due.early, job.due.about, job.due.late), strict=True):
        over = (day - due).days
        late += weight * max(0, over - job.grace)
        early += weight * max(0, -over)
    stands = (day - room.first).days if job.standing else 0
    return Cost(late * job.late_a_day, early * job.early_a_day, 10 * job.standing_a_day * stands)


def left_out(job: Job, room: Room) -> Cost:
    """What it costs to leave a job out: it is done the day after at the earliest.

    *Edge*: one whose latest day is the last day of the plan belongs in it.
    """
    after = on_day(job, room.last + timedelta(days=1), room)
    return Cost(late=after.late, standing=after.standing, left=10 * job.left if job.latest <= room.last else 0)


class Ground(msgspec.Struct, frozen=True):
    """Jobs and room, by what they are looked up by.

    Args:
        room: what there is.
        jobs: by id.
        mechanics: by id.
        shifts: by day and name.
        order: of each shift in time.
        group: of each truck.
        was: where a published plan has each job, from the first day of the room on.
    """

    room: Room
    jobs: dict[str, Job]
    mechanics: dict[str, Mechanic]
    shifts: dict[tuple[date, str], Shift]
    order: dict[tuple[date, str], int]
    group: dict[str, str]
    was: dict[str, tuple[date, str, str]]

    def minutes(self, jobs: Iterable[str]) -> int:
        """How long a visit takes, set-up and all."""
        return self.room.set_up + sum(self.jobs[job].minutes for job in jobs)

    def moved(self, jobs: Iterable[str], place: tuple[date, str, str] | None) -> int:
        """What it costs, in mills, that jobs stand there and not where a published plan has them."""
        return 10 * self.room.move * sum(self.was.get(job, place) != place for job in jobs)

    def busy(self, truck: str, stretch: Stretch) -> int:
        """What a minute of this truck in the workshop costs in the shift of a stretch, in cents."""
        needs = self.shifts[stretch.day, stretch.shift].needs
        return sum(need.busy for need in needs if need.group == self.group.get(truck))

    def spot(self, jobs: Sequence[str], stretch: Stretch) -> Cost | None:
        """What a visit costs in a stretch by itself; None: it cannot be there, whatever else is planned."""
        mechanic, minutes = self.mechanics[stretch.mechanic], self.minutes(jobs)
        if (stretch.day, stretch.shift) not in self.shifts or minutes > stretch.minutes + stretch.overtime:
            return None
        total, standing = Cost(), False
        for name in jobs:
            job = self.jobs[name]
            days = window(job, self.room)
            if days is None or not days[0] <= stretch.day <= days[1] or not able(mechanic, job):
                return None
            total += on_day(job, stretch.day, self.room)
            standing = standing or job.standing
        busy = 0 if standing else 10 * minutes * self.busy(self.jobs[jobs[0]].truck, stretch)
        moved = self.moved(jobs, (stretch.day, stretch.shift, stretch.mechanic))
        return total + Cost(busy=busy, moved=moved)

    def left(self, jobs: Iterable[str]) -> Cost:
        """What it costs to leave a visit out."""
        total = Cost(moved=self.moved(jobs, None))
        for job in jobs:
            total += left_out(self.jobs[job], self.room)
        return total


def ground(jobs: Sequence[Job], room: Room, published: Sequence[Placed] = ()) -> Ground:
    """Jobs and room made ready for looking up.

    Args:
        jobs: all there are.
        room: what there is to do them with.
        published: the plan people know of, if there is one; what lies before the first day of the room is past.
    """
    known = {job.id: job for job in jobs}
    return Ground(
        room,
        known,
        {one.id: one for one in room.mechanics},
        {(shift.day, shift.name): shift for shift in room.shifts},
        {(shift.day, shift.name): at for at, shift in enumerate(room.shifts)},
        {truck: group.id for group in room.groups for truck in group.trucks},
        {
            job: (one.day, one.shift, one.mechanic)
            for one in published
            if one.day >= room.first
            for job in one.visit.jobs
            if job in known
        },
    )
