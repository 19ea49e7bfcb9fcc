"""The head of a page: whose yard, which truck, which code."""

from __future__ import annotations

from datetime import UTC

from dipmark.facts.base import YARD
from dipmark.views.paper import service_paper, shortened, truck_head, yard_head
from dipmark.views.service_sheet import service_sheet
from views.yards import ANA, RULES, instant, made

TRUCK = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
  place "hall 2"
"""
NOW = instant("2026-11-20T08:00")


def test_a_truck_stands_where_it_works() -> None:
    head = truck_head(made(TRUCK, "2026-11-20T08:00"), "1-A", "Quay", RULES, NOW, UTC)
    assert (head.truck, head.place, head.code, head.when) == ("7", "hall 2", "1-A", "Fri 2026-11-20 08:00")
    assert head.kind == RULES.kinds["engine-pneumatic-lpg"].text
    away = TRUCK + "\nheld-by truck:7 2026-11-01T08:00:00+00:00 ana\n  who other-site\n  place quarry\n"
    assert truck_head(made(away, "2026-11-20T08:00"), "1-A", None, RULES, NOW, UTC).place == "quarry"


def test_a_kind_without_rules_is_called_as_it_is() -> None:
    strange = TRUCK.replace("engine-pneumatic-lpg", "hovercraft")
    assert truck_head(made(strange, "2026-11-20T08:00"), "1-A", None, RULES, NOW, UTC).kind == "hovercraft"


def test_a_sheet_about_the_yard_names_no_truck() -> None:
    head = yard_head(YARD, "9-B", "Quay", RULES, NOW, UTC)
    assert (head.truck, head.kind, head.book, head.rules) == (None, None, YARD, "1")


def test_a_service_sheet_has_the_hours() -> None:
    truck = made(TRUCK, "2026-11-20T08:00")
    sheet = service_sheet(truck, "150h", RULES, ANA)
    assert sheet is not None
    head = truck_head(truck, "1-A", None, RULES, NOW, UTC)
    assert service_paper(truck, sheet, head).hours == "–"


def test_what_is_left_out_shows() -> None:
    assert shortened("wet  at\nthe gland", 40) == "wet at the gland"
    assert shortened("W" * 50, 10) == "WW … WWWWW"
    assert len(shortened("one two three four five", 12)) <= 12
