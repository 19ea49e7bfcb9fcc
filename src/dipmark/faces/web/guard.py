"""Who is asking, and may he: every route names its act, and `office.access` has the table."""

from __future__ import annotations

import hashlib
import hmac
from typing import Any, Final
from urllib.parse import urlsplit

from anyio import to_thread
from litestar import Request
from litestar.connection import ASGIConnection
from litestar.di import NamedDependency
from litestar.exceptions import (
    ClientException,
    ImproperlyConfiguredException,
    NotFoundException,
    PermissionDeniedException,
)
from litestar.handlers import BaseRouteHandler, HTTPRouteHandler

from dipmark.adapters.store import Device
from dipmark.faces.web.site import Site
from dipmark.faces.web.words import said
from dipmark.facts.errors import NotAllowed
from dipmark.office.access import ACTS, Asker
from dipmark.office.devices import device_of
from dipmark.office.sign_in import asker_in

OPEN: Final = "open"
"""The act of a route that anybody may ask for: signing in, and what needs no secret."""

DEVICE: Final = "device"
"""The act of a route that is for phones the yard knows."""

SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS"})
FIELD: Final = "form_token"
HEADER: Final = "x-dipmark-form"


class NotSignedIn(ClientException):
    """Nobody is signed in, or no longer."""

    status_code = 401


def act_of(handler: BaseRouteHandler) -> str:
    """The act that a route names.

    Raises:
        ImproperlyConfiguredException: it names none, or one that is not in the table.
    """
    if isinstance(handler, HTTPRouteHandler) and handler.http_methods == {"OPTIONS"}:
        return OPEN  # made by the framework: it says which methods there are, and no more
    act: str | None = handler.opt.get("act")
    if act not in {OPEN, DEVICE, *ACTS}:
        raise ImproperlyConfiguredException(f"route {handler} names the act {act!r}, which no table has")
    return act


def cookie(name: str, *, secure: bool) -> str:
    """The name of a cookie; under TLS one that no other host and no plain page can set."""
    return f"__Host-dipmark_{name}" if secure else f"dipmark_{name}"


async def guard(connection: ASGIConnection[Any, Any, Any, Any], handler: BaseRouteHandler) -> None:
    """Find out who asks, and stop whoever may not.

    Raises:
        NotSignedIn: nobody is signed in, or no phone the yard knows is asking.
        NotAllowed: his roles do not let him.
        PermissionDeniedException: it comes from another site's page.
        NotFoundException: no address holds such a character.
    """
    if "\x00" in connection.scope["path"]:
        raise NotFoundException
    act, site = act_of(handler), site_of(connection)
    unsafe = connection.scope.get("method") not in SAFE
    if unsafe:
        _same_site(connection)
    token = connection.cookies.get(cookie("session", secure=site.secure))
    asker = await to_thread.run_sync(asker_in, site.office, token, limiter=site.turns) if token else None
    connection.state.asker, connection.state.session = asker, token if asker else None
    held = connection.cookies.get(cookie("device", secure=site.secure))
    connection.state.device = (
        await to_thread.run_sync(device_of, site.office, held, limiter=site.turns) if held else None
    )
    if act == OPEN:
        return
    if act == DEVICE:
        if connection.state.device is None:
            raise NotSignedIn(detail=said("This phone is not known in the yard. Ask the lead hand to make it known."))
        return
    if asker is None:
        raise NotSignedIn(detail=said("Sign in first."))
    if not asker.may(act):  # type: ignore[arg-type]  # act_of has looked it up
        raise NotAllowed(said("That is not for you to do here."))
    if unsafe:
        await _own_form(connection, token or "")


def _same_site(connection: ASGIConnection[Any, Any, Any, Any]) -> None:
    """A browser says where a form stands; one that stands elsewhere is not ours, whoever is signed in."""
    origin = connection.headers.get("origin")
    if origin is None or urlsplit(origin).netloc != connection.headers.get("host"):
        raise PermissionDeniedException(detail=said("This was not sent from a page of this yard."))


async def _own_form(connection: ASGIConnection[Any, Any, Any, Any], token: str) -> None:
    given = connection.headers.get(HEADER)
    if given is None and isinstance(connection, Request):
        kind = connection.content_type[0]
        if kind in {"application/x-www-form-urlencoded", "multipart/form-data"}:
            given = (await connection.form()).get(FIELD)
    if not isinstance(given, str) or not hmac.compare_digest(given.encode(), form_token(token).encode()):
        raise PermissionDeniedException(detail=said("This page was too old to be sent. Open it again."))


def form_token(session: str) -> str:
    """What every form of a session carries: bound to it, and nothing can be made of it."""
    return hashlib.sha256(f"form {session}".encode()).hexdigest()


def site_of(connection: ASGIConnection[Any, Any, Any, Any]) -> Site:
    """The server that is asked."""
    site: Site = connection.app.state.site
    return site


SiteHere = NamedDependency[Site]
"""What a handler that asks for `site` is given: the server."""

AskerHere = NamedDependency[Asker]
"""What a handler that asks for `asker` is given: who is signed in."""

DeviceHere = NamedDependency[Device]
"""What a handler that asks for `device` is given: the phone that asks."""


async def give_site(request: Request[Any, Any, Any]) -> Site:
    """What a handler that asks for `site` is given."""
    return site_of(request)


async def give_asker(request: Request[Any, Any, Any]) -> Asker:
    """What a handler that asks for `asker` is given: who is signed in."""
    asker: Asker = request.state.asker
    return asker


async def give_device(request: Request[Any, Any, Any]) -> Device:
    """What a handler that asks for `device` is given: the phone that asks."""
    device: Device = request.state.device
    return device
