"""Put a wrong entry right at a desk: a new fact says so, with its reason; nothing is edited or deleted."""

from __future__ import annotations

from decimal import Decimal
from typing import Final, cast

import msgspec

from dipmark.derive.past import Counted, past
from dipmark.facts.amend import Corrected, PlainBody, Withdrawn
from dipmark.facts.base import Accepted, Reading
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.kinds import kind_of
from dipmark.facts.meter import MeterRead
from dipmark.facts.problems import Problem, code
from dipmark.office.enter import Entered, When, enter
from dipmark.office.look import book_of
from dipmark.office.open import Office

NO_HOURS: Final = code("no-hours", "The fact to correct holds no hours.")
SHORTEST: Final = 4
"""Fewest characters of the end of an id that name a fact."""


def withdraw(office: Office, name: str, id_: str, reason: str, when: When) -> Entered:
    """Say that a fact never was.

    Args:
        office: the yard.
        name: the truck.
        id_: the fact's id, or the end of it.
        reason: why.
        when: when this is said.

    Raises:
        NotFound: the truck's book has no such fact, or several.
    """
    target = _meant(office, name, id_)
    body = Withdrawn(target=target.fact.id, reason=reason)
    return enter(office, [office.fact(target.fact.book, body, when.happened, whole_day=when.whole_day)])


def correct_hours(office: Office, name: str, id_: str, hours: Decimal, reason: str, when: When) -> Entered:
    """Say what hours a fact should have held; all else in it stays. See `withdraw` for the arguments.

    Raises:
        NotFound: the truck's book has no such fact, or several.
        Refused: the fact holds no hours.
    """
    target = _meant(office, name, id_)
    record = office.book(target.fact.book)
    counting = past(record, max(item.effective for item in record))
    one = next((one for one in counting if one.id == target.fact.id), None)
    old = target.fact.body if one is None else one.body
    reading = getattr(old, "meter", None)
    if isinstance(old, MeterRead):
        new: object = msgspec.structs.replace(old, hours=hours)
    elif isinstance(reading, Reading):
        new = msgspec.structs.replace(old, meter=msgspec.structs.replace(reading, hours=hours))
    else:
        hint = "Withdraw it and write what is right."
        problem = Problem(NO_HOURS, f"{kind_of(old)} without hours", "a meter reading", hint)
        raise Refused(problem.message, [problem])
    if one is None:
        body = Corrected(target=target.fact.id, body=cast("PlainBody", new), reason=reason)
    else:
        body = correction(one, cast("PlainBody", new), reason)
    return enter(office, [office.fact(target.fact.book, body, when.happened, whole_day=when.whole_day)])


def correction(one: Counted, body: PlainBody, reason: str) -> Corrected:
    """What says how a fact should have been, beside whatever earlier corrections of it have put right.

    Args:
        one: the fact as it counts.
        body: all of what it should have said.
        reason: why.
    """
    if not one.amended:
        return Corrected(target=one.id, body=body, reason=reason)
    return Corrected(target=one.id, body=body, reason=reason, happened=one.happened, whole_day=one.whole_day, by=one.by)


def _meant(office: Office, name: str, id_: str) -> Accepted:
    """The fact whose id is given, or ends so."""
    end = id_.strip().casefold()
    book = office.book(book_of(office, name))
    found = [item for item in book if item.fact.id == end or (len(end) >= SHORTEST and item.fact.id.endswith(end))]
    if len(found) != 1:
        many = f"{len(found)} facts of" if found else "no fact of"
        raise NotFound(f"{id_!r} is {many} truck {name}. Take the id from the log: dipmark log {name}")
    return found[0]
