"""Filled sheets from paper: pictures are taken in, and every mark that is not sure is looked at beside its clipping."""

from __future__ import annotations

from typing import Any, Final
from urllib.parse import quote

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.faces.web.forms import MOST_BYTES, Files, Form, field, uploads
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.show import Asked, go, named, office_of, show, show_again
from dipmark.facts.errors import Refused
from dipmark.office.access import Asker
from dipmark.office.look_over import Decision, Waiting, clip_of, column_waiting, columns_waiting, decide, discard
from dipmark.office.open import Office
from dipmark.office.sheet_columns import HOURS
from dipmark.office.take_sheets import SheetsTaken, take_sheets
from dipmark.views.sheets import FATES, WHOLE_DAY, marks_words
from dipmark.views.sheets import HOURS as HOUR_METER
from dipmark.views.words import day


@get("/sheets", act="set-aside", sync_to_thread=True)
def sheets_page(request: Asked, asker: AskerHere) -> Response[str]:
    """What waits, and where pictures are handed in."""
    return show(request, "sheets.html", **_given(office_of(request), asker, None))


@post("/sheets", act="settle", sync_to_thread=True, status_code=200, request_max_body_size=MOST_BYTES)
def handed_in(request: Asked, asker: AskerHere, data: Files) -> Response[str]:
    """Read the pictures, and say what became of each column."""
    office = office_of(request)
    taken = take_sheets(office, uploads(data, "pictures"))
    return show(request, "sheets.html", **_given(office, asker, taken))


def _given(office: Office, asker: Asker, taken: SheetsTaken | None) -> dict[str, Any]:
    word = office.rules.word
    return {
        "waiting": [_row(office, one) for one in columns_waiting(office)],
        "may_settle": asker.may("settle"),
        "taken": taken,
        "fates": {code: word(text) for code, text in FATES.items()},
        "whole_day": word(WHOLE_DAY),
    }


def _row(office: Office, one: Waiting) -> dict[str, Any]:
    word, happened = office.rules.word, one.aside.fact.happened.astimezone(office.zone)
    return {
        "digest": one.aside.digest,
        "truck": one.truck,
        "day": day(happened.date(), word),
        "shift": one.shift or word(WHOLE_DAY),
        "marks": one.marks,
        "count": marks_words(len(one.marks), word),
        "clips": {
            mark.line: f"/sheets/{one.aside.digest}/clip/{quote(quote(mark.line, safe=''))}" for mark in one.marks
        },
    }


@get("/sheets/{digest:str}", act="set-aside", sync_to_thread=True)
def column_page(request: Asked, asker: AskerHere, digest: FromPath[str]) -> Response[str]:
    """One column: its marks, each with its clipping."""
    return show(request, "sheet.html", **_column(office_of(request), asker, named(digest)))


def _column(office: Office, asker: Asker, digest: str) -> dict[str, Any]:
    word = office.rules.word
    return {
        "row": _row(office, column_waiting(office, digest)),
        "may_settle": asker.may("settle"),
        "hours": HOURS,
        "hour_meter": word(HOUR_METER),
        "beside": {},
    }


@post("/sheets/{digest:str}", act="settle", sync_to_thread=True, status_code=303)
def looked_over(request: Asked, asker: AskerHere, digest: FromPath[str], data: Form) -> Response[Any]:
    """Enter the column as it was looked over, or leave it out with a word."""
    office, which = office_of(request), named(digest)
    try:
        if field(data, "step") == "dirt":
            discard(office, which, field(data, "note"))
        else:
            decide(office, which, _decisions(column_waiting(office, which), data))
    except Refused as refusal:
        shown = _column(office, asker, which)
        return show_again(request, "sheet.html", str(refusal), refusal.problems, data, **shown)
    return go("/sheets")


def _decisions(waits: Waiting, data: dict[str, Any]) -> dict[str, Decision]:
    found: dict[str, Decision] = {}
    for mark in waits.marks:
        if mark.line == HOURS:
            if field(data, "hours") or field(data, "no-hours"):
                found[mark.line] = Decision(hours=field(data, "hours"))
            continue
        symptom, text = field(data, f"s.{mark.line}") or None, field(data, f"n.{mark.line}") or None
        match field(data, f"a.{mark.line}"):
            case "good":
                found[mark.line] = Decision("good", text=text)
            case "fault":
                found[mark.line] = Decision("fault", symptom=symptom, text=text)
            case "nothing":
                found[mark.line] = Decision("nothing")
    return found


@get("/sheets/{digest:str}/clip/{line:str}", act="set-aside", sync_to_thread=True)
def clipping(request: Asked, digest: FromPath[str], line: FromPath[str]) -> Response[bytes]:
    """A mark as it was photographed."""
    png = clip_of(office_of(request), named(digest), named(line))
    return Response(png, media_type="image/png", headers={"cache-control": "private, max-age=86400"})


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (sheets_page, handed_in, column_page, looked_over, clipping)
