"""A yard with two trucks, somebody at its desk, and what is written there."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from decimal import Decimal

from dipmark.derive.truck import TruckNow
from dipmark.facts.truck import Enrolled, Meter
from dipmark.office.enter import When, enrol
from dipmark.office.look import truck
from dipmark.office.open import Office
from dipmark.office.walk import Sheet, answer, sheet, walk
from office.taking import NOW, yard

LPG = "engine-pneumatic-lpg"


def at(text: str) -> When:
    """An instant, written without its zone."""
    return When(datetime.fromisoformat(text).replace(tzinfo=UTC))


@contextmanager
def desk(by: str = "Ana", address: str = ":memory:", now: datetime = NOW) -> Iterator[Office]:
    """Truck 20 has two meters."""
    with yard(address, now) as office:
        office.by = office.people.key_or_new(by)
        new = at("2026-01-05T08:00")
        enrol(office, "7", Enrolled(what=LPG, commissioned=date(2026, 1, 5), start_hours=Decimal(0)), new)
        enrol(office, "12", Enrolled(what="reach", commissioned=date(2026, 1, 5)), new)
        enrol(office, "20", Enrolled(what=LPG, meters=(Meter(name="engine"), Meter(name="drive"))), new)
        yield office


def airship(office: Office) -> str:
    """The number of something that no rules are known for."""
    enrol(office, "99", Enrolled(what="airship"), at("2026-01-05T08:00"))
    return "99"


def now(office: Office, name: str = "7", as_of: datetime = NOW) -> TruckNow:
    """The truck as it stands."""
    return truck(office, name, as_of)


def state(office: Office, name: str = "7", as_of: datetime = NOW) -> str:
    """The code of its state."""
    return now(office, name, as_of).state.code


def as_person(office: Office, name: str) -> None:
    """Somebody else sits down."""
    office.by = office.people.key_or_new(name)


def clean_walk(office: Office, when: When, name: str = "7", hours: str | None = None) -> Sheet:
    """A walk-round in which everything is in order."""
    asked = sheet(office, name, NOW, full=False)
    answers = [answer(check, "ok") for stop in asked.stops for check in stop.checks]
    walk(office, asked, answers, when, full=False, hours=None if hours is None else Decimal(hours))
    return asked
