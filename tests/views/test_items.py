"""Items in words: where they hang, what they have worked, what stands against them."""

from __future__ import annotations

import pytest

from derive.builders import RULES, ZONE, at, counting, record
from derive.measuring import SHIPPED, measured, value
from derive.test_combination import CLAMP, combination, plate
from derive.test_duty import duty, paper, rules
from dipmark.derive.item import ItemNow, item_now
from dipmark.derive.makeup import hung_of
from dipmark.derive.meter import meters_of
from dipmark.facts.base import BookId
from dipmark.rules.model import Rules
from dipmark.views.items import ItemPage, carried, item_page, item_row

TRUCK = """
enrolled truck:7 2026-01-01T06:00:00+01:00 lead
  what reach

meter-read truck:7 2026-02-01T08:00:00+01:00 lead
  hours 100.0

fitted truck:7 2026-02-01T08:00:00+01:00 lead
  item item:forks
"""
READ = "\nmeter-read truck:7 2026-02-03T08:00:00+01:00 lead\n  hours 110.0\n"
OFF = "\nremoved truck:7 2026-02-02T08:00:00+01:00 lead\n  item item:forks\n"
FORKS = "enrolled item:forks 2026-01-01T06:00:00+01:00 lead\n  what fork-pair\n  serial F-1\n"


def now(truck: str = "", own: str = FORKS, held_to: Rules = RULES) -> tuple[ItemNow, ItemPage]:
    book = counting(truck) if truck else counting("")
    stays = hung_of({BookId("truck:7"): book})
    found = item_now(record(own), held_to, "GB", ZONE, at("2026-03-01T06:00:00"), stays)
    assert found is not None
    meters = {BookId("truck:7"): meters_of(book, ZONE)} if truck else {}
    return found, item_page(found, meters, ZONE)


def test_on_a_truck_with_its_hours() -> None:
    item, page = now(TRUCK + READ)
    row = item_row(item, ZONE)
    assert (row.name, row.what, row.truck, row.serial) == ("forks", "pair of forks", "7", "F-1")
    assert row.where.startswith("on truck 7 since Sun 2026-02-01")
    assert page.hours == "10 h"
    assert [(one.truck, one.end, one.hours) for one in page.stays] == [("7", "", "10 h")]


def test_taken_off_and_hours_that_nobody_read() -> None:
    _, page = now(TRUCK + READ + OFF)
    assert (page.row.where, page.row.truck, page.hours) == ("on no truck", "", "5 h")
    assert page.stays[0].end.startswith("Mon 2026-02-02")
    _, unread = now(TRUCK.replace("meter-read truck:7 2026-02-01T08", "meter-read truck:7 2026-02-01T09"))
    assert unread.hours.startswith("at least 0")


@pytest.mark.parametrize(("how", "where"), [("sold", "sold"), ("given-back", "given back")])
def test_left_the_yard(how: str, where: str) -> None:
    _, page = now(own=FORKS + f"\nretired item:forks 2026-02-01T08:00:00+01:00 lead\n  how {how}\n")
    assert (page.row.where, page.stays) == (where, ())


def test_what_is_wrong_and_what_falls_due() -> None:
    fault = "\nfault item:forks 2026-02-01T08:00:00+01:00 lead\n  text cracked\n  seriousness stop\n"
    _, page = now(own=FORKS + fault)
    assert (page.faults, len(page.row.stops)) == (("cracked",), 1)
    held_to = rules(duty(about="item"))
    _, page = now(own=FORKS + paper("2026-01-31").replace("truck:7", "item:forks"), held_to=held_to)
    assert page.row.due == ("Examination: to be examined by 2027-01-31",)
    _, page = now(held_to=held_to)
    assert (page.row.due, len(page.row.stops)) == ((), 1)


def test_readings_on_a_truck_follow_the_item() -> None:
    cells = [value("cell", text, "sg") for text in ("1.260", "1.150")]
    told = measured("cells", "2026-02-01", *cells, rest="  item item:forks\n")
    other = measured("cells", "2026-02-02", *cells, rest="  item item:others\n")
    found = item_now(record(FORKS), SHIPPED, None, ZONE, at("2026-03-01T06:00:00"), (), counting(told + other))
    assert found is not None
    assert len(found.measures) == 1
    (line,) = item_page(found, {}, ZONE).measures
    assert line.startswith("Battery: gravity of every cell")


def test_a_kind_that_nobody_knows_is_called_as_it_was_written() -> None:
    item, _ = now(own=FORKS.replace("fork-pair", "winch"))
    assert item_row(item, ZONE).what == "winch"


def test_what_hangs_on_a_truck_in_words() -> None:
    bare = carried(combination("", CLAMP), ZONE)
    assert [one.name for one in bare.items] == ["clamp-3"]
    assert (len(bare.stops), bare.asks, bare.plate) == (1, (), "")
    named = carried(combination(plate("clamp-3"), CLAMP, ("b", "traction-battery", "")), ZONE)
    assert (named.stops, len(named.asks)) == ((), 1)
    assert named.plate == "A plate read on this truck names what hangs on it."
