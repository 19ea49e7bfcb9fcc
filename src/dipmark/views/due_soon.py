"""What falls due in the yard, the most pressing first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.due import Due, DueState
from dipmark.derive.standing import Standing
from dipmark.rules.model import Rules
from dipmark.views.gauge import Gauge
from dipmark.views.yard import Reason, due_gauge, reason

PRESSING: Final[dict[DueState, int]] = {"late": 0, "due": 1, "open": 2, "unknown": 3, "later": 4}


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
        return "No country is set for this yard, so no legal duty is counted here: take --country sets it."
    law = rules.law_of(country)
    if law is None:
        known = ", ".join(rules.duties)
        return f"No duties are entered for {country} (there are: {known}), so none is counted; keep to the law there."
    named = law if law == country else f"{law}, for {country}"
    named += f" (its own, not that of {law.partition('-')[0]} as a whole)" if "-" in law else ""
    counted = [duty.id.replace("-", " ") for duty in rules.examinations(country)]
    what = f"by date it asks for {', '.join(counted)}" if counted else "it asks for no examination of a truck by date"
    paper = all(duty.written for duty in rules.duties[law] if duty.each_shift)
    own = "" if paper else " Walk-rounds need no paper by it: what is kept of them is kept by your own rule."
    return f"Law of {named}: {what}.{own} The law of the place decides."
