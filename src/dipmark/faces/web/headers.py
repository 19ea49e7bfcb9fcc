"""What every answer carries, errors included, so that a browser does no more with it than it should."""

from __future__ import annotations

from typing import Final

from litestar.datastructures import MutableScopeHeaders
from litestar.types import HTTPResponseStartEvent, Message, Scope

SOURCES: Final = {
    "default-src": "'none'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self' blob:",
    "font-src": "'self'",
    "connect-src": "'self'",
    "manifest-src": "'self'",
    "worker-src": "'self'",
    "form-action": "'self'",
    "base-uri": "'none'",
    "frame-ancestors": "'none'",
}
"""What a page may take from where: everything from here, nothing written into the page itself."""

HEADERS: Final = {
    "content-security-policy": "; ".join(f"{what} {where}" for what, where in SOURCES.items()),
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "permissions-policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}

STRICT: Final = {"strict-transport-security": "max-age=31536000"}
"""Under TLS: never by plain http again."""


async def put_headers(message: Message, scope: Scope) -> None:
    """Put them on an answer; what a page says itself about being kept stays."""
    if message["type"] != "http.response.start":
        return
    start: HTTPResponseStartEvent = message
    headers = MutableScopeHeaders.from_message(start)
    secure = scope["litestar_app"].state.site.secure
    for name, value in (HEADERS | STRICT if secure else HEADERS).items():
        headers[name] = value
    headers.setdefault("cache-control", "no-store")
