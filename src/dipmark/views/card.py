"""The truck card: what the truck is, its drawing, and place by place what is there and what bad looks like."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from dipmark.derive.truck import TruckNow
from dipmark.facts.base import PersonKey
from dipmark.facts.said import Word
from dipmark.rules.model import Kind, Rules
from dipmark.views.drawing.draw import drawing
from dipmark.views.drawing.svg import svg
from dipmark.views.know_truck import KnowTruck, know_truck
from dipmark.views.paper import Head
from dipmark.views.words import SERIOUSNESS


class TruckCard(msgspec.Struct, frozen=True, kw_only=True):
    """All that stands on the card.

    Args:
        head: of its pages.
        known: label and value of what is known of the truck; a value not known is empty, a blank on paper.
        know: place by place.
        words: how serious, by code.
        drawing: the truck as SVG, with its places.
    """

    head: Head
    known: tuple[tuple[str, str], ...]
    know: KnowTruck
    words: dict[str, str]
    drawing: str


def truck_card(truck: TruckNow, kind: Kind, rules: Rules, names: Mapping[PersonKey, str], head: Head) -> TruckCard:
    """The card of one truck.

    Args:
        truck: as it stands.
        kind: its rules.
        rules: of today, in the language of the card.
        names: of people, by key.
        head: of its pages.
    """
    know = know_truck(truck, kind, names, rules.word)
    shown = {place.id for place in know.places}
    return TruckCard(
        head=head,
        known=known_of(truck, rules.word),
        know=know,
        words={code: rules.word(text) for code, text in SERIOUSNESS.items()},
        drawing=svg(drawing(kind.key, [place for place in kind.places if place.id in shown]), kind.text),
    )


def known_of(truck: TruckNow, word: Word = str) -> tuple[tuple[str, str], ...]:
    """What is known of a truck: label and value; a value that nobody has entered is empty.

    Args:
        truck: as it stands.
        word: says a word in the reader's language.
    """
    enrolled = truck.enrolled
    capacity, built = enrolled.capacity_kg, enrolled.built
    return (
        ("Serial number", enrolled.serial or ""),
        ("Built", "" if built is None else str(built)),
        ("Capacity on the plate", "" if capacity is None else f"{capacity:,f} kg"),
        ("Fuel", enrolled.fuel or ""),
        ("Tyres", enrolled.tyres or ""),
        ("Fitted", ", ".join(word(one.replace("-", " ")) for one in enrolled.options or ())),
    )
