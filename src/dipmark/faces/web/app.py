"""The web application: every route, guarded, with the one shape of what goes wrong."""

from __future__ import annotations

from collections.abc import Sequence
from importlib import import_module
from pkgutil import iter_modules
from typing import Any, Final

from litestar import Litestar, Request, Router
from litestar.datastructures import State
from litestar.di import Provide
from litestar.enums import OpenAPIMediaType
from litestar.handlers import HTTPRouteHandler
from litestar.middleware.rate_limit import RateLimitConfig
from litestar.openapi.config import OpenAPIConfig
from litestar.openapi.plugins import JsonRenderPlugin
from litestar.static_files import create_static_files_router

from dipmark.faces.web import api, pages, phone
from dipmark.faces.web.faults import answer_fault
from dipmark.faces.web.guard import OPEN, act_of, cookie, give_asker, give_device, give_site, guard
from dipmark.faces.web.headers import put_headers
from dipmark.faces.web.schema import AsWritten
from dipmark.faces.web.site import Site
from dipmark.faces.web.words import WEB
from dipmark.office.sign_in import digest_of

MOST_BYTES: Final = 2_000_000
"""Of one request; a route that takes pictures names its own."""

MOST_A_MINUTE: Final = 900
"""Requests of one session, phone or address; static files are not counted."""


def all_routes() -> tuple[HTTPRouteHandler, ...]:
    """What is answered: the routes of every module of pages, of the API and of the phone sheet."""
    modules = [import_module(f"{pages.__name__}.{one.name}") for one in iter_modules(pages.__path__)]
    return tuple(route for module in (*modules, api, phone) for route in module.ROUTES)


def create_app(site: Site, routes: Sequence[HTTPRouteHandler] | None = None) -> Litestar:
    """The application over an opened yard.

    Args:
        site: what its pages share.
        routes: what it answers; None: all.
    """
    static = create_static_files_router(
        path="/static",
        directories=[str(WEB / "static")],
        opt={"act": OPEN},
        cache_control=None,
    )
    # One router, so that each handler is registered once: a second time would wrap its thread in another.
    router = Router(path="/", route_handlers=list(all_routes() if routes is None else routes))
    made = Litestar(
        route_handlers=[router, static],
        guards=[guard],
        dependencies={
            "site": Provide(give_site),
            "asker": Provide(give_asker),
            "device": Provide(give_device),
        },
        exception_handlers={Exception: answer_fault},
        before_send=[put_headers],
        middleware=[
            RateLimitConfig(
                rate_limit=("minute", MOST_A_MINUTE), exclude=["^/static/"], identifier_for_request=_who
            ).middleware
        ],
        request_max_body_size=MOST_BYTES,
        openapi_config=_openapi(),
        plugins=[AsWritten()],
        state=State({"site": site}),
        include_in_schema=False,
        debug=False,
        logging_config=None,
    )
    for route in made.routes:
        for handler in getattr(route, "route_handlers", ()):
            act_of(handler)
    return made


def _openapi() -> OpenAPIConfig:
    return OpenAPIConfig(
        title="dipmark",
        version="1",
        description="What the yard's pages show, for programs. Every value is derived from the record at the instant.",
        use_handler_docstrings=True,
        path="/api/openapi.json",
        render_plugins=[JsonRenderPlugin(path="/", media_type=OpenAPIMediaType.OPENAPI_JSON)],
        openapi_router=Router(
            path="/api/openapi.json", route_handlers=[], opt={"act": "look"}, include_in_schema=False
        ),
    )


def _who(request: Request[Any, Any, Any]) -> str:
    """Whose requests are counted together: a session's, a phone's, or those from one address."""
    secure = request.app.state.site.secure
    for name in ("session", "device"):
        if held := request.cookies.get(cookie(name, secure=secure)):
            return digest_of(held)
    return request.client.host if request.client else "nowhere"
