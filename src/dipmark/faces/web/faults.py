"""What goes wrong, answered: one table from exception to status, one shape of it in JSON, one page of it for people."""

from __future__ import annotations

import logging
from http import HTTPStatus
from typing import Any, Final
from urllib.parse import quote

import msgspec
from litestar import Request, Response
from litestar.exceptions import HTTPException
from litestar.response import Redirect

from dipmark.faces.web.guard import SAFE, NotSignedIn
from dipmark.faces.web.show import show
from dipmark.faces.web.words import said
from dipmark.facts.errors import DipmarkError, NotAllowed, NotFound, Paused, Refused, StoreError
from dipmark.facts.problems import Problem

STATUS: Final[tuple[tuple[type[Exception], int, str], ...]] = (
    (NotSignedIn, 401, "not-signed-in"),
    (NotAllowed, 403, "not-allowed"),
    (NotFound, 404, "not-found"),
    (Refused, 422, "refused"),
    (Paused, 429, "paused"),
    (StoreError, 503, "store"),
)
"""Status and code of what the program refuses; of what the framework refuses its own status; 500 for all else."""

JSON_PATHS: Final = ("/api/", "/phone/")
"""Below these whatever goes wrong is answered in JSON."""

_LOG: Final = logging.getLogger("dipmark.web")


class Said(msgspec.Struct, frozen=True):
    """What went wrong.

    Args:
        code: of the kind of fault.
        message: for a person.
        problems: each with what was found and what was expected.
    """

    code: str
    message: str
    problems: tuple[Problem, ...] = ()


class ErrorAnswer(msgspec.Struct, frozen=True):
    """The one shape of a fault in JSON."""

    error: Said


def answer_fault(request: Request[Any, Any, Any], fault: Exception) -> Response[Any]:
    """Answer a fault: in JSON below the addresses for programs, as a page for people."""
    status, told = _said(fault)
    if status >= 500:
        _LOG.error("%s %s failed", request.method, request.scope["path"], exc_info=fault)
    headers = _headers(request, fault)
    if request.scope["path"].startswith(JSON_PATHS):
        return Response(ErrorAnswer(told), status_code=status, headers=headers, media_type="application/json")
    if status == 401 and request.method in SAFE:
        return Redirect(f"/sign-in?next={quote(request.scope['path'], safe='')}", status_code=303)
    page = show(request, "fault.html", status, status=status, fault=told)
    page.headers.update(headers)
    return page


def _said(fault: Exception) -> tuple[int, Said]:
    for kind, status, code in STATUS:
        if isinstance(fault, kind):
            message = fault.detail if isinstance(fault, HTTPException) else str(fault)
            return status, Said(code, message, fault.problems if isinstance(fault, DipmarkError) else ())
    if isinstance(fault, HTTPException) and fault.status_code < 500:
        known = HTTPStatus(fault.status_code)
        message = fault.detail if fault.status_code == 403 else _PLAIN.get(fault.status_code, f"{known.phrase}.")
        return fault.status_code, Said(known.phrase.lower().replace(" ", "-"), message)
    return 500, Said("fault", said("Something went wrong in the program. Nothing of this was written; try again."))


_PLAIN: Final = {
    400: said("What was sent cannot be read."),
    404: said("There is nothing at this address."),
    405: said("That cannot be done at this address."),
    413: said("That is too large to be sent."),
    415: said("That cannot be read in this form."),
    429: said("Too much at once. Wait a minute."),
}


def _headers(request: Request[Any, Any, Any], fault: Exception) -> dict[str, str]:
    if isinstance(fault, Paused):
        seconds = (fault.until - request.app.state.site.office.clock()).total_seconds()
        return {"retry-after": str(max(1, int(seconds) + 1))}
    held = getattr(fault, "headers", None) or {}
    return {name: value for name, value in held.items() if name.lower() in {"allow", "retry-after"}}
