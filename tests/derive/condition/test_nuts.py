"""Wheel nuts and bolts: hours to the next check, stages of the book, and what is never computed."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.converted import verdicts
from derive.condition.gauging import gauge, outcome, refused
from dipmark.derive.condition.nuts import BOOK, MEASUREMENTS
from dipmark.derive.judging import Judged

RECHECK, STAGES, BOLT = MEASUREMENTS


@pytest.mark.parametrize(
    ("since", "last", "verdict", "rule"),
    [
        ("49.9 h", "fitted", "in", "nuts.refitted"),
        ("50.0 h", "fitted", "in", "nuts.refitted"),
        ("50.1 h", "fitted", "stop", "nuts.refitted"),
        ("3000 min", "fitted", "in", "nuts.refitted"),
        ("3001 min", "fitted", "stop", "nuts.refitted"),
        ("50.1", "checked", "in", "nuts.checked"),
        ("150 h", "checked", "in", "nuts.checked"),
        ("151 h", "checked", "watch", "nuts.checked"),
        ("0 h", "fitted", "in", "nuts.refitted"),
    ],
)
def test_hours_to_the_next_check(since: str, last: str, verdict: str, rule: str) -> None:
    found = gauge(RECHECK, since=since, last=last)
    assert (found.verdict, found.rule, found.unit) == (verdict, rule, "h")
    assert set(verdicts(RECHECK, since=since, last=last)) == {verdict}


def test_what_was_done_last_is_said() -> None:
    assert gauge(RECHECK, since="12 h", last="fitted").because == (
        "12 h since the wheel was fitted; the next check is due by 50 h."
    )
    assert gauge(RECHECK, since="12 h", last="checked").because == (
        "12 h since the nuts were checked; the next check is due by 150 h."
    )


def test_stages_in_the_other_unit() -> None:
    found = gauge(STAGES, stage=("100 N.m", "200 N.m"))
    assert (found.value, found.unit, found.verdict) == ("73.8 / 147.5", "lbf.ft", None)
    mixed = gauge(STAGES, stage=("85 lbf.ft", "200 N.m"))
    assert (mixed.value, mixed.unit) == ("115.2 / 200", "N.m")
    assert any("50 h" in note for note in mixed.notes)


def test_stages_rise() -> None:
    assert refused(STAGES, stage=("110 lbf.ft", "85 lbf.ft", "85 lbf.ft")) == [("measure-nonsense", "stage")] * 2
    assert refused(STAGES) == [("measure-missing", "stage")]
    assert refused(STAGES, stage=("85 psi",)) == [("quantity-unit", "stage")]


PLAIN = {"diameter": "12 mm", "force": "40 kN", "thread": "as-received"}


@pytest.mark.parametrize("part", BOOK)
def test_what_carries_turns_or_stops_is_never_computed(part: str) -> None:
    assert refused(BOLT, **{**PLAIN, "for": part}) == [("torque-book-only", "for")]
    problems = outcome(BOLT, **{**PLAIN, "for": part})
    assert not isinstance(problems, Judged)
    assert "expected the book value only" in problems[0].message


@pytest.mark.parametrize(
    ("thread", "value", "low", "high"),
    [("as-received", "96", "67.2", "124.8"), ("oiled", "72", "50.4", "93.6"), ("rusty", "144", "100.8", "187.2")],
)
def test_a_plain_bolt_is_a_band(thread: str, value: str, low: str, high: str) -> None:
    found = gauge(BOLT, **{**PLAIN, "thread": thread, "for": "other"})
    assert (found.value, found.low, found.high) == (Decimal(value), Decimal(low), Decimal(high))
    assert (found.verdict, found.unit, found.source) == (None, "N.m", "torque-rule")


def test_inches_and_pounds() -> None:
    found = gauge(BOLT, **{"for": "other", "diameter": "1/2 in", "force": "10000 lbf", "thread": "as-received"})
    assert found.value == Decimal(113)  # 0.2 x 0.5 in x 10,000 lbf = 83.3 lbf.ft


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"since": "-1 h", "last": "fitted"}, "measure-nonsense"),
        ({"since": "1 h", "last": "new"}, "measure-word"),
        ({"since": "1 mm", "last": "fitted"}, "quantity-unit"),
        ({"last": "fitted"}, "measure-missing"),
    ],
)
def test_nonsense_is_refused(said: dict[str, str], code: str) -> None:
    assert [found for found, _ in refused(RECHECK, **said)] == [code]
