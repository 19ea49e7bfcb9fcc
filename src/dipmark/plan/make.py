"""Makes a plan: visits, parts, a model of each, and a solver that is handed in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil, isfinite

import msgspec

from dipmark.plan.apart import Apart, apart
from dipmark.plan.check import check
from dipmark.plan.fortnight import Fortnight, Placed
from dipmark.plan.group import visits
from dipmark.plan.jobs import Job
from dipmark.plan.model import model
from dipmark.plan.places import ground
from dipmark.plan.room import Room
from dipmark.plan.rows import Arrays, Floats
from dipmark.plan.turn import in_turn

Solve = Callable[[Arrays, float, Floats | None], tuple[Floats | None, float]]
"""Solves a model in some share of the time there is (0 to 1), from a first solution, where what is not a number is not
known: the values found, and a bound below which no solution costs."""


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
    """The plan of a part, and what no plan of it can cost less than."""
    its = model(part.visits, part.about)
    hand = in_turn(part.visits, part.about, "cost")
    values, bound = solve(its.arrays, share, its.start(hand))
    # The solver's bound may be above the true one by its crumbs, which are less than a mill.
    below = its.fixed + ceil(bound - 1e-3) if isfinite(bound) else 0
    return hand if values is None else its.placed(values), below
