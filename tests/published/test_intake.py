"""Restriction of the air filter, held to printed figures."""

from __future__ import annotations

from fractions import Fraction

from derive.condition.gauging import gauge
from dipmark.derive.condition.intake import MEASUREMENTS
from dipmark.facts.units import convert

(FILTER,) = MEASUREMENTS


def test_twenty_five_inches_of_water() -> None:
    """*Source*: TM 5-3820-256-24-5, p. 69: 25 inH2O (6.2 kPa) for a turbocharged engine; 6.23 kPa recomputed."""
    assert abs(convert(Fraction(25), "inH2O", "kPa") - Fraction("6.23")) <= Fraction("0.005")
    assert gauge(FILTER, restriction="25 inH2O", engine="turbo").verdict == "repair-by"
    assert gauge(FILTER, restriction="24 inH2O", engine="turbo").verdict == "in"


def test_petrol_up_to_twenty() -> None:
    """*Source*: a maker's page: petrol at most 20, diesel 20 to 25, of which the stricter stands."""
    assert gauge(FILTER, restriction="20 inH2O", engine="petrol").verdict == "in"
    assert gauge(FILTER, restriction="20 inH2O", engine="diesel").verdict == "repair-by"


def test_figures_by_engine_stand_in_its_book() -> None:
    """*Source*: TM 5-3810-307-24-1-2: 25, 20 or 30 inH2O by engine."""
    for book in (25, 20, 30):
        said = {"engine": "turbo", "book": f"{book} inH2O"}
        assert gauge(FILTER, restriction=f"{book - 1} inH2O", **said).verdict == "in"
        assert gauge(FILTER, restriction=f"{book} inH2O", **said).verdict == "repair-by"
