"""What to order and by when: demand against convolution by hand, level and stock against made-up years."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from scipy.stats import poisson

from dipmark.plan.orders import Store, Use, buy, demand, orders
from plan.shelves import Shelf, ours, two_weeks

TODAY = date(2026, 3, 2)


def on(days: int) -> date:
    return TODAY + timedelta(days=days)


def use(days: int, quantity: int = 1, spread: int = 0) -> Use:
    return Use(f"150h of {days}", quantity, on(days - spread), on(days), on(days + 2 * spread))


def test_the_chance_that_a_use_has_come() -> None:
    one = use(10, spread=4)
    assert [round(one.chance(on(day)), 3) for day in (4, 5, 6, 10, 14, 18, 20, 21)] == [0, 0, 0.1, 0.5, 0.7, 0.9, 1, 1]
    assert [use(10).chance(on(day)) for day in (9, 10)] == [0, 1]
    front = Use("x", 1, on(10), on(10), on(14))
    assert [front.chance(on(day)) for day in (9, 10, 14)] == [pytest.approx(0.1), 0.5, pytest.approx(0.9)]


def test_demand_is_what_falls_due_and_what_breaks() -> None:
    store = Store(part="filter", there=0, uses=(use(3, 2), use(5), use(90)), rate=0.1, size=2)
    chances = demand(store, TODAY, 6)
    assert chances[:3].tolist() == [0, 0, 0]
    # three for sure, and two each time something breaks: 0.3 times in six days
    assert chances[3::2][:5] == pytest.approx(poisson.pmf(np.arange(5), 0.3))
    assert chances.sum() == pytest.approx(1)
    assert demand(Store(part="filter", there=0), TODAY, 90).tolist() == [1]


def test_what_is_known_is_ordered_when_its_time_comes_and_no_sooner() -> None:
    store = Store(part="filter", there=0, uses=(use(30),), lead=5, lead_most=5)
    assert buy([store], TODAY, 0.95) == {}
    (order,) = orders([store], TODAY, 0.95)
    assert (order.quantity, order.first, order.uses) == (1, on(30), store.uses)
    assert on(30 - 5 - 7) <= order.by <= on(30 - 5)


def test_what_is_late_is_ordered_today() -> None:
    store = Store(part="filter", there=0, uses=(use(2), use(200)), lead=5, lead_most=9, pack=4)
    (order,) = orders([store], TODAY, 0.95)
    assert (order.quantity, order.by, order.uses) == (4, TODAY, store.uses[:1])


def test_what_is_there_or_on_its_way_is_not_ordered_again() -> None:
    uses = (use(3), use(6))
    store = Store(part="filter", there=1, coming=((on(2), 1),), uses=uses, lead=5, lead_most=5)
    assert store.position == 2
    assert orders([store], TODAY, 0.95) == ()


def test_what_breaks_is_wanted_for_no_use_that_is_known() -> None:
    (order,) = orders([Store(part="hose", there=0, rate=0.2)], TODAY, 0.95)
    assert (order.first, order.uses, order.by) == (None, (), TODAY)
    assert order.quantity >= 3


def test_no_more_than_keeps_is_kept() -> None:
    keeps = Store(part="brake fluid", there=0, rate=0.5, lead=3, lead_most=3)
    short = Store(part="brake fluid", there=0, rate=0.5, lead=3, lead_most=3, shelf_days=4)
    assert buy([short], TODAY, 0.99)["brake fluid"] == 3 < buy([keeps], TODAY, 0.99)["brake fluid"]


def test_a_level_of_its_own() -> None:
    stores = [Store(part=f"part {at}", there=0, rate=0.3) for at in range(4)]
    sure = Store(part="brake hose", there=0, rate=0.3, level=0.99)
    bought = buy([*stores, sure], TODAY, 0.6)
    assert bought["brake hose"] > max(bought.get(one.part, 0) for one in stores)


def test_the_dear_part_is_missed_rather_than_the_cheap_one() -> None:
    cheap, dear = (Store(part=name, there=0, rate=0.3, price=price) for name, price in (("cheap", 1), ("dear", 80)))
    bought = buy([cheap, dear], TODAY, 0.8)
    assert bought["cheap"] > bought.get("dear", 0)


def test_where_nothing_can_be_missed_nothing_is_bought() -> None:
    assert buy([Store(part="filter", there=9)], TODAY, 0.95) == {}


@pytest.mark.parametrize("level", [0.9, 0.95])
def test_the_chosen_service_is_reached_with_less_than_by_two_weeks_average(level: float) -> None:
    """Twenty years of larger yards: `bench/prove_stores.py`."""
    reached, stock = Shelf(3, trucks=10).year(1, ours(level))
    _, usual = Shelf(3, trucks=10).year(1, two_weeks)
    assert reached == pytest.approx(level, abs=0.03)
    assert stock < 0.9 * usual
