"""Brakes: no verdict where no limit of wear exists; what a slope says and what it does not."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from derive.condition.converted import verdicts
from derive.condition.gauging import gauge, refused
from dipmark.derive.condition.brakes import CONTROLS, MEASUREMENTS, NO_LIMIT, full, slope, slowed
from dipmark.derive.judging import Measurement

STOP, FULL, DISTANCE, SPEED, HOLD, EFFORT = MEASUREMENTS

UNJUDGED = [
    (STOP, {"speed": "10 km/h", "distance": "2 m"}),
    (FULL, {"speed": "10 km/h", "distance": "2 m"}),
    (DISTANCE, {"speed": "10 km/h", "drag": "10"}),
    (SPEED, {"length": "5 m", "time": "2 s"}),
    (EFFORT, {"force": "900 N", "control": "pedal"}),
]


@pytest.mark.parametrize(("measurement", "said"), UNJUDGED, ids=lambda each: getattr(each, "name", ""))
def test_where_no_limit_exists_there_is_no_verdict(measurement: Measurement, said: dict[str, str]) -> None:
    found = gauge(measurement, **said)
    assert (found.subject, found.verdict, found.limit, found.rule) == (measurement.name, None, None, None)
    assert found.notes == (NO_LIMIT,)
    assert set(verdicts(measurement, **said)) == {None}


def test_deceleration_from_a_stopping_distance() -> None:
    found = gauge(STOP, speed="18 km/h", distance="5 m")
    assert (found.value, found.unit) == (Decimal("2.5"), "m/s2")
    assert found.more == {"free-fall-percent": Decimal("25.49")}
    assert slowed(Fraction(36), Fraction(10)) == 5


def test_full_deceleration_between_its_two_speeds() -> None:
    found = gauge(FULL, speed="20 km/h", distance="4.0 m")
    assert found.because == "4 m between 80 and 10 % of 20 km/h is 2.431 m/s2."
    assert found.source == "un-r13"
    assert full(Fraction(36), Fraction(10), Fraction(0), Fraction(100)) == slowed(Fraction(36), Fraction(10))


def test_reaction_adds_its_way() -> None:
    plainly, late = (
        gauge(DISTANCE, speed="18 km/h", drag="25"),
        gauge(DISTANCE, speed="18 km/h", drag="25", reaction="1 s"),
    )
    assert isinstance(plainly.value, Decimal)
    assert isinstance(late.value, Decimal)
    assert late.value - plainly.value == 5
    assert gauge(DISTANCE, speed="18 km/h", drag="25", reaction="0 s").value == plainly.value


@pytest.mark.parametrize(
    ("grade", "held", "verdict"),
    [
        ("14.9 %", "no", "stop"),
        ("15.0 %", "no", "stop"),
        ("15.1 %", "no", None),
        ("20 %", "no", None),
        ("14.9 %", "yes", None),
        ("15.0 %", "yes", "in"),
        ("15.1 %", "yes", "in"),
        ("150000 ppm", "yes", "in"),
        ("149999 ppm", "yes", None),
    ],
)
def test_holding_a_gentler_slope_and_slipping_on_a_steeper_one_say_nothing(
    grade: str, held: str, verdict: str | None
) -> None:
    found = gauge(HOLD, grade=grade, held=held)
    assert (found.verdict, found.rule is None, len(found.notes)) == (verdict, verdict is None, int(verdict is None))
    assert set(verdicts(HOLD, grade=grade, held=held)) == {verdict}


def test_a_slope_in_degrees() -> None:
    assert (slope(Fraction(100)), slope(Fraction(0))) == (Decimal(45), Decimal(0))
    assert "8.53 deg" in gauge(HOLD, grade="15", held="yes").because


@pytest.mark.parametrize("control", CONTROLS)
def test_effort_beside_that_of_a_new_truck(control: str) -> None:
    found = gauge(EFFORT, force="10 lbf", control=control)
    assert (found.unit, found.source) == ("N", "iso-6292")
    assert found.value == Decimal("44.482216")


@pytest.mark.parametrize(
    ("measurement", "said", "code"),
    [
        (STOP, {"speed": "0 km/h", "distance": "5 m"}, "measure-nonsense"),
        (STOP, {"speed": "18 km/h", "distance": "-5 m"}, "measure-nonsense"),
        (STOP, {"speed": "180 km/h", "distance": "5 m"}, "measure-nonsense"),
        (STOP, {"speed": "18 km/h"}, "measure-missing"),
        (DISTANCE, {"speed": "18 km/h", "drag": "0"}, "measure-nonsense"),
        (HOLD, {"grade": "15 deg", "held": "yes"}, "quantity-unit"),
        (HOLD, {"grade": "15", "held": "nearly"}, "measure-word"),
        (EFFORT, {"force": "inf N", "control": "pedal"}, "quantity-unreadable"),
    ],
)
def test_nonsense_is_refused(measurement: Measurement, said: dict[str, str], code: str) -> None:
    assert [found for found, _ in refused(measurement, **said)] == [code]
