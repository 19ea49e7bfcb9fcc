"""What holds for every measurement, whatever is measured and in whatever unit."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Final

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.judging import Given, Judged, Measurement, Read, Verdict, fit
from dipmark.derive.measured import MEASUREMENTS
from dipmark.facts.base import RANK
from dipmark.facts.problems import Problem
from dipmark.facts.quantity import Quantity, parse_quantity, quantity_of, value_of
from dipmark.facts.units import UNITS, Unit
from dipmark.rules.limits import Subject
from properties.measuring import NONSENSE, alike, givens, quantities, texts_of, written

pytestmark = pytest.mark.property
few = settings(max_examples=15)

SUBJECTS: Final = read_rules().subjects
ALL: Final = pytest.mark.parametrize("one", MEASUREMENTS.values(), ids=lambda one: one.name)

Outcome = Judged | tuple[Problem, ...]


def judge(one: Measurement, held: Given) -> Outcome:
    return one.judge(held, SUBJECTS[one.subject])


def verdict(outcome: Outcome) -> object:
    """What counts of a verdict; of problems, what they are and where."""
    if isinstance(outcome, Judged):
        return (outcome.verdict, outcome.rule)
    return [(problem.code, problem.where.column) for problem in outcome]


def changed(held: Given, change: Callable[[Quantity], Quantity]) -> Given:
    """The same with every quantity put through a change."""
    return Given(
        {
            name: tuple(Read(change(one.value), one.place, change(one.at) if one.at else None) for one in read)
            for name, read in held.read.items()
        },
        held.words,
    )


@ALL
@few
@given(st.data())
def test_the_unit_a_value_is_read_in_changes_no_verdict(one: Measurement, data: st.DataObject) -> None:
    held = data.draw(givens(one))
    units = {dimension: data.draw(st.sampled_from(alike(dimension))) for dimension in _dimensions(held)}
    there = changed(held, lambda value: value.to(units[value.dimension]))
    before, after = judge(one, held), judge(one, there)
    assert verdict(after) == verdict(before)
    if isinstance(before, Judged) and isinstance(after, Judged) and before.unit == after.unit:
        assert (after.value, after.limit, after.low, after.high) == (
            before.value, before.limit, before.low, before.high,
        )  # fmt: skip
    names = iter([value.unit for value in _values(held)])
    back = changed(there, lambda value: value.to(next(names)))
    assert back == held


def _values(held: Given) -> list[Quantity]:
    return [value for read in held.read.values() for one in read for value in (one.value, one.at) if value]


def _dimensions(held: Given) -> list[str]:
    return sorted({value.dimension for value in _values(held)})


def rank(verdict: Verdict) -> int:
    """How serious a verdict is; in its limits is least."""
    return -1 if verdict == "in" else RANK[verdict]


def _with(held: Given, name: str, value: Quantity) -> Given:
    first, *others = held.read[name]
    return Given({**held.read, name: (Read(value, first.place, first.at), *others)}, held.words)


@ALL
@few
@given(st.data())
def test_a_verdict_only_worsens_away_from_the_acceptable_band(one: Measurement, data: st.DataObject) -> None:
    held = data.draw(givens(one))
    for asked in (asked for asked in one.inputs if asked.dimension and not asked.kept and asked.name in held.read):
        first = held.read[asked.name][0]
        span = data.draw(st.lists(quantities(asked), min_size=6, max_size=12))
        step, unit = first.value.resolution, first.value.unit
        values = sorted({value.in_(unit) for value in span})
        outcomes = [judge(one, _with(held, asked.name, Quantity(value, unit, step))) for value in values]
        ranks = [rank(found.verdict) for found in outcomes if isinstance(found, Judged) and found.verdict is not None]
        lowest = ranks.index(min(ranks)) if ranks else 0
        assert ranks[:lowest] == sorted(ranks[:lowest], reverse=True), (asked.name, values, ranks)
        assert ranks[lowest:] == sorted(ranks[lowest:]), (asked.name, values, ranks)


@ALL
@few
@given(st.data())
def test_what_can_be_true_is_read_as_it_is_written_and_judged(one: Measurement, data: st.DataObject) -> None:
    held = data.draw(givens(one))
    found = fit(one, texts_of(held))
    words = {name: " ".join(word.split()) for name, word in held.words.items() if word.strip()}
    assert found == Given(held.read, words)
    assert isinstance(found, Given)
    outcome = judge(one, found)
    assert msgspec.json.encode(outcome)
    if isinstance(outcome, Judged):
        assert outcome.subject == one.name
        assert outcome.because
        assert outcome.verdict in (None, "in") or outcome.rule is not None
    else:
        assert all(problem.hint or problem.expected for problem in outcome)


@ALL
@settings(max_examples=40)
@given(st.data())
def test_nonsense_gets_a_problem_or_a_verdict_and_never_a_traceback(one: Measurement, data: st.DataObject) -> None:
    names = [asked.name for asked in one.inputs]
    some = st.dictionaries(st.sampled_from(names), st.lists(st.sampled_from(NONSENSE), max_size=4), max_size=len(names))
    said = data.draw(some)
    held = data.draw(givens(one))
    mixed = {**texts_of(held), **said} if data.draw(st.booleans()) else said
    known = held if data.draw(st.booleans()) else None
    found = fit(one, mixed, known)
    outcome = judge(one, found) if isinstance(found, Given) else found
    msgspec.json.encode(outcome)
    assert isinstance(outcome, Judged) or all(str(problem) for problem in outcome)


@ALL
def test_every_problem_is_named_at_once(one: Measurement) -> None:
    said = {asked.name: ["NaN"] for asked in one.inputs}
    wanted = [asked.name for asked in one.inputs if asked.dimension or asked.words]
    found = fit(one, {**said, "no-such-value": ["1"]})
    assert isinstance(found, tuple)
    assert [problem.where.column for problem in found] == ["no-such-value", *wanted]


ASKED: Final = [asked for one in MEASUREMENTS.values() for asked in one.inputs if asked.dimension]


@given(st.data())
def test_a_quantity_reads_back_from_what_is_printed_and_from_the_record(data: st.DataObject) -> None:
    asked = data.draw(st.sampled_from(ASKED))
    value = data.draw(quantities(asked))
    printed = parse_quantity(str(value), asked.dimension)
    assert isinstance(printed, Quantity)
    assert (printed.value, printed.unit) == (value.value, value.unit)
    assert parse_quantity(written(value), asked.dimension) == value
    assert quantity_of(value_of(value, asked.name)) == value


@given(st.sampled_from(list(UNITS.values())), st.integers(-(10**6), 10**6), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_fractions_read_back_from_the_record(unit: Unit, over: int, under: int) -> None:
    value = Quantity(Fraction(over, under), unit.name, Fraction(1, under))
    assert quantity_of(value_of(value, "x")) == value


def careless(serious: Callable[[Quantity], bool]) -> Measurement:
    """A measurement whose judge goes wrong."""
    chain = MEASUREMENTS["chain-plate"]

    def judge(held: Given, _: Subject) -> Judged:
        verdict: Verdict = "stop" if serious(held.one("now")) else "in"
        return Judged(subject="x", value=None, unit=None, verdict=verdict, because="Read.", rule="x.y")

    return msgspec.structs.replace(chain, judge=judge)


def test_a_judge_that_forgets_the_unit_is_found() -> None:
    with pytest.raises(AssertionError):
        test_the_unit_a_value_is_read_in_changes_no_verdict(careless(lambda now: now.value > 10))


def test_a_judge_that_lets_the_worse_pass_is_found() -> None:
    with pytest.raises(AssertionError):
        test_a_verdict_only_worsens_away_from_the_acceptable_band(
            careless(lambda now: Fraction(50) < now.in_("mm") < 100)
        )
