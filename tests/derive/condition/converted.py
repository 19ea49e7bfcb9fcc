"""The same readings in every other unit, there only and there and back."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from derive.condition.gauging import SUBJECTS
from dipmark.derive.judging import Given, Judged, Measurement, Verdict, fit
from dipmark.facts.quantity import Quantity
from dipmark.facts.units import UNITS


def _through(value: Quantity, turn: int, *, back: bool) -> Quantity:
    units = [name for name, unit in UNITS.items() if unit.dimension == value.dimension]
    other = value.to(units[turn % len(units)])
    return other.to(value.unit) if back else other


def _all(given: Given, turn: int, *, back: bool) -> Given:
    read = {
        name: tuple(
            msgspec.structs.replace(one, value=_through(one.value, turn, back=back))
            for one in reads
        )
        for name, reads in given.read.items()
    }  # fmt: skip
    return msgspec.structs.replace(given, read=read)


def verdicts(measurement: Measurement, **said: str) -> Iterator[Verdict | None]:
    """The verdict as read, then through each unit in turn: converted there, and there and back."""
    given = fit(measurement, {name.replace("_", "-"): (value,) for name, value in said.items()})
    assert isinstance(given, Given), given
    turned = (_all(given, turn, back=back) for turn in range(8) for back in (False, True))
    for one in (given, *turned):
        found = measurement.judge(one, SUBJECTS[measurement.subject])
        assert isinstance(found, Judged), found
        yield found.verdict
