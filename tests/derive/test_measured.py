"""Everything that can be measured: each has its subject, its name once, and asks for what it can be given."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.judging import Input, Measurement, fit
from dipmark.derive.measured import MEASUREMENTS, WORDS
from dipmark.facts.base import Value
from dipmark.facts.quantity import Quantity, parse_quantity, value_of
from dipmark.facts.said import SAID
from dipmark.facts.units import UNITS

RULES = read_rules()
INPUTS = [(one, asked) for one in MEASUREMENTS.values() for asked in one.inputs]
DIMENSIONS = {unit.dimension for unit in UNITS.values()}


def named(case: Measurement | Input) -> str:
    return case.name


def test_every_subject_is_measured_and_every_measurement_has_its_subject() -> None:
    assert {one.subject for one in MEASUREMENTS.values()} == set(RULES.subjects)
    assert all(name == one.name for name, one in MEASUREMENTS.items())


@pytest.mark.parametrize("one", MEASUREMENTS.values(), ids=named)
def test_a_measurement_asks_for_each_value_once_and_is_called_after_its_subject(one: Measurement) -> None:
    names = [asked.name for asked in one.inputs]
    assert len(names) == len(set(names))
    assert one.text
    assert one.inputs


@pytest.mark.parametrize(("one", "asked"), INPUTS, ids=named)
def test_what_is_asked_can_be_given(one: Measurement, asked: Input) -> None:
    assert asked.text
    assert asked.dimension in DIMENSIONS | {""}
    assert asked.at in DIMENSIONS | {""}
    assert not (asked.dimension and asked.words)
    assert asked.usual is None or UNITS[asked.usual].dimension == asked.dimension
    assert asked.words == tuple(word.casefold() for word in asked.words)
    for bound in (asked.over, asked.least, asked.most):
        assert bound is None or isinstance(parse_quantity(bound, asked.dimension), Quantity), bound


@pytest.mark.parametrize("one", MEASUREMENTS.values(), ids=named)
def test_nothing_said_is_a_problem_for_each_value_needed(one: Measurement) -> None:
    found = fit(one, {})
    needed = [asked.name for asked in one.inputs if asked.needed]
    assert ([problem.where.column for problem in found] if isinstance(found, tuple) else []) == needed


def test_every_text_of_a_measurement_can_be_said_in_another_language() -> None:
    assert len(WORDS) == len(set(WORDS))
    texts = {one.text for one in MEASUREMENTS.values()} | {asked.text for _, asked in INPUTS}
    codes = {*MEASUREMENTS, *(code for _, asked in INPUTS for code in (asked.name, *asked.words))}
    assert texts | {code.replace("-", " ") for code in codes} == set(WORDS) == set(WORDS) & SAID.keys()


def test_a_value_keeps_its_step_in_the_record() -> None:
    held = value_of(Quantity(Fraction(36), "mm", Fraction(1, 10)), "now")
    assert held == Value(quantity="now", value=Decimal("36.0"), unit="mm")
