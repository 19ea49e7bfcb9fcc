"""The places of the yard, and whether a truck may be in one: its type mark, its mass, the ramp it may climb."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Final, get_args

from dipmark.derive.because import Because
from dipmark.derive.past import Counting
from dipmark.derive.plate import plate_text, plate_value
from dipmark.facts.place import Area, PlaceSet
from dipmark.facts.said import Word, says

MARKS: Final = ("D", "DS", "DY", "E", "ES", "EE", "EX", "G", "GS", "LP", "LPS")
"""The type marks of trucks by their fuel and safeguards.

*Source*: 29 CFR 1910.178(b), eleven designations; seen in copies, the list from memory.
"""

_SHUT: Final = frozenset({"DS", "ES", "GS", "LPS"})
_BETTER: Final = frozenset({"DY", "EE", "EX"})
_EX: Final = frozenset({"EX"})

ALLOWED: Final[Mapping[Area, frozenset[str]]] = {
    "I-1-D": _EX,
    "I-2-D": _BETTER,
    "II-1-F": _EX,
    "II-1-G": _EX,
    "II-2-F": _BETTER,
    "II-2-G": _BETTER,
    "III-1": _BETTER,
    "III-2": _BETTER | _SHUT,
}
"""The marks allowed in an area; in one that is not here no truck is.

*Edge*: metal dust (group E) in Division 2 is read as strictly as in Division 1. Type E where fibres are only stored,
which the law lets go on where it was already so, is not allowed here.

*Source*: 29 CFR 1910.178(c)(2)(i) to (ix); OSHA letters of 24 May 1995 (Class I, Group C), 16 June 1995 (Class II,
Group E), 3 June 1993 ((vi)(a)); OSHA Instruction STD 1-11.6A (Class II, Division 2). Other cells from memory.
"""

SHUT_IN: Final[Mapping[Area, frozenset[str]]] = {"I-2-D": _SHUT, "II-2-F": _SHUT, "II-2-G": _SHUT}
"""The marks allowed besides where all that could burn stays shut in.

*Source*: 29 CFR 1910.178(c)(2)(v), from memory; OSHA Instruction STD 1-11.6A for dusts.
"""

CLASS: Final = "place.class"
FLOOR: Final = "place.floor"
RAMP: Final = "place.ramp"
ASKED: Final = "place.asked"
"""Rule of a reason that only asks: a value that the plate or the manual has and nobody has entered."""

OUT: Final = says("Place {}: {}. {} Take it out of there, only if that is safe.")
CLASSED: Final = says("Class {}, Division {}, Group {}")
CLASSED_III: Final = says("Class {}, Division {}")
NO_MARK: Final = says("The truck's type mark is not known: read it on the plate.")
ODD_MARK: Final = says("The truck's mark {} is none of those in the law: ask who keeps the place.")
ONLY_SHUT: Final = says(
    "The truck's mark {} is allowed only where all that could burn stays shut in, and nobody says so."
)
WRONG_MARK: Final = says("The truck's mark {} is not allowed there.")
TOO_HEAVY: Final = says("Place {}: truck and load weigh {} kg, the floor carries {} kg.")
ASK_MASS: Final = says("Place {}: the floor carries {} kg. Enter the truck's mass and what it lifts, from the plate.")
TOO_STEEP: Final = says("Place {}: its ramp is {} %, the truck climbs {} %.")
ASK_RAMP: Final = says("Place {}: its ramp is {} %. Enter what the truck climbs, from the plate or manual.")

NO_REPAIRS: Final = says("No repairs in this place: take the truck out first.")
NO_PHONES: Final = says("No phones here unless made for such a place: use the paper sheet.")
COLD: Final = says("Cold store: oil, grease and battery as the manual says for the cold.")
COLD_CHECK: Final = says("Cold store: after coming out, look at brakes, chains, plugs and glass for water and ice.")
FOOD: Final = says("Food: grease fit for food where it can drip or be touched, as manual and food rules say.")
FOOD_CHECK: Final = says("Food: no drip and no loose part over open food; wipe the mast and the forks.")
WET: Final = says("Wet: try the brakes slowly after water; no hose on motors, plugs and controls.")
SOONER: Final = says("Cold and wet are hard use: services come sooner while the truck works here.")
WET_CHECK: Final = says("Wet: chains oiled and fittings greased more often; look for rust.")


def places_now(counting: Counting) -> dict[str, PlaceSet]:
    """The places of the yard by name, as last told.

    Args:
        counting: what counts of the yard's book.

    *Edge*: a name written with other capitals or blanks is the same place; it stands as last written.
    """
    found: dict[str, PlaceSet] = {}
    for one in counting:
        if isinstance(body := one.body, PlaceSet):
            found.pop(_plain(body.name), None)
            found[_plain(body.name)] = body
    return {place.name: place for place in found.values()}


def place_named(places: Mapping[str, PlaceSet], name: str | None) -> PlaceSet | None:
    """The place of that name; None where nobody has told anything of it, which means nothing is known against it.

    Args:
        places: as `places_now` gives them.
        name: where the truck is, whatever its capitals and blanks.
    """
    return next((place for place in places.values() if name and _plain(place.name) == _plain(name)), None)


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())


def area_words(area: Area, word: Word = str) -> str:
    """Class, division and group as one reads them out.

    Args:
        area: such as ``I-1-D``.
        word: says a word in the reader's language.

    Example:
        >>> area_words("I-1-D"), area_words("III-2")
        ('Class I, Division 1, Group D', 'Class III, Division 2')
    """
    parts = area.split("-")
    return word(CLASSED if len(parts) == 3 else CLASSED_III).format(*parts)


def misplaced(mark: str | None, place: PlaceSet, word: Word = str) -> Because | None:
    """Why a truck may not be in a place: it is out of service there.

    Args:
        mark: its type mark as on the plate, such as ``EX``, ``Type EX`` or ``GS/LPS`` for two fuels; None unknown.
        place: where it is.
        word: says a word in the reader's language.

    Returns:
        The reason; None where the mark is allowed, and in every ordinary place.

    *Edge*: a mark that is unknown, or none of the eleven, is not allowed in a classed place; of two fuels both must be.

    *Source*: 29 CFR 1910.178(b), (c).
    """
    if place.area is None:
        return None
    marks = _marks(mark)
    allowed = ALLOWED.get(place.area, frozenset())
    with_shut = allowed | SHUT_IN.get(place.area, frozenset())
    if marks and marks <= (with_shut if place.sealed else allowed):
        return None
    if not marks:
        why = word(NO_MARK)
    elif not marks <= set(MARKS):
        why = word(ODD_MARK).format(mark)
    elif marks <= with_shut:
        why = word(ONLY_SHUT).format(mark)
    else:
        why = word(WRONG_MARK).format(mark)
    return Because(word(OUT).format(place.name, area_words(place.area, word), why), CLASS, "us-178-c")


def _marks(mark: str | None) -> frozenset[str]:
    """The marks written as one: two fuels stand on both sides of a stroke."""
    bare = (mark or "").upper().replace(".", "").strip().removeprefix("TYPE ")
    return frozenset(part.strip() for part in bare.split("/") if part.strip())


def on_floor(place: PlaceSet, mass_kg: Decimal | None, load_kg: Decimal | None, word: Word = str) -> Because | None:
    """What stands against a truck on the floor of a place: it is too heavy, or its mass is not known and asked.

    Args:
        place: where it is.
        mass_kg: the truck's own, with battery, from the plate.
        load_kg: what it may lift, from the plate.
        word: says a word in the reader's language.

    Returns:
        The reason, of rule `FLOOR` or `ASKED`; None where nothing does. Axle loads are never calculated.

    *Edge*: a floor that carries exactly the mass and the load carries them.
    """
    floor = place.floor_kg
    if floor is None:
        return None
    known = (mass_kg or Decimal(0)) + (load_kg or Decimal(0))
    if known > floor:
        return Because(word(TOO_HEAVY).format(place.name, f"{known:f}", f"{floor:f}"), FLOOR)
    if mass_kg is None or load_kg is None:
        return Because(word(ASK_MASS).format(place.name, f"{floor:f}"), ASKED)
    return None


def on_ramp(place: PlaceSet, climbs_percent: Decimal | None, word: Word = str) -> Because | None:
    """What stands against a truck on the ramp of a place: it is too steep, or the truck's own value is asked.

    Args:
        place: where it is.
        climbs_percent: the steepest ramp the plate or the manual allows it with load, in per cent.
        word: says a word in the reader's language.

    Returns:
        The reason, of rule `RAMP` or `ASKED`; None where nothing does.

    *Edge*: exactly as steep as the plate allows is allowed.
    """
    ramp = place.ramp_percent
    if ramp is None:
        return None
    if climbs_percent is None:
        return Because(word(ASK_RAMP).format(place.name, f"{ramp:f}"), ASKED)
    if ramp > climbs_percent:
        return Because(word(TOO_STEEP).format(place.name, f"{ramp:f}", f"{climbs_percent:f}"), RAMP)
    return None


def against_place(
    place: PlaceSet, counting: Counting, load_kg: Decimal | None, word: Word = str
) -> tuple[Because, ...]:
    """All that stands against a truck in a place, and what is asked: its mark, its mass, its ramp.

    Args:
        place: where it is.
        counting: the truck's record; the plate's ``type-mark``, ``mass`` in kg and ``ramp`` in % are looked up there.
        load_kg: its rated capacity.
        word: says a word in the reader's language.
    """
    found = (
        misplaced(plate_text(counting, "type-mark"), place, word),
        on_floor(place, plate_value(counting, "mass", "kg"), load_kg, word),
        on_ramp(place, plate_value(counting, "ramp", "%"), word),
    )
    return tuple(one for one in found if one is not None)


def uses_there(place: PlaceSet) -> tuple[str, ...]:
    """How hard a truck is used in a place, as the rules call it: in cold and wet its services come sooner.

    *Source*: the rules' services, factors of severe use: dust, heat, wet, in and out of a cold store (seen).
    """
    return ("harsh",) if place.cold or place.wet else ()


def minded(place: PlaceSet, word: Word = str) -> tuple[str, ...]:
    """What is minded and looked at besides in a place; maker's manual and local rules go first.

    *Source*: no repairs in a classed place: 29 CFR 1910.178(q)(2). The rest: common practice, no source.
    """
    held = (
        (place.area is not None, (NO_REPAIRS, NO_PHONES)),
        (place.cold, (COLD, COLD_CHECK)),
        (place.food, (FOOD, FOOD_CHECK)),
        (place.wet, (WET, WET_CHECK)),
        (bool(uses_there(place)), (SOONER,)),
    )
    return tuple(word(text) for holds, texts in held if holds for text in texts)


AREAS: Final[tuple[Area, ...]] = get_args(Area)
"""Every area by its short name, in the order of the law's table."""
