"""Grease by weight, held to printed figures. Tolerance: half a unit of the last printed digit."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from derive.condition.gauging import SUBJECTS, gauge
from dipmark.derive.condition.grease import MEASUREMENTS, fill
from dipmark.facts.units import convert

STROKES, FILL = MEASUREMENTS
SHARE = SUBJECTS["grease"].rows["fill"].column("g-per-mm2")[0]
OUNCE = convert(Fraction(1), "lb", "g") / 16


def test_fill_of_a_bearing() -> None:
    """*Source*: a page on the grease of bearings: g = 0.005 D B; 62 by 16 mm, own arithmetic: 4.96 g."""
    assert gauge(FILL, outside="62 mm", width="16 mm").value == Decimal("4.96")


def test_its_formula_in_inches_is_the_same() -> None:
    """*Source*: the same page: oz = 0.114 D B; 0.114 x 28.35 / 645.16 is 0.00501."""
    metric = Fraction("0.114") * OUNCE / Fraction("645.16")
    assert abs(metric - Fraction("0.00501")) <= Fraction("0.000005")
    inches = Fraction("0.114") * 3 * 1 * OUNCE
    assert abs(fill(Fraction("76.2"), Fraction("25.4"), SHARE) / inches - 1) <= Fraction("0.005")


def test_a_tenth_of_it_is_not_reproduced() -> None:
    """*Source*: one page prints 0.0005."""
    value = gauge(FILL, outside="62 mm", width="16 mm").value
    assert isinstance(value, Decimal)
    assert value > 9 * Decimal("0.0005") * 62 * 16


@pytest.mark.parametrize(("gun", "grams"), [("lever", "1.28"), ("pistol", "0.86")])
def test_a_stroke_of_two_kinds_of_gun(gun: str, grams: str) -> None:
    """*Source*: a page that weighed them."""
    assert gauge(STROKES, strokes="1", gun=gun).value == Decimal(grams)


def test_a_stroke_of_any_gun() -> None:
    """*Source*: a page on greasing: 1 to 3 g."""
    found = gauge(STROKES, strokes="1")
    assert (found.low, found.high) == (Decimal(1), Decimal(3))
