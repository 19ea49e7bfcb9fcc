"""Measure: choose what was measured, write what was read."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.derive.measured import MEASUREMENTS
from dipmark.faces.web.deeds import given, number_of, when_of
from dipmark.faces.web.forms import Form, field
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.pages.service import inputs_of
from dipmark.faces.web.show import Asked, as_part, go, named, office_of, show, show_again
from dipmark.facts.base import name_of
from dipmark.facts.errors import NotFound, Refused
from dipmark.office.access import book_seen
from dipmark.office.look import truck
from dipmark.office.measure import day_of_text, measure, measurement_of
from dipmark.office.open import Office


@get("/truck/{name:str}/measure", act="mend", sync_to_thread=True)
def measure_page(request: Asked, asker: AskerHere, name: FromPath[str]) -> Response[str]:
    """What may be measured; or the fields of one measurement."""
    office = office_of(request)
    number = name_of(book_seen(office, asker, named(name)))
    what = str(request.query_params.get("what", ""))
    if what:
        measurement_of(what)
    return show(request, "measure.html", **_given(office, number, what))


@post("/truck/{name:str}/measure", act="mend", sync_to_thread=True, status_code=303)
def measured(request: Asked, asker: AskerHere, name: FromPath[str], data: Form) -> Response[Any]:
    """Judge and write it."""
    office, what = office_of(request), field(data, "what")
    number = name_of(book_seen(office, asker, named(name)))
    try:
        measurement_of(what)
        until = field(data, "until").strip()
        measure(
            office,
            number,
            what,
            inputs_of(what, data),
            when_of(office, data),
            until=day_of_text(office, until) if until else None,
            instrument=field(data, "instrument").strip() or None,
            hours=number_of(data, "hours", "hours"),
            note=field(data, "note").strip() or None,
        )
    except (Refused, NotFound) as refusal:
        known = what if what in MEASUREMENTS else ""
        return show_again(
            request, "measure.html", str(refusal), refusal.problems, data, **_given(office, number, known)
        )
    return go(f"/truck/{as_part(number)}?noted=measure")


def _given(office: Office, number: str, what: str) -> dict[str, Any]:
    at = office.clock()
    measurement = MEASUREMENTS.get(what)
    return {
        **given(office, truck(office, number, at), at),
        "what": what,
        "measurement": measurement,
        "subject": office.rules.subjects[measurement.subject] if measurement else None,
        "subjects": office.rules.subjects,
        "measurements": MEASUREMENTS,
        "word": office.rules.word,
    }


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (measure_page, measured)
