"""Search: trucks, people, faults, logbooks, rules."""

from __future__ import annotations

from typing import Final

from litestar import Response, get
from litestar.handlers import HTTPRouteHandler

from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.show import Asked, office_of, show
from dipmark.faces.web.words import said
from dipmark.office.find import find
from dipmark.views.found import MOST

SORTS: Final = {
    "truck": said("Trucks"),
    "fault": said("Open faults"),
    "person": said("People"),
    "log": said("Logbooks"),
    "rule": said("Rules"),
}

LONGEST: Final = 100


@get("/find", act="look", sync_to_thread=True)
def find_page(request: Asked, asker: AskerHere) -> Response[str]:
    """What is found of the words after ``q``."""
    wanted = str(request.query_params.get("q", ""))[:LONGEST]
    found = find(office_of(request), asker, wanted)
    return show(request, "find.html", wanted=wanted, found=found, sorts=SORTS, most=MOST)


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (find_page,)
