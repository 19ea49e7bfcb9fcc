"""The key board: every truck as it stands, and which may not work with what hangs on it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

import msgspec

from dipmark.derive.standing import Standing
from dipmark.office.items import not_so
from dipmark.office.look import due_rows, trucks
from dipmark.office.open import Office
from dipmark.views.due_soon import DueRow
from dipmark.views.yard import YardRow, yard_rows


def yard_board(
    office: Office, as_of: datetime, progress: Callable[[int, int], None] | None = None
) -> tuple[YardRow, ...]:
    """The key board at an instant; see `views.yard`."""
    return _hooks(office, trucks(office, as_of, progress=progress), as_of)


def _hooks(office: Office, found: Sequence[Standing], as_of: datetime) -> tuple[YardRow, ...]:
    against = not_so(office, as_of)
    rows = yard_rows(found, office.rules, office.people.names(), as_of, office.zone)
    return tuple(msgspec.structs.replace(row, not_so=against.get(row.truck, ())) for row in rows)


def board_and_due(
    office: Office, as_of: datetime, progress: Callable[[int, int], None] | None = None
) -> tuple[tuple[YardRow, ...], tuple[DueRow, ...]]:
    """Key board and due list at once, each truck derived once."""
    found = trucks(office, as_of, progress=progress)
    return _hooks(office, found, as_of), due_rows(office, found, as_of)
