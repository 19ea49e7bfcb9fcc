"""The battery room in words."""

from __future__ import annotations

from derive.builders import ZONE
from derive.test_charging import BATTERY, charged, room, water, waters
from dipmark.views.battery import room_row


def test_what_was_done_when_and_what_to_look_into() -> None:
    found = room_row(room(charged(1) + water(2)), BATTERY, ZONE)
    assert (found.charges, found.charged, found.equalised) == (1, "Thu 2026-01-01 06:00", "not noted")
    assert found.watered == "Fri 2026-01-02 07:00"
    assert found.asks == (
        "Water went in with no charge in the 24 hours before. It goes in after the charge: it boils over.",
    )
    assert found.water == ""
    assert any("vent caps on" in text for text in found.cautions)
    assert any("no smoking, flame or spark" in text for text in found.cautions)
    assert found.cautions[-1].startswith("The battery maker's instructions")


def test_what_it_drinks_is_said_once_enough_is_noted() -> None:
    assert room_row(room(waters(10, "2 l")), BATTERY, ZONE).water == "20 l in 100 charges, as far as noted"
