"""Why a phone without a trusted connection cannot work offline, and how to get the yard's certificate."""

from __future__ import annotations

from typing import Final

from litestar import Response, get
from litestar.handlers import HTTPRouteHandler

from dipmark.faces.web.guard import OPEN, SiteHere
from dipmark.faces.web.show import Asked, show
from dipmark.faces.web.words import said
from dipmark.facts.errors import NotFound


@get("/trust", act=OPEN, sync_to_thread=True)
def trust(request: Asked, site: SiteHere) -> Response[str]:
    """Why and how."""
    return show(request, "trust.html", secure=site.secure, authority=site.authority is not None)


@get("/trust/yard.crt", act=OPEN, sync_to_thread=False)
def certificate(site: SiteHere) -> Response[bytes]:
    """The certificate of the yard's own authority: no secret."""
    if site.authority is None:
        raise NotFound(said("This server makes no certificates of its own."))
    headers = {"content-disposition": 'attachment; filename="yard.crt"'}
    return Response(site.authority, media_type="application/x-x509-ca-cert", headers=headers)


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (trust, certificate)
