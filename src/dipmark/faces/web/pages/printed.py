"""Sheets about one truck and day cards, set into a PDF where somebody stands, at a desk or with a phone."""

from __future__ import annotations

from typing import Final, get_args

from litestar import Response, get
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.faces.web.guard import AskerHere, SiteHere
from dipmark.faces.web.show import Asked, named, office_of, spoken
from dipmark.faces.web.site import Site
from dipmark.facts.base import FactId, PersonKey, name_of
from dipmark.facts.errors import NotFound
from dipmark.office.access import Act, book_seen
from dipmark.office.open import Office
from dipmark.office.print_sheets import Asked as Wanted
from dipmark.office.print_sheets import sheets
from dipmark.views.sheet_geometry import Paper

OF_A_TRUCK: Final[dict[str, Act]] = {
    "out": "look",
    "service": "look",
    "job": "look",
    "card": "look",
    "labels": "look",
    "file": "people",
}
"""The sheets about one truck that change nothing where they are made, and the act each of them is."""


@get("/truck/{name:str}/print/{sheet:str}", act="look", sync_to_thread=True)
def of_a_truck(
    request: Asked, site: SiteHere, asker: AskerHere, name: FromPath[str], sheet: FromPath[str]
) -> Response[bytes]:
    """A sheet about one truck; the truck file names people, and is for whoever may see them."""
    office, act = office_of(request), OF_A_TRUCK.get(sheet)
    if act is None:
        raise NotFound("There is nothing at this address.")
    asker.must(act)
    number = name_of(book_seen(office, asker, named(name)))
    query = request.query_params
    wanted = Wanted(
        sheet=sheet,  # type: ignore[arg-type]
        as_of=office.clock(),
        trucks=(number,),
        paper=_paper(query.get("paper")),
        service=query.get("service"),
        fact=FactId(query["fact"]) if "fact" in query else None,
        alone=asker.books is not None,
    )
    return _pdf(request, site, office, wanted, f"{sheet}-{number}")


@get("/people/{person:str}/print", act="people", sync_to_thread=True)
def of_a_person(request: Asked, site: SiteHere, person: FromPath[str]) -> Response[bytes]:
    """Somebody's day card."""
    office = office_of(request)
    paper = _paper(request.query_params.get("paper"))
    wanted = Wanted(sheet="day", as_of=office.clock(), person=PersonKey(named(person)), paper=paper)
    return _pdf(request, site, office, wanted, "day-card")


def _paper(wanted: str | None) -> Paper:
    return next((one for one in get_args(Paper) if one == wanted), "a4")


def _pdf(request: Asked, site: Site, office: Office, wanted: Wanted, title: str) -> Response[bytes]:
    if site.press is None:
        raise NotFound("This server prints nothing: dipmark print does.")
    data = site.press(sheets(office, wanted), spoken(request).rules, wanted.paper, wanted.as_of)
    safe = "".join(letter if letter.isascii() and letter.isalnum() else "-" for letter in title)
    kept = {"content-disposition": f'inline; filename="{safe}.pdf"', "cache-control": "no-store"}
    return Response(data, media_type="application/pdf", headers=kept)


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (of_a_truck, of_a_person)
