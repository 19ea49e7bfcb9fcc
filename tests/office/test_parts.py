"""The stores of the invented yard: looked at, and written."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal

import pytest

from dipmark.facts.base import YARD
from dipmark.facts.errors import Refused
from dipmark.facts.stock import PartSet, Stock
from dipmark.office.look import trucks
from dipmark.office.open import Office
from dipmark.office.parts import kit_of, note, parts_page, set_part, stores_of
from dipmark.office.plan import publish, suggested
from office.demo_desk import demo_desk, noon
from office.taking import yard


@pytest.fixture(name="office", scope="module")
def _office() -> Iterator[Office]:
    with demo_desk() as office:
        yield office


def shelf_of(office: Office, part: str) -> Decimal:
    page = parts_page(office, office.clock())
    return next(row.there for row in page.shelf if row.part == part)


def test_the_stores_of_the_invented_yard(office: Office) -> None:
    page = parts_page(office, office.clock())
    assert page.level == 95
    filters = next(row for row in page.shelf if row.part == "engine oil filter")
    assert (filters.place, filters.lead_days) == ("A3", 3)
    assert filters.wanted
    assert all(order.by >= page.day for order in page.orders)
    assert [order.by for order in page.orders] == sorted(order.by for order in page.orders)
    fluid = next(row for row in page.shelf if row.part == "brake fluid")
    assert fluid.there < 0
    assert "never counted" in fluid.words


def test_a_smaller_service_brings_no_parts_of_its_own_beside_a_larger_one(office: Office) -> None:
    stores = stores_of(office, office.clock())
    names = {name for book, name in stores.kits if book == "truck:5"}
    assert "450h" in names
    kinds = {one.book: one for one in trucks(office, office.clock())}
    kind = office.rules.kind(kinds["truck:5"].enrolled.what)  # type: ignore[index]
    assert kind is not None
    service = kind.service("450h")
    assert service is not None
    assert "engine oil filter" in kit_of(kinds["truck:5"], service, office.rules)  # type: ignore[index]


def test_counting_receiving_issuing_and_ordering(office: Office) -> None:
    now = noon(office)
    note(office, Stock(part="Mirror  Glass", what="counted", quantity=Decimal(3), place="B7"), now)
    assert shelf_of(office, "mirror glass") == 3
    note(office, Stock(part="mirror glass", what="ordered", quantity=Decimal(2)), now)
    page = parts_page(office, office.clock())
    row = next(row for row in page.shelf if row.part == "mirror glass")
    assert row.place == "B7"
    assert len(row.coming) == 1
    assert "expected" in row.coming[0]
    note(office, Stock(part="mirror glass", what="received", quantity=Decimal(2)), now)
    assert shelf_of(office, "mirror glass") == 5
    assert not note(office, Stock(part="mirror glass", what="issued", quantity=Decimal(1)), now).doubts
    (doubt,) = note(office, Stock(part="mirror glass", what="thrown-away", quantity=Decimal(9)), now).doubts
    assert (doubt.code, doubt.hard) == ("less-there", False)


@pytest.mark.parametrize(
    ("part", "what", "amount"), [(" ", "counted", 1), ("plug", "issued", 0), ("plug", "counted", -1)]
)
def test_what_is_no_amount_or_no_part_is_refused(office: Office, part: str, what: str, amount: int) -> None:
    before = len(office.book(YARD))
    with pytest.raises(Refused):
        note(office, Stock(part=part, what=what, quantity=Decimal(amount)), noon(office))  # type: ignore[arg-type]
    assert len(office.book(YARD)) == before


def test_how_a_part_is_bought(office: Office) -> None:
    set_part(
        office,
        PartSet(part="Split Pin", lead_days=2, lead_most=4, pack=Decimal(50), shelf_days=400, level=99),
        noon(office),
    )
    stores = stores_of(office, office.clock())
    pin = next(one for one in stores.stores if one.part == "split pin")
    assert (pin.lead, pin.lead_most, pin.pack, pin.shelf_days, pin.level) == (2, 4, 50, 400, 0.99)
    with pytest.raises(Refused):
        set_part(office, PartSet(part="split pin", lead_days=5, lead_most=4), noon(office))
    with pytest.raises(Refused):
        set_part(office, PartSet(part="  ", lead_days=5), noon(office))


def test_the_kits_of_the_published_plan_and_of_what_is_due_without_one(office: Office) -> None:
    before = parts_page(office, office.clock()).kits
    assert {kit.truck for kit in before if kit.day} >= {"5"}
    assert {kit.truck for kit in before if not kit.day} >= {"4"}
    publish(office, suggested(office, office.clock(), 2.0).visits, noon(office))
    after = parts_page(office, office.clock()).kits
    assert any(kit.day for kit in after)
    assert {kit.truck for kit in before} <= {kit.truck for kit in after}


def test_a_yard_that_keeps_nothing() -> None:
    with yard() as office:
        page = parts_page(office, office.clock())
        assert (page.shelf, page.orders, page.kits, page.level) == ((), (), (), 95)
        note(
            office,
            Stock(part="hose", what="ordered", quantity=Decimal(1), expected=office.clock().date() + timedelta(days=3)),
            noon(office),
        )
        assert len(parts_page(office, office.clock()).shelf) == 1
