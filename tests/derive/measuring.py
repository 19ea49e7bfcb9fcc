"""Records of measured trucks: the small kind of the builders, with the limits that are shipped."""

from __future__ import annotations

from typing import Final

import msgspec

from derive.builders import ENROLLED, KIND, ZONE, at, record
from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.faults import FaultNow
from dipmark.derive.measures import Measure
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.rules.model import Asked, Rules

SHIPPED: Final = read_rules()
NOON: Final = "2026-11-20T12:00:00"

PRESSED: Final = msgspec.structs.replace(
    KIND,
    checks=tuple(
        msgspec.structs.replace(check, asked=Asked(quantity="tyre-pressure", unit="bar"))
        if check.id == "tyre.pressure"
        else msgspec.structs.replace(check, asked=Asked(quantity="hour-meter", unit="h"))
        if check.id == "lamp.work"
        else check
        for check in KIND.checks
    ),
)
"""The small kind; its tyres' pressure is asked at the walk-round."""

RULES: Final[Rules] = msgspec.structs.replace(SHIPPED, kinds={PRESSED.key: PRESSED})

PLATE: Final = """
plate-read truck:7 2026-01-02T08:00:00+01:00 lead
  values - {"name": "tyre-pressure", "value": "8", "unit": "bar"}
"""


def value(name: str, text: str, unit: str, place: str = "", key: str = "values") -> str:
    where = f', "place": "{place}"' if place else ""
    return f'  {key} - {{"quantity": "{name}", "value": "{text}", "unit": "{unit}"{where}}}\n'


def measured(subject: str, when: str, *lines: str, rest: str = "") -> str:
    """A reading; a date alone is noon."""
    time = when if "T" in when else f"{when}T12:00:00+01:00"
    return f"\nmeasured truck:7 {time} mia\n  subject {subject}\n{''.join(lines) or '  values []'}{rest}\n"


def chain(when: str, mm: str, rest: str = "", place: str = "") -> str:
    """Twenty pitches of 25.4 mm: 508 mm new, 518.16 mm at 2 %, 523.24 mm at 3 %."""
    kept = value("pitches", "20", "count", key="conditions") + value("pitch", "25.4", "mm", key="conditions")
    return measured("chain", when, value("length", mm, "mm", place), kept, rest=rest)


def heel(when: str, *mm: tuple[str, str], new: str = "", rest: str = "") -> str:
    """A fork heel, place by place."""
    kept = value("new", new, "mm", key="conditions") if new else ""
    return measured("fork-heel", when, *(value("now", text, "mm", place) for place, text in mm), kept, rest=rest)


def pressed(when: str, bar: str | None, rest: str = "") -> str:
    """A walk-round in which the pressure was read."""
    read = "" if bar is None else f', "value": "{bar}", "unit": "bar"'
    return f'\nwalk-round truck:7 {when}T07:00:00+01:00 ana\n  answers - {{"check": "tyre.pressure"{read}{rest}}}\n'


def measured_truck(text: str, as_of: str = NOON, rules: Rules = RULES) -> TruckNow:
    """The truck of a text at an instant."""
    now = truck_now(record(ENROLLED + text), rules, YardNow(), ZONE, at(as_of))
    assert now is not None
    return now


def measures(text: str, as_of: str = NOON, rules: Rules = RULES) -> tuple[Measure, ...]:
    """All readings of a text."""
    return measured_truck(text, as_of, rules).measures


def faults(text: str, as_of: str = NOON) -> list[FaultNow]:
    """The open faults of a text."""
    return [fault for fault in measured_truck(text, as_of).faults if fault.open]
