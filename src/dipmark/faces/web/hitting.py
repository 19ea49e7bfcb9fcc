"""The form of a hit or a near miss."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from dipmark.derive.faults import INCIDENT
from dipmark.derive.truck import TruckNow
from dipmark.faces.web.deeds import WHEN, Asks, Choice, Deed, number_of, when_of, words_of
from dipmark.faces.web.forms import field
from dipmark.faces.web.mending import HOURS, NUMBERS, TEXT, TIMES
from dipmark.faces.web.words import said
from dipmark.facts.base import PersonKey
from dipmark.office.access import Asker
from dipmark.office.hit import HIT_UNFIT, note_hit
from dipmark.office.open import Office


def _asks(office: Office, now: TruckNow, _: dict[str, str]) -> Iterator[Asks]:
    names, people = office.people.names(), office.yard.people
    drivers = sorted((names.get(key, key), key) for key, one in people.items() if not one.gone)
    held = now.held.what.person if now.held is not None and now.held.what.who == "driver" else None
    yield Asks(
        name="what",
        text=said("What it was"),
        shape="choice",
        choices=tuple(Choice(key, text) for key, text in INCIDENT.items()),
    )
    yield Asks(name="text", text=said("What happened, in plain words"), shape="words", needed=True)
    yield Asks(name="struck", text=said("What was struck"), note=said("Places of the truck, racks, doors; by commas."))
    yield Asks(
        name="person",
        text=said("Driver"),
        shape="choice",
        value=held or "",
        choices=(Choice("", said("nobody")), *(Choice(key, name) for name, key in drivers)),
    )
    yield Asks(
        name="hurt", text=said("Was somebody hurt?"), shape="many", choices=(Choice("yes", said("Yes, somebody was")),)
    )
    yield HOURS
    yield WHEN


def _do(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    return note_hit(
        office,
        name,
        field(data, "what"),
        field(data, "text"),
        when_of(office, data),
        struck=words_of(data, "struck"),
        person=PersonKey(field(data, "person")) if field(data, "person") else None,
        hurt=bool(field(data, "hurt")),
        hours=number_of(data, "hours", "hours"),
    )


HITTING: Final = Deed(
    id="hit",
    act="walk",
    title=said("It was hit, or nearly"),
    button=said("Note it"),
    about=said("All but a near miss takes it out of service at once: key into the locked box. The record is sealed."),
    cautions=(
        said("First the people: help, call, warn. Nobody under the load, the mast or a rack that may come down."),
        said("Leave it as it stands until somebody has looked, unless it stands in danger."),
    ),
    asks=_asks,
    do=_do,
    beside=NUMBERS | TIMES | TEXT | {HIT_UNFIT: "what"},
)
