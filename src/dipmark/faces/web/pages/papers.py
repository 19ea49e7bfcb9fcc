"""The papers of the whole yard on one page."""

from __future__ import annotations

from typing import Final

from litestar import Response, get
from litestar.handlers import HTTPRouteHandler

from dipmark.faces.web.guard import AskerHere, SiteHere
from dipmark.faces.web.show import Asked, office_of, show, spoken
from dipmark.office.items import items_seen
from dipmark.office.papers import papers_of
from dipmark.views.papers import PapersPage
from dipmark.views.words import moment


@get("/papers", act="look", sync_to_thread=True)
def papers(request: Asked, site: SiteHere, asker: AskerHere) -> Response[str]:
    """What nobody has answered, whom bulletins speak of, what runs out, what to ask about bills."""
    office = office_of(request)
    now = office.clock()

    def make() -> PapersPage:
        items = () if asker.books is None else items_seen(office, asker, now)
        seen = None if asker.books is None else asker.books | {one.book for one in items}
        return papers_of(office, now, seen)

    page = make() if asker.books is not None else site.kept(f"papers {spoken(request).tag}", now, make)
    words = moment(now, office.zone, office.rules.word)
    may = {"may_mend": asker.may("mend"), "may_correct": asker.may("correct")}
    return show(request, "papers.html", page=page, now=words, **may)


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (papers,)
