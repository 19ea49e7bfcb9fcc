"""The place where a truck is: what may burn there, what is asked of the truck, what is minded."""

from __future__ import annotations

import msgspec

from dipmark.derive.places import ASKED, against_place, area_words, minded
from dipmark.derive.truck import TruckNow, place_now
from dipmark.derive.yard import YardNow
from dipmark.facts.said import Word


class PlaceHere(msgspec.Struct, frozen=True):
    """A place with a truck in it.

    Args:
        name: of the place.
        area: class, division and group; empty: an ordinary place.
        asks: what is to be read off the truck's plate or manual, so that it can be held against the place.
        minded: what is looked at and kept in mind there.
    """

    name: str
    area: str
    asks: tuple[str, ...]
    minded: tuple[str, ...]


def place_here(truck: TruckNow, yard: YardNow, word: Word = str) -> PlaceHere | None:
    """The place where a truck is, in words; None where nothing is known of it.

    Args:
        truck: as it stands; what keeps it out of service there stands in its state.
        yard: with its places.
        word: says a sentence in the reader's language.
    """
    place = place_now(truck.enrolled, truck.held, yard)
    if place is None:
        return None
    against = against_place(place, truck.counting, truck.enrolled.capacity_kg, word)
    return PlaceHere(
        name=place.name,
        area=area_words(place.area, word) if place.area else "",
        asks=tuple(one.text for one in against if one.rule == ASKED),
        minded=minded(place, word),
    )
