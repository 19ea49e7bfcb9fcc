"""The model of a plan: which visit goes into which stretch, and what is then left, late, missing or overtime."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from math import inf
from typing import Literal

import msgspec
import numpy as np

from dipmark.plan.fortnight import Placed
from dipmark.plan.jobs import Visit
from dipmark.plan.places import Ground
from dipmark.plan.room import Mechanic, Need, Stretch
from dipmark.plan.rows import Arrays, Floats, Rows

When = tuple[date, str]
"""A shift: its day and its name."""

What = Literal["minutes", "bay", "trucks", "days"]
"""What may be short; days are not the room's, but a job's."""


class Short(msgspec.Struct, frozen=True):
    """Where room may be short.

    Args:
        what: minutes of a stretch, a bay of a shift, or trucks of a group in a shift.
        when: the shift.
        who: the mechanic, the kind of bay or the group.
        place: the yard of the bay.
    """

    what: What
    when: When
    who: str
    place: str = ""


class Column(msgspec.Struct, frozen=True):
    """A place that a visit may have.

    Args:
        visit: its number.
        stretch: the place.
        number: of the column.
    """

    visit: int
    stretch: Stretch
    number: int


class Model(msgspec.Struct, frozen=True, eq=False):
    """A model, and how to read what the solver says.

    Args:
        visits: by number.
        columns: of the places.
        left: the column of each visit for being left out.
        given: where room is short, and the column of what may be given there.
        fixed: what is paid whatever is chosen, in mills.
        arrays: for the solver.
    """

    visits: tuple[Visit, ...]
    columns: tuple[Column, ...]
    left: tuple[int, ...]
    given: tuple[tuple[Short, int], ...]
    fixed: int
    arrays: Arrays

    def placed(self, values: Floats) -> tuple[Placed, ...]:
        """Who does what when, as the solver chose, in the order of time."""
        chosen = [one for one in self.columns if values[one.number] > 0.5]
        found = (
            Placed(self.visits[one.visit], one.stretch.day, one.stretch.shift, one.stretch.mechanic) for one in chosen
        )
        return tuple(found)

    def start(self, placed: Sequence[Placed]) -> Floats:
        """A plan as the solver takes it to begin with; what follows from the places it finds itself."""
        where = {one.visit.jobs: (one.mechanic, one.day, one.shift) for one in placed}
        values = np.full(len(self.arrays.cost), np.nan)
        for one in self.columns:
            key = (one.stretch.mechanic, one.stretch.day, one.stretch.shift)
            values[one.number] = where.get(self.visits[one.visit].jobs) == key
        for visit, column in zip(self.visits, self.left, strict=True):
            values[column] = visit.jobs not in where
        return values


class _Build:
    """A model being put together."""

    def __init__(self, visits: Sequence[Visit], about: Ground, give: What | None) -> None:
        self.rows = Rows()
        self.visits = tuple(visits)
        self.about = about
        self.give = give
        self.columns: list[Column] = []
        self.left: list[int] = []
        self.given: list[tuple[Short, int]] = []
        self.fixed = 0
        self.minutes = [about.minutes(visit.jobs) for visit in visits]
        self.in_stretch: dict[Stretch, list[Column]] = defaultdict(list)
        self.in_shift: dict[When, list[Column]] = defaultdict(list)

    def model(self) -> Model:
        """As it stands."""
        return Model(
            self.visits, tuple(self.columns), tuple(self.left), tuple(self.given), self.fixed, self.rows.arrays()
        )

    def places(self, spots: Sequence[Mapping[Stretch, int]], left: Sequence[int]) -> None:
        """Each visit in one of its places, or left out."""
        for number, (mine, out) in enumerate(zip(spots, left, strict=True)):
            own = [Column(number, stretch, self.rows.yes_or_no(cost)) for stretch, cost in mine.items()]
            self.left.append(self.rows.yes_or_no(out))
            self.rows.row([(column.number, 1) for column in own] + [(self.left[-1], 1)], 1, 1)
            self.columns += own
            for column in own:
                self.in_stretch[column.stretch].append(column)
                self.in_shift[column.stretch.day, column.stretch.shift].append(column)

    def may_give(self, short: Short) -> list[tuple[int, int]]:
        """What a row gets where room is short, if such room may be given: each of it costs one."""
        if short.what != self.give:
            return []
        self.given.append((short, self.rows.amount(1, inf)))
        return [(self.given[-1][1], -1)]

    def stretches(self) -> None:
        """No more minutes than there are, overtime included, which costs."""
        for stretch, columns in self.in_stretch.items():
            entries = [(one.number, self.minutes[one.visit]) for one in columns]
            if stretch.overtime:
                rate = 0 if self.give else 10 * self.about.mechanics[stretch.mechanic].overtime
                entries.append((self.rows.amount(rate, stretch.overtime), -1))
            short = Short("minutes", (stretch.day, stretch.shift), stretch.mechanic)
            self.rows.row([*entries, *self.may_give(short)], most=stretch.minutes)

    def bays(self) -> None:
        """A mechanic who needs a bay has it for the whole shift; in a shift there are so many."""
        for when, columns in self.in_shift.items():
            using: dict[tuple[str, str], dict[Stretch, list[Column]]] = defaultdict(lambda: defaultdict(list))
            for one in columns:
                for kind, place in self._bays_of(one.visit):
                    using[kind, place][one.stretch].append(one)
            for (kind, place), by_stretch in using.items():
                bays = self.about.shifts[when].bays
                there = sum(bay.count for bay in bays if (bay.kind, bay.place) == (kind, place))
                if there < len(by_stretch):
                    has = [self._has_bay(own) for own in by_stretch.values()]
                    given = self.may_give(Short("bay", when, kind, place))
                    self.rows.row([*((one, 1) for one in has), *given], most=there)

    def _has_bay(self, columns: Sequence[Column]) -> int:
        has = self.rows.yes_or_no(0)
        for one in columns:
            self.rows.row([(one.number, 1), (has, -1)], most=0)
        return has

    def _bays_of(self, visit: int) -> set[tuple[str, str]]:
        jobs = (self.about.jobs[job] for job in self.visits[visit].jobs)
        return {(job.bay, job.place) for job in jobs if job.bay is not None}

    def pools(self, pools: Mapping[When, Sequence[Stretch]], able: Sequence[Mapping[When, frozenset[Stretch]]]) -> None:
        """What no shift can hold, whoever does what: of visits that only some can do, and of those that need a bay."""
        for when, columns in self.in_shift.items():
            only: dict[frozenset[Stretch], list[Column]] = defaultdict(list)
            bays: dict[tuple[str, str], list[Column]] = defaultdict(list)
            for one in columns:
                only[able[one.visit][when]].append(one)
                for bay in self._bays_of(one.visit):
                    bays[bay].append(one)
            for who in only:
                if len(who) < len(pools[when]):
                    inside = [one for some, own in only.items() if some <= who for one in own]
                    self._no_more(inside, sum(one.minutes + one.overtime for one in who))
            for (kind, place), own in bays.items():
                there = sum(bay.count for bay in self.about.shifts[when].bays if (bay.kind, bay.place) == (kind, place))
                longest = sorted((one.minutes + one.overtime for one in pools[when]), reverse=True)
                self._no_more(own, sum(longest[:there]))

    def _no_more(self, columns: Sequence[Column], minutes: int) -> None:
        self.rows.row([(one.number, self.minutes[one.visit]) for one in columns], most=minutes)

    def one_place(self) -> None:
        """A truck is in one visit at a time."""
        for columns in self.in_shift.values():
            by_truck: dict[str, list[Column]] = defaultdict(list)
            for one in columns:
                by_truck[self.visits[one.visit].truck].append(one)
            for own in by_truck.values():
                if len({one.visit for one in own}) > 1:
                    self.rows.row([(one.number, 1) for one in own], most=1)

    def fleet(self) -> None:
        """So many trucks of a group are free in each shift, or as many as are free now if those are fewer."""
        for group in self.about.room.groups:
            back = _Back(self, group.standing)
            for shift in self.about.room.shifts:
                need = _of(shift.needs, group.id)
                when = (shift.day, shift.name)
                inside = [one for one in self.in_shift[when] if self.visits[one.visit].truck in group.trucks]
                usable = len(group.trucks - group.standing)
                if need is None or not (inside or group.standing):
                    self.fixed += 10 * need.missing * max(0, need.trucks - usable) if need else 0
                    continue
                out = [(one.number, 1) for one in inside if self.visits[one.visit].truck not in group.standing]
                again = [(one, -1) for one in back.free(when, inside)]
                entries = [*out, *again]
                if usable < need.trucks:
                    missing = 0 if self.give else 10 * need.missing
                    entries.append((self.rows.amount(missing, need.trucks - usable), -1))
                given = self.may_give(Short("trucks", when, group.id))
                self.rows.row([*entries, *given], most=usable - need.trucks)


class _Back:
    """Trucks out of service that are free again once the last job they stand for is done in an earlier shift."""

    def __init__(self, build: _Build, standing: frozenset[str]) -> None:
        self.build = build
        waiting = {
            truck: {job.id for job in build.about.jobs.values() if job.truck == truck and job.standing}
            for truck in sorted(standing)
        }
        holds = {truck: _holding(build.visits, jobs) for truck, jobs in waiting.items()}
        self.visits = {truck: found for truck, found in holds.items() if found}

    def free(self, when: When, inside: Sequence[Column]) -> Iterator[int]:
        """For each such truck a column that may be 1 in a shift where it is free."""
        order, rows = self.build.about.order, self.build.rows
        for truck, holding in self.visits.items():
            free = rows.amount(0, 1)
            for visit in holding:
                done = [
                    (one.number, -1)
                    for one in self.build.columns
                    if one.visit == visit and order[one.stretch.day, one.stretch.shift] < order[when]
                ]
                rows.row([(free, 1), *done], most=0)
            here = [(one.number, 1) for one in inside if self.build.visits[one.visit].truck == truck]
            rows.row([(free, 1), *here], most=1)
            yield free


def _holding(visits: Sequence[Visit], jobs: set[str]) -> set[int]:
    """The visits that hold these jobs; none where some job is in none, for then the truck stands for good."""
    if not jobs <= {job for visit in visits for job in visit.jobs}:
        return set()
    return {number for number, visit in enumerate(visits) if jobs & set(visit.jobs)}


def _of(needs: Sequence[Need], group: str) -> Need | None:
    return next((need for need in needs if need.group == group), None)


def model(visits: Sequence[Visit], about: Ground, near: Mapping[Visit, Sequence[When]] | None = None) -> Model:
    """The model of a plan.

    Args:
        visits: to be placed or left out.
        about: jobs and room.
        near: each in these shifts only, what is not in it in any; None: all in any.
    """
    spots = [spots_of(visit, about) for visit in visits]
    if near is not None:
        spots = [
            {one: cost for one, cost in own.items() if visit not in near or (one.day, one.shift) in near[visit]}
            for visit, own in zip(visits, spots, strict=True)
        ]
    return build(visits, about, spots, [about.left(visit.jobs).total for visit in visits])


def spots_of(visit: Visit, about: Ground) -> dict[Stretch, int]:
    """The places a visit may have, each with what it costs there by itself, in mills."""
    found = ((stretch, about.spot(visit.jobs, stretch)) for stretch in about.room.stretches)
    return {stretch: cost.total for stretch, cost in found if cost is not None}


def pooled(visits: Sequence[Visit], about: Ground) -> Model:
    """The model of which shift each visit is in, whoever does it then: no plan costs less than its best.

    Args:
        visits: to be placed or left out.
        about: jobs and room.

    All who work in a shift are one, with all their minutes, at the overtime of the cheapest. What only some can do has
    to fit into their minutes, what needs a bay into those of as many as there are bays.
    """
    pools: dict[When, list[Stretch]] = defaultdict(list)
    for one in about.room.stretches:
        pools[one.day, one.shift].append(one)
    pool = {when: _pool(when, own) for when, own in pools.items()}
    rates = {
        pool[when].mechanic: min(about.mechanics[one.mechanic].overtime for one in own) for when, own in pools.items()
    }
    together = msgspec.structs.replace(
        about, mechanics={name: Mechanic(name, overtime=rate) for name, rate in rates.items()}
    )
    spots: list[dict[Stretch, int]] = []
    able: list[dict[When, frozenset[Stretch]]] = []
    for visit in visits:
        cost: dict[Stretch, int] = {}
        who: dict[When, frozenset[Stretch]] = {}
        for one, own in spots_of(visit, about).items():
            when = one.day, one.shift
            cost[pool[when]] = min(own, cost.get(pool[when], own))
            who[when] = who.get(when, frozenset()) | {one}
        spots.append(cost)
        able.append(who)
    made = _Build(visits, together, None)
    made.places(spots, [about.left(visit.jobs).total for visit in visits])
    made.stretches()
    made.pools(pools, able)
    made.one_place()
    made.fleet()
    return made.model()


def _pool(when: When, own: Sequence[Stretch]) -> Stretch:
    day, shift = when
    minutes, overtime = sum(one.minutes for one in own), sum(one.overtime for one in own)
    return Stretch(f"all on {day}, {shift}", day, shift, minutes, overtime)


def build(
    visits: Sequence[Visit],
    about: Ground,
    spots: Sequence[Mapping[Stretch, int]],
    left: Sequence[int],
    give: What | None = None,
) -> Model:
    """The model of a plan whose places and costs are told.

    Args:
        visits: to be placed or left out.
        about: jobs and room.
        spots: for each visit its places with their costs.
        left: for each visit the cost of leaving it out.
        give: what may be given where room is short, each of it at a cost of one; overtime and missing trucks then cost
            nothing.
    """
    made = _Build(visits, about, give)
    made.places(spots, left)
    made.stretches()
    made.bays()
    made.one_place()
    made.fleet()
    return made.model()
