"""The model: what the solver says is read back, and room that is short may be given."""

from __future__ import annotations

import numpy as np

from dipmark.plan.jobs import Visit
from dipmark.plan.model import build, model, spots_of
from dipmark.plan.places import ground
from dipmark.plan.room import Group, Need
from plan.workshop import at, day, job, room, solver


def test_what_the_solver_chose_is_read_back() -> None:
    jobs, its = [job("a", 1), job("b", 2)], room(3, minutes=75, overtime=0)
    made = model([Visit(one.truck, (one.id,)) for one in jobs], ground(jobs, its))
    values, bound = solver()(made.arrays, 1.0, None)
    assert values is not None
    assert made.placed(values) == (at("a", 1), at("b", 2))
    assert bound == 0


def test_a_plan_to_begin_with_says_where_each_visit_is_and_nothing_else() -> None:
    jobs, its = [job("a", 1), job("b", 5)], room(2)
    made = model([Visit(one.truck, (one.id,)) for one in jobs], ground(jobs, its))
    start = made.start([at("a", 1)])
    assert [start[one.number] for one in made.columns] == [0, 1, 0, 0]
    assert [start[one] for one in made.left] == [0, 1]
    assert int(np.isnan(start).sum()) == len(start) - 6


def test_trucks_too_few_that_no_visit_changes_are_paid_for_whatever_is_chosen() -> None:
    needs = [Need("all", 3, missing=70), Need("others", 1)]
    its = room(2, needs=needs, groups=(Group("all", frozenset({"T", "U"})), Group("idle", frozenset({"V"}))))
    assert model([], ground([], its)).fixed == 2 * 700


def test_the_least_that_has_to_be_given() -> None:
    jobs, its = [job("a", 0), job("b", 0)], room(1, minutes=75, overtime=10)
    about = ground(jobs, its)
    todo = [Visit(one.truck, (one.id,)) for one in jobs]
    made = build(todo, about, [dict.fromkeys(spots_of(one, about), 0) for one in todo], [10_000] * 2, "minutes")
    values, _ = solver()(made.arrays, 1.0, None)
    assert values is not None
    ((short, column),) = made.given
    assert (short.what, short.when, short.who, round(values[column])) == ("minutes", (day(0), "early"), "Ann", 65)
