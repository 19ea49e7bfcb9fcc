"""What was refused from a phone: looked at, settled with a note, or entered all the same, put right."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.adapters.clock import new_id
from dipmark.adapters.store import SetAside
from dipmark.facts.base import Body, Fact, Reading
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.kinds import kind_of
from dipmark.facts.meter import MeterRead
from dipmark.facts.problems import Problem, code
from dipmark.office.amend import NO_HOURS
from dipmark.office.enter import Entered, enter
from dipmark.office.open import Office, told
from dipmark.office.receive import NOT_HIS, PROOF_WRONG, pictures_of

NOTE_MISSING: Final = code("note-missing", "Something set aside is to be settled without a word on how.")

MARK_UNSURE: Final = code("mark-unsure", "A mark on a sheet is for a person to look at.")

NOT_SIGNED: Final = frozenset({PROOF_WRONG, NOT_HIS})
"""What was not signed by the one it names, or by one who may not, is entered by whoever looks into it."""


def waiting(office: Office) -> tuple[SetAside, ...]:
    """All that was set aside, unless it is looked over on its sheet: what nobody has settled first, then the latest."""
    aside = [one for one in office.store.set_aside_list() if not unsure(one)]
    found = sorted(aside, key=lambda one: one.received, reverse=True)
    return tuple(sorted(found, key=lambda one: one.settled is not None))


def unsure(one: SetAside) -> bool:
    """True for a column of a sheet that waits for a person to look at its marks."""
    return any(problem.code == MARK_UNSURE for problem in one.problems)


def one_of(office: Office, digest: str) -> SetAside:
    """One of them by its digest.

    Raises:
        NotFound: nothing with that digest was set aside.
    """
    for one in office.store.set_aside_list():
        if one.digest == digest:
            return one
    raise NotFound("Nothing of that kind was set aside.")


def settle(office: Office, digest: str, note: str) -> None:
    """Write beside it how it was settled; it stays in the list.

    Raises:
        Refused: there is no note.
        NotFound: it is not there, or was settled already.
    """
    office.store.settle(digest, _noted(note), office.by)


def _noted(note: str) -> str:
    if not note.strip():
        problem = Problem(NOTE_MISSING, "no note", "how it was settled", "Say it in a few words.")
        raise Refused(told([problem]), [problem])
    return " ".join(note.split())


def enter_anyway(
    office: Office, digest: str, note: str, *, hours: Decimal | None = None, happened: datetime | None = None
) -> Entered:
    """Enter what was set aside, put right where it is told; it is judged like any other fact, and settled by it.

    What was not signed by the one it names is entered in the name of whoever enters it.

    Args:
        office: the yard.
        digest: which.
        note: what was wrong, and how it is known now.
        hours: the right hours, where they were wrong.
        happened: the right time.

    Raises:
        Refused: it still does not fit the record, it holds no hours, or there is no note; nothing was written.
    """
    said, one = _noted(note), one_of(office, digest)
    if one.settled is not None:
        raise NotFound("It was settled already.")
    fact = one.fact
    body = fact.body if hours is None else _with_hours(fact.body, hours)
    mine = any(problem.code in NOT_SIGNED for problem in one.problems)
    entered = Fact(
        id=new_id(),
        book=fact.book,
        happened=happened or fact.happened,
        by=office.by if mine else fact.by,
        body=body,
        whole_day=fact.whole_day and happened is None,
    )
    done = enter(office, [entered])
    office.store.settle(digest, f"{said} Entered as fact {done.accepted[0].seq} of {fact.book}.", office.by)
    return done


def hours_of(body: Body) -> Decimal | None:
    """The hours that a fact holds; None where it holds none."""
    reading = body if isinstance(body, MeterRead) else getattr(body, "meter", None)
    return reading.hours if isinstance(reading, MeterRead | Reading) else None


def _with_hours(body: Body, hours: Decimal) -> Body:
    replace: Callable[..., Body] = msgspec.structs.replace
    if isinstance(body, MeterRead):
        return replace(body, hours=hours)
    if isinstance(reading := getattr(body, "meter", None), Reading):
        return replace(body, meter=msgspec.structs.replace(reading, hours=hours))
    problem = Problem(NO_HOURS, f"{kind_of(body)} without hours", "a meter reading", "Leave the hours blank.")
    raise Refused(told([problem]), [problem])


def pictures(office: Office, one: SetAside) -> tuple[str, ...]:
    """Digests of the pictures that came with it."""
    return tuple(digest for digest in sorted(pictures_of(one.fact.body)) if office.store.blob(digest) is not None)
