"""Leaks, held to the classes of army manuals and to printed sums. Tolerance: half a unit of the last printed digit."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from derive.condition.gauging import SUBJECTS, gauge, refused
from dipmark.derive.condition.leaks import MEASUREMENTS, flow
from dipmark.facts.units import convert

(LEAK,) = MEASUREMENTS

YEAR = 24 * 365
PINT = Fraction("0.473176473")
"""Litres; an eighth of a US gallon."""

CUBIC_INCH = Fraction("16.387064")
"""Millilitres."""

BY_PAGE = CUBIC_INCH * Fraction("0.002")
"""Millilitres of a drop by one page: 0.002 cubic inches, 0.0328 ml."""


def gallons(drops: int, ml: Fraction) -> Fraction:
    """Gallons in a year from drops a minute of so many millilitres."""
    return convert(flow(Fraction(drops), 1 / ml) * YEAR, "ml", "gal")


@pytest.mark.parametrize(
    ("seen", "mark", "verdict"), [("wet", "I", "watch"), ("drops", "II", "watch"), ("falling", "III", "stop")]
)
def test_classes(seen: str, mark: str, verdict: str) -> None:
    """*Source*: TM 10-6640-233-10, TM 5-4310-382-13 p. 19: I and II allowed; III, TM 1-1730-232-13&P, unserviceable."""
    found = gauge(LEAK, fluid="engine-oil", seen=seen, part="elsewhere")
    assert (found.more["class"], found.verdict) == (mark, verdict)


@pytest.mark.parametrize("seen", ["wet", "drops", "falling"])
def test_fuel_is_excluded_from_classes(seen: str) -> None:
    """*Source*: TM 10-4330-232-12&P p. 2-5; 29 CFR 1910.178(p)(4)."""
    assert gauge(LEAK, fluid="diesel", seen=seen).verdict == "now"
    assert SUBJECTS["leaks"].limits["fuel"].legal


def test_ten_drops_a_minute() -> None:
    """*Source*: own arithmetic at 20 drops to the millilitre: 30 ml/h, 0.72 l a day, 262.8 l a year."""
    found = gauge(LEAK, fluid="engine-oil", drops_per_minute="10", drops_per_ml="20")
    assert found.value == Decimal(30)
    assert found.more["l-per-day"] == Decimal("0.72")
    assert found.more["l-per-year"] == Decimal("262.8")
    assert found.more["ml-per-drop"] == Decimal("0.05")


def test_the_sizes_of_a_drop() -> None:
    """*Source*: 0.002 in³; 14,000 drops to the pint; 15 to the millilitre; each as printed in ml."""
    assert abs(BY_PAGE - Fraction("0.0328")) <= Fraction("0.00005")
    assert abs(PINT * 1000 / 14000 - Fraction("0.0338")) <= Fraction("0.00005")
    assert abs(Fraction(1, 15) - Fraction("0.0667")) <= Fraction("0.00005")
    fewest, usual, most = SUBJECTS["leaks"].rows["drops"].rows[0]
    assert (fewest, usual) == (Decimal(15), Decimal(20))
    assert abs(1 / Fraction(most) - BY_PAGE) <= Fraction("0.00005")


def test_ten_drops_a_minute_are_a_pint_a_day() -> None:
    """*Source*: the page of 14,115 drops to the pint prints 10 a minute as 1 pint a day: 14,400 drops, 1.02 pints."""
    litres = flow(Fraction(10), 14115 / (PINT * 1000)) * 24 / 1000
    assert round(litres / PINT, 2) == Fraction("1.02")


def test_a_drop_a_second_for_a_year_by_the_size_of_the_drop() -> None:
    """*Source*: two pages print 420 and 425 gal beside 0.002 in³ to the drop: that makes 273; 0.05 ml makes 417."""
    assert round(gallons(60, BY_PAGE)) == 273
    assert abs(gallons(60, BY_PAGE) - 420) > 100  # not reproduced
    assert abs(gallons(60, Fraction(1, 20)) - 420) <= 5
    assert round(gallons(60, Fraction(1, 20)) / gallons(60, BY_PAGE), 2) == Fraction("1.53")


def test_what_a_drop_a_second_costs() -> None:
    """*Source*: 14,000 drops to the pint, $3.50 a gallon: printed $985 a year, recomputed 985.5."""
    cost = gallons(60, PINT * 1000 / 14000) * Fraction("3.5")
    assert abs(cost - Fraction("985.5")) <= Fraction("0.05")


def test_half_a_millilitre_to_the_drop_is_not_taken() -> None:
    """*Source*: one page says half a millilitre: ten times too much."""
    assert refused(LEAK, fluid="engine-oil", drops_per_minute="60", drops_per_ml="2") == [
        ("measure-nonsense", "drops-per-ml")
    ]
