"""What falls due in the yard, the most pressing first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.due import Due, DueState
from dipmark.derive.expected import Expected, Forecast, Worn
from dipmark.derive.faults import FaultNow
from dipmark.derive.standing import Standing
from dipmark.derive.trend.line import ORDERING_ONLY
from dipmark.facts.base import BookId
from dipmark.facts.said import says
from dipmark.rules.model import Rules
from dipmark.views.expected import ExpectedRow, expected_row, worn_title, worn_words
from dipmark.views.gauge import Gauge
from dipmark.views.words import serious
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
        expected: when it is expected to fall due; None where it is due already or nothing is known.
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
    expected: ExpectedRow | None = None


Ahead = Mapping[BookId, Forecast]
"""What lies ahead of each truck."""

NOTHING: Final[Ahead] = {}
TODAY: Final = date.min
"""Beside which nothing is said, where nothing lies ahead."""


def due_rows(
    trucks: Sequence[Standing], rules: Rules, ahead: Ahead = NOTHING, today: date = TODAY
) -> tuple[DueRow, ...]:
    """Every service and legal examination of every truck: late first, then due, then what may be done now.

    Within each the nearest by hours comes first, then what goes by the calendar alone.

    Args:
        trucks: as they stand.
        rules: of today.
        ahead: when things are expected, by truck.
        today: the yard's day; used with `ahead` only.
    """
    return _sorted(
        _row(truck, due, rules, ahead.get(truck.book), today)
        for truck in trucks
        for due in (*truck.dues, *(duty.due for duty in truck.duties))
    )


def all_rows(trucks: Sequence[Standing], rules: Rules, ahead: Ahead, today: date) -> tuple[DueRow, ...]:
    """The same, with the parts that wear, for ordering, and with the faults that have a deadline.

    Args:
        trucks: as they stand.
        rules: of today.
        ahead: when things are expected, by truck.
        today: the yard's day.

    *Edge*: on its last day a fault is due, after it late.
    """
    rows = [*due_rows(trucks, rules, ahead, today)]
    for truck in trucks:
        forecast = ahead.get(truck.book)
        rows += [_worn(truck, worn, rules, today) for worn in (forecast.worn if forecast else ())]
        rows += [_deadline(truck, fault, rules, today) for fault in truck.faults if fault.open and fault.deadline]
    return _sorted(rows)


def _sorted(rows: Iterable[DueRow]) -> tuple[DueRow, ...]:
    return tuple(sorted(rows, key=lambda row: (PRESSING[row.state], _left(row))))


def _left(row: DueRow) -> Decimal:
    if row.due_hours is None or row.hours is None:
        return Decimal("Infinity")
    return row.due_hours - row.hours


def _plain(truck: Standing, what: str, why: Reason) -> DueRow:
    return DueRow(
        truck.name, what, None, None, None, None, "later", None, None, truck.hours, why, None, None, truck.resting
    )


def _worn(truck: Standing, worn: Worn, rules: Rules, today: date) -> DueRow:
    why = Reason(f"{worn_words(worn, rules.word)} {rules.word(ORDERING_ONLY)}", "trend.limit", None, ())
    row = _plain(truck, worn_title(worn, rules.word), why)
    expected = expected_row(worn.expected, None, today, rules.word)
    return msgspec.structs.replace(row, due_hours=worn.middle, expected=expected)


def _deadline(truck: Standing, fault: FaultNow, rules: Rules, today: date) -> DueRow:
    last = fault.deadline or today
    state: DueState = "late" if today > last else "due" if today == last else "open"
    why = Reason(serious(fault, rules.word), "fault.deadline", None, (fault.fact,))
    expected = expected_row(Expected(last, last, last), None, today, rules.word) if state == "open" else None
    return msgspec.structs.replace(_plain(truck, fault.text, why), due_date=last, state=state, expected=expected)


def _row(truck: Standing, due: Due, rules: Rules, forecast: Forecast | None, today: date) -> DueRow:
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
        expected=_expected(due, forecast, rules, today),
    )


def _expected(due: Due, forecast: Forecast | None, rules: Rules, today: date) -> ExpectedRow | None:
    found = forecast.dues.get(due.service or "") if forecast else None
    pace = forecast.pace if forecast and due.hours is not None else None
    return None if found is None else expected_row(found, pace, today, rules.word)


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
