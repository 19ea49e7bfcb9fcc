"""What moves between trucks: every item with its place, and one item whole."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.derive.past import past
from dipmark.faces.web.deeds import when_of
from dipmark.faces.web.forms import Form, field
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.pages.truck import KINDS
from dipmark.faces.web.show import Asked, as_part, go, named, office_of, show, show_again
from dipmark.facts.errors import NotFound, Refused
from dipmark.office.access import Asker
from dipmark.office.battery import battery_logs, note_charge, room_of
from dipmark.office.enter import When
from dipmark.office.items import enrol_item, item, items_seen, meters_for
from dipmark.office.open import Office
from dipmark.rules.items import ITEMS
from dipmark.views.battery import room_row
from dipmark.views.items import item_page, item_row
from dipmark.views.log import log_rows
from dipmark.views.words import moment


def _given(office: Office, asker: Asker) -> dict[str, Any]:
    now, word = office.clock(), office.rules.word
    seen = items_seen(office, asker, now)
    return {
        "rows": [item_row(one, office.zone, word) for one in seen],
        "batteries": battery_logs(office, seen, now),
        "kinds": {key: word(text) for key, text in ITEMS.items()},
        "may_enrol": asker.may("enrol"),
        "now": moment(now, office.zone, word),
    }


@get("/items", act="look", sync_to_thread=True)
def every(request: Asked, asker: AskerHere) -> Response[str]:
    """All items."""
    return show(request, "items.html", **_given(office_of(request), asker))


@post("/items", act="enrol", sync_to_thread=True, status_code=303)
def enrolled(request: Asked, asker: AskerHere, data: Form) -> Response[Any]:
    """A new item."""
    office = office_of(request)
    name, when = field(data, "name"), When(office.clock().replace(microsecond=0))
    try:
        enrol_item(office, name, field(data, "what"), when, field(data, "serial").strip() or None)
    except Refused as refusal:
        return show_again(request, "items.html", str(refusal), refusal.problems, data, **_given(office, asker))
    return go(f"/item/{as_part(' '.join(name.split()))}")


@get("/item/{name:str}", act="look", sync_to_thread=True)
def itself(request: Asked, asker: AskerHere, name: FromPath[str]) -> Response[str]:
    """One item."""
    return show(request, "item.html", **_one(office_of(request), asker, named(name)))


@post("/item/{name:str}/charge", act="walk", sync_to_thread=True, status_code=303)
def charged(request: Asked, asker: AskerHere, name: FromPath[str], data: Form) -> Response[Any]:
    """A charge, an equalising charge or water."""
    office = office_of(request)
    shown = _one(office, asker, named(name))
    try:
        note_charge(
            office,
            named(name),
            field(data, "what"),
            when_of(office, data),
            percent=field(data, "percent"),
            charger=field(data, "charger"),
            water=field(data, "water"),
            begun=field(data, "begun"),
        )
    except Refused as refusal:
        return show_again(request, "item.html", str(refusal), refusal.problems, data, **shown)
    return go(f"/item/{as_part(named(name))}#room")


def _one(office: Office, asker: Asker, name: str) -> dict[str, Any]:
    now, word = office.clock(), office.rules.word
    found, seen = item(office, name, now), items_seen(office, asker, now)
    if not any(one.book == found.book for one in seen):
        raise NotFound(f"No item {name} is enrolled.")
    record, room = office.book(found.book), room_of(office, found, now)
    log = log_rows(record, past(record, now), office.people.names(), now, office.zone, word)
    return {
        "page": item_page(found, meters_for(office, found, now), office.zone, word),
        "room": None if room is None else room_row(room, office.rules.subjects["battery"], office.zone, word),
        "chargers": [one.name for one in seen if one.enrolled.what == "charger" and one.retired is None],
        "may_charge": asker.may("walk") and found.retired is None,
        "log": log[::-1],
        "log_kinds": KINDS,
        "now": moment(now, office.zone, word),
    }


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (every, enrolled, itself, charged)
