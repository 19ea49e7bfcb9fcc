"""Tyres, held to printed tables and worked examples. Tolerance: half a unit of the last printed digit."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from derive.condition.gauging import SUBJECTS, gauge
from dipmark.derive.condition.tyres import MEASUREMENTS, pressure_at
from dipmark.facts.units import convert

PRESSURE, _, CUSHION, LINE, _ = MEASUREMENTS
AIR = SUBJECTS["tyres"].rows["air"].column("kPa")[0]


def psi(pressure: str, at: str, to: str, unit: str = "F") -> Fraction:
    """A pressure in psi brought from one temperature to another."""
    kelvin = Fraction("273.15") if unit == "K" else Fraction(0)
    cold, warm = ((convert(Fraction(each), "F", "C") if unit == "F" else Fraction(each) - kelvin) for each in (at, to))
    return convert(pressure_at(convert(Fraction(pressure), "psi", "kPa"), cold, warm, AIR), "kPa", "psi")


@pytest.mark.parametrize(("to", "printed"), [("50", "18.7"), ("130", "23.9")])
def test_twenty_psi_at_seventy_fahrenheit(to: str, printed: str) -> None:
    """*Source*: a printed table of pressure by temperature (absolute zero at -460 F there)."""
    assert abs(psi("20", "70", to) - Fraction(printed)) <= Fraction("0.05")


def test_the_worked_example_in_kilopascals() -> None:
    """*Source*: own arithmetic: 700 kPa at 20 C read 618.0 kPa at -10 C; so brought back they are the asked 700."""
    found = gauge(PRESSURE, asked="700kPa", asked_at="20C", now="618kPa", now_at="-10C")
    assert isinstance(found.value, Decimal)
    assert abs(Decimal(found.more["expected"]) - 618) <= Decimal("0.05")
    assert abs(found.value - 700) <= Decimal("0.05")
    assert found.verdict == "repair-by"  # 88 % of what is asked: inflated, the cold only explains it
    assert "88.3 %" in found.because


def test_the_gauge_figure_is_never_multiplied() -> None:
    """*Source*: a page that prints 30 psi x 327/284 = 34.5; with the air outside counted it is 36.8."""
    right = psi("30", "284", "327", "K")
    assert abs(right - Fraction("36.8")) <= Fraction("0.05")
    assert abs(right - Fraction("34.5")) > 2


@pytest.mark.parametrize(("pressure", "near"), [("35", True), ("100", False)])
def test_one_psi_for_ten_fahrenheit_holds_near_35_psi_only(pressure: str, near: bool) -> None:
    """*Source*: a rule of thumb in print."""
    assert (abs(psi(pressure, "70", "80") - int(pressure) - 1) < Fraction("0.1")) is near


def test_no_percentage_for_ten_fahrenheit_holds_for_all_tyres() -> None:
    """*Source*: a rule of thumb in print says 2 %; own arithmetic: 4.7 % at 10 psi, 2.7 at 35, 2.2 at 100."""
    grown = [(psi(each, "70", "80") / int(each) - 1) * 100 for each in ("10", "35", "100")]
    assert [round(each, 1) for each in grown] == [Fraction("4.7"), Fraction("2.7"), Fraction("2.2")]


@pytest.mark.parametrize(
    ("asked", "flat", "soft"), [("700 kPa", "560 kPa", "561 kPa"), ("100 psi", "80 psi", "81 psi")]
)
def test_eighty_percent_is_driven_flat(asked: str, flat: str, soft: str) -> None:
    """*Source*: 29 CFR 1910.177(f)(3): at or below 80 % it is deflated, taken off and looked at."""
    assert gauge(PRESSURE, asked=asked, now=flat).verdict == "now"
    assert gauge(PRESSURE, asked=asked, now=soft).verdict == "repair-by"
    assert SUBJECTS["tyres"].limits["flat"].legal


CUSHIONS = [("14", "12 1/2"), ("18", "16 1/2"), ("21", "19 1/2"), ("22", "20 1/2"), ("28", "26 1/2")]


@pytest.mark.parametrize(("new", "out"), CUSHIONS)
def test_press_on_tyres_by_their_table(new: str, out: str) -> None:
    """*Source*: a maker's table of diameters at which press-on tyres are renewed."""
    assert gauge(CUSHION, new=f"{new} in", now=f"{out} in").verdict == "stop"
    assert gauge(CUSHION, new=f"{new} in", now=f"{out.replace('1/2', '9/16')} in").verdict == "in"


def test_the_odd_row_of_that_table_is_not_reproduced() -> None:
    """*Source*: the same table prints 14 1/4 in for 16 in, 1 3/4 in off; by its own rule it is 14 1/2."""
    assert gauge(CUSHION, new="16 in", now="14 1/2 in").verdict == "stop"


def test_the_wear_line_is_the_limit() -> None:
    """*Source*: AS 2359.2-2013, clause 1.5.1, as AITA-016 restates it: worn to the 60J line."""
    assert gauge(LINE, left="0 mm").verdict == "repair-by"
    assert gauge(LINE, left="1 mm").verdict == "in"
