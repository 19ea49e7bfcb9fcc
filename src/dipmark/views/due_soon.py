"""What falls due in the yard, the most pressing first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.due import Due, DueState
from dipmark.derive.standing import Standing
from dipmark.facts.said import says
from dipmark.rules.model import Rules
from dipmark.views.gauge import Gauge
from dipmark.views.yard import Reason, due_gauge, reason

PRESSING: Final[dict[DueState, int]] = {"late": 0, "due": 1, "open": 2, "unknown": 3, "later": 4}

NO_COUNTRY: Final = says("No country is set for this yard, so no legal duty is counted here: take --country sets it.")
NO_DUTIES: Final = says("No duties are entered for {} (there are: {}), so none is counted; keep to the law there.")
LENT: Final = says("{}, for {}")
ITS_OWN: Final = says("{} (its own, not that of {} as a whole)")
ASKS_FOR: Final = says("by date it asks for {}")
ASKS_FOR_NONE: Final = says("it asks for no examination of a truck by date")
LAW_OF: Final = says("Law of {}: {}.")
NO_PAPER: Final = says("Walk-rounds need no paper by it: what is kept of them is kept by your own rule.")
PLACE: Final = says("The law of the place decides.")


class DueRow(msgspec.Struct, frozen=True):
    """One service or legal examination of one truck.

    Args:
        truck: its number.
        service: the service or the duty; None where the kind of truck has no rules.
        due_hours: true hours at which it is due.
        due_date: the calendar limit.
        opens_hours: true hours from which it may be done.
        latest_hours: true hours up to and including which it is in time.
        state: `later`, `open`, `due`, `late` or `unknown`.
        opens_date: the first day it may be done by the calendar.
        latest_date: the last day it is in time by the calendar.
        hours: true hours of the last good reading.
        reason: what it was counted from.
        minutes: time for all of its tasks, one trained person; None without rules.
        gauge: hours left; None where they are not known.
        resting: True where the truck is laid up: it waits for the day the truck is woken.
    """

    truck: str
    service: str | None
    due_hours: Decimal | None
    due_date: date | None
    opens_hours: Decimal | None
    latest_hours: Decimal | None
    state: DueState
    opens_date: date | None
    latest_date: date | None
    hours: Decimal | None
    reason: Reason
    minutes: int | None
    gauge: Gauge | None
    resting: bool


def due_rows(trucks: Sequence[Standing], rules: Rules) -> tuple[DueRow, ...]:
    """Every service and legal examination of every truck: late first, then due, then what may be done now.

    Within each the nearest by hours comes first, then what goes by the calendar alone.
    """
    rows = [
        (_row(truck, due, rules), due)
        for truck in trucks
        for due in (*truck.dues, *(duty.due for duty in truck.duties))
    ]
    rows.sort(key=lambda pair: (PRESSING[pair[0].state], _left(pair[1])))
    return tuple(row for row, _ in rows)


def _left(due: Due) -> Decimal:
    if due.hours is None or due.now is None:
        return Decimal("Infinity")
    return due.hours - due.now


def _row(truck: Standing, due: Due, rules: Rules) -> DueRow:
    kind = rules.kind(truck.enrolled.what)
    service = kind.service(due.service) if kind and due.service else None
    tasks = (
        kind.all_tasks(service, kind.fitted(truck.enrolled.options, truck.enrolled.fuel)) if kind and service else ()
    )
    return DueRow(
        truck=truck.name,
        service=due.service,
        due_hours=due.hours,
        due_date=due.day,
        opens_hours=due.opens,
        latest_hours=due.latest,
        state=due.state,
        opens_date=due.opens_day,
        latest_date=due.latest_day,
        hours=due.now,
        reason=reason(due.because, rules),
        minutes=sum(task.minutes for task in tasks) if tasks else None,
        gauge=None if due.hours is None else due_gauge(due, due.now, rules.word),
        resting=truck.resting,
    )


def duties_words(rules: Rules, country: str | None) -> str:
    """What the list says of legal examinations: whose law is counted, and what none is where none is known.

    Args:
        rules: of today.
        country: the yard's.
    """
    if country is None:
        return rules.word(NO_COUNTRY)
    law = rules.law_of(country)
    if law is None:
        return rules.word(NO_DUTIES).format(country, ", ".join(rules.duties))
    named = law if law == country else rules.word(LENT).format(law, country)
    named = rules.word(ITS_OWN).format(named, law.partition("-")[0]) if "-" in law else named
    counted = [rules.word(duty.name).lower() for duty in rules.examinations(country)]
    what = rules.word(ASKS_FOR).format(", ".join(counted)) if counted else rules.word(ASKS_FOR_NONE)
    paper = all(duty.written for duty in rules.duties[law] if duty.each_shift)
    said = [rules.word(LAW_OF).format(named, what), *([] if paper else [rules.word(NO_PAPER)]), rules.word(PLACE)]
    return " ".join(said)
