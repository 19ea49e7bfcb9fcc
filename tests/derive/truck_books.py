"""The book of a truck that the benches derive."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Final

from dipmark.facts.base import Accepted, Body, Reading, truck_book
from dipmark.facts.codec import chain, fact_of
from dipmark.facts.fault import Fault
from dipmark.facts.measure import ToppedUp
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import Worked
from dipmark.rules.model import Rules

FACTS: Final = 2500
KIND: Final = "engine-pneumatic-lpg"


def checks_of(rules: Rules) -> list[str]:
    """The checks that its walk-rounds answer."""
    kind = rules.kind(KIND)
    assert kind is not None
    return [check.id for check in kind.checks][:25]


def record(number: int, checks: list[str]) -> tuple[Accepted, ...]:
    """The book of one truck: ten facts every five days, four hours of use between them."""
    moment, hours = datetime(2020, 1, 1, tzinfo=UTC), Decimal(0)
    bodies: list[Body] = [Enrolled(what=KIND)]
    rare: tuple[Body, ...] = (
        ToppedUp(fluid="engine-oil", amount=Decimal("0.5"), unit="l"),
        Fault(text="scratched", seriousness="watch"),
    )
    for step in range(1, FACTS):
        hours += 4
        place = step % 10
        if place < 6:
            bodies.append(MeterRead(hours=hours + Decimal("0.5")))
        elif place < 9:
            bodies.append(WalkRound(answers=tuple(Answer(check=check) for check in checks), meter=Reading(hours=hours)))
        else:
            done = Worked(services=("150h",), meter=Reading(hours=hours))
            bodies.append((done, *rare)[step // 10 % 3])
    book = truck_book(str(number))
    facts = []
    for step, body in enumerate(bodies):
        moment += timedelta(hours=12)
        facts.append(fact_of(f"{number:08x}-0000-7000-8000-{step:012x}", book, moment, "p-ana", body))
    return chain(facts)
