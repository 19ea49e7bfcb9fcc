"""Engine oil against what is printed: limits as seen, the blotter test, oil used against fuel.

Half a unit of the last printed digit is allowed; the sources stand beside the rows.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.gauging import SUBJECTS, gauge
from dipmark.derive.condition.oil import MEASUREMENTS

SHEET, USE, BLOTTER = MEASUREMENTS
OIL = SUBJECTS["oil"]


@pytest.mark.parametrize(
    ("result", "inside", "outside"),
    [
        # a handbook on engine oil, 2004: iron over 100, chromium 10, copper 20, tin 10, aluminium 20, lead 25,
        # boron 20, silicon 20 ppm; a road diesel maker says 200 and 30
        ("iron", "100 ppm", "101 ppm"),
        ("chromium", "10 ppm", "10.1 ppm"),
        ("copper", "20 ppm", "21 ppm"),
        ("tin", "10 ppm", "11 ppm"),
        ("aluminium", "20 ppm", "21 ppm"),
        ("lead", "25 ppm", "26 ppm"),
        ("boron", "20 ppm", "21 ppm"),
        ("silicon", "20 ppm", "21 ppm"),
        # a road diesel maker: sodium 100, potassium 150
        ("sodium", "100 ppm", "101 ppm"),
        ("potassium", "150 ppm", "151 ppm"),
        # a diesel engine maker: glycol to 100 mg/kg, soot 3.0 to 3.5 %, flash point from 190 °C open, 140 °C closed
        ("glycol", "100 mg/kg", "101 mg/kg"),
        ("soot", "2.9 %", "3.0 %"),
        ("flash-open", "190 C", "189 C"),
        ("flash-closed", "140 C", "139 C"),
        # a laboratory: water to 0.1 %; others 0.2 %
        ("water", "0.10 %", "0.11 %"),
        # a test equipment maker: from 2.5 % of fuel act; a handbook says over 5 %
        ("fuel-dilution", "2.4 %", "2.5 %"),
    ],
)
def test_the_strictest_of_the_limits_seen(result: str, inside: str, outside: str) -> None:
    assert gauge(SHEET, **{result: inside}).verdict == "in"
    assert gauge(SHEET, **{result: outside}).verdict == "watch"


@pytest.mark.parametrize(
    ("result", "new", "value", "verdict"),
    [
        # a laboratory: -10 and +20 % caution; a handbook of 2004: 25 % at 40 °C
        ("viscosity-40", "100 cSt", "119 cSt", "in"),
        ("viscosity-40", "100 cSt", "120 cSt", "watch"),
        ("viscosity-40", "100 cSt", "91 cSt", "in"),
        ("viscosity-40", "100 cSt", "90 cSt", "watch"),
        # a handbook of 2004: 15 % at 100 °C
        ("viscosity-100", "14.00 cSt", "16.09 cSt", "in"),
        ("viscosity-100", "14.00 cSt", "16.10 cSt", "watch"),
        # a laboratory: half of the base number used up; a diesel engine maker: under half
        ("base-number", "10 mg/g", "5.1 mg/g", "in"),
        ("base-number", "10 mg/g", "5.0 mg/g", "watch"),
    ],
)
def test_limits_that_are_a_change_from_new(result: str, new: str, value: str, verdict: str) -> None:
    assert gauge(SHEET, **{result: value, f"{result}-new": new}).verdict == verdict


def test_no_limit_is_more_than_a_watch_for_no_list_holds_for_every_engine() -> None:
    # a trade magazine on lubrication, May 2012: no uniform list exists
    assert {limit.verdict for limit in OIL.limits.values()} == {"watch"}


def test_oil_used_against_fuel() -> None:
    # own example: 1.2 l in 48 h is 0.025 l/h; at 4.0 l/h of fuel 0.625 %, over the 0.3 and 0.5 % called acceptable
    found = gauge(USE, topped_up="1.2 l", hours="48 h", fuel="4.0 l/h")
    assert (found.value, found.unit) == (Decimal("0.025"), "l/h")
    assert found.more["percent-of-fuel"] == Decimal("0.625")
    assert found.verdict == "watch"


@pytest.mark.parametrize(
    ("spot", "verdict", "word"),
    [
        # a trade magazine on lubrication: uniform is good; what the others say
        ("uniform", "in", "uniform"),
        ("black-centre", "watch", "soot"),
        ("brown-ring", "watch", "oxidised"),
        ("halo", "watch", "fuel"),
        ("jagged", "watch", "severe"),
    ],
)
def test_a_drop_on_paper(spot: str, verdict: str, word: str) -> None:
    found = gauge(BLOTTER, spot=spot, after="24 h")
    assert found.verdict == verdict
    assert word in found.because
