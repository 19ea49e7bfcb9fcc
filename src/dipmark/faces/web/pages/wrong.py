"""Something is wrong: what was seen, heard, felt or smelt; whether to stop; what to look at first; and the fault."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.faces.web.deeds import given, when_of
from dipmark.faces.web.forms import Form, field
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.pages.rules import MARKS
from dipmark.faces.web.show import Asked, as_part, go, named, office_of, show, show_again
from dipmark.facts.base import RANK, name_of
from dipmark.facts.errors import NotFound, Refused
from dipmark.office.access import Asker, book_seen
from dipmark.office.look import truck
from dipmark.office.open import Office
from dipmark.office.wrong import asked_of, report_trouble, trouble_of
from dipmark.rules.symptoms import SENSES


@get("/truck/{name:str}/wrong", act="walk", sync_to_thread=True)
def wrong_page(request: Asked, asker: AskerHere, name: FromPath[str]) -> Response[str]:
    """Choose what was noticed; then what now."""
    office = office_of(request)
    number = name_of(book_seen(office, asker, named(name)))
    query = {key: str(request.query_params.get(key, "")) for key in ("sense", "system", "trouble")}
    return show(request, "wrong.html", **_given(office, asker, number, query))


@post("/truck/{name:str}/wrong", act="walk", sync_to_thread=True, status_code=303)
def noticed(request: Asked, asker: AskerHere, name: FromPath[str], data: Form) -> Response[Any]:
    """Make the fault."""
    office = office_of(request)
    number = name_of(book_seen(office, asker, named(name)))
    query = {key: field(data, key) for key in ("sense", "system", "trouble")}
    try:
        report_trouble(office, number, query["system"], query["trouble"], field(data, "words"), when_of(office, data))
    except (Refused, NotFound) as refusal:
        shown = _given(office, asker, number, query)
        return show_again(request, "wrong.html", str(refusal), refusal.problems, data, **shown)
    return go(f"/truck/{as_part(number)}?noted=wrong")


def _given(office: Office, asker: Asker, number: str, query: dict[str, str]) -> dict[str, Any]:
    at = office.clock()
    now = truck(office, number, at)
    rows = asked_of(office, now)
    try:
        chosen = trouble_of(rows, query["system"], query["trouble"]) if query["trouble"] else None
    except NotFound:
        chosen = None
    sense = query["sense"] if query["sense"] in SENSES else ""
    shown = [(system, [one for one in system.troubles if not sense or one.sense == sense]) for system in rows]
    return {
        **given(office, now, at),
        "systems": [(system, troubles) for system, troubles in shown if troubles],
        "senses": SENSES,
        "marks": MARKS,
        "sense": sense,
        "chosen": chosen,
        "stops": chosen is not None and RANK[chosen[1].seriousness] >= RANK["stop"],
        "causes": asker.may("mend"),
        "lead_hands": _lead_hands(office),
    }


def _lead_hands(office: Office) -> tuple[str, ...]:
    names = office.people.names()
    people = office.yard.people.values()
    return tuple(names.get(one.person, one.person) for one in people if "lead" in one.roles and not one.gone)


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (wrong_page, noticed)
