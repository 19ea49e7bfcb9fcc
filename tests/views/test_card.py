"""The truck card: what is known of the truck, or a blank; its drawing; place by place what there is."""

from __future__ import annotations

from datetime import UTC

from dipmark.views.card import known_of, truck_card
from dipmark.views.paper import truck_head
from views.yards import ANA, RULES, instant, made

BARE = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
"""
FULL = (
    BARE
    + """  serial S-1
  built 2019
  capacity_kg "2500"
  fuel gas
  tyres air
  options - seat-belt
"""
)


def test_what_nobody_has_entered_is_a_blank() -> None:
    assert {value for _, value in known_of(made(BARE, "2026-11-20T08:00"))} == {""}
    assert [value for _, value in known_of(made(FULL, "2026-11-20T08:00"))] == [
        "S-1",
        "2019",
        "2,500 kg",
        "gas",
        "air",
        "seat belt",
    ]


def test_a_card_has_its_places_its_words_and_its_drawing() -> None:
    truck, kind = made(BARE, "2026-11-20T08:00"), RULES.kinds["engine-pneumatic-lpg"]
    head = truck_head(truck, "1-A", None, RULES, instant("2026-11-20T08:00"), UTC)
    card = truck_card(truck, kind, RULES, ANA, head)
    assert [row.text for place in card.know.places for row in place.rows] == ["Lift chains"]
    assert card.words["now"] == "Don't start"
    assert card.drawing.startswith("<svg")
    assert card.drawing.count('class="mark"') == len(card.know.places)
