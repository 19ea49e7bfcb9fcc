"""What was refused from a phone: with its problems and pictures; settled, or entered all the same, put right."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.adapters.store import SetAside
from dipmark.faces.web.deeds import number_of, sorted_problems
from dipmark.faces.web.forms import Form, field
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.pages.deeds import DEEDS
from dipmark.faces.web.pages.truck import KINDS
from dipmark.faces.web.show import Asked, go, named, office_of, show, show_again
from dipmark.facts.base import name_of
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.kinds import kind_of
from dipmark.office.access import Asker
from dipmark.office.open import Office
from dipmark.office.set_aside import enter_anyway, hours_of, one_of, pictures, settle, waiting
from dipmark.views.log import body_words
from dipmark.views.words import moment

READ: Final = next(deed for deed in DEEDS if deed.id == "read")


@get("/set-aside", act="set-aside", sync_to_thread=True)
def set_aside_page(request: Asked, asker: AskerHere) -> Response[str]:
    """All of it, what nobody has settled first."""
    office = office_of(request)
    rows = [_row(office, one) for one in waiting(office)]
    return show(request, "set_aside.html", rows=rows, may_settle=asker.may("settle"), kinds=KINDS)


def _row(office: Office, one: SetAside) -> dict[str, Any]:
    names = office.people.names()
    return {
        "digest": one.digest,
        "truck": name_of(one.fact.book),
        "kind": kind_of(one.fact.body),
        "by": names.get(one.fact.by, one.fact.by),
        "happened": moment(one.fact.happened, office.zone, office.rules.word),
        "received": moment(one.received, office.zone, office.rules.word),
        "says": body_words(one.fact.body, names, office.rules.word),
        "problems": one.problems,
        "pictures": pictures(office, one),
        "settled": one.settled,
        "hours": hours_of(one.fact.body),
    }


@get("/set-aside/{digest:str}", act="set-aside", sync_to_thread=True)
def one_page(request: Asked, asker: AskerHere, digest: FromPath[str]) -> Response[str]:
    """One of it."""
    return show(request, "set_aside_one.html", **_given(office_of(request), asker, named(digest)))


def _given(office: Office, asker: Asker, digest: str) -> dict[str, Any]:
    row = _row(office, one_of(office, digest))
    return {"row": row, "may_settle": asker.may("settle"), "kinds": KINDS, "beside": {}}


@post("/set-aside/{digest:str}", act="settle", sync_to_thread=True, status_code=303)
def settled(request: Asked, asker: AskerHere, digest: FromPath[str], data: Form) -> Response[Any]:
    """Settle it with a note, or enter it put right."""
    office, which = office_of(request), named(digest)
    try:
        if field(data, "step") == "enter":
            when = field(data, "when").strip()
            enter_anyway(
                office,
                which,
                field(data, "note"),
                hours=number_of(data, "hours", "hours"),
                happened=office.instant(when) if when else None,
            )
        else:
            settle(office, which, field(data, "note"))
    except Refused as refusal:
        shown = _given(office, asker, which) | {"beside": sorted_problems(refusal.problems, READ)}
        return show_again(request, "set_aside_one.html", str(refusal), refusal.problems, data, **shown)
    return go("/set-aside")


@get("/set-aside/{digest:str}/picture/{picture:str}", act="set-aside", sync_to_thread=True)
def set_aside_picture(request: Asked, digest: FromPath[str], picture: FromPath[str]) -> Response[bytes]:
    """A photo that came with it."""
    office = office_of(request)
    found = office.store.blob(picture) if picture in pictures(office, one_of(office, named(digest))) else None
    if found is None:
        raise NotFound("There is no such picture.")
    return Response(found.data, media_type=found.media, headers={"cache-control": "private, max-age=86400"})


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (set_aside_page, one_page, settled, set_aside_picture)
