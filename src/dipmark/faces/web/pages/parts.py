"""The stores: what to order by when, the kits, the shelf; and noting what happened there."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from msgspec.structs import replace

from dipmark.adapters.importing.cells import Number, parse_number
from dipmark.faces.web.forms import Form, field
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.show import Asked, go, office_of, show, show_again
from dipmark.faces.web.words import said
from dipmark.facts.base import truck_book
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem
from dipmark.facts.stock import PartSet, Stock
from dipmark.office.access import Asker
from dipmark.office.enter import When
from dipmark.office.open import Office
from dipmark.office.parts import AMOUNT_UNFIT, What, note, parts_page, set_part
from dipmark.views.words import moment

STEPS: Final[dict[What, str]] = {
    "counted": said("counted: so many lie there"),
    "received": said("received"),
    "issued": said("issued for a truck"),
    "ordered": said("ordered"),
    "thrown-away": said("thrown away"),
}


def _given(office: Office, asker: Asker) -> dict[str, Any]:
    now = office.clock()
    page = parts_page(office, now)
    if asker.books is not None:
        kits = tuple(kit for kit in page.kits if asker.sees(truck_book(kit.truck)))
        shelf = tuple(replace(row, wanted=()) for row in page.shelf)
        page = replace(page, kits=kits, shelf=shelf, orders=())
    return {
        "page": page,
        "steps": STEPS,
        "may_note": asker.may("stores"),
        "may_set": asker.may("plan"),
        "now": moment(now, office.zone, office.rules.word),
    }


@get("/parts", act="look", sync_to_thread=True)
def stores(request: Asked, asker: AskerHere) -> Response[str]:
    """The stores as they stand."""
    office = office_of(request)
    return show(request, "parts.html", **_given(office, asker))


@post("/parts", act="stores", sync_to_thread=True, status_code=303)
def noted(request: Asked, asker: AskerHere, data: Form) -> Response[Any]:
    """Note what happened on the shelf."""
    office = office_of(request)
    try:
        what: What = next((step for step in STEPS if step == field(data, "what")), "counted")
        told = Stock(
            part=field(data, "part"),
            what=what,
            quantity=_number(field(data, "amount")),
            unit=field(data, "unit").strip() or None,
            place=field(data, "place").strip() or None,
            use_by=_day(field(data, "use_by")),
            expected=_day(field(data, "expected")),
        )
        note(office, told, When(office.clock().replace(microsecond=0)))
    except Refused as refusal:
        return show_again(request, "parts.html", str(refusal), refusal.problems, data, **_given(office, asker))
    return go("/parts")


@post("/parts/bought", act="plan", sync_to_thread=True, status_code=303)
def bought(request: Asked, asker: AskerHere, data: Form) -> Response[Any]:
    """How a part is bought."""
    office = office_of(request)
    try:
        longest, level, pack = field(data, "longest").strip(), field(data, "level").strip(), field(data, "pack").strip()
        told = PartSet(
            part=field(data, "part"),
            lead_days=int(_number(field(data, "lead"))),
            lead_most=int(_number(longest)) if longest else None,
            pack=_number(pack) if pack else None,
            level=int(_number(level)) if level else None,
            supplier=field(data, "supplier").strip() or None,
        )
        set_part(office, told, When(office.clock().replace(microsecond=0)))
    except Refused as refusal:
        return show_again(request, "parts.html", str(refusal), refusal.problems, data, **_given(office, asker))
    return go("/parts")


def _number(text: str) -> Decimal:
    """An amount.

    Raises:
        Refused: it is none.
    """
    found = parse_number(text)
    if isinstance(found, Number) and found.unit is None:
        return found.value
    problem = Problem(AMOUNT_UNFIT, repr(text), "a number, such as 4 or 2.5", "Write how many.")
    raise Refused(problem.message, [problem])


def _day(text: str) -> date | None:
    """A day that may stay blank.

    Raises:
        Refused: it is none.
    """
    if not text.strip():
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        problem = Problem(AMOUNT_UNFIT, text, "a day such as 2026-12-01", "Choose the day.")
        raise Refused(problem.message, [problem]) from None


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (stores, noted, bought)
