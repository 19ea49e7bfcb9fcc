"""The yard's own settings: where it lies, how it speaks, whom to call, its shifts, closed days and places."""

from __future__ import annotations

from itertools import count, takewhile
from typing import Any, Final

from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler

from dipmark.derive.places import AREAS, area_words, place_named
from dipmark.faces.web.deeds import sorted_problems
from dipmark.faces.web.forms import Form, field, fields
from dipmark.faces.web.guard import AskerHere, SiteHere
from dipmark.faces.web.pages.deeds import DEEDS
from dipmark.faces.web.show import Asked, go, office_of, show, show_again, spoken
from dipmark.faces.web.site import Site
from dipmark.faces.web.words import said
from dipmark.facts.base import WEEKDAYS
from dipmark.facts.errors import Refused
from dipmark.facts.people import Shift
from dipmark.office.places import PlaceTyped, set_place
from dipmark.office.settings import UNITS, ShiftTyped, YardTyped, set_shifts, set_yard, standing_doubts
from dipmark.views.words import moment

READ: Final = next(deed for deed in DEEDS if deed.id == "read")

UNIT_WORDS: Final = dict(zip(UNITS, (said("metric: mm, bar, °C"), said("US customary: in, psi, °F")), strict=True))

TICKS: Final = {
    "sealed": said("All that could burn stays shut in: sealed containers, closed bins, bags"),
    "cold": said("Cold store, or in and out of one"),
    "food": said("Food lies open or is packed"),
    "wet": said("Wet: water, wash-down, salt or rain"),
}
"""What may be ticked of a place."""

NEW_ROWS: Final = 2
"""So many blank shifts stand below those that are worked."""


@get("/settings", act="rules", sync_to_thread=True)
def settings(request: Asked, site: SiteHere) -> Response[str]:
    """As they stand, and what of them should be looked at."""
    return show(request, "settings.html", **_stand(request, site))


@post("/settings", act="rules", sync_to_thread=True, status_code=303)
def settings_set(request: Asked, site: SiteHere, asker: AskerHere, data: Form) -> Response[Any]:
    """Change where the yard lies, how it speaks, whom to call."""
    typed = YardTyped(**{name: field(data, name) for name in YardTyped.__struct_fields__})
    try:
        set_yard(office_of(request), asker, typed, site.languages)
    except Refused as refusal:
        return _again(request, _stand(request, site), refusal, data)
    return go("/settings?noted=yard")


@post("/settings/shifts", act="rules", sync_to_thread=True, status_code=303)
def settings_shifts(request: Asked, site: SiteHere, asker: AskerHere, data: Form) -> Response[Any]:
    """Change shifts and closed days, from now on."""
    typed = [_shift_typed(data, f"shift-{row}") for row in takewhile(lambda row: f"shift-{row}-name" in data, count())]
    try:
        set_shifts(office_of(request), asker, typed, field(data, "closed"))
    except Refused as refusal:
        shown = _stand(request, site)
        rows = [*shown["shifts"], *[None] * (len(typed) - len(shown["shifts"]))]
        return _again(request, shown | {"shifts": rows}, refusal, data)
    return go("/settings?noted=shifts")


@post("/settings/places", act="rules", sync_to_thread=True, status_code=303)
def settings_places(request: Asked, site: SiteHere, asker: AskerHere, data: Form) -> Response[Any]:
    """Say what a place is like, from now on."""
    texts = {name: field(data, f"place-{name}") for name in ("name", "area", "floor", "ramp", "note")}
    ticked = [name for name in TICKS if field(data, f"place-{name}")]
    try:
        set_place(office_of(request), asker, PlaceTyped(**texts, ticked=ticked))
    except Refused as refusal:
        return _again(request, _stand(request, site), refusal, data)
    return go("/settings?noted=places")


def _shift_typed(data: dict[str, Any], row: str) -> ShiftTyped:
    if field(data, f"{row}-gone"):
        return ShiftTyped()
    texts = {name: field(data, f"{row}-{name}").strip() for name in ("name", "start", "end", "telephone")}
    return ShiftTyped(days=fields(data, f"{row}-days"), **texts)


def _stand(request: Asked, site: Site) -> dict[str, Any]:
    office = office_of(request)
    yard = office.yard
    shifts: list[Shift | None] = [*yard.shifts, *[None] * NEW_ROWS]
    return {
        "yard": yard,
        "shifts": shifts,
        "weekdays": tuple(enumerate(WEEKDAYS, start=1)),
        "units": tuple((code, spoken(request).say(text)) for code, text in UNIT_WORDS.items()),
        "spoken": site.languages,
        "place": place_named(yard.places, str(request.query_params.get("place", ""))),
        "areas": tuple((area, area_words(area, office.rules.word)) for area in AREAS),
        "ticks": tuple((name, spoken(request).say(text)) for name, text in TICKS.items()),
        "doubts": standing_doubts(office),
        "noted": request.query_params.get("noted", ""),
        "beside": {},
        "chosen": {},
        "now": moment(office.clock(), office.zone, office.rules.word),
    }


def _again(request: Asked, shown: dict[str, Any], refusal: Refused, data: dict[str, Any]) -> Response[str]:
    given = {"beside": sorted_problems(refusal.problems, READ), "chosen": {name: fields(data, name) for name in data}}
    return show_again(request, "settings.html", str(refusal), refusal.problems, data, **shown | given)


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (settings, settings_set, settings_shifts, settings_places)
