"""Makes a plan: visits, parts, a model of each, and a solver that is handed in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil, isfinite
from typing import Final

import msgspec

from dipmark.plan.apart import Apart, apart
from dipmark.plan.check import check
from dipmark.plan.fortnight import Fortnight, Placed
from dipmark.plan.group import visits
from dipmark.plan.jobs import Job
from dipmark.plan.model import model, pooled
from dipmark.plan.places import ground
from dipmark.plan.room import Room
from dipmark.plan.rows import Arrays, Floats
from dipmark.plan.turn import in_turn

Solve = Callable[[Arrays, float, Floats | None], tuple[Floats | None, float]]
"""Solves a model in some share of the time there is (0 to 1), from a first solution, where what is not a number is not
known: the values found, and a bound below which no solution costs."""


POOLED: Final = 0.2
"""Share of the time for the question which shift each visit is in."""

NEAR: Final = ((0, 0.02), (1, 0.08))
"""Then who does it: in that shift or so many before and after it, and shares of the time for that."""

ALL: Final = 0.7
"""Share of the time for all at once."""


def make(jobs: Sequence[Job], room: Room, solve: Solve, published: Sequence[Placed] = ()) -> Fortnight:
    """The cheapest plan that is found in the time there is.

    Args:
        jobs: all there are.
        room: what there is to do them with.
        solve: the solver.
        published: the plan people know of, if there is one.

    What the solver does not better in its time is planned as it would be by hand. `Fortnight.bound` holds for plans of
    the same visits.
    """
    about = ground(jobs, room, published)
    todo = visits(jobs, room, published)
    inside = {job for visit in todo for job in visit.jobs}
    outside = sum(about.left([job.id]).total for job in jobs if job.id not in inside)
    parts = apart(todo, about)
    solved = [_part(part, solve, (1 + len(part.visits)) / (len(parts) + len(todo))) for part in parts]
    placed = [one for own, _ in solved for one in own]
    done = {job for one in placed for job in one.visit.jobs}
    plan = Fortnight(
        tuple(sorted(placed, key=lambda one: (about.order[one.day, one.shift], one.mechanic, one.visit.jobs))),
        tuple(job.id for job in jobs if job.id not in done),
    )
    cost = check(plan, jobs, room, published).cost.total
    return msgspec.structs.replace(plan, cost=cost, bound=min(cost, outside + sum(bound for _, bound in solved)))


def _part(part: Apart, solve: Solve, share: float) -> tuple[tuple[Placed, ...], int]:
    """The plan of a part, and what no plan of it can cost less than.

    First which shift each visit is in, then who does it there, then all at once from where that left off.
    """
    hand = in_turn(part.visits, part.about, "cost")
    first = pooled(part.visits, part.about)
    values, bound = solve(first.arrays, share * POOLED, first.start(hand))
    below = _below(first.fixed, bound)
    start = hand
    if values is not None:
        whens = [(shift.day, shift.name) for shift in part.about.room.shifts]
        for width, some in NEAR:
            near = {
                one.visit: whens[max(0, at - width) : at + width + 1]
                for one in first.placed(values)
                for at in [part.about.order[one.day, one.shift]]
            }
            narrow = model(part.visits, part.about, near)
            found, _ = solve(narrow.arrays, share * some, narrow.start(start))
            start = start if found is None else narrow.placed(found)
    full = model(part.visits, part.about)
    values, bound = solve(full.arrays, share * ALL, full.start(start))
    return start if values is None else full.placed(values), max(below, _below(full.fixed, bound))


def _below(fixed: int, bound: float) -> int:
    """What nothing can cost less than; a solver's bound may be above the true one by crumbs, less than a mill."""
    return fixed + ceil(bound - 1e-3) if isfinite(bound) else 0
