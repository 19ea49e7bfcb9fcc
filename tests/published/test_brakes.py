"""Brakes, held to printed figures and worked examples. Tolerance: half a unit of the last printed digit."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.gauging import gauge
from dipmark.derive.condition.brakes import MEASUREMENTS
from dipmark.derive.judging import Measurement

STOP, FULL, DISTANCE, SPEED, HOLD, EFFORT = MEASUREMENTS

ROWS = [
    # MIL-STD-1365C: 20 mph in 30 ft; own arithmetic
    (STOP, {"speed": "20 mph", "distance": "30 ft"}, "4.37", "0.005"),
    # 25 % drag from 13.4 km/h; own arithmetic
    (DISTANCE, {"speed": "13.4 km/h", "drag": "25"}, "2.83", "0.005"),
    # UN Regulation No. 13, formula: 20 km/h, 4.0 m between 16 and 2 km/h; own arithmetic
    (FULL, {"speed": "20 km/h", "distance": "4.0 m"}, "2.43", "0.005"),
    # a speed timed over 5 m is 18/t km/h, as DIN 15161 is quoted: 1.5 s
    (SPEED, {"length": "5 m", "time": "1.5 s"}, "12.0", "0.05"),
]


@pytest.mark.parametrize(("measurement", "said", "printed", "half"), ROWS, ids=["stop", "distance", "full", "speed"])
def test_worked_examples(measurement: Measurement, said: dict[str, str], printed: str, half: str) -> None:
    value = gauge(measurement, **said).value
    assert isinstance(value, Decimal)
    assert abs(value - Decimal(printed)) <= Decimal(half)


def test_as_a_share_of_free_fall() -> None:
    """*Source*: MIL-STD-1365C figures, own arithmetic: 0.446 g."""
    share = gauge(STOP, speed="20 mph", distance="30 ft").more["free-fall-percent"]
    assert abs(Decimal(share) - Decimal("44.6")) <= Decimal("0.05")


@pytest.mark.parametrize(("grade", "degrees"), [("20", "11.31"), ("15", "8.53")])
def test_slopes_in_degrees(grade: str, degrees: str) -> None:
    """*Source*: MIL-T-52864D 20 %, TM 10-3930-671-24 15 %; own arithmetic."""
    assert f"on {grade} %, {degrees} deg" in gauge(HOLD, grade=grade, held="yes").because


def test_the_parking_brake_holds_on_fifteen_percent() -> None:
    """*Source*: TM 10-3930-671-24: rated load on a 15 % grade."""
    assert gauge(HOLD, grade="15", held="yes").verdict == "in"
    assert gauge(HOLD, grade="15", held="no").verdict == "stop"


EFFORTS = [("pedal", 450), ("dead-man-pedal", 200), ("hand-lever", 300), ("handgrip", 150), ("tiller", 150)]


@pytest.mark.parametrize(("control", "newton"), EFFORTS)
def test_the_standard_for_new_trucks_is_no_limit_of_wear(control: str, newton: int) -> None:
    """*Source*: ISO 6292:2020, 4.5; it applies to newly made trucks only."""
    found = gauge(EFFORT, force=f"{2 * newton} N", control=control)
    assert (found.verdict, found.more) == (None, {"when-newly-made": Decimal(newton)})
