"""The key board: every truck on its hook."""

from __future__ import annotations

from typing import Final

from litestar import Response, get
from litestar.handlers import HTTPRouteHandler
from litestar.response import Stream
from markupsafe import Markup

from dipmark.faces.web.guard import AskerHere, SiteHere
from dipmark.faces.web.show import Asked, office_of, render, show, spoken
from dipmark.facts.base import truck_book
from dipmark.office.board import yard_board
from dipmark.office.settings import who_releases
from dipmark.views.words import moment
from dipmark.views.yard import YardRow


def by_place(rows: tuple[YardRow, ...]) -> dict[str, list[YardRow]]:
    """The hooks by place of work, places in the order they are first met; without a place at the end."""
    found: dict[str, list[YardRow]] = {}
    for row in rows:
        found.setdefault(row.place or "", []).append(row)
    return dict(sorted(found.items(), key=lambda item: (not item[0], item[0])))


def board(request: Asked, site: SiteHere, asker: AskerHere) -> Markup:
    """The hooks that somebody sees; made once for all who see every truck in a language."""
    office, language = office_of(request), spoken(request)
    now = office.clock()

    def make() -> Markup:
        state = site.feed.now()  # before the rows: they are never older than it says
        rows = site.kept(f"rows {language.tag}", now, lambda: yard_board(office, now))
        seen = tuple(row for row in rows if asker.sees(truck_book(row.truck)))
        given = {"places": by_place(seen), "rows": seen, "kinds": language.rules.kinds, "state": state}
        return Markup(render(request, "parts/board.html", **given, now=moment(now, office.zone, office.rules.word)))  # noqa: S704  a template's own

    return make() if asker.books is not None else site.kept(f"board {language.tag}", now, make)


@get("/", act="look", sync_to_thread=True)
def yard(request: Asked, site: SiteHere, asker: AskerHere) -> Response[str]:
    """The key board."""
    office = office_of(request)
    reach = site.kept("release", office.clock(), lambda: who_releases(office))
    now = moment(office.clock(), office.zone, office.rules.word)
    return show(request, "yard.html", board=board(request, site, asker), yard=office.yard, reach=reach, now=now)


@get("/board", act="look", sync_to_thread=True)
def part(request: Asked, site: SiteHere, asker: AskerHere) -> Response[str]:
    """The hooks alone, for a page that follows."""
    return Response(str(board(request, site, asker)), media_type="text/html; charset=utf-8")


@get("/feed", act="look")
async def feed(site: SiteHere) -> Stream:
    """Tells a page when something was written."""
    return Stream(site.feed.follow(), media_type="text/event-stream", headers={"x-accel-buffering": "no"})


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (yard, part, feed)
