"""Drift of lift and tilt: what a test says under its conditions, and what it does not say short of them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.converted import verdicts
from derive.condition.gauging import gauge, refused
from dipmark.derive.condition.mast import MEASUREMENTS

LIFT, TILT = MEASUREMENTS
TEST = {"time": "10 min", "load": "100", "oil": "50 C"}
FORK = {**TEST, "where": "fork"}


@pytest.mark.parametrize(
    ("drop", "where", "verdict", "counts"),
    [
        ("99 mm", "fork", "in", "99"),
        ("100 mm", "fork", "in", "100"),
        ("101 mm", "fork", "stop", "101"),
        ("3.93 in", "fork", "in", "99.822"),
        ("3.94 in", "fork", "stop", "100.076"),
        ("50 mm", "inner-mast", "in", "100"),
        ("51 mm", "inner-mast", "stop", "102"),
        ("0 mm", "inner-mast", "in", "0"),
    ],
)
def test_a_hundred_millimetres_at_the_fork_still_pass(drop: str, where: str, verdict: str, counts: str) -> None:
    found = gauge(LIFT, drop=drop, where=where, **TEST)
    assert (found.verdict, found.value, found.limit, found.unit) == (verdict, Decimal(counts), Decimal(100), "mm")
    assert set(verdicts(LIFT, drop=drop, where=where, **TEST)) == {verdict}


@pytest.mark.parametrize(("drop", "verdict"), [("35.4 mm", "in"), ("35.5 mm", "in"), ("35.6 mm", "stop")])
def test_tilt_cylinder(drop: str, verdict: str) -> None:
    found = gauge(TILT, drop=drop, **TEST)
    assert (found.verdict, found.rule) == (verdict, "mast.tilt")
    assert found.because.startswith(f"{drop} of the rod in 10 min.")
    assert set(verdicts(TILT, drop=drop, **TEST)) == {verdict}


@pytest.mark.parametrize(
    ("drop", "time", "verdict", "counts"),
    [
        # under 5 minutes: never scaled, passes nothing, may fail
        ("30 mm", "3 min", None, "30"),
        ("100 mm", "299 s", None, "100"),
        ("101 mm", "3 min", "stop", "101"),
        # 5 to 10 minutes: scaled up
        ("50 mm", "5 min", "in", "100"),
        ("50 mm", "300 s", "in", "100"),
        ("51 mm", "5 min", "stop", "102"),
        ("80 mm", "8 min", "in", "100"),
        # longer: never scaled down
        ("100 mm", "20 min", "in", "100"),
        ("101 mm", "20 min", "stop", "101"),
        ("101 mm", "0.5 h", "stop", "101"),
    ],
)
def test_length_of_the_test(drop: str, time: str, verdict: str | None, counts: str) -> None:
    said = {**FORK, "time": time}
    found = gauge(LIFT, drop=drop, **said)
    assert (found.verdict, found.value) == (verdict, Decimal(counts))
    assert set(verdicts(LIFT, drop=drop, **said)) == {verdict}


def test_what_is_scaled_or_doubled_is_said() -> None:
    said = {**TEST, "time": "5 min", "where": "inner-mast"}
    assert gauge(LIFT, drop="20 mm", **said).because == (
        "20 mm at the inner mast in 5 min. That counts as 80 mm in 10 minutes."
    )
    assert gauge(LIFT, drop="20 mm", **FORK).because == "20 mm at the fork in 10 min."


@pytest.mark.parametrize(
    ("short", "words"),
    [
        ({"time": "4 min"}, "Too short"),
        ({"load": "99"}, "less than the rated load"),
        ({"oil": "44 C"}, "Cold oil"),
        ({"oil": "112 F"}, "Cold oil"),
    ],
)
def test_short_of_its_conditions_a_test_fails_a_mast_and_passes_none(short: dict[str, str], words: str) -> None:
    said = {**FORK, **short}
    passing, failing = gauge(LIFT, drop="10 mm", **said), gauge(LIFT, drop="300 mm", **said)
    assert (passing.verdict, failing.verdict) == (None, "stop")
    assert [words in note for note in passing.notes] == [True]


@pytest.mark.parametrize(
    "edge", [{"load": "100"}, {"oil": "45 C"}, {"oil": "113 F"}, {"oil": "60 C"}, {"time": "5 min"}]
)
def test_at_its_conditions_a_test_passes(edge: dict[str, str]) -> None:
    found = gauge(LIFT, drop="10 mm", **{**FORK, **edge})
    assert (found.verdict, found.notes) == ("in", ())


def test_what_may_have_failed_it_unjustly_is_said() -> None:
    hot = gauge(LIFT, drop="101 mm", **{**FORK, "oil": "56 C"})
    assert (hot.verdict, len(hot.notes), "Hot oil" in hot.notes[0]) == ("stop", 1, True)
    assert gauge(LIFT, drop="101 mm", **{**FORK, "oil": "55 C"}).notes == ()
    long = gauge(LIFT, drop="101 mm", **{**FORK, "time": "11 min"})
    assert (long.verdict, long.notes) == ("stop", ("Longer than 10 minutes: measure again over that time.",))


@pytest.mark.parametrize(
    ("book", "drop", "verdict", "limit"),
    [
        ("50 mm", "50 mm", "in", "50"),
        ("50 mm", "51 mm", "stop", "50"),
        ("2 in", "50 mm", "in", "50.8"),
        ("200 mm", "101 mm", "stop", "100"),
    ],
)
def test_the_book_may_be_stricter_never_looser(book: str, drop: str, verdict: str, limit: str) -> None:
    found = gauge(LIFT, drop=drop, book=book, **FORK)
    assert (found.verdict, found.limit) == (verdict, Decimal(limit))


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"drop": "-1 mm"}, "measure-nonsense"),
        ({"drop": "5 m"}, "measure-nonsense"),
        ({"drop": "10 mm", "oil": "1800 C"}, "measure-nonsense"),
        ({"drop": "10 mm", "time": "0 min"}, "measure-nonsense"),
        ({"drop": "10 mm", "load": "500 kg"}, "quantity-unit"),
        ({"drop": "10 mm", "where": "chain"}, "measure-word"),
        ({}, "measure-missing"),
    ],
)
def test_nonsense_is_refused(said: dict[str, str], code: str) -> None:
    assert [found for found, _ in refused(LIFT, **{**FORK, **said})] == [code]
