"""Plans made by hand: earliest due first, and the cheapest place in turn."""

from __future__ import annotations

import pytest

from dipmark.plan.jobs import Visit
from dipmark.plan.places import ground
from dipmark.plan.room import Bay, Group, Mechanic, Need
from dipmark.plan.turn import Taken, in_turn
from plan.workshop import at, by_hand, day, fortnight, job, room, small


def test_earliest_due_first_takes_the_first_place_and_cost_the_best() -> None:
    jobs, its = [job("a", 3), job("b", 2)], room(minutes=75, overtime=0)
    todo = [Visit(one.truck, (one.id,)) for one in jobs]
    assert in_turn(todo, ground(jobs, its), "day") == (at("b", 0), at("a", 1))
    assert in_turn(todo, ground(jobs, its), "cost") == (at("b", 2), at("a", 3))


def test_a_truck_that_stands_comes_first() -> None:
    jobs, its = [job("a", 2), job("b", 3, standing=True)], room(minutes=75, overtime=0)
    todo = [Visit(one.truck, (one.id,)) for one in jobs]
    assert in_turn(todo, ground(jobs, its), "day") == (at("b", 0), at("a", 1))


def test_what_costs_more_than_leaving_it_out_is_left_out_by_cost_only() -> None:
    jobs = [job("a", 9, opens=day(0), early_a_day=900)]
    todo = [Visit("truck of a", ("a",))]
    assert in_turn(todo, ground(jobs, room()), "cost") == ()
    assert in_turn(todo, ground(jobs, room()), "day") == (at("a", 0),)


def test_what_keeps_a_visit_from_a_stretch() -> None:
    people = (Mechanic("Ann", overtime=50), Mechanic("Bob"))
    jobs = [job("a", truck="T"), job("b", truck="T"), job("p", truck="U", bay="pit"), job("q", truck="V", bay="pit")]
    needs = [Need("all", 1), Need("unknown", 9)]
    its = room(
        1, people, minutes=75, overtime=0, bays=[Bay("pit", 1)], needs=needs, groups=(Group("all", frozenset("UVW")),)
    )
    ann, bob = its.stretches
    taken = Taken(ground(jobs, its))
    visits = {one.id: Visit(one.truck, (one.id,)) for one in jobs}
    assert [taken.held(visits[name], ann) for name in "abpq"] == [None] * 4
    taken.add(visits["a"], ann)
    assert (taken.held(visits["b"], ann), taken.held(visits["b"], bob)) == ("minutes", "truck")
    taken = Taken(ground(jobs, its))
    taken.add(visits["p"], ann)
    assert taken.held(visits["q"], bob) == "bay"
    fewer = room(1, people, bays=[Bay("pit", 2)], needs=[Need("all", 2)], groups=(Group("all", frozenset("UVW")),))
    taken = Taken(ground(jobs, fewer))
    taken.add(visits["p"], fewer.stretches[0])
    assert taken.held(visits["q"], fewer.stretches[1]) == "trucks"


def test_minutes_beyond_a_mechanics_own_cost_overtime() -> None:
    jobs, its = [job("a", minutes=185), job("b", minutes=5)], room(1)
    taken = Taken(ground(jobs, its))
    first, second = Visit("truck of a", ("a",)), Visit("truck of b", ("b",))
    assert taken.more(first, its.stretches[0]) == 0
    taken.add(first, its.stretches[0])
    assert taken.more(second, its.stretches[0]) == 10 * 50 * 20


@pytest.mark.parametrize("seed", range(6))
def test_whatever_is_made_by_hand_can_be(seed: int) -> None:
    from dipmark.plan.group import visits

    for jobs, its in (small(seed)[:2], fortnight(seed, services=60)):
        for by in ("day", "cost"):
            assert by_hand(jobs, its, in_turn(visits(jobs, its), ground(jobs, its), by)) >= 0
