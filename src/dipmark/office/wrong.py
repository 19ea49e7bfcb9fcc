"""Something is wrong: what was noticed becomes a fault, as serious as the rules say."""

from __future__ import annotations

from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow
from dipmark.facts.errors import NotFound
from dipmark.facts.fault import Fault
from dipmark.office.enter import Entered, When, enter
from dipmark.office.look import truck
from dipmark.office.open import Office
from dipmark.views.wrong import SystemRow, TroubleRow, wrong_with


def asked_of(office: Office, now: TruckNow) -> tuple[SystemRow, ...]:
    """What may be wrong with a truck, system by system; see `views.wrong`."""
    kind = office.rules.kind(now.enrolled.what)
    has = {*(options_of(now.counting, kind) if kind else now.enrolled.options or ()), *now.enrolled.uses}
    return wrong_with(office.rules, now.enrolled.what, has)


def trouble_of(rows: tuple[SystemRow, ...], system: str, trouble: str) -> tuple[SystemRow, TroubleRow]:
    """One of them by its ids.

    Raises:
        NotFound: this truck has no such thing.
    """
    for row in rows:
        for one in row.troubles:
            if (row.id, one.id) == (system, trouble):
                return row, one
    raise NotFound("This truck has no such thing. Choose again.")


def report_trouble(office: Office, name: str, system: str, trouble: str, words: str, when: When) -> Entered:
    """Make the fault of what was noticed; never milder than the rules have it.

    Args:
        office: the yard.
        name: the truck.
        system: id of the system.
        trouble: id of what was noticed.
        words: in the words of whoever noticed it; may be empty.
        when: when.

    Raises:
        NotFound: this truck has no such thing.
        Refused: it does not fit the record.
    """
    now = truck(office, name, office.clock())
    _, row = trouble_of(asked_of(office, now), system, trouble)
    found = office.rules.systems[system].trouble(trouble)
    assert found is not None  # noqa: S101  the row was made of it
    own = " ".join(words.split())
    body = Fault(
        text=f"{row.text} {own}" if own else row.text,
        seriousness=found.seriousness,
        affects_safety=found.affects_safety,
        days=found.days,
    )
    return enter(office, [office.fact(now.book, body, when.happened, whole_day=when.whole_day)])
