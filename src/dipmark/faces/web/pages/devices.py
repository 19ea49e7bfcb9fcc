"""Making a phone known: it opens a link, once, and holds a token from then on."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.faces.web.guard import OPEN, SiteHere
from dipmark.faces.web.show import Asked, go, kept_cookie, show
from dipmark.faces.web.words import said
from dipmark.facts.errors import NotFound
from dipmark.office.devices import enrol_device, link_of

FIVE_YEARS: Final = 157_680_000


@get("/device/{token:str}", act=OPEN, sync_to_thread=True)
def device_page(request: Asked, site: SiteHere, token: FromPath[str]) -> Response[str]:
    """Ask the phone whether it is to be known; nothing is used up by looking."""
    link = link_of(site.office, token)
    if link.what != "device":
        raise NotFound(said("This link is not for a phone."))
    return show(request, "device.html", link=link)


@post("/device/{token:str}", act=OPEN, sync_to_thread=True, status_code=303)
def device_known(site: SiteHere, token: FromPath[str]) -> Response[Any]:
    """Make the phone known."""
    held, _ = enrol_device(site.office, token)
    answer = go("/phone")
    answer.set_cookie(kept_cookie(site, "device", held, FIVE_YEARS))
    return answer


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (device_page, device_known)
