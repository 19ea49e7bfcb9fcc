"""The places of the yard as people type them: what may burn there, how cold and wet it is, what floor and ramp ask."""

from __future__ import annotations

from collections.abc import Collection
from decimal import Decimal
from typing import Final, get_args

import msgspec

from dipmark.adapters.importing.cells import parse_number
from dipmark.facts.base import YARD
from dipmark.facts.errors import Refused
from dipmark.facts.place import Area, PlaceSet
from dipmark.facts.problems import Problem, Where, code
from dipmark.office.access import Asker
from dipmark.office.enter import enter
from dipmark.office.open import Office, told

PLACE_UNFIT: Final = code("place-unfit", "A place lacks its name, its class is none, or a limit of it is no number.")


class PlaceTyped(msgspec.Struct, frozen=True, kw_only=True):
    """A place as typed; see `facts.place.PlaceSet`. What is empty is not known.

    Args:
        name: of the place.
        area: class, division and group.
        ticked: what holds of ``sealed``, ``cold``, ``food`` and ``wet``.
        floor: what the floor carries, in kg.
        ramp: its steepest ramp, in per cent.
        note: anything else.
    """

    name: str
    area: str = ""
    ticked: Collection[str] = ()
    floor: str = ""
    ramp: str = ""
    note: str = ""


def set_place(office: Office, asker: Asker, typed: PlaceTyped) -> None:
    """Write what a place is like from now on; what was said of it before no longer holds.

    Args:
        office: the yard.
        asker: who says so.
        typed: what it is like.

    Raises:
        NotAllowed: that is not for the one who asks to do.
        Refused: everything that is wrong, each with its field; nothing was written.
    """
    asker.must("rules")
    problems: list[Problem] = []
    name, area = " ".join(typed.name.split()), next((one for one in get_args(Area) if one == typed.area), None)
    if not name:
        problems.append(_unfit("name", "nothing", "what the yard calls it"))
    if typed.area and area is None:
        problems.append(_unfit("area", repr(typed.area), ", ".join(get_args(Area))))
    floor, ramp = _number("floor", typed.floor, "kg", problems), _number("ramp", typed.ramp, "%", problems)
    if problems:
        raise Refused(told(problems), problems)
    body = PlaceSet(
        name=name,
        area=area,
        sealed="sealed" in typed.ticked,
        cold="cold" in typed.ticked,
        food="food" in typed.ticked,
        wet="wet" in typed.ticked,
        floor_kg=floor,
        ramp_percent=ramp,
        note=typed.note.strip() or None,
    )
    enter(office, [office.fact(YARD, body, office.clock())])


def _number(field: str, text: str, unit: str, problems: list[Problem]) -> Decimal | None:
    """A limit; blank: none is set. It is above zero."""
    if not text.strip():
        return None
    found = parse_number(text, None)
    if isinstance(found, Problem):
        problems.append(msgspec.structs.replace(found, where=Where(column=f"place-{field}")))
        return None
    if found.value <= 0 or found.unit not in {None, unit}:
        problems.append(_unfit(field, repr(text), f"a number above 0, in {unit}"))
    return found.value


def _unfit(field: str, found: str, expected: str) -> Problem:
    return Problem(PLACE_UNFIT, found, expected, "Fill it in.", Where(column=f"place-{field}"))
