"""The coolant against what is printed: ASHRAE, Melinder, Lange's Handbook, an engine maker, a maker of caps.

The tables by ASHRAE and Melinder are shipped as an open library computes them, so that library only shows that they
were copied rightly and are straight enough between their rows; the engine maker, the handbook and a page of process
data are the second opinions. Half a unit of the last printed digit is allowed; the sources stand beside the rows.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from CoolProp.CoolProp import PropsSI

from derive.condition.gauging import SUBJECTS, gauge
from dipmark.derive.condition.coolant import MEASUREMENTS, freezes
from dipmark.facts.units import convert
from published.printed import close

COOLANT, BOILING, REFILL = MEASUREMENTS
ROWS = SUBJECTS["coolant"].rows
FLUIDS = {"ethylene-volume": "AEG", "ethylene-mass": "MEG", "propylene-volume": "APG", "propylene-mass": "MPG"}


def point(table: str, percent: int | str) -> Fraction:
    return freezes(Fraction(percent), ROWS[table])


@pytest.mark.parametrize(
    ("table", "percent", "printed"),
    [
        # CoolProp by volume
        ("ethylene-volume", 30, "-15.7"),
        ("ethylene-volume", 40, "-24.8"),
        ("ethylene-volume", 50, "-37.1"),
        ("ethylene-volume", 60, "-52.0"),
        ("propylene-volume", 30, "-13.1"),
        ("propylene-volume", 40, "-21.5"),
        ("propylene-volume", 50, "-33.7"),
        ("propylene-volume", 60, "-51.1"),
        # an engine maker (secondary)
        ("ethylene-volume-engine", 40, "-24"),
        ("ethylene-volume-engine", 50, "-37"),
        ("ethylene-volume-engine", 60, "-52"),
        ("propylene-volume-engine", 40, "-21"),
        ("propylene-volume-engine", 50, "-33"),
        ("propylene-volume-engine", 60, "-49"),
        # Lange's Handbook of Chemistry, table 5.13 (seen)
        ("propylene-volume-handbook", 5, "-1.1"),
        ("propylene-volume-handbook", 10, "-2.2"),
        ("propylene-volume-handbook", 15, "-3.9"),
        ("propylene-volume-handbook", 20, "-6.7"),
        ("propylene-volume-handbook", 25, "-8.9"),
        ("propylene-volume-handbook", 30, "-12.8"),
        ("propylene-volume-handbook", 35, "-16.1"),
        ("propylene-volume-handbook", 40, "-20.6"),
        ("propylene-volume-handbook", 45, "-26.7"),
        ("propylene-volume-handbook", 50, "-33.3"),
        # CoolProp by mass
        ("ethylene-mass", 10, "-3.4"),
        ("ethylene-mass", 20, "-7.9"),
        ("ethylene-mass", 30, "-14.6"),
        ("ethylene-mass", 50, "-36.0"),
        # the same, and a page of process data (seen)
        ("ethylene-mass", 35, "-18.8"),
        ("ethylene-mass", 40, "-23.8"),
        ("ethylene-mass", 60, "-51.2"),
    ],
)
def test_freezing_points(table: str, percent: int, printed: str) -> None:
    assert close(point(table, percent), printed)


@pytest.mark.parametrize("table", FLUIDS)
def test_between_its_rows_a_table_is_within_three_tenths_of_a_degree_of_the_curve(table: str) -> None:
    for percent in range(10, 61):
        kelvin = PropsSI("T_freeze", "T", 300, "P", 101325, f"INCOMP::{FLUIDS[table]}[{percent / 100}]")
        assert abs(float(point(table, percent)) - (kelvin - 273.15)) < 0.3


def test_tables_by_volume_differ_by_at_most_two_point_one_degrees_where_both_are_printed() -> None:
    apart = {
        (kind, percent): abs(point(f"{kind}-volume", percent) - point(f"{kind}-volume-engine", percent))
        for kind in ("ethylene", "propylene")
        for percent in (40, 50, 60)
    }
    assert max(apart.values()) == apart["propylene", 60] == Fraction("2.1")


def test_mass_and_volume_are_not_the_same() -> None:
    # 40 %: -23.8 by mass, -24.8 by volume
    said = {"glycol": "ethylene", "percent": "40"}
    assert close(gauge(COOLANT, **said, by="mass").value, "-23.8")
    assert close(gauge(COOLANT, **said, by="volume").value, "-24.8")


def test_a_table_of_first_slush_is_not_reproduced() -> None:
    # makers' tables of the first slush print -46 or -40 for 50 %: the answer names its table
    found = gauge(COOLANT, glycol="ethylene", by="volume", percent="50")
    assert close(found.value, "-37.1")
    assert [found.low, found.high] == [found.value, -37]
    assert "ASHRAE" in found.because
    assert all(abs(Fraction(str(found.value)) - slush) > Fraction("2.5") for slush in (-46, -40))


@pytest.mark.parametrize(
    ("percent", "cap", "fahrenheit"),
    [
        # a maker's page on caps (seen): half and half 223 °F, under 15 psi 268 °F; water 212 and 257 °F
        ("50", "0psi", "223"),
        ("50", "15psi", "268"),
        ("0", "0psi", "212"),
        ("0", "15psi", "257"),
    ],
)
def test_boiling_by_the_rule_of_3_f_for_each_psi(percent: str, cap: str, fahrenheit: str) -> None:
    found = gauge(BOILING, glycol="ethylene", percent=percent, cap=cap)
    assert abs(convert(Fraction(str(found.value)), "C", "F") - Fraction(fahrenheit)) <= Fraction(1, 2)


@pytest.mark.parametrize("psi", range(31))
def test_under_a_cap_the_steam_tables_are_followed_where_it_matters(psi: int) -> None:
    # the rule of 3 °F reads high: water under 15 psi boils at 249.7 °F (IAPWS), not at 257
    found = gauge(BOILING, glycol="ethylene", percent="0", cap=f"{psi}psi")
    celsius = PropsSI("T", "P", 101325 + psi * 6894.757, "Q", 0, "Water") - 273.15
    assert found.low is not None
    assert -0.3 < float(found.low) - celsius < 0.05
    assert found.high is not None
    assert found.high >= found.low


def test_drain_and_refill() -> None:
    # own example: 16 l at 35 %, wanted 50 %: 3.69 l neat
    found = gauge(REFILL, system="16l", now="35%", wanted="50%")
    assert close(found.value, "3.69")
    assert found.more["refill"] == "neat glycol"
