"""The shelf: counts, receipts, issues, orders, shelf life, and what went into trucks without a word of it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from derive.builders import ENROLLED, ZONE, at, counting, fid, record
from dipmark.derive.stock import Coming, Lot, Shelf, Taken, shelves


def stock(day: int, what: str, quantity: str, part: str = "oil filter", rest: str = "") -> str:
    told = f'  part "{part}"\n  what {what}\n  quantity {quantity}\n{rest}'
    return f"\nstock yard 2026-03-{day:02}T08:00:00+01:00 ana\n{told}"


def worked(day: int, quantity: str, *, service: bool = True, part: str = "Oil Filter", unit: str = "") -> str:
    done = "  services - 150h\n" if service else "  tasks - engine-oil.change\n"
    in_unit = f', "unit": "{unit}"' if unit else ""
    used = f'  parts - {{"part": "{part}", "quantity": "{quantity}"{in_unit}}}\n'
    return f"\nworked truck:7 2026-03-{day:02}T12:00:00+01:00 ana\n{done}{used}"


def shelf(text: str, truck: str = "", as_of: str = "2026-03-20T12:00:00") -> Shelf:
    (found,) = shelves(record(text), [counting(ENROLLED + truck, as_of)], at(as_of), ZONE)
    return found


def test_counted_received_issued_thrown_away() -> None:
    place = '  place A3\n  price {"amount": "9.80", "currency": "EUR"}\n'
    text = stock(1, "received", "3") + stock(2, "counted", "5", rest=place) + stock(3, "issued", "2")
    found = shelf(text + stock(4, "received", "6") + stock(5, "thrown-away", "1", part="OIL  filter"))
    assert (found.part, found.unit, found.there, found.place, found.counted) == (
        "oil filter",
        "piece",
        Decimal(8),
        "A3",
        date(2026, 3, 2),
    )
    assert found.price is not None
    assert found.price.amount == Decimal("9.80")
    assert found.taken == (Taken(date(2026, 3, 3), Decimal(2), planned=False),)


def test_more_left_than_was_known_to_be_there() -> None:
    found = shelf(stock(1, "counted", "1") + stock(2, "issued", "3"))
    assert (found.there, found.lots) == (Decimal(-2), ())
    later = shelf(stock(1, "counted", "1") + stock(2, "issued", "3") + stock(3, "received", "5"))
    assert (later.there, later.lots) == (Decimal(3), (Lot(Decimal(3), None),))
    assert shelf(stock(1, "counted", "0") + stock(2, "issued", "3") + stock(3, "received", "2")).there == Decimal(-1)


def test_what_goes_off_first_goes_first_and_is_no_stock_after_its_day() -> None:
    text = stock(1, "received", "4", rest="  use_by 2026-03-20\n") + stock(2, "received", "4")
    text += stock(3, "received", "2", rest="  use_by 2026-03-10\n")
    found = shelf(text + stock(4, "issued", "3"))
    assert found.lots == (Lot(Decimal(3), date(2026, 3, 20)), Lot(Decimal(4), None))
    assert (found.there, found.past_day) == (Decimal(7), Decimal(0))
    after = shelf(text + stock(4, "issued", "3"), as_of="2026-03-21T12:00:00")
    assert (after.there, after.past_day) == (Decimal(4), Decimal(3))


def test_the_oldest_order_is_filled_first() -> None:
    text = stock(1, "ordered", "4", rest="  expected 2026-03-10\n") + stock(2, "ordered", "6")
    found = shelf(text + stock(9, "received", "5"))
    assert found.coming == (Coming(Decimal(5), date(2026, 3, 2), None),)
    part = shelf(text + stock(9, "received", "3"))
    assert part.coming[0] == Coming(Decimal(1), date(2026, 3, 1), date(2026, 3, 10))
    assert shelf(text + stock(9, "received", "12")).coming == ()


def test_what_went_into_a_truck_left_the_shelf_once() -> None:
    kept = stock(1, "counted", "9")
    found = shelf(kept, worked(2, "2") + worked(3, "1", service=False))
    assert (found.there, found.unnoted) == (Decimal(6), Decimal(3))
    assert found.taken == (
        Taken(date(2026, 3, 2), Decimal(2), planned=True),
        Taken(date(2026, 3, 3), Decimal(1), planned=False),
    )
    same = stock(2, "issued", "2", rest=f"  work {fid(2)}\n")
    work = worked(2, "2") + f"  @id {fid(2)}\n"
    noted = shelf(kept + same, work)
    assert (noted.there, noted.unnoted) == (Decimal(7), Decimal(0))
    assert noted.taken == (Taken(date(2026, 3, 2), Decimal(2), planned=True),)
    loose = shelf(kept + stock(2, "issued", "2"), worked(2, "3") + worked(2, "1"))
    assert (loose.there, loose.unnoted) == (Decimal(5), Decimal(2))
    covered = shelf(kept + stock(2, "issued", "2"), worked(2, "2"))
    assert (covered.there, covered.unnoted) == (Decimal(7), Decimal(0))


def test_a_count_sets_all_before_it_right() -> None:
    found = shelf(stock(1, "counted", "9") + stock(5, "counted", "4"), worked(2, "2"))
    assert (found.there, found.unnoted) == (Decimal(4), Decimal(0))


def test_another_unit_or_a_part_the_yard_does_not_keep_is_left_alone() -> None:
    text = stock(1, "counted", "9") + stock(2, "received", "5", rest="  unit box\n")
    found = shelf(text, worked(3, "1", unit="box") + worked(3, "1", part="hose"))
    assert (found.there, found.taken) == (Decimal(9), ())


def test_how_it_is_bought_as_last_told() -> None:
    text = "\naway yard 2026-03-01T08:00:00+01:00 ana\n  person ann\n  first 2026-03-02\n  last 2026-03-02\n"
    for day, lead in ((1, 5), (2, 9)):
        text += f'\npart-set yard 2026-03-0{day}T08:00:00+01:00 ana\n  part "oil filter"\n  lead_days {lead}\n'
    found = shelf(text)
    assert found.bought is not None
    assert (found.bought.lead_days, found.there, found.counted) == (9, Decimal(0), None)
