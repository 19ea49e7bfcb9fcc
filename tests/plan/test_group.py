"""Which jobs share a stop: the fewest by stabbing, the cheapest by the choice of days, against trying everything."""

from __future__ import annotations

from datetime import date
from itertools import combinations, product

import msgspec
from hypothesis import given
from hypothesis import strategies as some

from dipmark.plan.group import fewest, least, stops, visits
from dipmark.plan.jobs import Job, Part, Visit
from dipmark.plan.places import left_out, on_day, window
from dipmark.plan.room import Mechanic, Room
from plan.workshop import at, day, job, room

DAYS = some.integers(0, 9)
WINDOWS = some.lists(some.tuples(DAYS, DAYS).map(sorted).map(lambda ends: (day(ends[0]), day(ends[1]))), max_size=6)


@given(WINDOWS)
def test_no_fewer_days_do(windows: list[tuple[date, date]]) -> None:
    days = fewest(windows)
    assert all(any(first <= one <= last for one in days) for first, last in windows)
    for fewer in combinations([day(number) for number in range(10)], max(0, len(days) - 1)):
        assert not windows or not all(any(first <= one <= last for one in fewer) for first, last in windows)


def test_how_few_stops_would_do() -> None:
    early, late = job("a", 1, truck="T", opens=day(0)), job("b", 4, truck="T", opens=day(3))
    both, past = job("c", 4, truck="T", opens=day(0)), job("d", -3, truck="T")
    other, never = job("e", 2, truck="U"), job("f", 2, truck="T", parts=(Part("filter", None),))
    assert least([early, late], room()) == 2
    assert least([early, both], room()) == 1
    assert least([early, late, both, past, other, never], room()) == 3


def cost_of(groups: tuple[tuple[Job, ...], ...], jobs: list[Job], its: Room) -> float:
    """Each group on its cheapest common day, a stop each, the rest waiting, which costs a stop as well."""
    stop, total = 10 * its.stop, 0.0
    for group in groups:
        days = [day(number) for number in range(its.days)]
        allowed = [when for when in days if all(first <= when <= last for first, last in windows_of(group, its))]
        if not allowed:
            return float("inf")
        total += stop + min(sum(on_day(one, when, its).total for one in group) for when in allowed)
    waiting = [one for one in jobs if not any(one in group for group in groups)]
    if any(one.latest <= its.last for one in waiting):
        return float("inf")
    return total + (stop if waiting else 0) + sum(left_out(one, its).total for one in waiting)


def windows_of(group: tuple[Job, ...], its: Room) -> list[tuple[date, date]]:
    return [found for one in group if (found := window(one, its))]


@given(
    some.lists(
        some.tuples(
            some.integers(-2, 8), some.integers(1, 6), some.booleans(), some.integers(0, 40), some.integers(0, 9)
        ),
        min_size=1,
        max_size=4,
    ),
    some.integers(0, 90),
)
def test_stops_cost_what_trying_everything_finds(made: list[tuple[int, int, bool, int, int]], stop: int) -> None:
    its = msgspec.structs.replace(room(5), stop=stop)
    jobs = [
        job(f"{number}", about, truck="T", opens=day(about - width), hard=hard, late_a_day=late, early_a_day=early)
        for number, (about, width, hard, late, early) in enumerate(made)
    ]
    jobs = [one for one in jobs if window(one, its)]
    if not jobs:
        return
    ways = []
    for places in product(range(-1, len(jobs)), repeat=len(jobs)):
        groups = tuple(
            tuple(one for one, place in zip(jobs, places, strict=True) if place == number)
            for number in sorted({*places} - {-1})
        )
        ways.append(cost_of(groups, jobs, its))
    assert cost_of(stops(jobs, its), jobs, its) == min(ways)


def test_what_cannot_be_done_together_comes_apart() -> None:
    jobs = [job("a", 2, truck="T", skills=frozenset({"gas"})), job("b", 2, truck="T", skills=frozenset({"chains"}))]
    people = (Mechanic("Ann", frozenset({"gas"})), Mechanic("Bob", frozenset({"chains"})))
    assert visits(jobs, room(mechanics=people)) == (Visit("T", ("a",)), Visit("T", ("b",)))
    able = (Mechanic("Ann", frozenset({"gas", "chains"})),)
    assert visits(jobs, room(mechanics=able)) == (Visit("T", ("a", "b")),)


def test_what_no_day_is_there_for_is_in_no_visit() -> None:
    assert visits([job("a", parts=(Part("filter", None),)), job("b", 12)], room()) == ()


def test_a_published_visit_stays_together_and_a_fault_of_its_truck_joins() -> None:
    a, b = job("a", 4, truck="T"), job("b", 2, truck="T")
    published = [at("a", 3, truck="T"), at("x", 3)]
    near = job("n", 3, truck="T")
    far = job("f", 1, truck="T", late_a_day=9_000)
    other = job("o", 3)
    assert visits([a, near, far, other], room(), published) == (
        Visit("T", ("a", "n")),
        Visit("T", ("f",)),
        Visit("truck of o", ("o",)),
    )
    apart = visits([a, b], room(), [at("a", 3, truck="T"), at("b", 1, truck="T")])
    assert apart == (Visit("T", ("a",)), Visit("T", ("b",)))


def test_a_fault_joins_no_visit_whose_mechanic_has_no_time_for_both() -> None:
    a, b = job("a", 3, truck="T", minutes=150), job("b", 3, truck="T", minutes=150)
    assert visits([a, b], room(), [at("a", 3, truck="T")]) == (Visit("T", ("a",)), Visit("T", ("b",)))


def test_a_fault_joins_no_visit_that_was_published_for_days_past() -> None:
    first = room(1)
    a, b = job("a", 0, truck="T"), job("b", 0, truck="T")
    assert visits([a, b], first, [at("a", -1, truck="T")]) == (Visit("T", ("a", "b")),)
