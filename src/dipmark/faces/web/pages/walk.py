"""The walk-round at a desk: the same list in the same order, one answer a check, without any script."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

import msgspec
from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.faces.web.deeds import given, when_of
from dipmark.faces.web.forms import Form, field
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.show import Asked, as_part, go, named, office_of, show, show_again
from dipmark.facts.base import name_of
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, Where
from dipmark.office.access import Asker, book_seen
from dipmark.office.hold import may_drive
from dipmark.office.open import TIME_UNREADABLE, Office
from dipmark.office.walk import HEADER, HOURS, Sheet, meter_doubt, read_answers, sheet, walk
from dipmark.views.words import CAUTION

FILE: Final = Path("walk-round")
HOURS_AGAIN: Final = "meter-doubtful"


@get("/truck/{name:str}/walk", act="walk", sync_to_thread=True)
def walk_page(request: Asked, asker: AskerHere, name: FromPath[str]) -> Response[str]:
    """Ask: open faults first, then place by place."""
    office = office_of(request)
    asked = _asked(office, asker, name, full="full" in request.query_params)
    return show(request, "walk.html", **_given(office, asker, asked, full="full" in request.query_params))


@post("/truck/{name:str}/walk", act="walk", sync_to_thread=True, status_code=303)
def walked(request: Asked, asker: AskerHere, name: FromPath[str], data: Form) -> Response[Any]:
    """Write it; or the same list with what is wrong beside each answer."""
    office, full = office_of(request), bool(field(data, "full"))
    asked = _asked(office, asker, name, full=full)
    try:
        filled = read_answers(FILE, _table(asked, data), asked)
        when = when_of(office, data)
        if filled.hours is not None:
            _doubt(asked, filled.hours, data, meter_doubt(office, asked, filled.hours, when))
        walk(office, asked, filled.answers, when, full=full, hours=filled.hours, open_faults=filled.open_faults)
    except Refused as refusal:
        beside = _beside(asked, refusal.problems)
        typed = {**data, "doubted": _doubted(refusal.problems, data)}
        shown = _given(office, asker, asked, full=full) | {"beside": beside}
        return show_again(request, "walk.html", str(refusal), beside.get("", []), typed, **shown)
    return go(f"/truck/{as_part(asked.truck.name)}?noted=walk")


def _asked(office: Office, asker: Asker, name: str, *, full: bool) -> Sheet:
    number = name_of(book_seen(office, asker, named(name)))
    return sheet(office, number, office.clock(), full=full)


def _given(office: Office, asker: Asker, asked: Sheet, *, full: bool) -> dict[str, Any]:
    driver = may_drive(office, asker.person, asked.kind.key)
    return {
        **given(office, asked.truck, office.clock()),
        "asked": asked,
        "full": full,
        "not_you": "" if driver.may else driver.reasons[0].text,
        "beside": {},
        "hour_meter": HOURS,
        "caution": CAUTION,
    }


def _names(asked: Sheet) -> list[str]:
    """What is answered, in the order of the list."""
    return [
        *(fault.ref for fault in asked.faults),
        *(check.id for stop in asked.stops for check in stop.checks),
    ]


def _table(asked: Sheet, data: dict[str, Any]) -> bytes:
    """The form as the table that `read_answers` reads: one line a check, whatever was left blank."""
    out = io.StringIO()
    write = csv.writer(out)
    write.writerow(HEADER)
    for name in _names(asked):
        cells = (" ".join(field(data, f"{part}.{name}").split()) for part in ("a", "s", "n", "v", "p"))
        write.writerow((name, *cells))
    return out.getvalue().encode()


def _beside(asked: Sheet, problems: Sequence[Problem]) -> dict[str, list[Problem]]:
    """Problems by the check they stand beside; under an empty name the rest."""
    names = _names(asked)
    found: dict[str, list[Problem]] = {}
    for problem in problems:
        line = problem.where.line
        spoken = [name for name in names if problem.found == f"no answer to {name}"]
        if problem.where.column in names:
            key = problem.where.column or ""
        elif line is not None and 2 <= line < len(names) + 2:
            key = names[line - 2]
        else:
            key = spoken[0] if spoken else "when" if problem.code == TIME_UNREADABLE else ""
        found.setdefault(key, []).append(msgspec.structs.replace(problem, where=Where()))
    return found


def _doubt(asked: Sheet, hours: Decimal, data: dict[str, Any], doubt: str | None) -> None:
    """Hours that do not agree are asked once more; written a second time they stand.

    Raises:
        Refused: they are to be read again.
    """
    if doubt is None or field(data, "doubted") == str(hours):
        return
    where = Where(column=_hours_check(asked))
    problem = Problem(HOURS_AGAIN, f"{hours} h", "hours that agree with the others", f"{doubt} Read it again.", where)
    raise Refused(problem.message, [problem])


def _hours_check(asked: Sheet) -> str:
    checks = (check for stop in asked.stops for check in stop.checks)
    return next((check.id for check in checks if check.asked and check.asked.quantity == HOURS), "")


def _doubted(problems: Sequence[Problem], data: dict[str, Any]) -> str:
    """The hours that were asked about, so that the same again are taken."""
    if any(problem.code == HOURS_AGAIN for problem in problems):
        return problems[0].found.removesuffix(" h")
    return field(data, "doubted")


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (walk_page, walked)
