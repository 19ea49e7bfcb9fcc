"""The stores as people read them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import msgspec

from dipmark.derive.stock import Coming, Shelf
from dipmark.facts.stock import PartSet
from dipmark.plan.orders import Order, Store, Use
from dipmark.views.parts import KitLine, bare, kit_row, order_row, part_row

TODAY = date(2026, 11, 9)
SHELF = Shelf(
    part="oil filter",
    unit="piece",
    there=Decimal(4),
    past_day=Decimal(0),
    lots=(),
    place="A3",
    price=None,
    counted=TODAY,
    unnoted=Decimal(0),
    coming=(),
    taken=(),
    bought=PartSet(part="oil filter", lead_days=5, supplier="Parts Counter"),
)
USES = (
    Use("7 150h", 1, date(2026, 11, 20), date(2026, 11, 20), date(2026, 11, 20)),
    Use("9 150h", 1, date(2026, 11, 10), date(2026, 11, 12), date(2026, 11, 16)),
)
STORE = Store(part="oil filter", there=4, uses=USES, lead_most=14)


def change(**fields: object) -> Shelf:
    return msgspec.structs.replace(SHELF, **fields)


def test_a_part_with_nothing_to_look_into() -> None:
    row = part_row(SHELF, STORE, TODAY, 6)
    assert (row.words, row.coming, row.lead_days, row.place) == ((), (), 5, "A3")
    assert (row.gauge.value, row.gauge.full, row.gauge.word) == (Decimal(4), Decimal(6), "")
    assert row.wanted == ("9 150h: Thu 12", "7 150h: Fri 20")
    assert part_row(SHELF, STORE, TODAY, 2).gauge.full == 4


def test_what_ought_to_be_looked_into() -> None:
    shelf = change(there=Decimal("-1.50"), past_day=Decimal(2), unnoted=Decimal(3), counted=None, bought=None, unit="l")
    row = part_row(shelf, STORE, TODAY, 0)
    assert row.words == (
        "1.5 fewer than none: count it",
        "2 past their day: no stock",
        "3 went into trucks without a word here since the last count",
        "never counted",
        "nobody has said how long it takes to come: reckoned with 14 days",
    )
    assert (row.gauge.value, row.gauge.word, row.lead_days) == (Decimal(0), "none left", None)


def test_what_comes() -> None:
    coming = (
        Coming(Decimal(2), TODAY, date(2026, 11, 9)),
        Coming(Decimal(3), TODAY, None),
        Coming(Decimal(4), TODAY, date(2026, 11, 8)),
    )
    assert part_row(change(coming=coming), STORE, TODAY, 0).coming == (
        "2 ordered, expected Mon 9",
        "3 ordered, nobody knows when it comes",
        "4 ordered, was to come Sun 8: ask",
    )


def test_lines_of_the_order_list() -> None:
    order = Order("oil filter", 6, date(2026, 11, 11), date(2026, 11, 10), USES)
    row = order_row(order, SHELF, TODAY)
    assert (row.day, row.wanted) == ("Wed 11", "7 150h (Fri 20), 9 150h (Thu 12)")
    assert (row.lead_days, row.supplier) == (5, "Parts Counter")
    bare_row = order_row(Order("oil filter", 1, TODAY, None, ()), change(bought=None), TODAY)
    assert (bare_row.day, bare_row.wanted, bare_row.lead_days, bare_row.supplier) == (
        "today",
        "for what breaks",
        None,
        None,
    )


def test_a_kit_is_ready_when_all_of_it_is_there() -> None:
    lines = [KitLine("oil filter", 1, Decimal(4)), KitLine("plug", 2, Decimal(2))]
    assert kit_row("7", "150h", "Fri 20", lines).ready
    assert not kit_row("7", "150h", "", [*lines, KitLine("oil", 1, None)]).ready
    assert not kit_row("7", "150h", "", [KitLine("oil filter", 5, Decimal(4))]).ready


def test_amounts_without_needless_noughts() -> None:
    assert [bare(Decimal(text)) for text in ("4.0", "0.50", "200", "-2")] == ["4", "0.5", "200", "-2"]
