"""What people do to a truck at a desk: each deed is a form of its own, described once and drawn by one template."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any, Final, Literal

import msgspec
from litestar import Response, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from dipmark.derive.days import local_day
from dipmark.derive.truck import TruckNow
from dipmark.faces.web.forms import MOST_BYTES, Files, Form, field
from dipmark.faces.web.guard import AskerHere
from dipmark.faces.web.show import Asked, as_part, go, named, office_of, show, show_again
from dipmark.facts.base import name_of
from dipmark.facts.errors import DipmarkError, NotFound, Refused
from dipmark.facts.problems import Problem, Where
from dipmark.office.access import MAY, ROLES, Act, Asker, book_seen
from dipmark.office.enter import When, day_of, hours_from
from dipmark.office.look import truck
from dipmark.office.open import Office, is_day
from dipmark.views.words import SERIOUSNESS, moment

Shape = Literal["line", "words", "number", "day", "moment", "choice", "many", "note", "pictures"]
"""A line, some lines, a number, a day, day and time, one of several, any of several, words alone, pictures."""


class Choice(msgspec.Struct, frozen=True):
    """One thing to choose: what is sent, what is read, under which heading."""

    value: str
    text: str
    group: str = ""


class Asks(msgspec.Struct, frozen=True, kw_only=True):
    """One field of a form.

    Args:
        name: of the field.
        text: what is asked, in English.
        shape: how it is asked.
        note: a word on it.
        needed: it may not stay blank.
        value: what stands in it at first.
        choices: what may be chosen.
        plain: the texts are data, said as they stand.
    """

    name: str
    text: str
    shape: Shape = "line"
    note: str = ""
    needed: bool = False
    value: str = ""
    choices: tuple[Choice, ...] = ()
    plain: bool = False


class Deed(msgspec.Struct, frozen=True, kw_only=True):
    """Something to do to a truck.

    Args:
        id: the last part of its address.
        act: what one must be allowed to.
        title: what it is, in English.
        button: what the button says.
        about: a word on what it does.
        cautions: what can hurt.
        asks: its fields for a truck; by what the address says after the question mark.
        do: does it, with what was typed.
        beside: by code of a problem the field it stands beside.
        pictures: True where one of its fields takes them.
    """

    id: str
    act: Act
    title: str
    button: str
    about: str = ""
    cautions: tuple[str, ...] = ()
    asks: Callable[[Office, TruckNow, dict[str, str]], Iterable[Asks]]
    do: Callable[[Office, Asker, str, dict[str, Any]], object]
    beside: dict[str, str] = {}
    pictures: bool = False


WHEN: Final = Asks(
    name="when",
    text="When",
    shape="moment",
    note="Blank: now. Otherwise when it was, by the yard's clock.",
)


def when_of(office: Office, data: dict[str, Any]) -> When:
    """When something was: as typed, or now.

    Raises:
        Refused: it is no time.
    """
    text = field(data, "when").strip()
    if not text:
        return When(office.clock().replace(microsecond=0))
    moment_ = office.instant(text)
    return day_of(local_day(moment_, office.zone), office) if is_day(text) else When(moment_)


def number_of(data: dict[str, Any], name: str, what: str) -> Decimal | None:
    """Hours or minutes that may stay blank.

    Raises:
        Refused: they cannot be read; it stands beside their field.
    """
    text = field(data, name).strip()
    try:
        return hours_from(text, what) if text else None
    except Refused as refusal:
        beside = [msgspec.structs.replace(one, where=Where(column=name)) for one in refusal.problems]
        raise Refused(str(refusal), beside) from refusal


def words_of(data: dict[str, Any], name: str) -> tuple[str, ...]:
    """Words set apart by commas or lines."""
    text = field(data, name).replace("\n", ",").replace(";", ",")
    return tuple(word.strip() for word in text.split(",") if word.strip())


def who_may(act: Act) -> tuple[str, ...]:
    """The roles that may do something, for whoever may not."""
    return tuple(role for role in ROLES if act in MAY[role])


def given(office: Office, now: TruckNow, at: datetime) -> dict[str, Any]:
    """What every page about one truck shows at its head."""
    kind = office.rules.kind(now.enrolled.what)
    return {
        "truck": now,
        "kind_text": kind.text if kind else now.enrolled.what,
        "now": moment(at, office.zone, office.rules.word),
        "today": local_day(at, office.zone),
        "serious": SERIOUSNESS,
    }


def sorted_problems(problems: Sequence[Problem], deed: Deed) -> dict[str, list[Problem]]:
    """Problems by the field they stand beside; under an empty name those of the whole form."""
    names: dict[str, list[Problem]] = {}
    for problem in problems:
        names.setdefault(problem.where.column or deed.beside.get(problem.code, ""), []).append(problem)
    return names


def routes_of(deed: Deed) -> tuple[HTTPRouteHandler, ...]:
    """The form of a deed, and what sending it does."""
    path = f"/truck/{{name:str}}/{deed.id}"

    @get(path, act=deed.act, sync_to_thread=True)
    def asks(request: Asked, asker: AskerHere, name: FromPath[str]) -> Response[str]:
        """The form."""
        office = office_of(request)
        number = name_of(book_seen(office, asker, named(name)))
        query = {key: value for key, value in request.query_params.items() if isinstance(value, str)}
        return show(request, "deed.html", **_form(office, deed, number, query))

    def done(request: Asked, asker: AskerHere, name: str, data: dict[str, Any]) -> Response[Any]:
        """Do it; or the same form with what is wrong and all that was typed."""
        office = office_of(request)
        number = name_of(book_seen(office, asker, named(name)))
        try:
            deed.do(office, asker, number, data)
        except (Refused, NotFound) as refusal:
            return again(request, office, deed, number, refusal, data)
        return go(f"/truck/{as_part(number)}?noted={deed.id}")

    if deed.pictures:

        @post(path, act=deed.act, sync_to_thread=True, status_code=303, request_max_body_size=MOST_BYTES)
        def takes(request: Asked, asker: AskerHere, name: FromPath[str], data: Files) -> Response[Any]:
            """Do it, with the pictures that were chosen."""
            return done(request, asker, name, data)

        return asks, takes

    @post(path, act=deed.act, sync_to_thread=True, status_code=303)
    def does(request: Asked, asker: AskerHere, name: FromPath[str], data: Form) -> Response[Any]:
        """Do it."""
        return done(request, asker, name, data)

    return asks, does


def again(
    request: Asked, office: Office, deed: Deed, number: str, refusal: DipmarkError, data: dict[str, Any]
) -> Response[Any]:
    """The form again."""
    query = {key: value for key, value in data.items() if isinstance(value, str)}
    shown = _form(office, deed, number, query)
    by_field = sorted_problems(refusal.problems, deed)
    fields = {one.name for one in shown["asks"]}
    beside = {name: problems for name, problems in by_field.items() if name in fields}
    rest = [problem for name, problems in by_field.items() if name not in fields for problem in problems]
    message = "" if beside and not rest else str(refusal)
    many = {name: list(value) if isinstance(value, list | tuple) else [value] for name, value in data.items()}
    return show_again(request, "deed.html", message, rest, data, **shown | {"beside": beside, "chosen": many})


def _form(office: Office, deed: Deed, number: str, query: dict[str, str]) -> dict[str, Any]:
    at = office.clock()
    now = truck(office, number, at)
    asks = tuple(deed.asks(office, now, query))
    return {**given(office, now, at), "deed": deed, "asks": asks, "beside": {}, "chosen": {}}
