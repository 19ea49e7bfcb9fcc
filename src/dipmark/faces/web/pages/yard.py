"""The key board: every truck on its hook."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get
from litestar.handlers import HTTPRouteHandler
from litestar.response import Stream

from dipmark.derive.days import local_day
from dipmark.faces.web.guard import AskerHere, SiteHere
from dipmark.faces.web.show import Asked, office_of, render, show, spoken
from dipmark.facts.base import truck_book
from dipmark.office.look import yard_board
from dipmark.views.words import moment
from dipmark.views.yard import YardRow


def by_place(rows: tuple[YardRow, ...]) -> dict[str, list[YardRow]]:
    """The hooks by place of work, places in the order they are first met; without a place at the end."""
    found: dict[str, list[YardRow]] = {}
    for row in rows:
        found.setdefault(row.place or "", []).append(row)
    return dict(sorted(found.items(), key=lambda item: (not item[0], item[0])))


def board(request: Asked, site: SiteHere, asker: AskerHere) -> dict[str, Any]:
    """What the key board shows to one person."""
    office, language = office_of(request), spoken(request)
    now = office.clock()
    rows = site.kept(f"board {language.tag}", now, lambda: yard_board(office, now))
    seen = tuple(row for row in rows if asker.sees(truck_book(row.truck)))
    yard = office.yard
    return {
        "places": by_place(seen),
        "rows": seen,
        "kinds": language.rules.kinds,
        "yard": yard,
        "now": moment(now, office.zone),
        "today": local_day(now, office.zone),
    }


@get("/", act="look", sync_to_thread=True)
def yard(request: Asked, site: SiteHere, asker: AskerHere) -> Response[str]:
    """The key board."""
    return show(request, "yard.html", **board(request, site, asker))


@get("/board", act="look", sync_to_thread=True)
def part(request: Asked, site: SiteHere, asker: AskerHere) -> Response[str]:
    """The hooks alone, for a page that follows."""
    text = render(request, "parts/board.html", **board(request, site, asker))
    return Response(text, media_type="text/html; charset=utf-8")


@get("/feed", act="look")
async def feed(site: SiteHere) -> Stream:
    """Tells a page when something was written."""
    return Stream(site.feed.follow(), media_type="text/event-stream", headers={"x-accel-buffering": "no"})


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (yard, part, feed)
