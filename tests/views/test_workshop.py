"""The fortnight as people read it, from a small workshop."""

from __future__ import annotations

from decimal import Decimal

import pytest

from dipmark.plan.check import check
from dipmark.plan.explain import unmet, why
from dipmark.plan.fortnight import Cost, Fortnight, Placed
from dipmark.plan.jobs import Job, Part, Spread
from dipmark.plan.room import Room
from dipmark.views.gauge import Gauge
from dipmark.views.workshop import Naming, PlanPage, changes_words, cost_rows, money, part_of, plan_page, sure_words
from plan.workshop import at, day, job, room, solver

NAMING = Naming({"7 150h": "150-hour service"}, {"truck:7": "7", "Ann": "Ann Bell"}, day(0), str)


def page(plan: Fortnight, jobs: list[Job], its: Room, held: Cost | None = None, guessed: bool = False) -> PlanPage:
    published = [at("7 150h", 1, truck="truck:7")]
    return plan_page(
        plan,
        check(plan, jobs, its, published),
        jobs,
        its,
        whys=why(plan, jobs, its, published),
        unmet=unmet(plan, jobs, its, solver(), published),
        published=published,
        naming=NAMING,
        gauges={"7 150h": Gauge("150h", Decimal(0), Decimal(150), Decimal(20))},
        guessed=guessed,
        held=held,
        visits="[]",
    )


SERVICE = job("7 150h", 2, truck="truck:7", parts=(Part("oil filter", day(1)),))
LEFT = [
    job("8 900h", 2, truck="truck:8", due=Spread(day(1), day(2), day(4)), minutes=400),
    job("9 900h", 9, truck="truck:9"),
]


def test_a_plan_on_its_page() -> None:
    found = page(Fortnight((at("7 150h", 2, truck="truck:7"),), ("8 900h", "9 900h")), [SERVICE, *LEFT], room(3))
    assert found.people == {"Ann": "Ann Bell"}
    assert [one.words for one in found.days] == ["Mon 3", "Tue 4", "Wed 5"]
    (cell,) = found.days[2].cells
    assert (cell.who, cell.shift, cell.minutes, cell.room, cell.over) == ("Ann", "early", 75, 200, 230)
    (card,) = cell.cards
    assert (card.truck, card.jobs, card.minutes) == ("7", ("150-hour service (due Wed 5)",), 75)
    assert (card.moved, card.parts, len(card.gauges)) == (True, ("oil filter",), 1)
    assert card.why[0] == "it would cost 19.00 less on Tue 4, early, with Ann Bell, and others more"
    assert found.days[0].cells[0].cards == ()
    assert [(row.truck, row.due) for row in found.left] == [("truck:8", True), ("truck:9", False)]
    assert found.left[0].job == "8h (due Tue 4 to Fri 7)"
    assert found.left[0].changes == ("8 900h takes 415 minutes, 185 more than the longest shift has",)
    assert found.sure.endswith("Stops: 1. The fewest that would do, each job in time: 1.")
    assert (found.complaints, found.changes, found.guessed) == ((), "", "")


def test_what_is_not_in_the_plan_though_there_is_room_for_it() -> None:
    fits = [page(Fortnight((), ("7 150h",), *proven), [SERVICE], room(3)).left[0] for proven in ((5,), (5, 5))]
    assert [row.changes for row in fits] == [(), ()]
    assert [row.fits for row in fits] == [
        "there is room for it: look for the best plan",
        "it could stand in the plan; leaving it out costs less",
    ]


def test_what_somebody_sees_of_a_plan() -> None:
    whole = page(
        Fortnight((at("7 150h", 2, truck="truck:7"),), ("8 900h", "9 900h")), [SERVICE, *LEFT], room(3), held=Cost()
    )
    assert part_of(whole) == whole
    assert [len(day.cells) for day in part_of(whole, who="Ann").days] == [1, 1, 1]
    assert [len(day.cells) for day in part_of(whole, who="Bob").days] == [0, 0, 0]
    his = part_of(whole, sees={"7"}.__contains__)
    assert [[cell.cards for cell in day.cells] for day in his.days] == [[], [], [whole.days[2].cells[0].cards]]
    assert (his.left, his.complaints, his.cost, his.changes, his.visits) == ((), (), (), "", "[]")
    other = part_of(whole, sees={"truck:8"}.__contains__)
    assert [day.cells for day in other.days] == [(), (), ()]
    assert [row.truck for row in other.left] == ["truck:8"]


def test_what_it_reckons_with_because_nobody_said_and_what_it_changes() -> None:
    plan = Fortnight((at("7 150h", 1, truck="truck:7"),))
    found = page(plan, [SERVICE], room(3), held=Cost(late=500), guessed=True)
    assert found.guessed.startswith("Bays, outside firms")
    assert found.changes == "The plan gets dearer by 0.50: days late 0.50 less; interval thrown away 1.00 more."


def test_what_cannot_be_is_said() -> None:
    plan = Fortnight((), ("7 150h", "7 150h"))
    found = check(plan, [SERVICE], room(3))
    made = plan_page(
        plan,
        found,
        [SERVICE],
        room(3),
        whys=(),
        unmet=(),
        published=(),
        naming=NAMING,
        gauges={},
        guessed=False,
        held=None,
        visits="[]",
    )
    assert made.complaints == ("7, 150-hour service: planned 2 times",)


def test_a_job_that_is_done_by_now_is_not_on_its_card() -> None:
    plan = Fortnight((Placed(at("7 150h", 2, truck="truck:7").visit, day(2), "early", "Ann"),))
    made = plan_page(
        plan,
        check(plan, [], room(3)),
        [],
        room(3),
        whys=(),
        unmet=(),
        published=(),
        naming=NAMING,
        gauges={},
        guessed=False,
        held=None,
        visits="[]",
    )
    (card,) = made.days[2].cells[0].cards
    assert (card.jobs, card.minutes) == ((), 15)


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        (Fortnight((), (), 5), "Nobody has looked whether a better one exists."),
        (Fortnight((), (), 5, 5), "No plan of these visits costs less."),
        (Fortnight((), (), 1020, 1000), "No plan of these visits costs less by more than 2.00 %."),
    ],
)
def test_how_near_the_best(plan: Fortnight, words: str) -> None:
    assert sure_words(plan) == words


def test_costs_the_dearest_first() -> None:
    assert cost_rows(Cost(late=1_000, busy=2_500)) == (("wanted trucks in the workshop", "2.50"), ("days late", "1.00"))
    assert changes_words(Cost(late=5), Cost(late=5)) == "Nothing changes."
    assert changes_words(Cost(late=2_000), Cost(left=1_000)) == (
        "The plan gets cheaper by 1.00: days late 2.00 less; jobs left out that belong in 1.00 more."
    )
    assert money(1_234_567) == "1,234.57"


def test_what_ids_are_called() -> None:
    said = [NAMING(value) for value in (day(1), "7 150h", "truck:7", "no such", 30)]
    assert said == ["Tue 4", "7, 150-hour service", "7", "no such", "30"]
