"""The forms of a truck: meter, fault, card, key; and those of whoever mends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final, cast

from litestar.handlers import HTTPRouteHandler

from dipmark.derive.truck import TruckNow
from dipmark.faces.web.deeds import WHEN, Asks, Choice, Deed, number_of, routes_of, when_of
from dipmark.faces.web.filing import FILING
from dipmark.faces.web.fitting import FITTING
from dipmark.faces.web.forms import field, fields
from dipmark.faces.web.hitting import HITTING
from dipmark.faces.web.mending import HOURS, MENDING, NUMBERS, TEXT, TIMES
from dipmark.faces.web.words import said
from dipmark.facts.base import PersonKey
from dipmark.facts.custody import Holder
from dipmark.office.access import Asker
from dipmark.office.enter import DAYS_MISSING, HOURS_UNFIT, WORDS_MISSING, hours_from, read_meter, report_fault, stop
from dipmark.office.hold import HOLDER_MISSING, KEY_LOCKED, KEY_NOT_HIS, OWED_BY_NOBODY, hold, may_drive
from dipmark.office.measure import day_of_text
from dipmark.office.open import Office
from dipmark.views.words import SERIOUSNESS


def _read_asks(_: Office, now: TruckNow, __: dict[str, str]) -> Iterator[Asks]:
    if len(now.meters) > 1:
        choices = tuple(Choice(one.name, one.name) for one in now.meters)
        yield Asks(name="meter", text=said("Which meter"), shape="choice", choices=choices, plain=True)
    yield Asks(
        name="hours",
        text=said("Hours on the meter"),
        shape="number",
        needed=True,
        note=said("Read it first, then write it. It is asked blind, and looked at afterwards."),
    )
    yield Asks(
        name="changed",
        text=said("The meter was changed or set back"),
        shape="many",
        choices=(Choice("yes", said("Yes: these are the hours of the new one")),),
    )
    yield Asks(
        name="old", text=said("What the old meter showed last"), shape="number", note=said("Only if it was changed.")
    )
    yield WHEN


def _read(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    read = hours_from(field(data, "hours"))
    meter = field(data, "meter") or None
    old = number_of(data, "old", "hours of the old meter")
    return read_meter(
        office, name, read, when_of(office, data), meter, changed=bool(field(data, "changed")), changed_from=old
    )


def _checks(office: Office, now: TruckNow) -> tuple[Choice, ...]:
    kind = office.rules.kind(now.enrolled.what)
    checks = kind.checks_for(kind.fitted(now.enrolled.options, now.enrolled.fuel)) if kind else ()
    return tuple(
        Choice(f"{check.id}|{one.id}", f"{one.text} ({office.rules.word(SERIOUSNESS[one.seriousness])})", check.text)
        for check in checks
        for one in check.symptoms
    )


def _fault_asks(office: Office, now: TruckNow, _: dict[str, str]) -> Iterator[Asks]:
    yield Asks(name="text", text=said("What was seen, heard, felt or smelt"), shape="words", needed=True)
    yield Asks(
        name="finding",
        text=said("What the walk-round calls it"),
        shape="choice",
        choices=(Choice("", said("None of these")), *_checks(office, now)),
        note=said(
            "The rules then say how serious it is. Otherwise it takes the truck out of service until somebody looks."
        ),
    )
    yield Asks(
        name="seriousness",
        text=said("How serious"),
        shape="choice",
        choices=(
            Choice("", said("as the rules have it")),
            *(Choice(code, text) for code, text in SERIOUSNESS.items()),
        ),
        note=said("A person may be stricter than the rules, never milder."),
    )
    yield Asks(name="days", text=said("Within how many days"), shape="number", note=said("Only for: repair by."))
    yield WHEN


def _fault(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    check, _bar, symptom = field(data, "finding").partition("|")
    days = number_of(data, "days", "days")
    serious = field(data, "seriousness")
    return report_fault(
        office,
        name,
        field(data, "text"),
        when_of(office, data),
        check=check or None,
        symptom=symptom or None,
        seriousness=serious if serious in SERIOUSNESS else None,
        days=None if days is None else int(days),
    )


def _stop_asks(*_: object) -> Sequence[Asks]:
    return (Asks(name="reason", text=said("Why, in one line"), needed=True), WHEN)


def _stop(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    return stop(office, name, field(data, "reason"), when_of(office, data))


def _key_asks(office: Office, now: TruckNow, query: dict[str, str]) -> Iterator[Asks]:
    names, people = office.people.names(), office.yard.people
    drivers = sorted((names.get(key, key), key) for key, one in people.items() if not one.gone)
    may = {key for _, key in drivers if may_drive(office, key, now.enrolled.what).may}
    out = now.held is not None and now.held.what.who != "yard"
    yield Asks(
        name="who",
        text=said("The key"),
        shape="choice",
        value=query.get("who", "yard" if out else "driver"),
        choices=(
            Choice("yard", said("is back on its hook")),
            Choice("driver", said("goes to a driver")),
            Choice("hired-out", said("goes out on hire")),
            Choice("hired-in", said("came in on hire")),
            Choice("other-site", said("goes to another site")),
            Choice("laid-up", said("is put away: the truck is laid up")),
        ),
    )
    groups = ((True, said("May drive this kind of truck")), (False, said("May not drive it today")))
    yield Asks(
        name="person",
        text=said("Driver"),
        shape="choice",
        choices=(
            Choice("", said("nobody")),
            *(Choice(key, name, text) for fits, text in groups for name, key in drivers if (key in may) is fits),
        ),
    )
    yield Asks(name="firm", text=said("Firm"), note=said("Only for hire."))
    yield Asks(
        name="owes", text=said("What the firm sees to meanwhile"), shape="many", choices=_owed(office, now), plain=True
    )
    yield Asks(name="place", text=said("Place"))
    yield Asks(name="until", text=said("Back by"), shape="day")
    yield HOURS
    yield WHEN


def _owed(office: Office, now: TruckNow) -> tuple[Choice, ...]:
    """What may fall to a firm: the services of its kind, and the examinations that the country asks for."""
    kind, word = office.rules.kind(now.enrolled.what), office.rules.word
    duties = (Choice(one.duty.id, word(one.duty.name)) for one in now.duties)
    return (*(Choice(one.id, one.id) for one in (kind.services if kind else ())), *duties)


def _key(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    until = field(data, "until").strip()
    return hold(
        office,
        name,
        cast("Holder", field(data, "who")),
        when_of(office, data),
        person=PersonKey(field(data, "person")) if field(data, "person") else None,
        firm=field(data, "firm").strip() or None,
        place=field(data, "place").strip() or None,
        until=day_of_text(office, until) if until else None,
        owes=fields(data, "owes"),
        hours=number_of(data, "hours", "hours"),
    )


DEEDS: Final = (
    Deed(
        id="read",
        act="walk",
        title=said("Read the meter"),
        button=said("Note the reading"),
        asks=_read_asks,
        do=_read,
        beside=NUMBERS | TIMES,
    ),
    Deed(
        id="fault",
        act="walk",
        title=said("Report a fault"),
        button=said("Report it"),
        asks=_fault_asks,
        do=_fault,
        beside=TEXT | TIMES | {DAYS_MISSING: "days", HOURS_UNFIT: "days"},
    ),
    Deed(
        id="stop",
        act="walk",
        title=said("Hang the out-of-service card"),
        button=said("Hang the card"),
        about=said("From then on nobody drives it, until it is released. Key out, into the locked box."),
        asks=_stop_asks,
        do=_stop,
        beside={WORDS_MISSING: "reason"} | TIMES,
    ),
    Deed(
        id="key",
        act="hold",
        title=said("Who has the key"),
        button=said("Note it"),
        asks=_key_asks,
        do=_key,
        beside=NUMBERS
        | TIMES
        | {KEY_NOT_HIS: "person", HOLDER_MISSING: "person", KEY_LOCKED: "who", OWED_BY_NOBODY: "firm"},
    ),
    HITTING,
    *FITTING,
    *FILING,
    *MENDING,
)
"""In the order in which a truck's page names them."""

ROUTES: Final[tuple[HTTPRouteHandler, ...]] = tuple(route for deed in DEEDS for route in routes_of(deed))
