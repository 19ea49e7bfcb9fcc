"""What the checker finds in a plan, and what it says a plan costs."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from dipmark.plan.check import Checked, check
from dipmark.plan.fortnight import Cost, Fortnight, Placed
from dipmark.plan.jobs import Part, Spread, Visit
from dipmark.plan.room import Bay, Group, Mechanic, Need, Room
from plan.workshop import at, day, job, room

PEOPLE = (Mechanic("Ann", overtime=50), Mechanic("Bob", frozenset({"gas"}), frozenset({"refrigerant"})))


def found(*placed: Placed, left: Any = (), its: Any = None, **jobs: dict[str, Any]) -> Checked:
    made = [job(name, **other) for name, other in jobs.items()]
    return check(Fortnight(placed, left), made, its or room(mechanics=PEOPLE))


def said(told: Checked) -> list[tuple[str, str]]:
    return [(one.code, one.sentence.read()) for one in told.complaints]


def test_a_plan_that_can_be() -> None:
    assert said(found(at("a", 1), left=("b",), a={}, b={})) == []


def test_each_job_once() -> None:
    told = found(at("a", 1), at("a", 2), at("x", 1), a={}, b={})
    assert said(told) == [
        ("twice", "a: planned 2 times"),
        ("unknown", "x: there is no such job"),
        ("forgotten", "b: neither planned nor left out"),
    ]
    assert [one.jobs for one in told.complaints] == [("a",), ("x",), ("b",)]


def test_a_visit_is_of_one_truck_in_one_yard() -> None:
    both = Placed(Visit("truck of a", ("a", "b")), day(1), "early", "Ann")
    none = Placed(Visit("T", ()), day(1), "early", "Ann")
    told = found(both, none, a={}, b={"place": "south"})
    assert said(told) == [
        ("other-truck", "b: is a job of truck of b"),
        ("other-yard", "truck of a: jobs in different yards in one visit"),
        ("not-there", "Ann does not work in south"),
        ("empty", "T: a visit without a job"),
    ]


@pytest.mark.parametrize(
    ("placed", "fields", "complaint"),
    [
        (at("a", 9), {}, ("no-stretch", "Ann does not work on 2025-03-12, early")),
        (at("a", 1, "Eve"), {}, ("no-stretch", "Eve does not work on 2025-03-04, early")),
        (at("a", 1), {"skills": frozenset({"gas"})}, ("unskilled", "Ann has not learnt gas")),
        (at("a", 1), {"permits": frozenset({"refrigerant"})}, ("unpermitted", "Ann is not allowed refrigerant")),
        (at("a", 1), {"firm": "Outside"}, ("not-ours", "a goes to Outside, not to Ann")),
        (at("a", 1), {"opens": day(2)}, ("too-early", "a: on 2025-03-04, may be done from 2025-03-05")),
        (
            at("a", 3),
            {"due": Spread(day(2), day(3), day(4)), "hard": True},
            ("too-late", "a: on 2025-03-06, has to be done by 2025-03-05"),
        ),
        (at("a", 1), {"parts": (Part("filter", day(2)),)}, ("no-part", "a: filter is not there before 2025-03-05")),
        (at("a", 1), {"parts": (Part("filter", None),)}, ("no-part", "a: nobody knows when filter comes")),
        (at("a", 1), {"minutes": 216}, ("full", "Ann on 2025-03-04, early: 231 minutes planned, there are 230")),
        (at("a", 1), {"bay": "pit"}, ("bays", "2025-03-04, early: 1 mechanics need a bay (pit), there are 0")),
    ],
)
def test_what_cannot_be(placed: Placed, fields: dict[str, Any], complaint: tuple[str, str]) -> None:
    assert said(found(placed, a=fields)) == [complaint]


@pytest.mark.parametrize(
    "fields",
    [
        {"skills": frozenset({"gas"}), "permits": frozenset({"refrigerant"})},
        {"opens": day(1)},
        {"due": Spread.on(day(1)), "hard": True},
        {"due": Spread.on(day(-1)), "hard": True},
        {"parts": (Part("filter", day(1)),)},
        {"minutes": 215},
    ],
)
def test_what_just_can_be(fields: dict[str, Any]) -> None:
    assert said(found(at("a", 1, "Bob"), a=fields)) == []


def test_the_firms_own_jobs_only() -> None:
    its = room(mechanics=[Mechanic("Outside", firm="Outside")])
    told = found(at("a", 1, "Outside"), its=its, a={})
    assert said(told) == [("not-ours", "a is for our own mechanics, not for Outside")]


def test_a_mechanic_has_a_bay_for_the_whole_shift_and_a_truck_is_in_one_place() -> None:
    its = room(mechanics=PEOPLE, bays=[Bay("pit", 1), Bay("pit", 1, "south")])
    pit = {"bay": "pit"}
    assert said(found(at("a", 1), at("b", 1), its=its, a=pit, b=pit)) == []
    told = found(at("a", 1), at("b", 1, "Bob"), its=its, a=pit, b=pit)
    assert said(told) == [("bays", "2025-03-04, early: 2 mechanics need a bay (pit), there are 1")]
    told = found(at("a", 1, truck="T"), at("b", 1, "Bob", "T"), a={"truck": "T"}, b={"truck": "T"})
    assert said(told) == [("two-places", "T is in two visits on 2025-03-04, early")]


def fleet(needed: int, standing: frozenset[str] = frozenset(), **other: int) -> Room:
    needs = [Need("all", needed, **other), Need("nobody knows", 3, missing=9)]
    return room(mechanics=PEOPLE, needs=needs, groups=(Group("all", frozenset({"S", "T", "U"}), standing),))


def test_the_trucks_that_are_needed_are_free() -> None:
    jobs: dict[str, dict[str, Any]] = {"a": {"truck": "T"}, "b": {"truck": "U"}}
    placed = (at("a", 1, truck="T"), at("b", 1, "Bob", "U"))
    assert said(found(*placed, its=fleet(1), **jobs)) == []
    told = found(*placed, its=fleet(2), **jobs)
    assert said(told) == [("spared", "2025-03-04, early: 1 trucks of all free, needed are 2")]
    assert len(found(*placed, its=fleet(2, frozenset({"S"})), **jobs).complaints) == 1


def test_a_truck_out_of_service_is_free_again_the_shift_after_its_last_job() -> None:
    stands = {"truck": "S", "standing": True}
    its = fleet(3, frozenset({"S"}), missing=100)
    placed = (at("a", 0, truck="S"), at("b", 2, truck="S"))
    told = found(*placed, its=its, a=stands, b=stands)
    assert (said(told), told.cost.missing) == ([], 3 * 1_000)
    told = found(placed[0], left=("b",), its=its, a=stands, b=stands)
    assert told.cost.missing == 5 * 1_000
    with_t = (*placed, at("c", 3, truck="T"))
    told = found(*with_t, its=its, a=stands, b=stands, c={"truck": "T"})
    assert (said(told), told.cost.missing) == ([], 4 * 1_000)


def test_overtime_busy_hours_and_moves_cost() -> None:
    its = msgspec.structs.replace(fleet(0, busy=20), move=30)
    jobs = [job("a", 0, truck="T", minutes=205), job("b", 0, truck="U", minutes=10, standing=True), job("c", 9)]
    plan = Fortnight((at("a", 0, truck="T"), at("b", 0, "Bob", "U")), ("c",))
    published = [at("a", 0, truck="T"), at("b", 1, "Bob", "U"), at("c", 2), at("gone", 2), at("c", -3)]
    told = check(plan, jobs, its, published)
    assert (said(told), told.cost) == ([], Cost(busy=220 * 20 * 10, overtime=20 * 50 * 10, moved=2 * 300))


def test_what_is_wrong_costs_what_can_be_reckoned() -> None:
    jobs = [job("a", 0), job("b", 9, truck="T")]
    told = check(Fortnight((at("a", 9), at("b", 1, "Eve", "T"))), jobs, fleet(1))
    assert [one.code for one in told.complaints] == ["no-stretch", "no-stretch", "too-early"]
    assert told.cost.late == 9 * 10_000


def test_left_out_as_by_the_one_who_plans() -> None:
    told = check(Fortnight((), ("a", "x")), [job("a", 4, left=900)], room())
    assert told.cost == Cost(late=10_000, left=9_000)
