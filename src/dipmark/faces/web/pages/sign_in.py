"""Signing in and out, the first passphrase by a link, language and theme."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get, post
from litestar.datastructures import Cookie
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.adapters.store import Link
from dipmark.faces.web.faults import answer_fault
from dipmark.faces.web.forms import Form, field, within
from dipmark.faces.web.guard import OPEN, SiteHere
from dipmark.faces.web.show import THEMES, Asked, go, kept_cookie, show, show_again
from dipmark.facts.base import PersonKey
from dipmark.facts.errors import NotAllowed, Paused, Refused
from dipmark.office.devices import link_of, use_first
from dipmark.office.sign_in import LONGEST, sign_in, sign_out

YEAR: Final = 31_536_000


@get("/sign-in", act=OPEN, sync_to_thread=True)
def sign_in_page(request: Asked) -> Response[str]:
    """Ask who it is."""
    return show(request, "sign_in.html", next=within(request.query_params.get("next", "/")))


@post("/sign-in", act=OPEN, sync_to_thread=True, status_code=303)
def signs_in(request: Asked, site: SiteHere, data: Form) -> Response[Any]:
    """Let somebody in, under a new token: one that was planted before is worth nothing."""
    following = within(field(data, "next"))
    address = request.client.host if request.client else "nowhere"
    try:
        token, _ = sign_in(site.office, field(data, "who"), field(data, "secret"), address)
    except NotAllowed as refusal:
        return show_again(request, "sign_in.html", str(refusal), (), data, next=following)
    except Paused as pause:
        page = show_again(request, "sign_in.html", str(pause), (), data, next=following)
        page.status_code, page.headers = 429, dict(answer_fault(request, pause).headers)
        return page
    answer = go(following)
    answer.set_cookie(_session(site, token))
    return answer


@post("/sign-out", act="account", sync_to_thread=True, status_code=303)
def signs_out(request: Asked, site: SiteHere) -> Response[Any]:
    """End the session, here and in the store."""
    sign_out(site.office, request.state.session)
    answer = go("/sign-in")
    answer.set_cookie(kept_cookie(site, "session", "", 0))
    return answer


@get("/first/{token:str}", act=OPEN, sync_to_thread=True)
def first_page(request: Asked, site: SiteHere, token: FromPath[str]) -> Response[str]:
    """Ask for the first passphrase."""
    return show(request, "first.html", **_link(site, link_of(site.office, token)))


@post("/first/{token:str}", act=OPEN, sync_to_thread=True, status_code=303)
def first(request: Asked, site: SiteHere, token: FromPath[str], data: Form) -> Response[Any]:
    """Set the first passphrase; the link is used up."""
    link = link_of(site.office, token)
    try:
        session = use_first(site.office, token, field(data, "name"), field(data, "passphrase"))
    except Refused as refusal:
        return show_again(request, "first.html", str(refusal), refusal.problems, data, **_link(site, link))
    answer = go("/")
    answer.set_cookie(_session(site, session))
    return answer


@post("/look", act=OPEN, sync_to_thread=False, status_code=303)
def looks(site: SiteHere, data: Form) -> Response[Any]:
    """Choose light or dark, and the language, on this browser."""
    answer = go(within(field(data, "next")))
    if (theme := field(data, "theme")) in THEMES:
        answer.set_cookie(_choice(site, "theme", theme))
    if (tag := field(data, "language")) in site.languages:
        answer.set_cookie(_choice(site, "language", tag))
    return answer


def _choice(site: SiteHere, name: str, value: str) -> Cookie:
    """A choice, no secret: scripts of the phone sheet may read it."""
    return Cookie(key=f"dipmark_{name}", value=value, path="/", samesite="lax", secure=site.secure, max_age=YEAR)


def _session(site: SiteHere, token: str) -> Cookie:
    return kept_cookie(site, "session", token, int(LONGEST.total_seconds()))


def _link(site: SiteHere, link: Link) -> dict[str, Any]:
    """Whose passphrase a link is for."""
    names = site.office.people.names()
    return {"link": link, "name": names.get(PersonKey(link.subject), "") if link.what == "passphrase" else ""}


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (sign_in_page, signs_in, signs_out, first_page, first, looks)
