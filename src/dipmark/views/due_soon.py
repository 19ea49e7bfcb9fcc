"""What falls due in the yard, the most pressing first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.due import Due, DueState
from dipmark.derive.truck import TruckNow
from dipmark.rules.model import Rules
from dipmark.views.gauge import Gauge
from dipmark.views.yard import Reason, due_gauge, reason

PRESSING: Final[dict[DueState, int]] = {"late": 0, "due": 1, "open": 2, "unknown": 3, "later": 4}


class DueRow(msgspec.Struct, frozen=True):
    """One service of one truck.

    Args:
        truck: its number.
        service: the service; None where the kind of truck has no rules.
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


def due_rows(trucks: Sequence[TruckNow], rules: Rules) -> tuple[DueRow, ...]:
    """Every service of every truck: late first, then due, then what may be done now; within each the nearest first."""
    rows = [(_row(truck, due, rules), due) for truck in trucks for due in truck.dues]
    rows.sort(key=lambda pair: (PRESSING[pair[0].state], _left(pair[1])))
    return tuple(row for row, _ in rows)


def _left(due: Due) -> Decimal:
    if due.hours is None or due.now is None:
        return Decimal("Infinity")
    return due.hours - due.now


def _row(truck: TruckNow, due: Due, rules: Rules) -> DueRow:
    kind = rules.kind(truck.enrolled.what)
    service = kind.service(due.service) if kind and due.service else None
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
        minutes=sum(task.minutes for task in kind.all_tasks(service)) if kind and service else None,
        gauge=None if due.hours is None else due_gauge(due, due.now),
    )


def duties_words(country: str | None) -> str:
    """What the list says of legal examinations: whose law is counted, and that nothing is where no country is set."""
    if country is None:
        return "No country is set for this yard, so no legal duty is counted here: take --country sets it."
    return f"Country {country}: legal duties are not counted yet; keep to the law of the place."
