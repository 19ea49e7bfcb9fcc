"""People: each sees his own first; roles, permits, badge and PIN by whoever may; phones that the yard knows."""

from __future__ import annotations

from datetime import datetime
from typing import Any, Final

import segno
from litestar import Request, Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath
from markupsafe import Markup

from dipmark.derive.yard import covered_until
from dipmark.faces.web.deeds import sorted_problems, when_of, words_of
from dipmark.faces.web.forms import Form, field, fields
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.pages.deeds import DEEDS
from dipmark.faces.web.show import Asked, as_part, go, named, office_of, show, show_again
from dipmark.faces.web.words import said
from dipmark.facts.base import PersonKey
from dipmark.facts.errors import DipmarkError, NotAllowed, NotFound, Refused
from dipmark.office.access import ROLES, Asker
from dipmark.office.appoint import Given, Post, blank, enter_new, known_person, people_of, permit, set_post
from dipmark.office.devices import device_link, forget_device, passphrase_link
from dipmark.office.measure import day_of_text
from dipmark.office.open import Office
from dipmark.office.sign_in import issue_badge, issue_pin
from dipmark.views.people import person_row, person_rows
from dipmark.views.words import moment

ROLE_WORDS: Final = (
    said("driver"),
    said("mechanic"),
    said("lead"),
    said("auditor"),
    said("owner"),
    said("outside-mechanic"),
    said("examiner"),
)

PERMITS: Final = {
    "whole": said("Trained and evaluated"),
    "trainee": said("Still learning, under a trainer"),
    "day": said("Day card: to the end of this shift"),
    "withdrawn": said("Withdraw the permit"),
}

NO_STORE: Final = {"cache-control": "no-store"}
READ: Final = next(deed for deed in DEEDS if deed.id == "read")


def drawn_code(text: str, title: str) -> Markup:
    """A QR code as a drawing in the ink of the page."""
    made = segno.make(text, error="m", micro=False)
    picture = made.svg_inline(scale=4, border=4, svgclass="qr", lineclass="modules", title=title, omitsize=True)
    # Made of modules alone; the title is escaped where it is made.
    return Markup(picture)  # noqa: S704


def _address(request: Request[Any, Any, Any]) -> str:
    """The yard's address as this browser knows it."""
    return str(request.base_url).rstrip("/")


@get("/people", act="account", sync_to_thread=True)
def people(request: Asked, asker: AskerHere) -> Response[str]:
    """Everybody, whoever asks first; for whom that is not, himself alone."""
    return show(request, "people.html", **_all(office_of(request), asker))


def _all(office: Office, asker: Asker) -> dict[str, Any]:
    at = office.clock()
    rows = person_rows(people_of(office, at), asker.person)
    devices = office.store.sign_ins.devices() if asker.may("appoint") else ()
    return {
        "rows": rows if asker.may("people") else [row for row in rows if row.person == asker.person],
        "all": asker.may("people"),
        "may_appoint": asker.may("appoint"),
        "roles": ROLES,
        "devices": devices,
        "beside": {},
        "chosen": {},
        "now": moment(at, office.zone, office.rules.word),
    }


@post("/people/new", act="appoint", sync_to_thread=True, status_code=303)
def new_person(request: Asked, asker: AskerHere, data: Form) -> Response[Any]:
    """Enter somebody."""
    office = office_of(request)
    try:
        person = enter_new(office, asker, field(data, "name"), _post(data), when_of(office, {}))
    except (Refused, NotAllowed, NotFound) as refusal:
        return _again(request, "people.html", _all(office, asker), refusal, data)
    return go(f"/people/{as_part(person)}")


def _post(data: dict[str, Any]) -> Post:
    return Post(
        roles=fields(data, "roles"),
        firm=field(data, "firm").strip() or None,
        gone=bool(field(data, "gone")),
        skills=words_of(data, "skills"),
        shifts=words_of(data, "shifts"),
        trucks=words_of(data, "trucks"),
    )


@post("/people/phone", act="appoint", sync_to_thread=True, status_code=200)
def new_phone(request: Asked, asker: AskerHere, data: Form) -> Response[Any]:
    """A link by which a phone becomes known, once, within half an hour."""
    office = office_of(request)
    try:
        token = device_link(office, asker, field(data, "phone"))
    except Refused as refusal:
        return _again(request, "people.html", _all(office, asker), refusal, data)
    link = f"{_address(request)}/device/{token}"
    page = show(
        request,
        "secret.html",
        what="phone",
        name=field(data, "phone"),
        secret=link,
        code=drawn_code(link, "QR"),
        person=None,
    )
    page.headers.update(NO_STORE)
    return page


@post("/people/phone/{phone:str}/forget", act="appoint", sync_to_thread=True, status_code=303)
def no_phone(request: Asked, asker: AskerHere, phone: FromPath[str]) -> Response[Any]:
    """Know a phone no longer."""
    forget_device(office_of(request), asker, named(phone))
    return go("/people")


@get("/people/{key:str}", act="account", sync_to_thread=True)
def person(request: Asked, asker: AskerHere, key: FromPath[str]) -> Response[str]:
    """One person."""
    office, who = office_of(request), _seen(asker, key)
    return show(request, "person.html", **_one(office, asker, who))


def _seen(asker: Asker, key: str) -> PersonKey:
    """A person by his key; for whom others are not to see it is as if nobody were there."""
    who = PersonKey(named(key))
    if who != asker.person and not asker.may("people"):
        raise NotFound("Nobody of that key is in the yard.")
    return who


def _one(office: Office, asker: Asker, who: PersonKey) -> dict[str, Any]:
    known_person(office, who)
    at = office.clock()
    found = people_of(office, at)
    held = office.store.sign_ins.account(who)
    names = found.names
    return {
        "row": person_row(found, who),
        "may_appoint": asker.may("appoint"),
        "may_blank": asker.may("except"),
        "roles": ROLES,
        "permits": PERMITS,
        "kinds": {key: kind.text for key, kind in office.rules.kinds.items()},
        "others": sorted(
            (names.get(one.person, one.person), one.person) for one in found.yard.people.values() if not one.gone
        ),
        "signs": {
            "passphrase": bool(held and held.passphrase),
            "badge": bool(held and held.badge),
            "pin": bool(held and held.pin_key),
        },
        "own": who == asker.person,
        "beside": {},
        "chosen": {},
        "now": moment(at, office.zone, office.rules.word),
    }


@post("/people/{key:str}/{what:str}", act="appoint", sync_to_thread=True, status_code=303)
def change_person(
    request: Asked, asker: AskerHere, key: FromPath[str], what: FromPath[str], data: Form
) -> Response[Any]:
    """Change what he does, what he may drive, or how he signs in; what is secret is shown once."""
    office, who = office_of(request), _seen(asker, key)
    try:
        if what in SECRETS:
            return _secret(request, office, asker, who, what)
        if what == "post":
            set_post(office, asker, who, _post(data), when_of(office, {}))
        elif what == "permit":
            permit(office, asker, who, _permit(office, data), when_of(office, {}))
        elif what == "blank":
            blank(office, asker, who)
        else:
            raise NotFound("There is nothing at this address.")
    except (Refused, NotAllowed) as refusal:
        return _again(request, "person.html", _one(office, asker, who), refusal, data)
    return go(f"/people/{as_part(who)}")


SECRETS: Final = ("badge", "pin", "link")


def _secret(request: Asked, office: Office, asker: Asker, who: PersonKey, what: str) -> Response[str]:
    """A new badge, PIN or link, on a page that no browser keeps."""
    code = None
    if what == "badge":
        secret = issue_badge(office, asker, who)
        code = drawn_code(secret, "QR")
    elif what == "pin":
        secret = issue_pin(office, asker, who)
    else:
        secret = f"{_address(request)}/first/{passphrase_link(office, asker, who)}"
        code = drawn_code(secret, "QR")
    name = office.people.names().get(who, who)
    page = show(request, "secret.html", what=what, name=name, secret=secret, code=code, person=who)
    page.status_code = 200
    page.headers.update(NO_STORE)
    return page


def _permit(office: Office, data: dict[str, Any]) -> Given:
    sort, kind = field(data, "sort"), field(data, "kind")

    def day(name: str) -> Any:
        text = field(data, name).strip()
        return day_of_text(office, text) if text else None

    if sort == "withdrawn":
        return Given(kind=kind, withdrawn=field(data, "why").strip() or None)
    by = PersonKey(field(data, "by")) if field(data, "by") else None
    if sort == "trainee":
        return Given(kind=kind, under=by, until=day("until"))
    return Given(
        kind=kind,
        trained=day("trained"),
        evaluated=day("evaluated"),
        by=by,
        until=day("until"),
        ends=_end_of_shift(office) if sort == "day" else None,
        certificate=field(data, "certificate").strip() or None,
    )


def _end_of_shift(office: Office) -> datetime:
    return covered_until(office.yard.shifts, office.clock(), office.zone)


def _again(
    request: Asked, template: str, shown: dict[str, Any], refusal: DipmarkError, data: dict[str, Any]
) -> Response[str]:
    beside = sorted_problems(refusal.problems, READ)
    chosen = {name: list(fields(data, name)) for name in ("roles",)}
    return show_again(
        request, template, str(refusal), refusal.problems, data, **shown | {"beside": beside, "chosen": chosen}
    )


ROUTES: Final[tuple[HTTPRouteHandler, ...]] = (
    people,
    new_person,
    new_phone,
    no_phone,
    person,
    change_person,
)
