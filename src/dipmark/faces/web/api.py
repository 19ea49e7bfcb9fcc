"""The same views as JSON, as the command line prints them."""

from __future__ import annotations

from typing import Any, Final

from litestar import get
from litestar.handlers import HTTPRouteHandler
from litestar.openapi.datastructures import ResponseSpec
from litestar.params import FromPath

from dipmark.faces.web.faults import ErrorAnswer
from dipmark.faces.web.guard import AskerHere, SiteHere
from dipmark.faces.web.pages.lessons import seen
from dipmark.faces.web.schema import AsPrinted
from dipmark.faces.web.show import Asked, named, office_of
from dipmark.facts.base import name_of, truck_book
from dipmark.office.access import book_seen
from dipmark.office.board import yard_board
from dipmark.office.look import due_list, log_of, page_of, trucks
from dipmark.views.due_soon import DueRow
from dipmark.views.faults import YardFault, yard_faults
from dipmark.views.lessons import LessonsPage
from dipmark.views.log import LogRow
from dipmark.views.truck import TruckPage
from dipmark.views.yard import YardRow

FAULTS: Final[dict[int, ResponseSpec]] = {
    status: ResponseSpec(data_container=ErrorAnswer, description=said, generate_examples=False)
    for status, said in (
        (400, "What was sent cannot be read."),
        (401, "Nobody is signed in."),
        (403, "His roles do not let him."),
        (404, "There is no such thing, or it is not his to see."),
        (429, "Too much at once."),
        (503, "The store cannot be read just now."),
    )
}
_ROUTE: Final[dict[str, Any]] = {
    "act": "look",
    "sync_to_thread": True,
    "include_in_schema": True,
    "responses": FAULTS,
    "response_class": AsPrinted,
}


@get("/api/yard", operation_id="yard", **_ROUTE)
def api_yard(request: Asked, site: SiteHere, asker: AskerHere) -> tuple[YardRow, ...]:
    """The key board."""
    office = office_of(request)
    now = office.clock()
    rows = site.kept(f"board {office.rules.digest} {id(office.rules)}", now, lambda: yard_board(office, now))
    return tuple(row for row in rows if asker.sees(truck_book(row.truck)))


@get("/api/due", operation_id="due", **_ROUTE)
def api_due(request: Asked, asker: AskerHere) -> tuple[DueRow, ...]:
    """What falls due, the most pressing first."""
    office = office_of(request)
    return tuple(row for row in due_list(office, office.clock()) if asker.sees(truck_book(row.truck)))


@get("/api/faults", operation_id="faults", **_ROUTE)
def api_faults(request: Asked, asker: AskerHere) -> tuple[YardFault, ...]:
    """Every open fault of the yard, the most serious first."""
    office = office_of(request)
    seen = [one for one in trucks(office, office.clock()) if asker.sees(one.book)]
    return yard_faults(seen, office.people.names(), office.zone, office.rules.word)


@get("/api/truck/{name:str}", operation_id="truck", **_ROUTE)
def api_truck(request: Asked, asker: AskerHere, name: FromPath[str]) -> TruckPage:
    """One truck: its state with reasons, its faults, what falls due."""
    office = office_of(request)
    return page_of(office, name_of(book_seen(office, asker, named(name))), office.clock())


@get("/api/truck/{name:str}/log", operation_id="log", **_ROUTE)
def api_log(request: Asked, asker: AskerHere, name: FromPath[str]) -> tuple[LogRow, ...]:
    """The logbook of one truck: every fact, with both times and its corrections."""
    office = office_of(request)
    return log_of(office, name_of(book_seen(office, asker, named(name))), office.clock())


@get("/api/lessons", operation_id="lessons", **_ROUTE)
def api_lessons(request: Asked, site: SiteHere, asker: AskerHere) -> LessonsPage:
    """What keeps breaking: advice, the figures behind it, curves; signs of careless sheets as he may see them."""
    return seen(request, site, asker)[1]


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (api_yard, api_due, api_faults, api_lessons, api_truck, api_log)
