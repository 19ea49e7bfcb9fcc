"""A hit, a near miss or worse is noted: at once out of service, and the record as it stood sealed by its code."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Final, get_args

from dipmark.derive.impact import Hit, hits_of
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import PersonKey
from dipmark.facts.codec import book_code
from dipmark.facts.errors import Refused
from dipmark.facts.incident import Incident, IncidentKind
from dipmark.facts.problems import Problem, code
from dipmark.office.enter import WORDS_MISSING, Entered, When, enter
from dipmark.office.look import truck
from dipmark.office.open import Office, told

HIT_UNFIT: Final = code("hit-unfit", "What happened is none of the kinds of incident.")


def hits(office: Office, now: TruckNow) -> tuple[Hit, ...]:
    """Every hit and near miss of a truck, the latest first; see `derive.impact`."""
    kind = office.rules.kind(now.enrolled.what)
    lists = [one for one in kind.services if one.after == "hit"] if kind else []
    return hits_of(office.book(now.book), now.counting, now.meters, lists)


def note_hit(
    office: Office,
    name: str,
    what: str,
    text: str,
    when: When,
    *,
    struck: Sequence[str] = (),
    person: PersonKey | None = None,
    hurt: bool = False,
    hours: Decimal | None = None,
) -> Entered:
    """Note what hit a truck, or what it hit.

    Whatever it was but a near miss takes the truck out of service until it is released. The code of the book as it
    stood is kept with it, so that nothing before it can be changed unseen.

    Args:
        office: the yard.
        name: the truck.
        what: which of `IncidentKind`.
        text: what happened.
        when: when.
        struck: places of the truck, racks, doors.
        person: the driver.
        hurt: True where somebody was hurt.
        hours: on its meter.

    Raises:
        Refused: it is none of them, or without a word on it; nothing was written.
    """
    problems = []
    kind = next((one for one in get_args(IncidentKind) if one == what), None)
    if kind is None:
        problems.append(Problem(HIT_UNFIT, repr(what), ", ".join(get_args(IncidentKind)), "Choose one."))
    if not text.strip():
        problems.append(Problem(WORDS_MISSING, "nothing", "what happened", "Say it in a line."))
    if kind is None or problems:
        raise Refused(told(problems), problems)
    now = truck(office, name, office.clock())
    body = Incident(
        what=kind,
        text=text.strip(),
        struck=tuple(struck),
        person=person,
        hurt=hurt,
        seal=book_code(*office.store.heads()[now.book]),
        meter=now.reading(hours),
    )
    return enter(office, [office.fact(now.book, body, when.happened, whole_day=when.whole_day)])
