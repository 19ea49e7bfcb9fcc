"""An item's own book: limits, faults and examinations follow it from truck to truck."""

from __future__ import annotations

import pytest

from derive.builders import RULES, ZONE, at, counting, record
from derive.measuring import SHIPPED
from derive.test_duty import duty, paper, rules
from dipmark.derive.item import ItemNow, item_now
from dipmark.derive.makeup import hung_of
from dipmark.facts.base import BookId
from dipmark.rules.model import Rules
from dipmark.rules.value import Trucks

HEAD = "enrolled item:cage 2026-01-01T06:00:00+01:00 lead\n  what work-platform\n"
DUTY = duty(about="item", every_months=6, trucks=Trucks(kinds=("work-platform",)))
"""As LOLER 1998, regulation 9(3)(a)(i), has it; held to the text in `tests/published/test_duties.py`."""


def item(text: str, as_of: str, held_to: Rules = RULES, what: str = HEAD) -> ItemNow:
    found = item_now(record(what + text), held_to, "GB", ZONE, at(as_of))
    assert found is not None
    return found


def own(text: str) -> str:
    return text.replace("truck:7", "item:cage")


@pytest.mark.parametrize(
    ("as_of", "stops"),
    [
        ("2026-01-31T09:59:59", 1),  # no report yet
        ("2026-01-31T10:00:00", 0),
        ("2026-07-31T23:59:59", 0),  # the last day still holds
        ("2026-08-01T00:00:00", 1),
    ],
)
def test_what_people_are_lifted_in_is_examined_every_six_months(as_of: str, stops: int) -> None:
    assert len(item(own(paper("2026-01-31")), as_of, rules(DUTY)).stops) == stops


def test_another_kind_of_item_owes_nothing_and_a_trucks_duty_is_not_an_items() -> None:
    other = HEAD.replace("work-platform", "charger")
    assert item("", "2026-02-01T06:00:00", rules(DUTY), other).duties == ()
    assert item("", "2026-02-01T06:00:00", rules(duty()), HEAD).duties == ()


def test_an_item_stays_off_with_a_card_a_fault_or_a_day_that_has_passed() -> None:
    card = "\nout-of-service item:cage 2026-02-01T08:00:00+01:00 lead\n  reason bent\n"
    assert [one.rule for one in item(card, "2026-02-01T08:00:00").stops] == ["item.card"]
    stop = "\nfault item:cage 2026-02-01T08:00:00+01:00 lead\n  text cracked\n  seriousness stop\n"
    assert [one.rule for one in item(stop, "2026-02-01T08:00:00").stops] == ["item.fault"]
    by = stop.replace("seriousness stop", "seriousness repair-by\n  days 2")
    assert item(by, "2026-02-03T23:59:59").stops == ()
    assert len(item(by, "2026-02-04T00:00:00").stops) == 1
    watch = stop.replace("seriousness stop", "seriousness watch")
    assert item(watch, "2026-02-04T00:00:00").stops == ()


def test_where_it_hangs_and_how_it_left() -> None:
    truck = "enrolled truck:7 2026-01-01T06:00:00+01:00 lead\n  what reach\n"
    truck += "\nfitted truck:7 2026-02-01T08:00:00+01:00 lead\n  item item:cage\n"
    stays = hung_of({BookId("truck:7"): counting(truck)})
    now = item_now(record(HEAD), RULES, None, ZONE, at("2026-02-02T06:00:00"), stays)
    assert now is not None
    assert (now.name, now.on, now.retired) == ("cage", stays[0], None)
    assert item("", "2026-02-02T06:00:00").on is None
    gone = item("\nretired item:cage 2026-02-01T08:00:00+01:00 lead\n  how scrapped\n", "2026-02-02T06:00:00")
    assert gone.retired is not None
    assert item_now(record(HEAD), RULES, None, ZONE, at("2025-01-01T00:00:00")) is None


@pytest.mark.parametrize(("lowest", "stops"), [("1.231", False), ("1.230", True)])
def test_cells_too_far_apart_take_the_battery_off_every_truck(lowest: str, stops: bool) -> None:
    """Cells 0.050 or more apart: replaced, or to the battery workshop. Source: limit `replace` (seen)."""
    cells = "".join(
        f'  values - {{"quantity": "cell", "value": "{value}", "unit": "sg", "place": "{number}"}}\n'
        for number, value in enumerate(("1.280", "1.280", lowest), start=1)
    )
    text = f"\nmeasured item:b-1 2026-01-02T06:00:00+01:00 carl\n  subject cells\n{cells}"
    text += '  chosen - {"quantity": "again", "word": "yes"}\n'
    enrolled = "\nenrolled item:b-1 2026-01-01T06:00:00+01:00 lead\n  what traction-battery\n"
    found = item_now(record(enrolled + text), SHIPPED, None, ZONE, at("2026-02-01T00:00:00"))
    assert found is not None
    assert bool(found.stops) is stops
