"""Getting to know a truck: led round the drawing place by place, then a walk-round together, and both confirm."""

from __future__ import annotations

from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.faces.web.deeds import given, when_of
from dipmark.faces.web.forms import Form, field
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.pages.truck import drawn, led_words
from dipmark.faces.web.show import Asked, as_part, go, named, office_of, show, show_again
from dipmark.faces.web.words import said
from dipmark.facts.base import name_of
from dipmark.facts.errors import NotAllowed, NotFound, Paused, Refused
from dipmark.office.access import Asker, book_seen
from dipmark.office.familiarise import confirm, walked_today
from dipmark.office.hold import may_drive
from dipmark.office.look import truck
from dipmark.office.open import Office
from dipmark.views.know_truck import know_truck
from dipmark.views.words import moment

WHY: Final = {
    "now": said("It matters: with this wrong nobody starts the truck."),
    "stop": said("It matters: with this wrong the truck is out of service."),
    "repair-by": said("It matters: with this wrong it is mended within days."),
    "watch": said("It is watched: it says early that something wears."),
}
"""Why a thing is looked at, by the worst that may be found."""

END: Final = "both"


@get("/truck/{name:str}/know", act="walk", sync_to_thread=True)
def know_page(request: Asked, asker: AskerHere, name: FromPath[str]) -> Response[str]:
    """One place, or the walk-round together and the confirmation."""
    office = office_of(request)
    number = name_of(book_seen(office, asker, named(name)))
    return show(request, "know.html", **_given(office, asker, number, str(request.query_params.get("place", ""))))


@post("/truck/{name:str}/know", act="walk", sync_to_thread=True, status_code=303)
def known(request: Asked, asker: AskerHere, name: FromPath[str], data: Form) -> Response[Any]:
    """Both confirm: whoever is signed in, and who led him round, by badge and PIN or name and passphrase."""
    office = office_of(request)
    number = name_of(book_seen(office, asker, named(name)))
    address = request.client.host if request.client else "nowhere"
    try:
        confirm(office, asker, number, field(data, "who"), field(data, "secret"), address, when_of(office, {}))
    except (Refused, NotAllowed, Paused) as refusal:
        shown = _given(office, asker, number, END)
        return show_again(request, "know.html", str(refusal), refusal.problems, data, **shown)
    return go(f"/truck/{as_part(number)}?noted=know")


def _given(office: Office, asker: Asker, number: str, wanted: str) -> dict[str, Any]:
    at = office.clock()
    now = truck(office, number, at)
    kind = office.rules.kind(now.enrolled.what)
    if kind is None:
        raise NotFound(f"Trucks of the kind {now.enrolled.what} have no rules yet. Get to know it by its manual.")
    know = know_truck(now, kind, office.people.names(), office.rules.word)
    ids = [place.id for place in know.places]
    turn = len(ids) if wanted == END else ids.index(wanted) if wanted in ids else 0
    place = know.places[turn] if turn < len(ids) else None
    steps = [*ids, END]
    walked, driver = walked_today(office, asker, now), may_drive(office, asker.person, kind.key)
    return {
        **given(office, now, at),
        "know": know,
        "place": place,
        "turn": turn,
        "before": steps[turn - 1] if turn else None,
        "after": steps[turn + 1] if turn + 1 < len(steps) else None,
        "why": WHY,
        "drawing": drawn(kind, kind.text, place.id if place else None),
        "led": led_words(office, asker, now),
        "walked": moment(walked.effective, office.zone, office.rules.word) if walked else "",
        "not_you": "" if driver.may else driver.reasons[0].text,
    }


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (know_page, known)
