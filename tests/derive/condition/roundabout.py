"""The same reading in every unit of what it measures, and back again: no verdict may depend on it."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from derive.condition.gauging import SUBJECTS, Said
from dipmark.derive.judging import Given, Judged, Measurement, Verdict, fit
from dipmark.facts.units import UNITS


def roundabout(measurement: Measurement, **said: Said) -> set[Verdict | None]:
    """The verdicts of a measurement with each of its values as written, in every other unit, and back from there."""
    texts = {
        name.replace("_", "-"): (value,) if isinstance(value, str) else value
        for name, value in said.items()
    }  # fmt: skip
    given = fit(measurement, texts)
    assert isinstance(given, Given), given
    verdicts = set()
    for one in (given, *_otherwise(given)):
        found = measurement.judge(one, SUBJECTS[measurement.subject])
        assert isinstance(found, Judged), found
        verdicts.add(found.verdict)
    return verdicts


def _otherwise(given: Given) -> Iterator[Given]:
    for name, read in given.read.items():
        for unit in [unit for unit, one in UNITS.items() if one.dimension == read[0].value.dimension]:
            there = tuple(replace(one, value=one.value.to(unit)) for one in read)
            back = tuple(replace(one, value=one.value.to(unit).to(one.value.unit)) for one in read)
            assert back == read
            yield replace(given, read={**given.read, name: there})
            yield replace(given, read={**given.read, name: back})
