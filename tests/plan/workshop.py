"""A small workshop, seeded larger ones, and the plan by trying everything."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import product
from typing import Any, Final

import msgspec
import numpy as np

from dipmark.adapters.solver import solve
from dipmark.plan.check import check
from dipmark.plan.fortnight import Fortnight, Placed
from dipmark.plan.group import visits
from dipmark.plan.jobs import Job, Spread, Visit
from dipmark.plan.make import Solve
from dipmark.plan.room import Bay, Group, Mechanic, Need, Room, Shift, Stretch
from dipmark.plan.rows import Arrays, Floats

MONDAY: Final = date(2025, 3, 3)


def day(at: int) -> date:
    """Some days after the first."""
    return MONDAY + timedelta(days=at)


def job(name: str, about: int = 5, **other: Any) -> Job:
    """A service of an hour, due on a day; it may be done a week before."""
    fields: dict[str, Any] = {
        "id": name,
        "truck": f"truck of {name}",
        "work": "service",
        "subject": "8h",
        "minutes": 60,
        "due": Spread.on(day(about)),
        "opens": day(about - 7),
        "late_a_day": 1_000,
        "early_a_day": 100,
    }
    return Job(**(fields | other))


def room(
    days: int = 5,
    mechanics: Sequence[Mechanic] = (Mechanic("Ann", overtime=50),),
    minutes: int = 200,
    overtime: int = 30,
    bays: Sequence[Bay] = (),
    needs: Sequence[Need] = (),
    **other: Any,
) -> Room:
    """One shift a day, every mechanic in each."""
    return Room(
        first=MONDAY,
        days=days,
        shifts=tuple(Shift(day(at), "early", tuple(bays), tuple(needs)) for at in range(days)),
        stretches=tuple(
            Stretch(one.id, day(at), "early", minutes, overtime) for at in range(days) for one in mechanics
        ),
        mechanics=tuple(mechanics),
        **other,
    )


def at(name: str, when: int, who: str = "Ann", truck: str | None = None) -> Placed:
    """A visit of one job in its place."""
    return Placed(Visit(truck or f"truck of {name}", (name,)), day(when), "early", who)


def solver(seconds: float = 30.0, gap: float = 0.0) -> Solve:
    """HiGHS, for so long."""

    def run(its: Arrays, share: float, first: Floats | None) -> tuple[Floats | None, float]:
        told = solve(its, seconds=seconds * share, gap=gap, first=first)
        return told.values, told.bound

    return run


def all_plans(jobs: Sequence[Job], its: Room, published: Sequence[Placed] = ()) -> Iterator[tuple[int, Fortnight]]:
    """Every plan of the same visits that can be, with its cost in mills by the checker."""
    todo = visits(jobs, its, published)
    for places in product([None, *its.stretches], repeat=len(todo)):
        placed = tuple(
            Placed(visit, one.day, one.shift, one.mechanic) for visit, one in zip(todo, places, strict=True) if one
        )
        done = {name for one in placed for name in one.visit.jobs}
        plan = Fortnight(placed, tuple(one.id for one in jobs if one.id not in done))
        found = check(plan, jobs, its, published)
        if not found.complaints:
            yield found.cost.total, plan


def by_hand(jobs: Sequence[Job], its: Room, placed: tuple[Placed, ...]) -> int:
    """What a plan costs that was made some other way, by the checker, which must not complain."""
    done = {name for one in placed for name in one.visit.jobs}
    found = check(Fortnight(placed, tuple(one.id for one in jobs if one.id not in done)), jobs, its)
    assert found.complaints == ()
    return found.cost.total


def small(seed: int) -> tuple[list[Job], Room, list[Placed]]:
    """A case that can be tried through: two mechanics, three days, five jobs, a fleet, a bay, some of it published."""
    rng = np.random.default_rng(seed)
    people = (
        Mechanic("Ann", frozenset({"gas"}), overtime=int(rng.integers(0, 80))),
        Mechanic("Bob", permits=frozenset({"refrigerant"}), overtime=int(rng.integers(0, 80))),
    )
    trucks = [f"truck {number}" for number in range(4)]
    stands = frozenset({"truck 0"}) if rng.random() < 0.5 else frozenset()
    jobs = [
        job(
            f"job {number}",
            int(rng.integers(-1, 5)),
            truck=str(rng.choice(trucks)),
            minutes=int(rng.integers(20, 150)),
            skills=frozenset({"gas"}) if rng.random() < 0.2 else frozenset(),
            permits=frozenset({"refrigerant"}) if rng.random() < 0.2 else frozenset(),
            bay="pit" if rng.random() < 0.5 else None,
            grace=int(rng.integers(0, 2)),
            hard=bool(rng.random() < 0.2),
            late_a_day=int(rng.integers(100, 5_000)),
            early_a_day=int(rng.integers(10, 300)),
        )
        for number in range(5)
    ]
    jobs = [
        msgspec.structs.replace(one, standing=True, standing_a_day=3_000)
        if one.truck in stands and rng.random() < 0.7
        else one
        for one in jobs
    ]
    needs = [Need("counterbalance", int(rng.integers(0, 4)), missing=int(rng.integers(0, 9_000)), busy=20)]
    its = room(
        3,
        people,
        minutes=int(rng.integers(120, 260)),
        bays=[Bay("pit", 1)],
        needs=needs if rng.random() < 0.7 else [],
        groups=(Group("counterbalance", frozenset(trucks), stands),),
    )
    published = [at(one.id, int(rng.integers(0, 3)), str(rng.choice(["Ann", "Bob"])), one.truck) for one in jobs[:2]]
    return jobs, its, published if rng.random() < 0.5 else []


def fortnight(seed: int, services: int = 200, trucks: int = 200, load: float = 0.8) -> tuple[list[Job], Room]:
    """Two weeks of a yard: three mechanics, two pits, services that take a share of their time.

    Invented, but for its size.
    """
    rng = np.random.default_rng(seed)
    people = (
        Mechanic("Ann", frozenset({"gas"}), overtime=80),
        Mechanic("Bob", frozenset({"high-voltage"}), overtime=80),
        Mechanic("Cem", frozenset({"gas", "high-voltage"}), overtime=80),
    )
    groups = tuple(
        Group(f"group {number}", frozenset(f"truck {one}" for one in range(number, trucks, 4))) for number in range(4)
    )
    shifts, stretches = [], []
    for when in (day(number) for number in range(14) if number % 7 < 5):
        needs = tuple(Need(one.id, max(0, len(one.trucks) - 6), busy=10) for one in groups)
        shifts.append(Shift(when, "early", (Bay("pit", 2),), needs))
        stretches += [Stretch(one.id, when, "early", 480, 60) for one in people]
    mean = load * sum(one.minutes for one in stretches) / services - 11  # setting up, of two services in three
    jobs = []
    for number in range(services):
        about, doubt, kind = int(rng.integers(-2, 15)), int(rng.integers(0, 5)), rng.random()
        jobs.append(
            Job(
                id=f"job {number}",
                truck=f"truck {rng.integers(trucks)}",
                work="service",
                subject="8h",
                minutes=int(np.clip(rng.gamma(2, mean / 2), 10, 300)),
                due=Spread(day(about - doubt), day(about), day(about + 2 * doubt)),
                opens=day(about - 7),
                grace=int(rng.integers(0, 3)),
                hard=bool(rng.random() < 0.1) and about - doubt > 1,
                skills=frozenset({"gas"} if kind < 0.2 else {"high-voltage"} if kind < 0.3 else ()),
                bay="pit" if rng.random() < 0.4 else None,
                late_a_day=int(rng.integers(500, 5_000)),
                early_a_day=int(rng.integers(50, 600)),
            )
        )
    return jobs, Room(
        first=MONDAY,
        shifts=tuple(shifts),
        stretches=tuple(stretches),
        mechanics=people,
        groups=groups,
    )


def without_first(plan: Fortnight, its: Room) -> tuple[Room, int]:
    """The room when the mechanic of the first visit is away that day, and how many jobs he had then."""
    first = plan.placed[0]
    away = (first.mechanic, first.day)
    stretches = tuple(one for one in its.stretches if (one.mechanic, one.day) != away)
    his = sum(len(one.visit.jobs) for one in plan.placed if (one.mechanic, one.day) == away)
    return msgspec.structs.replace(its, stretches=stretches), his
