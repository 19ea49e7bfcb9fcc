"""Getting to know a truck: place by place what is there, why it matters, what bad looks like, what is on this one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import msgspec

from dipmark.derive.past import Counting
from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import RANK, PersonKey, Seriousness
from dipmark.facts.said import Word
from dipmark.facts.truck import PlateRead
from dipmark.rules.model import Check, Kind
from dipmark.views.service_sheet import PlateLine, plate_line


class BadRow(msgspec.Struct, frozen=True):
    """What bad looks like: how serious it is, and what a driver may put right on the spot."""

    text: str
    seriousness: Seriousness
    put_right: str | None


class KnowRow(msgspec.Struct, frozen=True):
    """One thing at a place.

    Args:
        text: what it is.
        normal: how it looks when nothing is wrong.
        stops: it can take the truck out of service.
        worst: how serious the worst is that may be found.
        bad: what bad looks like.
        cautions: what can hurt.
    """

    text: str
    normal: str
    stops: bool
    worst: Seriousness
    bad: tuple[BadRow, ...]
    cautions: tuple[str, ...]


class KnowPlace(msgspec.Struct, frozen=True):
    """A place of the walk.

    Args:
        id: of the place.
        number: its turn on the drawing.
        text: its name.
        rows: what is there, what can stop the truck first.
        fitted: what was read or counted there on this very truck.
    """

    id: str
    number: int
    text: str
    rows: tuple[KnowRow, ...]
    fitted: tuple[PlateLine, ...]


class KnowTruck(msgspec.Struct, frozen=True):
    """A truck to get to know.

    Args:
        truck: its number.
        places: in walking order.
        elsewhere: what was read or counted on it and belongs to no one place.
    """

    truck: str
    places: tuple[KnowPlace, ...]
    elsewhere: tuple[PlateLine, ...]


def know_truck(truck: TruckNow, kind: Kind, names: Mapping[PersonKey, str], word: Word = str) -> KnowTruck:
    """All of it, in walking order; what is not on this truck is left out.

    Args:
        truck: as it stands.
        kind: its rules.
        names: of people, by key.
        word: says a word in the reader's language.
    """
    checks = kind.checks_for(options_of(truck.counting, kind))
    here = {place.id: [one for one in checks if one.place == place.id] for place in kind.places}
    lines = plate_lines(truck.counting, names, word)
    home = {line.name: _home(line.name, here) for line in lines}
    places = tuple(
        KnowPlace(
            id=place.id,
            number=place.number,
            text=place.text,
            rows=tuple(_row(check) for check in sorted(here[place.id], key=lambda one: not one.stop_worthy)),
            fitted=tuple(line for line in lines if home[line.name] == place.id),
        )
        for place in sorted(kind.places, key=lambda place: place.number)
        if here[place.id]
    )
    return KnowTruck(truck.name, places, tuple(line for line in lines if home[line.name] is None))


def plate_lines(counting: Counting, names: Mapping[PersonKey, str], word: Word = str) -> tuple[PlateLine, ...]:
    """Everything that was read off the plate, in the manual or counted on a truck, by name.

    Args:
        counting: the truck's record.
        names: of people, by key.
        word: says a word in the reader's language.
    """
    known = dict.fromkeys(name for one in counting if isinstance(one.body, PlateRead) for name in _names(one.body))
    return tuple(plate_line(name, counting, names, word) for name in known)


def _names(body: PlateRead) -> Iterator[str]:
    """Names without their places: ``grease-fittings.left`` belongs to ``grease-fittings``."""
    yield from (one.name.partition(".")[0] for one in body.values)
    yield from (one.name.partition(".")[0] for one in body.texts)


def _row(check: Check) -> KnowRow:
    bad = sorted(check.symptoms, key=lambda one: -RANK[one.seriousness])
    return KnowRow(
        text=check.text,
        normal=check.normal,
        stops=check.stop_worthy,
        worst=bad[0].seriousness,
        bad=tuple(BadRow(one.text, one.seriousness, one.put_right) for one in bad),
        cautions=check.cautions,
    )


_WORD: Final = re.compile(r"[a-z]+")


def _stems(name: str) -> set[str]:
    return {word.removesuffix("s") for word in _WORD.findall(name)}


def _home(name: str, here: Mapping[str, Sequence[Check]]) -> str | None:
    """The first place one of whose checks is about the same part: ``tyre-pressure`` stands beside the tyres."""
    wanted = _stems(name)
    for place, checks in here.items():
        if any(_stems(check.id.replace("-", ".")) >= wanted or wanted <= _stems(check.id) for check in checks):
            return place
    for place, checks in here.items():
        if any(_stems(check.id.partition(".")[0]) <= wanted for check in checks):
            return place
    return None
