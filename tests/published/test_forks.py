"""Fork arms, held to printed limits and worked examples. Tolerance: half a unit of the last printed digit."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from derive.condition.gauging import gauge
from dipmark.derive.condition.forks import MEASUREMENTS, strength

HEEL, _, ANGLE, STRAIGHT, TIPS, _ = MEASUREMENTS


@pytest.mark.parametrize(("new", "out"), [("40", "36.0"), ("50", "45.0")])
def test_ten_percent_worn_is_out(new: str, out: str) -> None:
    """*Source*: a maker's page that prints 36.0 and 45.0 mm. That the edge itself is out is a project rule."""
    assert gauge(HEEL, new=f"{new} mm", now=f"{out} mm").verdict == "stop"
    assert gauge(HEEL, new=f"{new} mm", now=f"{Decimal(out) + Decimal('0.1')} mm").verdict == "in"


@pytest.mark.parametrize(
    ("now", "percent", "verdict"),
    [("36.2", "90.5", "in"), ("35.9", "89.75", "stop")],
)
def test_worked_examples_of_heel(now: str, percent: str, verdict: str) -> None:
    """*Source*: own arithmetic on ISO 5057:1993 as restated."""
    found = gauge(HEEL, new="40 mm", now=f"{now} mm")
    assert (found.value, found.verdict) == (Decimal(percent), verdict)


@pytest.mark.parametrize(
    ("now", "new", "percent", "half"),
    [("36", "40", "81", "0.5"), ("32", "40", "64", "0.5"), ("28", "40", "49", "0.5"), ("35.9", "40", "80.6", "0.05")],
)
def test_strength_goes_with_the_square_of_thickness(now: str, new: str, percent: str, half: str) -> None:
    """*Source*: strength of materials, own arithmetic: 10, 20, 30 % worn leave 81, 64, 49 %; 35.9 of 40 mm 80.6 %."""
    assert abs(strength(Fraction(now), Fraction(new)) - Fraction(percent)) <= Fraction(half)


def test_ten_percent_worn_is_about_twenty_percent_less_strength() -> None:
    """*Source*: TM 10-3930-671-24, p. 314: 10 % worn is near 80 % of capacity ("about": to the nearest 5 %)."""
    assert abs(strength(Fraction(36), Fraction(40)) - 80) <= Fraction("2.5")


def test_the_printed_table_of_thicknesses_is_not_reproduced() -> None:
    """*Source*: TM 10-3930-671-24 prints 1.38 in for 10 % off 1.50 in, rounded to 1/16; 1.35 in is exact."""
    assert gauge(HEEL, new="1.50 in", now="1.38 in").verdict == "in"
    assert gauge(HEEL, new="1.50 in", now="1.38 in").value == Decimal(92)
    assert gauge(HEEL, new="1.50 in", now="1.35 in").verdict == "stop"
    # 20 %: printed 1.19 in, exact 1.20 in
    assert gauge(HEEL, new="1.50 in", now="1.20 in").value == Decimal(80)
    assert gauge(HEEL, new="1.50 in", now="1.19 in").value == Decimal("79.333333")


def test_ten_percent_worn_does_not_go_on_until_the_new_one_comes() -> None:
    """*Source*: the army manual lets it; ISO 5057 and B56.1 do not, and the stricter stands."""
    assert gauge(HEEL, new="1.50 in", now="1.34 in").verdict == "stop"


@pytest.mark.parametrize(
    ("difference", "percent", "verdict"),
    [("40", "3.33", "stop"), ("36.0", "3.00", "watch")],
)
def test_worked_examples_of_tips(difference: str, percent: str, verdict: str) -> None:
    """*Source*: own arithmetic on TM 10-3930-671-24, p. 314; 36.0 mm passes the limit and is watched as a setting."""
    found = gauge(TIPS, blade="1200 mm", difference=f"{difference} mm")
    assert isinstance(found.value, Decimal)
    assert abs(found.value - Decimal(percent)) <= Decimal("0.005")
    assert found.verdict == verdict


def test_three_percent_of_120_is_no_float() -> None:
    """3.6 of 120 is 3 % exactly; binary floats make it 3.0000000000000004 and wrongly out."""
    assert 3.6 / 120 * 100 > 3
    assert gauge(TIPS, blade="1.20 m", difference="3.6 cm").rule == "forks.tips-set"


def test_a_right_angle_may_open_to_ninety_three() -> None:
    """*Source*: ISO 5057:1993 as restated: more than 3 degrees from the original, that is more than 93."""
    assert [gauge(ANGLE, now=now, new="90").verdict for now in ("93", "94")] == ["in", "stop"]


def test_five_millimetres_on_a_metre() -> None:
    """*Source*: ISO 5057:1993 as restated: 0.5 % of the length."""
    assert [gauge(STRAIGHT, length="1 m", bow=bow).verdict for bow in ("5 mm", "6 mm")] == ["in", "stop"]
