"""A service sheet to fill in: each task ticked by itself, what is measured, what went in."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.derive.measured import MEASUREMENTS
from dipmark.faces.web.deeds import given, number_of, sorted_problems, when_of, who_may, words_of
from dipmark.faces.web.forms import Form, field, fields
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.pages.deeds import DEEDS
from dipmark.faces.web.show import Asked, as_part, go, named, office_of, show, show_again
from dipmark.facts.base import name_of
from dipmark.facts.errors import Refused
from dipmark.office.access import Asker, book_seen
from dipmark.office.look import truck
from dipmark.office.open import Office
from dipmark.office.plate import sheet_of
from dipmark.office.service import Done, record
from dipmark.views.service_sheet import ServiceSheet

READ: Final = next(deed for deed in DEEDS if deed.id == "read")


@get("/truck/{name:str}/service/{service:str}", act="look", sync_to_thread=True)
def service_page(request: Asked, asker: AskerHere, name: FromPath[str], service: FromPath[str]) -> Response[str]:
    """The sheet; whoever may not work on the truck reads it."""
    office = office_of(request)
    number = name_of(book_seen(office, asker, named(name)))
    sheet = sheet_of(office, number, named(service), office.clock())
    return show(request, "service.html", **_given(office, asker, sheet))


@post("/truck/{name:str}/service/{service:str}", act="mend", sync_to_thread=True, status_code=303)
def serviced(
    request: Asked, asker: AskerHere, name: FromPath[str], service: FromPath[str], data: Form
) -> Response[Any]:
    """Write it; or the same sheet with what is wrong and all that was typed."""
    office = office_of(request)
    number = name_of(book_seen(office, asker, named(name)))
    sheet = sheet_of(office, number, named(service), office.clock())
    try:
        minutes = number_of(data, "minutes", "minutes")
        done = Done(
            ticked=fields(data, "task"),
            text=field(data, "text"),
            tests=words_of(data, "tests"),
            parts=(*fields(data, "part"), *words_of(data, "parts")),
            measured=_measured(sheet, data),
            hours=number_of(data, "hours", "hours"),
            minutes=None if minutes is None else int(minutes),
        )
        record(office, sheet, done, when_of(office, data))
    except Refused as refusal:
        beside = sorted_problems(refusal.problems, READ)
        chosen = {key: list(fields(data, key)) for key in ("task", "part")}
        shown = _given(office, asker, sheet) | {"beside": beside, "chosen": chosen}
        return show_again(request, "service.html", "", refusal.problems, data, **shown)
    return go(f"/truck/{as_part(number)}?noted=service")


def _given(office: Office, asker: Asker, sheet: ServiceSheet) -> dict[str, Any]:
    at = office.clock()
    return {
        **given(office, truck(office, sheet.truck, at), at),
        "sheet": sheet,
        "measurements": MEASUREMENTS,
        "word": office.rules.word,
        "may_mend": asker.may("mend"),
        "menders": who_may("mend"),
        "beside": {},
        "chosen": {},
    }


def _measured(sheet: ServiceSheet, data: dict[str, Any]) -> dict[str, dict[str, tuple[str, ...]]]:
    """What was written into the boxes, by measurement and input."""
    names = {line.name for task in sheet.tasks for box in task.boxes for line in box.lines}
    return {name: inputs_of(name, data) for name in sorted(names)}


def inputs_of(what: str, data: dict[str, Any]) -> dict[str, tuple[str, ...]]:
    """The inputs of a measurement as typed; what may be given several times stands one a line."""
    found: dict[str, tuple[str, ...]] = {}
    for one in MEASUREMENTS[what].inputs:
        text = field(data, f"m.{what}.{one.name}")
        lines = text.splitlines() if one.many else [text]
        if kept := tuple(line.strip() for line in lines if line.strip()):
            found[one.name] = kept
    return found


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (service_page, serviced)
