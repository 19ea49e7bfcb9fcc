"""The list of a walk-round as data: what is asked at each place, and what each answer weighs."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.state import StateCode
from dipmark.facts.base import RANK, Seriousness
from dipmark.rules.model import Asked, Check, Kind, Rules, Symptom
from dipmark.rules.symptoms import Trouble
from dipmark.views.wrong import TroubleRow as Wrong
from dipmark.views.wrong import wrong_with

STATES: Final[tuple[StateCode, ...]] = ("checked", "restricted", "not-checked", "out-of-service")
"""The states by their rank: the higher comes first."""

CHECKED, RESTRICTED, UNCHECKED, OUT = range(4)

WEIGHT: Final[dict[Seriousness, int]] = {"watch": CHECKED, "repair-by": RESTRICTED, "stop": OUT, "now": OUT}
"""The rank of the state that a fault puts a truck in."""

HOURS: Final = "hour-meter"
MINUTE: Final = 60
"""Seconds that a take-over takes. Common practice, no source."""

PLACES: Final = 6
"""Digits after the point that a reading is counted in: as many as a record holds."""

QUANTITY: Final = {HOURS: "Hour meter", "tyre-pressure": "Tyre pressure"}
"""What a value asked for is called, in English; a screen says it in its language."""


class Cuts(msgspec.Struct, frozen=True):
    """Where a value tips: whole numbers of its last digit, in rising order.

    Args:
        at: the cut points; several rows where the temperature matters, one a °C.
        ranks: of the bands between them, from the lowest up; one more than there are cut points.
        places: digits after the point that a value is counted in.
        coldest: °C of the first row.

    *Edge*: a value exactly at a cut point belongs to the band above it.
    """

    at: tuple[tuple[int, ...], ...]
    ranks: tuple[int, ...]
    places: int = PLACES
    coldest: int = 0

    def rank(self, value: Decimal, celsius: int = 0) -> int:
        """The rank of a value.

        Args:
            value: as read; what is smaller than its last digit is cut off.
            celsius: °C; outside the rows the nearest one counts.

        Example:
            >>> Cuts(at=((640, 800),), ranks=(3, 1, 0), places=2).rank(Decimal("6.4"))
            1
        """
        row = self.at[min(max(celsius - self.coldest, 0), len(self.at) - 1)]
        return self.ranks[sum(cut <= whole(value, self.places) for cut in row)]


class AskedRow(msgspec.Struct, frozen=True):
    """A value to read: which, its English name for people, its unit."""

    quantity: str
    text: str
    unit: str


class SymptomRow(msgspec.Struct, frozen=True):
    """One thing that may be found: the rank of the state it leads to, and what may be put right on the spot (`fix`)."""

    id: str
    text: str
    seriousness: Seriousness
    rank: int
    safety: bool
    days: int | None
    fix: str | None


class CheckRow(msgspec.Struct, frozen=True):
    """One thing to look at.

    Args:
        id: of the check.
        text: what to look at.
        normal: what it looks like when nothing is wrong.
        lists: the sheets it stands on.
        must: without an answer the truck is not checked.
        stop: it can take the truck out of service, so it has a button of its own.
        worst: which of the symptoms counts where nobody named one.
        symptoms: what may be found.
        asked: the value to read.
        cautions: what can hurt.
    """

    id: str
    text: str
    normal: str
    lists: tuple[str, ...]
    must: bool
    stop: bool
    worst: int
    symptoms: tuple[SymptomRow, ...]
    asked: AskedRow | None
    cautions: tuple[str, ...]


class PlaceRow(msgspec.Struct, frozen=True):
    """One place of the walk, with its checks."""

    id: str
    text: str
    checks: tuple[CheckRow, ...]


class TroubleRow(msgspec.Struct, frozen=True):
    """Something that may be wrong during the day; see `views.wrong.TroubleRow`."""

    text: str
    sense: str
    seriousness: Seriousness
    safety: bool
    days: int | None
    words: str
    now: str
    first: tuple[str, ...]
    cautions: tuple[str, ...]


class CheckList(msgspec.Struct, frozen=True):
    """What is asked at every truck of one kind with the same options; trucks share it.

    Args:
        id: from its content.
        places: in walking order.
        troubles: what may be wrong during the day, system by system.
    """

    id: str
    places: tuple[PlaceRow, ...]
    troubles: tuple[tuple[str, tuple[TroubleRow, ...]], ...]

    def checks(self, sheet: str) -> Iterator[CheckRow]:
        """The checks of one of the sheets, in walking order."""
        return (check for place in self.places for check in place.checks if sheet in check.lists)


def whole(value: Decimal, places: int) -> int:
    """A value as a whole number of its last digit; what is smaller is cut off.

    Example:
        >>> whole(Decimal("12.5"), 2)
        1250
    """
    return int(value.scaleb(places))


def check_list(rules: Rules, kind: Kind, options: frozenset[str], uses: Sequence[str] = ()) -> CheckList:
    """Compile what is asked at trucks of a kind with these options, in the language of the rules.

    Args:
        rules: of today.
        kind: the kind of truck.
        options: what is on the truck.
        uses: how it is used; some troubles belong to a use.
    """
    checks = kind.checks_for(options)
    quick = _quick(checks)
    places = tuple(
        PlaceRow(place.id, place.text, tuple(_check(one, quick) for one in checks if one.place == place.id))
        for place in sorted(kind.places, key=lambda place: place.number)
    )
    known = {(system.id, one.id): one for system in rules.systems.values() for one in system.troubles}
    troubles = tuple(
        (system.text, tuple(_trouble(row, known[system.id, row.id]) for row in system.troubles))
        for system in wrong_with(rules, kind.key, {*options, *uses})
    )
    held = tuple(place for place in places if place.checks)
    id = hashlib.sha256(msgspec.json.encode((held, troubles))).hexdigest()[:16]
    return CheckList(id, held, troubles)


def _quick(checks: Sequence[Check]) -> frozenset[str]:
    """A take-over: what one drives by first, then what is looked at fastest, as much as a minute holds."""
    seconds, taken = 0, set()
    worthy = [one for one in checks if one.shift and one.stop_worthy]
    for one in sorted(worthy, key=lambda one: (one.when != "drive", one.seconds)):
        if seconds + one.seconds <= MINUTE:
            seconds += one.seconds
            taken.add(one.id)
    return frozenset(taken)


def _check(check: Check, quick: frozenset[str]) -> CheckRow:
    end = check.when == "shift-end"
    on = {
        "shift": check.shift,
        "full": not end,
        "after-hit": not end,
        "take-over": check.id in quick,
        "after-shift": end,
    }
    heavy = max(check.symptoms, key=lambda one: (RANK[one.seriousness], one.affects_safety))
    return CheckRow(
        id=check.id,
        text=check.text,
        normal=check.normal,
        lists=tuple(name for name, held in on.items() if held),
        must=check.shift and check.stop_worthy,
        stop=check.stop_worthy,
        worst=check.symptoms.index(heavy),
        symptoms=tuple(_symptom(one) for one in check.symptoms),
        asked=None if check.asked is None else _asked(check.asked),
        cautions=check.cautions,
    )


def _symptom(one: Symptom) -> SymptomRow:
    rank = max(WEIGHT[one.seriousness], OUT if one.affects_safety else CHECKED)
    return SymptomRow(one.id, one.text, one.seriousness, rank, one.affects_safety, one.days, one.put_right)


def _asked(asked: Asked) -> AskedRow:
    text = QUANTITY.get(asked.quantity, asked.quantity.replace("-", " "))
    return AskedRow(asked.quantity, text, asked.unit)


def _trouble(row: Wrong, one: Trouble) -> TroubleRow:
    return TroubleRow(
        text=row.text,
        sense=row.sense,
        seriousness=row.seriousness,
        safety=one.affects_safety,
        days=one.days,
        words=row.words,
        now=row.now,
        first=row.first,
        cautions=row.cautions,
    )
