"""The fortnight: the published plan, a better one, one visit moved with what that does; absences and feeds."""

from __future__ import annotations

from datetime import date
from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.derive.workshop import workshop_now
from dipmark.faces.web.forms import Form, field
from dipmark.faces.web.guard import OPEN, AskerHere, SiteHere
from dipmark.faces.web.show import Asked, go, office_of, show, show_again
from dipmark.faces.web.words import said
from dipmark.facts.base import YARD, PersonKey, truck_book
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem
from dipmark.facts.workshop import Away
from dipmark.office.access import Asker
from dipmark.office.devices import calendar_link, end_calendar
from dipmark.office.enter import When
from dipmark.office.feeds import DUE, PLAN, feed_of
from dipmark.office.open import Office
from dipmark.office.plan import PLAN_UNREADABLE, considered, publish, published, set_away, set_workshop, suggested
from dipmark.office.workshop_told import lines_of, told_from
from dipmark.views.words import moment
from dipmark.views.workshop import PlanPage, part_of

OUT: Final = "out"
"""Instead of a place: out of the plan."""

ALL: Final = "all"
"""Whose visits: everybody's."""

FEEDS: Final = {DUE: said("What falls due"), PLAN: said("The whole plan")}


def _given(office: Office, asker: Asker, page: PlanPage | None, step: str, **more: Any) -> dict[str, Any]:
    now = office.clock()
    return {
        "page": page,
        "step": step,
        "may_plan": asker.may("plan"),
        "now": moment(now, office.zone, office.rules.word),
        "feeds": FEEDS,
        "own": False,
        "only": False,
        "link": "",
        "told": lines_of(workshop_now(office.book(YARD), now).told),
        **more,
    }


@get("/workshop", act="look", sync_to_thread=True)
def workshop_page(request: Asked, asker: AskerHere) -> Response[str]:
    """The plan people go by: all of it for who plans, his own visits first for who works by it."""
    office = office_of(request)
    page, mine = published(office, office.clock()), str(asker.person)
    own = page is not None and not asker.may("plan") and mine in page.people
    only = own and request.query_params.get("who") != ALL
    if page is not None:
        sees = None if asker.books is None else lambda truck: asker.sees(truck_book(truck))
        page = part_of(page, who=mine if only else None, sees=sees)
    return show(request, "workshop.html", **_given(office, asker, page, "published", own=own, only=only))


@post("/workshop/suggest", act="plan", sync_to_thread=True, status_code=200)
def better(request: Asked, asker: AskerHere) -> Response[str]:
    """The best plan that is found in a few seconds; nothing is written."""
    office = office_of(request)
    page = suggested(office, office.clock())
    return show(request, "workshop.html", **_given(office, asker, page, "suggested"))


@post("/workshop/move", act="plan", sync_to_thread=True, status_code=200)
def moved(request: Asked, asker: AskerHere, data: Form) -> Response[str]:
    """One visit elsewhere, and what that does; nothing is written."""
    office = office_of(request)
    page = considered(office, office.clock(), field(data, "visits"), field(data, "visit"), _place(field(data, "to")))
    return show(request, "workshop.html", **_given(office, asker, page, "considered"))


def _place(text: str) -> tuple[date, str, str] | None:
    """A day, shift and mechanic as the form sends them.

    Raises:
        Refused: it is none.
    """
    if text == OUT:
        return None
    day, _, rest = text.partition("|")
    shift, _, who = rest.partition("|")
    try:
        return date.fromisoformat(day), shift, who
    except ValueError:
        problem = Problem(PLAN_UNREADABLE, text, "a day, a shift and a mechanic", "Choose one of the list.")
        raise Refused(problem.message, [problem]) from None


@post("/workshop/publish", act="plan", sync_to_thread=True, status_code=303)
def kept(request: Asked, asker: AskerHere, data: Form) -> Response[Any]:
    """Make it the plan people go by; what cannot be is refused with what stands against it."""
    office = office_of(request)
    now = When(office.clock().replace(microsecond=0))
    try:
        publish(office, field(data, "visits"), now, words=field(data, "note").strip() or None)
    except Refused as refusal:
        given = _given(office, asker, published(office, office.clock()), "published")
        return show_again(request, "workshop.html", str(refusal), refusal.problems, data, **given)
    return go("/workshop")


@post("/workshop/away", act="plan", sync_to_thread=True, status_code=303)
def away(request: Asked, asker: AskerHere, data: Form) -> Response[Any]:
    """Somebody is away."""
    office = office_of(request)
    try:
        first = date.fromisoformat(field(data, "first"))
        last = date.fromisoformat(field(data, "last") or field(data, "first"))
    except ValueError:
        problem = Problem(PLAN_UNREADABLE, field(data, "first"), "a day such as 2026-12-01", "Choose the days.")
        given = _given(office, asker, published(office, office.clock()), "published")
        return show_again(request, "workshop.html", problem.message, [problem], data, **given)
    body = Away(person=PersonKey(field(data, "person")), first=first, last=last)
    set_away(office, body, When(office.clock().replace(microsecond=0)))
    return go("/workshop")


@post("/workshop/has", act="plan", sync_to_thread=True, status_code=303)
def has(request: Asked, asker: AskerHere, data: Form) -> Response[Any]:
    """What the workshop has, line by line."""
    office = office_of(request)
    try:
        set_workshop(office, told_from(field(data, "told"), office.rules), When(office.clock().replace(microsecond=0)))
    except Refused as refusal:
        given = _given(office, asker, published(office, office.clock()), "published") | {"told": field(data, "told")}
        return show_again(request, "workshop.html", str(refusal), refusal.problems, data, **given)
    return go("/workshop")


@post("/workshop/feed", act="plan", sync_to_thread=True, status_code=200)
def feed_link(request: Asked, asker: AskerHere, data: Form) -> Response[str]:
    """A secret link that a calendar program reads; or none any more."""
    office = office_of(request)
    subject, link = field(data, "subject") or PLAN, ""
    if field(data, "step") == "end":
        end_calendar(office, asker, subject)
    else:
        token = calendar_link(office, asker, subject)
        link = f"{str(request.base_url).rstrip('/')}/calendar/{token}"
    page = published(office, office.clock())
    return show(request, "workshop.html", **_given(office, asker, page, "published", link=link))


@get("/calendar/{token:str}", act=OPEN, sync_to_thread=True)
def calendar_feed(site: SiteHere, token: FromPath[str]) -> Response[bytes]:
    """The feed of a secret link."""
    headers = {"cache-control": "private, max-age=900", "content-disposition": 'inline; filename="dipmark.ics"'}
    return Response(feed_of(site.office, token), media_type="text/calendar", headers=headers)


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (
    workshop_page,
    better,
    moved,
    kept,
    away,
    has,
    feed_link,
    calendar_feed,
)
