"""May a truck work with what hangs on it? Looked up on its plates, never calculated; the truck's own state is apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, tzinfo
from typing import Final

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.duty import duties_now
from dipmark.derive.item import ItemNow
from dipmark.derive.past import Counting
from dipmark.derive.plate import plate_value
from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import FactId, folded
from dipmark.facts.said import Word, says
from dipmark.facts.truck import PlateRead
from dipmark.rules.items import FOR_PEOPLE, ON_THE_PLATE
from dipmark.rules.model import Rules
from dipmark.rules.value import LIFTS_PEOPLE

A4: Final = "us-178-a4"
PRACTICE: Final = "practice"

WEIGHT: Final = "weight"
LIGHTEST: Final = "battery-weight-least"
HEAVIEST: Final = "battery-weight-most"
"""What plate values are called: of the battery itself, and of the truck."""

NOT_NAMED: Final = says(
    "{} on it: no capacity plate read on this truck names that. Take it off; or read the plate that its maker wrote for"
    " it. Nothing here works a capacity out."
)
ITEM_OUT: Final = says("{}: {}")
WEIGHS: Final = says("{} weighs {} kg; the plate of the truck allows {} to {} kg. Take it out.")
WEIGH_IT: Final = says("{}: its weight, or what the truck's plate allows, is not noted. Read both plates.")
OPEN_END: Final = says("any")
WITH_PEOPLE: Final = says("With {} it lifts people. {}")


class Combination(msgspec.Struct, frozen=True):
    """A truck with what hangs on it.

    Args:
        on: what hangs on it.
        stops: why it may not work so; empty: nothing in the record forbids it.
        asks: what is not known and ought to be read.
        plate: the fact of the plate that names this combination; None: the bare truck's, or none.
    """

    on: tuple[ItemNow, ...]
    stops: tuple[Because, ...] = ()
    asks: tuple[Because, ...] = ()
    plate: FactId | None = None


def combination_now(
    truck: TruckNow, on: Sequence[ItemNow], rules: Rules, country: str | None, as_of: datetime, zone: tzinfo
) -> Combination:
    """May this truck work with these items? Its own state is another matter, and stays what it is.

    Args:
        truck: as it stands.
        on: what hangs on it.
        rules: of today.
        country: the yard's; None: no legal duty is known.
        as_of: the instant.
        zone: the yard's.

    *Edge*: a battery that weighs just the least or just the most that the plate allows is inside. A plate names a
    combination where it names each thing that hangs there, by its name or by its kind, and nothing else.
    *Source*: 29 CFR 1910.178(a)(4), (a)(5): no attachment without the maker's word, and the plate must say so; LOLER
    1998, regulation 9(3)(a)(i): what lifts people is examined every six months; battery weight: the truck's own plate.
    """
    word = rules.word
    attached = [one for one in on if one.enrolled.what in ON_THE_PLATE]
    plate = _plate(truck.counting, attached) if attached else None
    stops = [
        Because(word(ITEM_OUT).format(one.name, why.text), why.rule, why.source, why.facts)
        for one in on
        for why in one.stops
    ]
    if attached and plate is None:
        names = ", ".join(one.name for one in attached)
        stops.append(Because(word(NOT_NAMED).format(names), "combination.plate", A4, _fitted(attached)))
    asks: list[Because] = []
    for one in on:
        if one.enrolled.what == "traction-battery":
            why, wrong = _weight(truck.counting, one, word)
            if why is not None:
                (stops if wrong else asks).append(why)
    stops += _lifting_people(truck, on, rules, country, as_of, zone)
    return Combination(tuple(on), tuple(stops), tuple(asks), plate)


def _fitted(on: Sequence[ItemNow]) -> tuple[FactId, ...]:
    return tuple(one.on.fitted for one in on if one.on is not None)


def _plate(counting: Counting, attached: Sequence[ItemNow]) -> FactId | None:
    """The last plate read that names just these."""
    for one in reversed(counting):
        if isinstance(one.body, PlateRead) and _names(one.body.fitted, attached):
            return one.id
    return None


def _names(fitted: Sequence[str], attached: Sequence[ItemNow]) -> bool:
    """Whether a plate names each of them and nothing else: by name first, then by kind."""
    left = [folded(one) for one in fitted]
    kinds: list[str] = []
    for item in attached:
        if folded(item.name) in left:
            left.remove(folded(item.name))
        else:
            kinds.append(item.enrolled.what)
    return sorted(left) == sorted(kinds)


def _weight(truck: Counting, battery: ItemNow, word: Word) -> tuple[Because | None, bool]:
    """What is to be said about a battery's weight, and whether it is wrong."""
    weight, least, most = (
        plate_value(book, name, "kg")
        for book, name in ((battery.counting, WEIGHT), (truck, LIGHTEST), (truck, HEAVIEST))
    )
    if weight is None or (least is None and most is None):
        text = word(WEIGH_IT).format(battery.name)
        return Because(text, "combination.battery", PRACTICE, _fitted([battery])), False
    if (least is None or least <= weight) and (most is None or weight <= most):
        return None, False
    allowed = [word(OPEN_END) if one is None else f"{one:f}" for one in (least, most)]
    text = word(WEIGHS).format(battery.name, f"{weight:f}", *allowed)
    return Because(text, "combination.battery", PRACTICE, _fitted([battery])), True


def _lifting_people(
    truck: TruckNow, on: Sequence[ItemNow], rules: Rules, country: str | None, as_of: datetime, zone: tzinfo
) -> Iterator[Because]:
    """The examinations of the truck that have lapsed only because people are lifted with it."""
    platforms = [one.name for one in on if one.enrolled.what in FOR_PEOPLE]
    if not platforms:
        return
    enrolled, kind = truck.enrolled, rules.kind(truck.enrolled.what)
    has = {*(options_of(truck.counting, kind) if kind else enrolled.options or ()), *enrolled.uses, LIFTS_PEOPLE}
    own = {one.duty.id for one in truck.duties if one.stops is not None}
    for one in duties_now(truck.counting, enrolled.what, has, rules, country, as_of, zone):
        if one.stops is not None and one.duty.id not in own:
            text = rules.word(WITH_PEOPLE).format(", ".join(platforms), one.stops.text)
            yield msgspec.structs.replace(one.stops, text=text)
