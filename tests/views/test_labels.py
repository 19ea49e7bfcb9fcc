"""Labels: the letter on each small plate is the one that the walk-round asks."""

from __future__ import annotations

from datetime import UTC

from dipmark.views.compiled_sheet import letter_of
from dipmark.views.labels import labels
from dipmark.views.paper import truck_head
from views.yards import RULES, instant, made

TRUCK = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
"""


def test_each_place_of_the_shift_list_has_its_plate() -> None:
    truck, kind = made(TRUCK, "2026-11-20T08:00"), RULES.kinds["engine-pneumatic-lpg"]
    head = truck_head(truck, "1-A", None, RULES, instant("2026-11-20T08:00"), UTC)
    found = labels(truck, kind, head, "truck:7")
    assert found.opens == "truck:7"
    assert [(plate.place, plate.letter) for plate in found.plates] == [
        (place.text, letter_of(truck.book, place.id)) for place in kind.places if place.id == "front"
    ]


def test_a_kind_without_rules_has_the_large_label_only() -> None:
    truck = made(TRUCK, "2026-11-20T08:00")
    head = truck_head(truck, "1-A", None, RULES, instant("2026-11-20T08:00"), UTC)
    assert labels(truck, None, head, "truck:7").plates == ()
