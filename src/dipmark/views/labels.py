"""Labels for a truck: the code that opens its sheet, and the small plates with the letter of each place."""

from __future__ import annotations

import msgspec

from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow
from dipmark.rules.model import Kind
from dipmark.views.compiled_sheet import letter_of
from dipmark.views.paper import Head


class Plate(msgspec.Struct, frozen=True):
    """The small plate of a place: its number on the drawing, its name, its letter."""

    number: int
    place: str
    letter: str


class Labels(msgspec.Struct, frozen=True, kw_only=True):
    """All labels of one truck.

    Args:
        head: of the page.
        opens: text of the code that opens its sheet.
        plates: in walking order.
    """

    head: Head
    opens: str
    plates: tuple[Plate, ...]


def labels(truck: TruckNow, kind: Kind | None, head: Head, opens: str) -> Labels:
    """The labels of one truck.

    Args:
        truck: as it stands.
        kind: its rules; None: it has none, and no plates.
        head: of the page.
        opens: text of the code that opens its sheet.
    """
    asked = {one.place for one in kind.checks_for(options_of(truck.counting, kind)) if one.shift} if kind else set()
    places = sorted(kind.places, key=lambda place: place.number) if kind else []
    plates = tuple(Plate(one.number, one.text, letter_of(truck.book, one.id)) for one in places if one.id in asked)
    return Labels(head=head, opens=opens, plates=plates)
