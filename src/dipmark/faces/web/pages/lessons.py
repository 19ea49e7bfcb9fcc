"""What keeps breaking: one plain sentence of advice first, the figures behind it; of the yard and of one kind."""

from __future__ import annotations

from typing import Final

from litestar import Response, get
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.faces.web.guard import AskerHere, SiteHere
from dipmark.faces.web.show import Asked, named, office_of, show
from dipmark.faces.web.site import Site
from dipmark.facts.errors import NotFound
from dipmark.office.access import Asker
from dipmark.office.lessons import learnt, page_for
from dipmark.views.charts import curve_chart
from dipmark.views.lessons import LessonsPage, Watcher, of_kind
from dipmark.views.words import moment


def seen(request: Asked, site: Site, asker: Asker) -> tuple[str, LessonsPage]:
    """As of when, and what the record teaches of the trucks that somebody sees; worked out once an hour."""
    office = office_of(request)
    now = office.clock()
    whose = "" if asker.books is None else " ".join(sorted(asker.books))
    what = f"lessons {office.rules.digest} {id(office.rules)} {whose}"
    at, found = site.kept(what, now, lambda: (now, learnt(office, now, only=asker.books)), hourly=True)
    page = page_for(office, found, at, Watcher(asker.person, all=asker.may("watch")))
    return moment(at, office.zone, office.rules.word), page


@get("/lessons", act="look", sync_to_thread=True)
def lessons(request: Asked, site: SiteHere, asker: AskerHere) -> Response[str]:
    """Of the whole yard."""
    when, page = seen(request, site, asker)
    rules = office_of(request).rules
    curves = [(one.kind, curve_chart(one, rules.word)) for one in page.curves if one.of == "kind"]
    return show(request, "lessons.html", page=page, curves=curves, kind=None, now=when)


@get("/lessons/kind/{kind:str}", act="look", sync_to_thread=True)
def lessons_of_kind(request: Asked, site: SiteHere, asker: AskerHere, kind: FromPath[str]) -> Response[str]:
    """Of one kind of truck, with the curves of its parts and of labour."""
    when, whole = seen(request, site, asker)
    key, rules = named(kind), office_of(request).rules
    page, known = of_kind(whole, key), rules.kind(key)
    if not page.sections:
        raise NotFound(f"Nothing is learnt yet of trucks of the kind {key}.")
    curves = [(one.kind, curve_chart(one, rules.word)) for one in page.curves]
    return show(request, "lessons.html", page=page, curves=curves, kind=known.text if known else key, now=when)


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (lessons, lessons_of_kind)
