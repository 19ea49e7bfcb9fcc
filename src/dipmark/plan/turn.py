"""Visits placed one after another, each where it may still stand: how a plan is made by hand."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from typing import Literal

from dipmark.plan.fortnight import Placed
from dipmark.plan.jobs import Visit
from dipmark.plan.places import Ground
from dipmark.plan.room import Need, Stretch

Held = Literal["minutes", "bay", "truck", "trucks"]
"""What keeps a visit from a stretch: minutes, bays, the truck being in another visit, the trucks of its kind."""


class Taken:
    """What a plan takes up so far."""

    def __init__(self, about: Ground) -> None:
        self.about = about
        self.spent: Counter[Stretch] = Counter()
        self.trucks: defaultdict[int, set[str]] = defaultdict(set)
        self.bays: defaultdict[tuple[int, str, str], set[str]] = defaultdict(set)
        self.groups = {group.id: group for group in about.room.groups}

    def add(self, visit: Visit, stretch: Stretch) -> None:
        """A visit stands there from now on."""
        at = self.about.order[stretch.day, stretch.shift]
        self.spent[stretch] += self.about.minutes(visit.jobs)
        self.trucks[at].add(visit.truck)
        for bay in self._bays_of(visit):
            self.bays[at, *bay].add(stretch.mechanic)

    def held(self, visit: Visit, stretch: Stretch) -> Held | None:
        """What keeps a visit from a stretch where it might be by itself; None: nothing.

        *Edge*: a truck out of service counts as free again only in the plan that is made, not here.
        """
        at = self.about.order[stretch.day, stretch.shift]
        if self.spent[stretch] + self.about.minutes(visit.jobs) > stretch.minutes + stretch.overtime:
            return "minutes"
        if visit.truck in self.trucks[at]:
            return "truck"
        shift = self.about.shifts[stretch.day, stretch.shift]
        for kind, place in self._bays_of(visit):
            there = sum(bay.count for bay in shift.bays if (bay.kind, bay.place) == (kind, place))
            if len(self.bays[at, kind, place] | {stretch.mechanic}) > there:
                return "bay"
        return "trucks" if any(self._spared(visit, at, need) for need in shift.needs) else None

    def more(self, visit: Visit, stretch: Stretch) -> int:
        """What overtime and trucks too few a visit would cost in a stretch beyond what stands there, in mills."""
        spent, minutes = self.spent[stretch], self.about.minutes(visit.jobs)
        beyond = max(0, spent + minutes - stretch.minutes) - max(0, spent - stretch.minutes)
        return 10 * self.about.mechanics[stretch.mechanic].overtime * beyond

    def _bays_of(self, visit: Visit) -> set[tuple[str, str]]:
        jobs = (self.about.jobs[job] for job in visit.jobs)
        return {(job.bay, job.place) for job in jobs if job.bay is not None}

    def _spared(self, visit: Visit, at: int, need: Need) -> bool:
        group = self.groups.get(need.group)
        if group is None or visit.truck not in group.trucks - group.standing:
            return False
        usable = group.trucks - group.standing
        return len(usable - self.trucks[at]) - 1 < min(need.trucks, len(usable))


def in_turn(visits: Sequence[Visit], about: Ground, by: Literal["day", "cost"]) -> tuple[Placed, ...]:
    """A plan made by taking the visits by the latest day of their most urgent job.

    Args:
        visits: to be placed; one for which nothing is left is not in the plan.
        about: jobs and room.
        by: the first stretch there is (earliest due first, as lists are worked off), or the one that costs least by
            what is known so far; by cost a visit is left out where that costs less.
    """
    taken, plan = Taken(about), []
    for visit in sorted(visits, key=lambda one: min(_urgency(about, job) for job in one.jobs)):
        best: tuple[int, int, str, Stretch] | None = None
        for stretch in about.room.stretches:
            cost = about.spot(visit.jobs, stretch)
            if cost is None or taken.held(visit, stretch):
                continue
            at = about.order[stretch.day, stretch.shift]
            costs = cost.total + taken.more(visit, stretch) if by == "cost" else 0
            best = min(best or (costs, at, stretch.mechanic, stretch), (costs, at, stretch.mechanic, stretch))
        if best and (by == "day" or best[0] <= about.left(visit.jobs).total):
            taken.add(visit, best[3])
            plan.append(Placed(visit, best[3].day, best[3].shift, best[3].mechanic))
    return tuple(plan)


def _urgency(about: Ground, job: str) -> tuple[bool, object, str]:
    one = about.jobs[job]
    return not one.standing, one.latest, one.id
