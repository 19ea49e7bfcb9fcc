"""The sheet of what moves between trucks."""

from __future__ import annotations

from derive.builders import ZONE
from derive.test_charging import BATTERY, charged, room
from dipmark.facts.base import BookId
from dipmark.views.battery import BatteryLog, room_row
from dipmark.views.items import ItemRow
from dipmark.views.items_sheet import ItemsSheet
from dipmark.views.paper import Head


def test_it_holds_every_item_and_a_log_for_each_battery_with_its_cautions() -> None:
    """29 CFR 1910.178(g): the cautions stand where the charge is written down."""
    head = Head(yard="Y", book=BookId("yard"), code="1-A", when="now", rules="1")
    row = ItemRow("b-1", "traction battery", "", "on no truck", (), (), "")
    sheet = ItemsSheet(
        head=head, rows=(row,), batteries=(BatteryLog("b-1", "on no truck", room_row(room(charged(1)), BATTERY, ZONE)),)
    )
    (log,) = sheet.batteries
    assert (log.name, log.room.charged) == ("b-1", "Thu 2026-01-01 06:00")
    assert any("charger off" in text.lower() for text in log.room.cautions)
