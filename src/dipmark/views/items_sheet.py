"""What moves between trucks, on paper: where each item is and what it owes; a log for each battery to write in."""

from __future__ import annotations

import msgspec

from dipmark.views.battery import BatteryLog
from dipmark.views.items import ItemRow
from dipmark.views.paper import Head


class ItemsSheet(msgspec.Struct, frozen=True, kw_only=True):
    """All that stands on the sheet.

    Args:
        head: of its pages.
        rows: every item that is in the yard, by name.
        batteries: those of them that are charged.
    """

    head: Head
    rows: tuple[ItemRow, ...]
    batteries: tuple[BatteryLog, ...]
