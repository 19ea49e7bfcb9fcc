"""Why a visit stands where it stands; the smallest change that lets in what does not fit, against trying changes."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from dipmark.plan.check import check
from dipmark.plan.explain import unmet, why
from dipmark.plan.fortnight import Fortnight
from dipmark.plan.jobs import Job, Part, Spread
from dipmark.plan.make import make
from dipmark.plan.room import Bay, Group, Mechanic, Need, Room
from plan.workshop import all_plans, at, day, job, room, small, solver

PEOPLE = (Mechanic("Ann", overtime=50), Mechanic("Bob"))


def reasons(plan: Fortnight, jobs: list[Job], its: Room) -> list[list[str]]:
    assert check(plan, jobs, its).complaints == ()
    return [[one.read() for one in found.sentences] for found in why(plan, jobs, its)]


def test_the_best_place_and_the_next_one() -> None:
    jobs = [job("a", 3)]
    assert reasons(Fortnight((at("a", 3),)), jobs, room()) == [
        ["nowhere does it cost less", "the next best free place costs 1.00 more: 2025-03-05, early, Ann"]
    ]


def test_the_only_place() -> None:
    jobs = [job("a", 3, opens=day(3), hard=True)]
    assert reasons(Fortnight((at("a", 3),)), jobs, room()) == [
        ["nowhere does it cost less", "there is no other free place for it"]
    ]


def test_what_keeps_it_from_the_cheaper_places() -> None:
    its = room(1, PEOPLE, minutes=75, overtime=10)
    two = msgspec.structs.replace(its, days=2, shifts=room(2).shifts, stretches=room(2, PEOPLE, 75, 10).stretches)
    jobs = [job("a", 0), job("b", 0, late_a_day=2_000), job("c", 0, late_a_day=3_000)]
    plan = Fortnight((at("b", 0), at("c", 0, "Bob"), at("a", 1)))
    *_, a = reasons(plan, jobs, two)
    assert a == [
        "it would cost 10.00 less on 2025-03-03, early, with Ann, who has not the time left",
        "it would cost 10.00 less on 2025-03-03, early, with Bob, who has not the time left",
        "the next best free place costs 0.00 more: 2025-03-04, early, Bob",
    ]


@pytest.mark.parametrize(
    ("more", "other", "text"),
    [
        ({"bay": "pit"}, {"bay": "pit"}, "it would cost 10.00 less on 2025-03-03, early, with Bob, but no bay is left"),
        (
            {"truck": "T"},
            {"truck": "T"},
            "it would cost 10.00 less on 2025-03-03, early, with Bob, but the truck is in another visit then",
        ),
        (
            {"truck": "U"},
            {"truck": "V"},
            "it would cost 10.00 less on 2025-03-03, early, with Bob, but trucks of its kind are wanted then",
        ),
    ],
)
def test_a_bay_the_truck_or_the_fleet(more: dict[str, Any], other: dict[str, Any], text: str) -> None:
    its = room(
        2,
        PEOPLE,
        minutes=75,
        overtime=0,
        bays=[Bay("pit", 1)],
        needs=[Need("all", 1)],
        groups=(Group("all", frozenset({"U", "V"})),),
    )
    jobs = [job("a", 0, **more), job("b", 0, **other)]
    placed = (at("b", 0, truck=jobs[1].truck), at("a", 1, truck=jobs[0].truck))
    assert text in reasons(Fortnight(placed), jobs, its)[1]


def test_overtime_that_costs_more_and_a_place_that_others_pay_for() -> None:
    jobs = [job("a", 0, late_a_day=1_000), job("b", 0, minutes=180)]
    (_, a) = reasons(Fortnight((at("b", 0), at("a", 1))), jobs, room(2, minutes=230, overtime=60))
    assert a[0] == "it would cost 10.00 less on 2025-03-03, early, with Ann, who has not the time left"
    (moved,) = reasons(Fortnight((at("a", 1),)), jobs[:1], room(2))
    assert moved[0] == "it would cost 10.00 less on 2025-03-03, early, with Ann, and others more"


def changes(jobs: list[Job], its: Room, plan: Fortnight | None = None) -> list[list[list[str]]]:
    plan = plan or make(jobs, its, solver())
    found = unmet(plan, jobs, its, solver())
    assert [one.job for one in found] == list(plan.left)
    return [[[one.read() for one in change] for change in each.changes] for each in found]


def test_what_may_wait() -> None:
    jobs = [job("a", 9, early_a_day=9_000)]
    ((found),) = unmet(Fortnight((), ("a",)), jobs, room(), solver())
    assert (found.due, [one.read() for one in found.changes[0]]) == (
        False,
        ["a may wait: its latest day is 2025-03-12"],
    )


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"parts": (Part("filter", None),)}, [["nobody knows when filter comes: ask the supplier"]]),
        (
            {"parts": (Part("filter", day(3)),), "hard": True},
            [["filter by 2025-03-05 instead of 2025-03-06"], ["a done by 2025-03-06 instead of 2025-03-05"]],
        ),
        (
            {"opens": day(9), "parts": (Part("oil", day(10)), Part("belt", day(1)), Part("filter", None))},
            [
                [
                    "a done from 2025-03-07 instead of 2025-03-12",
                    "oil by 2025-03-07 instead of 2025-03-13",
                    "nobody knows when filter comes: ask the supplier",
                ]
            ],
        ),
        ({"skills": frozenset({"gas"})}, [["somebody who can and may do it: a (gas)"]]),
        ({"firm": "Outside"}, [["somebody of Outside for a"]]),
        ({"place": "south"}, [["somebody of south for a"]]),
        ({"minutes": 300}, [["a takes 315 minutes, 85 more than the longest shift has"]]),
    ],
)
def test_what_can_stand_nowhere(fields: dict[str, Any], expected: list[list[str]]) -> None:
    assert changes([job("a", 2, **fields)], room()) == [expected]


def test_nobody_who_can_works_in_these_days() -> None:
    away = msgspec.structs.replace(room(), stretches=())
    assert changes([job("a", 2)], away) == [[["a day on which somebody who can do it works: a"]]]
    early = msgspec.structs.replace(room(), stretches=room().stretches[3:4])
    one = job("a", 1, hard=True, parts=(Part("filter", day(4)),))
    assert changes([one], early) == [[["a day on which somebody who can do it works: a"]]]


def test_minutes_a_bay_a_truck_or_days() -> None:
    its = room(2, PEOPLE, minutes=75, overtime=0, bays=[Bay("pit", 1)])
    hard = {"hard": True, "bay": "pit"}
    ((longer, bay, later),) = changes([job("a", 0, **hard), job("b", 0, left=150_000, **hard)], its)
    assert longer[0].endswith(" works 75 minutes longer on 2025-03-03, early")
    assert bay == ["2025-03-03, early: bays more: 1 (pit)"]
    assert later == ["b done by 2025-03-04 instead of 2025-03-03"]


def test_a_truck_that_would_have_to_be_spared() -> None:
    its = room(1, needs=[Need("all", 2)], groups=(Group("all", frozenset({"T", "U"})),))
    assert changes([job("a", 0, truck="T")], its) == [[["2025-03-03, early: trucks more that can be spared: 1 (all)"]]]


def test_neither_room_nor_days_help() -> None:
    its = room(2, minutes=75, overtime=0)
    same = [job(name, 0, truck="T", hard=True, opens=day(0), due=Spread.on(day(0))) for name in "ab"]
    plan = Fortnight((at("a", 0, truck="T"),), ("b",))
    gone = msgspec.structs.replace(its, days=1, shifts=its.shifts[:1], stretches=its.stretches[:1])
    assert changes(same, gone, plan) == [[]]


def test_left_out_because_that_costs_less() -> None:
    jobs = [job("a", 4, left=0, late_a_day=0), job("b", 4, late_a_day=9_000)]
    plan = Fortnight((at("b", 4),), ("a",))
    assert changes(jobs, room(), plan) == [[["it could stand in the plan; leaving it out costs less"]]]


@pytest.mark.parametrize("seed", range(20, 32))
def test_the_minutes_named_are_the_fewest_that_will_do(seed: int) -> None:
    """One minute less and no plan has them all; with them one has: by trying every plan."""
    jobs, its, _ = small(seed)
    jobs = [msgspec.structs.replace(one, minutes=one.minutes + 100, due=Spread.on(day(1)), hard=True) for one in jobs]
    its = msgspec.structs.replace(its, days=2, stretches=its.stretches[:4], shifts=its.shifts[:2], groups=())
    plan = make(jobs, its, solver())
    for left in unmet(plan, jobs, its, solver()):
        for change in left.changes:
            if not all(str(one.text).startswith("{} works") for one in change):
                continue
            given = {(one.values[0], one.values[2]): int(str(one.values[1])) for one in change}
            for less, fits in ((0, True), (1, False)):
                longer = [
                    msgspec.structs.replace(one, overtime=one.overtime + given.get((one.mechanic, one.day), 0))
                    for one in its.stretches
                ]
                if less:
                    who = next(iter(given))
                    longer = [
                        msgspec.structs.replace(one, overtime=one.overtime - 1)
                        if (one.mechanic, one.day) == who
                        else one
                        for one in longer
                    ]
                wanted = {name for one in plan.placed for name in one.visit.jobs} | {left.job}
                wider = msgspec.structs.replace(its, stretches=tuple(longer))
                inside = [one for one in jobs if one.id in wanted]
                assert any(not other.left for _, other in all_plans(inside, wider)) == fits
