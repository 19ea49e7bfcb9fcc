"""A truck with what hangs on it: what each paragraph forbids, at, inside and outside every edge."""

from __future__ import annotations

import pytest

from derive.builders import RULES, ZONE, at, counting, record
from derive.test_duty import duty, paper, rules
from dipmark.derive.combination import Combination, combination_now
from dipmark.derive.item import item_now
from dipmark.derive.makeup import hung_of
from dipmark.derive.truck import truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import BookId
from dipmark.rules.duty import Sooner
from dipmark.rules.model import Rules
from dipmark.rules.value import Trucks

TRUCK = "enrolled truck:7 2026-01-01T06:00:00+01:00 lead\n  what engine-pneumatic-lpg\n"
NOW = "2026-03-01T06:00:00"


def plate(fitted: str = "", values: str = "", book: str = "truck:7") -> str:
    lines = "".join(
        f'  values - {{"name": "{n}", "value": "{v}", "unit": "kg"}}\n'
        for n, v in (pair.split("=") for pair in values.split())
    )
    lines = lines or "  values []\n"
    return f"\nplate-read {book} 2026-01-02T06:00:00+01:00 lead\n{lines}" + (f"  fitted - {fitted}\n" if fitted else "")


def combination(
    truck: str, *items: tuple[str, str, str], held_to: Rules = RULES, country: str | None = None, as_of: str = NOW
) -> Combination:
    """A truck with items: name, kind, what else stands in the item's book."""
    text = TRUCK + truck
    for name, _, _ in items:
        text += f"\nfitted truck:7 2026-02-01T08:00:00+01:00 lead\n  item item:{name}\n"
    stays = hung_of({BookId("truck:7"): counting(text)})
    on = []
    for name, what, more in items:
        book = f"enrolled item:{name} 2026-01-01T06:00:00+01:00 lead\n  what {what}\n{more}"
        found = item_now(record(book), held_to, country, ZONE, at(as_of), stays)
        assert found is not None
        on.append(found)
    now = truck_now(record(text), held_to, YardNow(country=country), ZONE, at(as_of))
    assert now is not None
    return combination_now(now, on, held_to, country, at(as_of), ZONE)


CLAMP = ("clamp-3", "attachment", "")


def rules_of(found: Combination) -> list[str]:
    return [one.rule for one in found.stops]


def test_the_bare_truck_and_its_own_forks_need_no_further_plate() -> None:
    assert combination("").stops == ()
    assert combination("", ("forks-1", "fork-pair", "")).stops == ()


def test_an_attachment_without_a_plate_that_names_it_is_out_of_service() -> None:
    """29 CFR 1910.178(a)(4), (a)(5)."""
    found = combination(plate(values="capacity=2500"), CLAMP)
    assert rules_of(found) == ["combination.plate"]
    assert (found.stops[0].source, found.plate) == ("us-178-a4", None)
    assert len(found.stops[0].facts) == 1


@pytest.mark.parametrize("named", ["clamp-3", "CLAMP-3", "attachment"])
def test_a_plate_names_it_by_its_name_or_its_kind(named: str) -> None:
    found = combination(plate(named), CLAMP)
    assert (found.stops, found.plate is not None) == ((), True)


def test_a_plate_names_all_that_hangs_there_and_nothing_else() -> None:
    hook = ("hook-1", "lifting-hook", "")
    assert rules_of(combination(plate("clamp-3"), CLAMP, hook)) == ["combination.plate"]
    assert rules_of(combination(plate("clamp-3\n  fitted - hook-1"), CLAMP)) == ["combination.plate"]
    assert combination(plate("clamp-3\n  fitted - lifting-hook"), CLAMP, hook).stops == ()


def test_what_is_wrong_with_an_item_is_wrong_with_the_combination_not_the_truck() -> None:
    card = "\nout-of-service item:clamp-3 2026-02-02T08:00:00+01:00 lead\n  reason bent\n"
    found = combination(plate("clamp-3"), ("clamp-3", "attachment", card))
    assert rules_of(found) == ["item.card"]
    assert found.stops[0].text.startswith("clamp-3: bent.")


BOTH = "battery-weight-least=900 battery-weight-most=1000"


@pytest.mark.parametrize(
    ("allowed", "weight", "stops", "asks"),
    [
        (BOTH, "900", 0, 0),
        (BOTH, "899", 1, 0),
        (BOTH, "1000", 0, 0),
        (BOTH, "1001", 1, 0),
        ("battery-weight-least=900", "5000", 0, 0),
        ("battery-weight-least=900", "1", 1, 0),
        ("battery-weight-most=900", "1", 0, 0),
        ("battery-weight-most=900", "901", 1, 0),
        ("", "900", 0, 1),
        (BOTH, "", 0, 1),
    ],
)
def test_the_weight_of_a_battery_lies_inside_what_the_trucks_plate_allows(
    allowed: str, weight: str, stops: int, asks: int
) -> None:
    """Common practice, no source: the truck's own plate says so; a battery is part of the counterweight."""
    own = plate(values=f"weight={weight}", book="item:battery") if weight else ""
    found = combination(plate(values=allowed) if allowed else "", ("battery", "traction-battery", own))
    assert (len(found.stops), len(found.asks)) == (stops, asks)


YEARLY = duty(sooner=(Sooner(id="people", months=6, trucks=Trucks(where=("lifts-people",))),))
PLATFORM = ("cage", "work-platform", "")


@pytest.mark.parametrize(
    ("as_of", "rules_found"),
    [
        ("2026-07-31T23:59:59", []),  # the last day still holds
        ("2026-08-01T00:00:00", ["duty.examination"]),
        ("2027-01-31T23:59:59", ["duty.examination"]),
        ("2027-02-01T00:00:00", []),  # now the truck itself is out of service for it
    ],
)
def test_once_people_are_lifted_the_truck_too_is_examined_every_six_months(as_of: str, rules_found: list[str]) -> None:
    """LOLER 1998, regulation 9(3)(a)(i)."""
    truck = plate("cage") + paper("2026-01-31")
    found = combination(truck, PLATFORM, held_to=rules(YEARLY), country="GB", as_of=as_of)
    assert rules_of(found) == rules_found
    loads = combination(plate("cage") + paper("2026-01-31"), CLAMP, held_to=rules(YEARLY), country="GB", as_of=as_of)
    assert "duty.examination" not in rules_of(loads)


def test_a_truck_of_a_kind_without_rules_is_asked_by_its_own_options() -> None:
    head = TRUCK.replace("engine-pneumatic-lpg", "crane-truck")
    now = truck_now(record(head), rules(YEARLY), YardNow(country="GB"), ZONE, at(NOW))
    assert now is not None
    cage = item_now(
        record("enrolled item:cage 2026-01-01T06:00:00+01:00 lead\n  what work-platform\n"), RULES, None, ZONE, at(NOW)
    )
    assert cage is not None
    found = combination_now(now, [cage], rules(YEARLY), "GB", at(NOW), ZONE)
    assert rules_of(found) == ["combination.plate"]  # the examination keeps the truck itself out of service
