"""Windows against the rulings; common practice, no source, unless said otherwise."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from derive.builders import NEW, truck
from dipmark.derive.due import Due


def _due(service: str, as_of: str = "2026-01-02T06:00:00", text: str = NEW) -> Due:
    return next(due for due in truck(text, as_of).dues if due.service == service)


@pytest.mark.parametrize(
    ("service", "interval", "early", "late"),
    [
        ("150h", 150, 15, 15),  # oil and grease: 10 %
        ("900h", 900, 90, 25),  # late at most 25 h
        ("450h", 450, 45, 0),  # a chain among its tasks: 0 late
        ("8h", 8, 0, 0),  # no window
    ],
)
def test_windows_by_hours(service: str, interval: int, early: int, late: int) -> None:
    walk = '\nwalk-round truck:7 2026-01-01T06:00:00+01:00 ana\n  meter {"hours": "2"}\n'
    due = _due(service, text=NEW + walk)
    assert due.hours is not None
    assert due.start is not None
    assert due.hours - due.start == interval
    assert due.opens == due.hours - Decimal(early)
    assert due.latest == due.hours + Decimal(late)


@pytest.mark.parametrize(
    ("service", "day"), [("150h", date(2026, 2, 1)), ("450h", date(2026, 4, 1)), ("900h", date(2026, 7, 1))]
)
def test_months_whichever_first(service: str, day: date) -> None:
    # Rhythm for engine trucks: 150: 1 month, 450: 3, 900: 6.
    assert _due(service).day == day
    assert _due(service, f"{day}T06:00:00").state == "due"


def test_three_times_the_oil_change_falls_on_the_next_higher_service_and_never_twice() -> None:
    # Rhythm 8/150/450/900/1800, multiples: whoever does the higher one has done the lower one.
    text = NEW
    for day, service, hours in (("10", "150h", 152), ("17", "150h", 302), ("24", "450h", 452)):
        text += f"\nworked truck:7 2026-01-{day}T18:00:00+01:00 mia\n  services - {service}\n"
        text += f'  meter {{"hours": "{hours}"}}\n'
    assert _due("450h", "2026-01-22T06:00:00", text).hours == 452
    assert _due("150h", "2026-01-22T06:00:00", text).hours == 452
    assert _due("150h", "2026-01-25T06:00:00", text).hours == 602
    assert _due("450h", "2026-01-25T06:00:00", text).hours == 902


def test_severe_duty_factors_never_multiply() -> None:
    both = _due("150h", text=NEW + "  uses - hard\n  uses - harsh\n")
    assert both.hours == 2 + 150 * Decimal("0.4")
