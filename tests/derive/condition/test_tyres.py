"""Tyres: a soft one is never passed by its temperature; edges of wear and damage; what cannot be."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest

from derive.condition.converted import verdicts
from derive.condition.gauging import gauge, refused
from dipmark.derive.condition.tyres import MEASUREMENTS, UNCORRECTED

PRESSURE, LOSS, CUSHION, LINE, FOAM = MEASUREMENTS
ORDER = ("in", "watch", "repair-by", "stop", "now")


@pytest.mark.parametrize(
    ("asked", "now", "verdict", "limit"),
    [
        ("700 kPa", "701 kPa", "in", "560"),
        ("700 kPa", "700 kPa", "in", "560"),
        ("700 kPa", "699 kPa", "repair-by", "700"),
        ("700 kPa", "561 kPa", "repair-by", "700"),
        ("700 kPa", "560 kPa", "now", "560"),
        ("700 kPa", "559 kPa", "now", "560"),
        ("100 psi", "100 psi", "in", "80"),
        ("100 psi", "81 psi", "repair-by", "100"),
        ("100 psi", "80 psi", "now", "80"),
        # 100 psi are 689.476 kPa, 80 psi 551.581 kPa: read to 1 kPa, 552 is out
        ("100 psi", "690 kPa", "in", "80"),
        ("100 psi", "689 kPa", "repair-by", "100"),
        ("100 psi", "553 kPa", "repair-by", "100"),
        ("100 psi", "552 kPa", "now", "80"),
        ("8.0 bar", "800 kPa", "in", "6.4"),
        ("8.0 bar", "6.5 bar", "repair-by", "8"),
        ("8.0 bar", "640 kPa", "now", "6.4"),
        ("700 kPa", "0 kPa", "now", "560"),
    ],
)
def test_the_asked_pressure_is_a_minimum_and_eighty_percent_is_flat(
    asked: str, now: str, verdict: str, limit: str
) -> None:
    found = gauge(PRESSURE, asked=asked, now=now)
    assert (found.verdict, found.limit, found.unit) == (verdict, Decimal(limit), asked.split()[1])
    assert found.more == {}
    assert set(verdicts(PRESSURE, asked=asked, now=now)) == {verdict}


def test_cold_explains_a_soft_tyre_and_does_not_pass_it() -> None:
    found = gauge(PRESSURE, asked="700kPa", asked_at="20C", now="618kPa", now_at="-10C")
    assert (found.verdict, found.rule) == ("repair-by", "tyres.low")
    assert "At 20 C it would read 700 kPa." in found.because
    assert found.notes == ("At -10 C the asked 700 kPa reads 618 kPa: the cold explains the loss and passes nothing.",)


def test_cold_does_not_pass_a_flat_tyre() -> None:
    found = gauge(PRESSURE, asked="700kPa", asked_at="40C", now="540kPa", now_at="-25C")
    assert (found.verdict, found.rule) == ("now", "tyres.flat")


def test_cold_does_not_explain_more_than_it_takes() -> None:
    found = gauge(PRESSURE, asked="700kPa", asked_at="20C", now="600kPa", now_at="-10C")
    assert (found.verdict, found.notes) == ("repair-by", ())


def test_heat_tightens() -> None:
    """700 kPa at 50 C are 626 kPa at 20 C; 600 kPa at 60 C are 516 kPa at 20 C, less than 80 %."""
    assert gauge(PRESSURE, asked="700kPa", asked_at="20C", now="700kPa", now_at="50C").verdict == "repair-by"
    assert gauge(PRESSURE, asked="700kPa", asked_at="20C", now="600kPa", now_at="60C").verdict == "now"
    assert gauge(PRESSURE, asked="700kPa", asked_at="20C", now="790kPa", now_at="50C").verdict == "in"


@pytest.mark.parametrize("at", ["-40C", "-10C", "20C", "45C", "80C"])
def test_no_temperature_makes_a_verdict_milder(at: str) -> None:
    for now in range(500, 760, 4):
        plainly = gauge(PRESSURE, asked="700kPa", now=f"{now}kPa").verdict
        corrected = gauge(PRESSURE, asked="700kPa", asked_at="20C", now=f"{now}kPa", now_at=at).verdict
        assert ORDER.index(corrected or "") >= ORDER.index(plainly or "")


def test_more_air_never_makes_it_worse() -> None:
    said = {"asked": "700kPa", "asked_at": "20C", "now_at": "35C"}
    found = [gauge(PRESSURE, now=f"{now}kPa", **said).verdict or "" for now in range(500, 800)]
    assert all(ORDER.index(low) >= ORDER.index(high) for low, high in pairwise(found))
    assert set(found) == {"now", "repair-by", "in"}


def test_the_softest_tyre_counts() -> None:
    found = gauge(PRESSURE, asked="700kPa", now=("front-left=705kPa", "rear-right=80psi", "rear-left=690kPa"))
    assert (found.verdict, found.rule) == ("now", "tyres.flat")
    assert found.because.startswith("80 psi (rear-right) is 78.8 % of the asked 700 kPa.")


def test_one_temperature_alone() -> None:
    assert refused(PRESSURE, asked="700kPa", now="690kPa", now_at="5C") == [("measure-missing", "asked-at")]
    found = gauge(PRESSURE, asked="700kPa", asked_at="20C", now="700kPa")
    assert (found.verdict, found.notes, found.more) == ("in", (UNCORRECTED,), {})


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"now": "700kPa"}, "measure-missing"),
        ({"asked": "700kPa", "now": "-1kPa"}, "measure-nonsense"),
        ({"asked": "700kPa", "now": "700bar"}, "measure-nonsense"),
        ({"asked": "700kPa", "now": "700kPa", "asked_at": "20C", "now_at": "1800C"}, "measure-nonsense"),
        ({"asked": "700kPa", "now": "700mm"}, "quantity-unit"),
        ({"asked": "700kPa", "now": "nan kPa"}, "quantity-unreadable"),
    ],
)
def test_nonsense_is_refused(said: dict[str, str], code: str) -> None:
    assert [found for found, _ in refused(PRESSURE, **said)] == [code]


WEEK = {"before": "700 kPa", "days": "7"}


@pytest.mark.parametrize(
    ("now", "verdict"),
    [("673 kPa", "in"), ("672 kPa", "watch"), ("671 kPa", "watch"), ("97.6 psi", "in"), ("97.4 psi", "watch")],
)
def test_a_tyre_that_loses_28_kpa_a_week_is_watched(now: str, verdict: str) -> None:
    found = gauge(LOSS, now=now, **WEEK)
    assert (found.verdict, found.unit, found.limit) == (verdict, "kPa", Decimal(28))
    assert set(verdicts(LOSS, now=now, **WEEK)) == {verdict}


def test_loss_is_counted_by_the_week_and_at_one_temperature() -> None:
    assert gauge(LOSS, before="700 kPa", now="644 kPa", days="14").value == Decimal(28)
    assert gauge(LOSS, before="700 kPa", now="645 kPa", days="14").verdict == "in"
    cold = gauge(LOSS, before="700 kPa", before_at="20 C", now="618 kPa", now_at="-10 C", days="7")
    assert (cold.verdict, cold.notes) == ("in", ())
    assert cold.because.startswith("700 kPa, then 618 kPa after 7 days: -0.01 kPa a week, at one temperature.")
    plainly = gauge(LOSS, before_at="20 C", now="690 kPa", **WEEK)
    assert (plainly.notes, plainly.because[-9:]) == ((UNCORRECTED,), " as read.")
    assert refused(LOSS, now="690 kPa", now_at="20 C", **WEEK) == [("measure-missing", "before-at")]


@pytest.mark.parametrize(
    ("new", "now", "verdict"),
    [
        ("18 in", "16 9/16 in", "in"),
        ("18 in", "16 1/2 in", "stop"),
        ("18 in", "16 7/16 in", "stop"),
        ("18 in", "419.2 mm", "in"),
        ("18 in", "419.1 mm", "stop"),
        ("457.2 mm", "16.51 in", "in"),
        ("457.2 mm", "16.50 in", "stop"),
        # read to whole millimetres: 38 worn are out
        ("457 mm", "420 mm", "in"),
        ("457 mm", "419 mm", "stop"),
    ],
)
def test_cushion_tyre_is_out_at_an_inch_and_a_half(new: str, now: str, verdict: str) -> None:
    found = gauge(CUSHION, new=new, now=now)
    assert (found.verdict, found.limit, found.unit) == (verdict, Decimal("38.1"), "mm")
    assert set(verdicts(CUSHION, new=new, now=now)) == {verdict}


def test_the_smallest_cushion_tyre_counts_and_a_larger_one_than_new_is_doubtful() -> None:
    found = gauge(CUSHION, new="18 in", now=("left=17 in", "right=16 1/4 in"))
    assert (found.verdict, found.value) == ("stop", Decimal("44.45"))
    assert gauge(CUSHION, new="18 in", now="18 in").verdict == "in"
    assert refused(CUSHION, new="18 in", now="458 mm") == [("measure-nonsense", "now")]


@pytest.mark.parametrize(
    ("left", "verdict", "rule"),
    [
        ("12 mm", "in", "tyres.below-line"),
        ("1 mm", "in", "tyres.below-line"),
        ("1/64 in", "in", "tyres.below-line"),
        ("0 mm", "repair-by", "tyres.line"),
        ("0 in", "repair-by", "tyres.line"),
        ("-1 mm", "stop", "tyres.below-line"),
        ("-1/64 in", "stop", "tyres.below-line"),
    ],
)
def test_at_the_line_by_a_date_below_it_out(left: str, verdict: str, rule: str) -> None:
    found = gauge(LINE, left=left)
    assert (found.verdict, found.rule, found.limit) == (verdict, rule, Decimal(0))
    assert set(verdicts(LINE, left=left)) == {verdict}


def test_the_tyre_with_least_above_the_line_counts() -> None:
    found = gauge(LINE, left=("left=3 mm", "right=-2 mm"))
    assert (found.verdict, found.value, found.because[:32]) == ("stop", Decimal(-2), "-2 mm of rubber left above the l")


@pytest.mark.parametrize(
    ("said", "verdict", "rule"),
    [
        ({"cut": "74 mm"}, "in", "tyres.cut"),
        ({"cut": "75 mm"}, "in", "tyres.cut"),
        ({"cut": "76 mm"}, "stop", "tyres.cut"),
        ({"tear": "25 mm"}, "in", "tyres.tear"),
        ({"tear": "1 in"}, "stop", "tyres.tear"),
        ({"hole": "25.0 mm"}, "in", "tyres.hole"),
        ({"hole": "25.1 mm"}, "stop", "tyres.hole"),
        ({"cut": "40 mm", "tear": "26 mm", "hole": "0 mm"}, "stop", "tyres.tear"),
        ({"cut": "40 mm", "tear": "10 mm", "hole": "0 mm"}, "in", "tyres.cut"),
    ],
)
def test_damage_of_a_foam_filled_tyre(said: dict[str, str], verdict: str, rule: str) -> None:
    found = gauge(FOAM, **said)
    assert (found.verdict, found.rule) == (verdict, rule)
    assert set(verdicts(FOAM, **said)) == {verdict}


def test_no_damage_measured_is_asked_for() -> None:
    assert refused(FOAM) == [("measure-missing", "cut")]
