"""The forms of what hangs on a truck: fitted, taken off."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from dipmark.derive.truck import TruckNow
from dipmark.faces.web.deeds import WHEN, Asks, Choice, Deed, number_of, when_of
from dipmark.faces.web.forms import field
from dipmark.faces.web.mending import HOURS, NUMBERS, TIMES
from dipmark.faces.web.words import said
from dipmark.office.access import Asker, asker_of
from dipmark.office.items import ITEM_ELSEWHERE, ITEM_NOT_THERE, carries, fit, items, take_off
from dipmark.office.open import Office
from dipmark.views.items import item_row


def _fit_asks(office: Office, now: TruckNow, query: dict[str, str]) -> Iterator[Asks]:
    asker = asker_of(office.yard, office.by, office.by)
    there = (one for one in items(office, office.clock()) if one.retired is None)
    his = (one for one in there if one.on is None or (asker is not None and asker.sees(one.on.truck)))
    rows = [item_row(one, office.zone, office.rules.word) for one in his]
    yield Asks(
        name="item",
        text=said("What is hung on it"),
        shape="choice",
        choices=tuple(
            Choice(row.name, f"{row.name}: {row.what}, {row.where}") for row in rows if row.truck != now.name
        ),
        value=query.get("item", ""),
        needed=True,
        plain=True,
    )
    yield Asks(name="position", text=said("Where on the truck"), note=said("Blank: there is one place for it only."))
    yield HOURS
    yield WHEN


def _fit(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    read, position = number_of(data, "hours", "hours"), field(data, "position").strip() or None
    return fit(office, name, field(data, "item"), when_of(office, data), hours=read, position=position)


def _off_asks(office: Office, now: TruckNow, query: dict[str, str]) -> Iterator[Asks]:
    on = [one.name for one in carries(office, now, office.clock()).on]
    yield Asks(
        name="item",
        text=said("What is taken off"),
        shape="choice",
        choices=tuple(Choice(name, name) for name in on),
        value=query.get("item", ""),
        needed=True,
        plain=True,
    )
    yield Asks(name="note", text=said("Anything else"))
    yield HOURS
    yield WHEN


def _off(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    read, note = number_of(data, "hours", "hours"), field(data, "note").strip() or None
    return take_off(office, name, field(data, "item"), when_of(office, data), hours=read, note=note)


FITTING: Final = (
    Deed(
        id="fit",
        act="walk",
        title=said("Hang something on it"),
        button=said("It hangs there"),
        about=said("Forks, an attachment, a battery, a gas cylinder, a work platform: whatever has a book of its own."),
        cautions=(
            said("Only what the maker of the truck allows, and what its plate names. Nobody under what hangs."),
            said("Gas: outdoors or well aired, no flame, gloves; after the change listen, smell and look for leaks."),
            said("A battery: with the right hoist, weight and fit by the plate, metal off your hands, goggles on."),
        ),
        asks=_fit_asks,
        do=_fit,
        beside=NUMBERS | TIMES | {ITEM_ELSEWHERE: "item"},
    ),
    Deed(
        id="take-off",
        act="walk",
        title=said("Take something off it"),
        button=said("It is off"),
        asks=_off_asks,
        do=_off,
        beside=NUMBERS | TIMES | {ITEM_NOT_THERE: "item"},
    ),
)
