"""Who has the key: given to a driver or to somebody outside, and back on its hook."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Final

from dipmark.derive.driver import DriverNow, driver_now, evaluated_for
from dipmark.derive.past import past
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import YARD, PersonKey
from dipmark.facts.custody import HeldBy, Holder
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, code
from dipmark.office.enter import Entered, When, enter
from dipmark.office.look import truck
from dipmark.office.open import Office, told

KEY_LOCKED: Final = code("key-locked", "The key of a truck that is out of service is to be given to a driver.")
KEY_NOT_HIS: Final = code("key-not-his", "The key is to be given to somebody who may not drive this kind of truck.")
OWED_BY_NOBODY: Final = code("owed-by-nobody", "Duties are to fall to a firm, and none is named.")
HOLDER_MISSING: Final = code("holder-missing", "Nobody is named who takes the key.")


def hold(
    office: Office,
    name: str,
    who: Holder,
    when: When,
    *,
    person: PersonKey | None = None,
    firm: str | None = None,
    place: str | None = None,
    until: date | None = None,
    owes: Sequence[str] = (),
    hours: Decimal | None = None,
    note: str | None = None,
) -> Entered:
    """Note who has the key of a truck from now on.

    Args:
        office: the yard.
        name: the truck.
        who: back on its hook, or with whom.
        when: since when.
        person: the driver.
        firm: the hirer or owner.
        place: where.
        until: when it is to come back.
        owes: the duties and services that fall to the firm meanwhile, by id; empty: all stay with the yard.
        hours: on its meter.
        note: anything else.

    Raises:
        Refused: the truck is out of service, the driver may not drive it, or nobody is named; nothing was written.
    """
    now = truck(office, name, office.clock())
    if problems := list(_against(office, now, who, person, firm, owes)):
        raise Refused(told(problems), problems)
    body = HeldBy(
        who=who,
        person=person,
        firm=firm,
        place=place,
        until=until,
        owes=tuple(owes),
        meter=now.reading(hours),
        note=note,
    )
    return enter(office, [office.fact(now.book, body, when.happened, whole_day=when.whole_day)])


def _against(
    office: Office, now: TruckNow, who: Holder, person: PersonKey | None, firm: str | None, owes: Sequence[str]
) -> Iterator[Problem]:
    """What stands against giving the key so."""
    if who == "driver":
        if person is None:
            yield Problem(HOLDER_MISSING, "no driver", "who takes the key", "Choose the driver.")
        elif not (driver := may_drive(office, person, now.enrolled.what)).may:
            found, why = office.people.names().get(person, person), driver.reasons[0].text
            yield Problem(KEY_NOT_HIS, found, f"somebody who may drive {now.enrolled.what}", why)
        if now.state.code == "out-of-service":
            found, expected = f"truck {now.name} out of service", "its key in the locked box until it is released"
            yield Problem(KEY_LOCKED, found, expected, now.state.reasons[0].text)
    elif who in ("hired-out", "hired-in") and not firm:
        yield Problem(HOLDER_MISSING, "no firm", "the firm it goes to or comes from", "Name it.")
    if owes and not firm:
        yield Problem(OWED_BY_NOBODY, ", ".join(owes), "the firm that owes it", "Name the firm.")


def may_drive(office: Office, person: PersonKey, kind: str) -> DriverNow:
    """Whether a person may drive a kind of truck now; see `derive.driver`."""
    now, yard = office.clock(), office.yard
    months = evaluated_for(office.rules, yard.country)
    return driver_now(past(office.book(YARD), now), person, kind, months, now, office.zone, word=office.rules.word)
