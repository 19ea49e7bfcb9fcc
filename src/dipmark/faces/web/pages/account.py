"""One's own account: who I am here, a new passphrase, a new PIN."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.faces.web.forms import Form, field
from dipmark.faces.web.guard import AskerHere, SiteHere
from dipmark.faces.web.show import Asked, go, kept_cookie, office_of, show, show_again
from dipmark.facts.errors import NotAllowed, Refused
from dipmark.office.sign_in import change_passphrase, change_pin


@get("/account", act="account", sync_to_thread=True)
def account(request: Asked, asker: AskerHere) -> Response[str]:
    """Who I am here."""
    return show(request, "account.html", **_given(request, asker))


@post("/account/{what:str}", act="account", sync_to_thread=True, status_code=303)
def change(request: Asked, site: SiteHere, asker: AskerHere, what: FromPath[str], data: Form) -> Response[Any]:
    """Change one's own passphrase or PIN, with the one there is; every other session ends."""
    office = office_of(request)
    changed = {"passphrase": change_passphrase, "pin": change_pin}.get(what, change_passphrase)
    address = request.client.host if request.client else "nowhere"
    try:
        token = changed(office, asker.person, field(data, "secret"), field(data, what), address)
    except (NotAllowed, Refused) as refusal:
        return show_again(request, "account.html", str(refusal), refusal.problems, data, **_given(request, asker))
    answer = go("/account")
    answer.set_cookie(kept_cookie(site, "session", token))
    return answer


def _given(request: Asked, asker: AskerHere) -> dict[str, Any]:
    held = office_of(request).store.sign_ins.account(asker.person)
    return {"has_passphrase": bool(held and held.passphrase), "has_pin": bool(held and held.pin_key)}


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (account, change)
