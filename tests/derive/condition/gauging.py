"""Measuring in tests as a person does: texts in, a verdict or problems out, held against the shipped limits."""

from __future__ import annotations

from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.judging import Judged, Measurement, fit
from dipmark.facts.problems import Problem

SUBJECTS = read_rules().subjects

Said = str | tuple[str, ...]


def outcome(measurement: Measurement, **said: Said) -> Judged | tuple[Problem, ...]:
    """What a measurement comes to; an underscore in a name stands for its hyphen."""
    texts = {
        name.replace("_", "-"): (value,) if isinstance(value, str) else value
        for name, value in said.items()
    }  # fmt: skip
    given = fit(measurement, texts)
    return given if isinstance(given, tuple) else measurement.judge(given, SUBJECTS[measurement.subject])


def gauge(measurement: Measurement, **said: Said) -> Judged:
    """The verdict of a measurement that fits."""
    found = outcome(measurement, **said)
    assert isinstance(found, Judged), found
    return found


def refused(measurement: Measurement, **said: Said) -> list[tuple[str, str | None]]:
    """Code and field of each problem of a measurement that does not fit; each says what to do or what was expected."""
    found = outcome(measurement, **said)
    assert not isinstance(found, Judged), found
    assert all(problem.expected and str(problem) for problem in found)
    return [(problem.code, problem.where.column) for problem in found]
