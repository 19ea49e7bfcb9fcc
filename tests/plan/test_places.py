"""Where a job may stand, and what it costs there by itself."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from dipmark.plan.fortnight import Cost
from dipmark.plan.jobs import Part, Spread
from dipmark.plan.places import able, ground, left_out, on_day, window
from dipmark.plan.room import Group, Mechanic, Need, Stretch
from plan.workshop import at, day, job, room


def test_a_window_ends_with_the_plan_or_for_what_is_hard_with_its_latest_day() -> None:
    assert window(job("a", 2), room()) == (day(0), day(4))
    assert window(job("a", 2, hard=True), room()) == (day(0), day(2))
    assert window(job("a", 2, opens=day(3), hard=True), room()) is None
    assert window(job("a", 2, parts=(Part("filter", None),)), room()) is None


def test_what_should_have_been_done_before_the_plan_may_be_done_on_any_day_of_it() -> None:
    assert window(job("a", -1, hard=True), room()) == (day(0), day(4))
    assert window(job("a", 0, hard=True), room()) == (day(0), day(0))


@pytest.mark.parametrize(
    ("other", "can"),
    [
        ({}, True),
        ({"skills": frozenset({"gas"})}, True),
        ({"skills": frozenset({"gas", "chains"})}, False),
        ({"permits": frozenset({"refrigerant"})}, False),
        ({"firm": "Outside"}, False),
        ({"place": "other yard"}, False),
    ],
)
def test_who_is_able(other: dict[str, Any], *, can: bool) -> None:
    assert able(Mechanic("Ann", frozenset({"gas"})), job("a", **other)) == can


def test_the_three_days_weigh_3_4_3() -> None:
    """Days late by the early, middle and late one: 4, 2, 0 (grace 1: 3, 1, 0); early by the late one: 1.

    Swanson's rule, 30-40-30 (from memory): 3 x 3 + 4 x 1 = 13 tenths of a day late, 3 x 1 early.
    """
    one = job("a", due=Spread(day(0), day(2), day(5)), grace=1, late_a_day=1_000, early_a_day=100)
    assert on_day(one, day(4), room()) == Cost(late=13_000, early=300)


def test_a_truck_that_stands_costs_by_the_day() -> None:
    one = job("a", 3, standing=True, standing_a_day=500, early_a_day=0)
    assert on_day(one, day(3), room()) == Cost(standing=15_000)


def test_left_out_it_is_done_the_day_after_and_what_belonged_in_costs_more() -> None:
    one = job("a", 4, left=900)
    assert left_out(one, room()) == Cost(late=10_000, left=9_000)
    assert left_out(job("a", 5), room()) == Cost()


def test_a_visit_in_a_stretch() -> None:
    needs = [Need("all", busy=20), Need("others", busy=7)]
    its = room(needs=needs, set_up=15, move=40, groups=(Group("all", frozenset({"T"})),))
    a, b = job("a", 2, truck="T"), job("b", 3, truck="T")
    about = ground([a, b], its, [at("a", 1, truck="T"), at("b", -1, truck="T"), at("gone", 1)])
    assert about.was == {"a": (day(1), "early", "Ann")}
    assert about.minutes(["a", "b"]) == 135
    assert about.spot(["a", "b"], its.stretches[2]) == Cost(early=1_000, busy=27_000, moved=400)
    assert about.spot(["a"], its.stretches[1]) == Cost(early=1_000, busy=15_000)
    assert about.left(["a"]) == left_out(a, its) + Cost(moved=400)
    standing = ground([msgspec.structs.replace(a, standing=True)], its)
    assert standing.spot(["a"], its.stretches[2]) == Cost()


def test_where_a_visit_cannot_be() -> None:
    its = room(minutes=100, overtime=20, set_up=15)
    about = ground(
        [job("a", 4, minutes=105), job("b", 4, minutes=106), job("c", 4, opens=day(2)), job("d", firm="X")], its
    )
    assert about.spot(["a"], its.stretches[0]) is not None
    assert about.spot(["b"], its.stretches[0]) is None
    assert about.spot(["c"], its.stretches[1]) is None
    assert about.spot(["d"], its.stretches[1]) is None
    assert about.spot(["a"], Stretch("Ann", day(0), "night", 480)) is None
