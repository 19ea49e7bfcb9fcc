"""Plans: as cheap as any there is, as the checker reckons them, and after a change only what must move has moved."""

from __future__ import annotations

from math import inf

import msgspec
import pytest

from dipmark.plan.check import check, moved
from dipmark.plan.fortnight import Fortnight
from dipmark.plan.group import visits
from dipmark.plan.jobs import Part
from dipmark.plan.make import make
from dipmark.plan.places import ground
from dipmark.plan.room import Group, Mechanic, Need
from dipmark.plan.rows import Arrays, Floats
from dipmark.plan.turn import in_turn
from plan.workshop import all_plans, at, by_hand, day, fortnight, job, room, small, solver, without_first


@pytest.mark.parametrize("seed", range(12))
def test_no_plan_of_a_small_workshop_costs_less(seed: int) -> None:
    jobs, its, published = small(seed)
    plan = make(jobs, its, solver(), published)
    told = check(plan, jobs, its, published)
    assert told.complaints == ()
    assert plan.cost == plan.bound == min(cost for cost, _ in all_plans(jobs, its, published))


@pytest.mark.parametrize("seed", [102, 103])
def test_a_fortnight_is_near_the_best_and_cheaper_than_by_list(seed: int) -> None:
    """All cases, and what they reach: `bench/prove_plan.py`."""
    jobs, its = fortnight(seed, services=100, trucks=100)
    plan = make(jobs, its, solver(12, gap=0.003))
    told = check(plan, jobs, its)
    assert told.complaints == ()
    assert plan.gap is not None
    assert plan.gap <= 0.03
    assert plan.cost < 0.9 * by_hand(jobs, its, in_turn(visits(jobs, its), ground(jobs, its), "day"))


def test_nothing_to_do() -> None:
    assert make([], room(), solver()) == Fortnight((), (), 0, 0)


def test_a_job_that_no_day_is_there_for_is_left_out_by_name_and_paid_for() -> None:
    jobs = [job("a", 4, left=900), job("b", 2, opens=day(3), hard=True, left=900)]
    plan = make(jobs, room(), solver())
    assert (plan.placed, plan.left) == ((at("a", 4),), ("b",))
    assert plan.cost == check(plan, jobs, room()).cost.total == 9_000 + 3 * 10_000


def test_without_a_solution_the_plan_is_as_by_hand() -> None:
    def slow(_its: Arrays, _share: float, _first: Floats | None) -> tuple[Floats | None, float]:
        return None, -inf

    jobs, its = fortnight(5, services=30)
    plan = make(jobs, its, slow)
    assert plan.cost == by_hand(jobs, its, in_turn(visits(jobs, its), ground(jobs, its), "cost"))
    assert plan.bound is not None
    assert 0 < plan.bound < plan.cost


@pytest.mark.parametrize("seed", range(8))
def test_when_a_mechanic_falls_ill_only_what_must_move_has_moved(seed: int) -> None:
    """The fewest moves there are, by trying every plan, where a move costs more than anything else."""
    jobs, its, _ = small(seed)
    before = make(jobs, its, solver())
    if not before.placed:
        return
    ill = msgspec.structs.replace(without_first(before, its)[0], move=10_000_000)
    after = make(jobs, ill, solver(), before.placed)
    by_id = {one.id: one for one in jobs}
    fewest = min(len(moved(plan, before.placed, by_id, ill)) for _, plan in all_plans(jobs, ill, before.placed))
    assert len(moved(after, before.placed, by_id, ill)) == fewest


def test_a_plan_that_people_know_stays_unless_it_pays() -> None:
    jobs, its = [job("a", 3)], room()
    published = [at("a", 2)]
    assert make(jobs, msgspec.structs.replace(its, move=101), solver(), published).placed == (at("a", 2),)
    assert make(jobs, msgspec.structs.replace(its, move=99), solver(), published).placed == (at("a", 3),)


def test_a_truck_out_of_service_comes_first() -> None:
    needs = [Need("all", 2, missing=20_000)]
    its = room(mechanics=[Mechanic("Ann")], minutes=75, overtime=0, needs=needs)
    its = msgspec.structs.replace(its, groups=(Group("all", frozenset({"T", "U"}), frozenset({"T"})),))
    jobs = [job("service", 0), job("fault", 5, truck="T", work="fault", standing=True, standing_a_day=5_000)]
    plan = make(jobs, its, solver())
    assert plan.placed == (at("fault", 0, truck="T"), at("service", 1))


def test_a_truck_that_waits_for_a_part_nobody_knows_of_stands_for_the_whole_plan() -> None:
    its = room(2, needs=[Need("all", 1, missing=100)], groups=(Group("all", frozenset("T"), frozenset("T")),))
    jobs = [
        job(name, 0, truck="T", standing=True, parts=parts) for name, parts in (("a", ()), ("b", (Part("x", None),)))
    ]
    plan = make(jobs, its, solver())
    assert (plan.placed, plan.left) == ((at("a", 0, truck="T"),), ("b",))
    assert check(plan, jobs, its).cost.missing == 2 * 1_000
    assert plan.bound == plan.cost
