"""Viscosity against what is printed: ASTM D2270 and D341 examples, SAE J300, a chart of fuel dilution, a library.

Half a unit of the last printed digit is allowed; the sources stand beside the rows.
"""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from chemicals.viscosity import VI_Hs, VI_Ls, VI_nus
from chemicals.viscosity import viscosity_index as second_opinion

from derive.condition.gauging import SUBJECTS, gauge
from dipmark.derive.condition.viscosity import (
    MEASUREMENTS,
    blending_number,
    fuel_share,
    references,
    straightened,
    viscosity_at,
    viscosity_index,
)

INDEX, VISCOSITY, GRADE, DILUTION = MEASUREMENTS
TABLES = SUBJECTS["viscosity"].rows
REFERENCES = TABLES["index"]


def close(value: Decimal | Fraction | str | None, printed: str) -> bool:
    """Whether a value is the printed one, to half a unit of its last digit."""
    places = len(printed.partition(".")[2])
    return abs(Fraction(str(value)) - Fraction(printed)) <= Fraction(1, 2 * 10**places)


@pytest.mark.parametrize(
    ("at40", "at100", "printed"),
    [
        ("73.30", "8.86", "92"),  # ASTM D2270, example of procedure A
        ("22.83", "5.05", "156"),  # ASTM D2270, example of procedure B
    ],
)
def test_viscosity_index(at40: str, at100: str, printed: str) -> None:
    found = gauge(INDEX, at40=at40, at100=at100)
    assert (found.value, found.verdict, found.unit) == (Decimal(printed), None, None)
    # second opinion: chemicals 1.5 (MIT), in m²/s
    assert second_opinion(float(at40) * 1e-6, float(at100) * 1e-6, rounding=True) == int(printed)


def test_l_and_h_of_procedure_a() -> None:
    # ASTM D2270, example of procedure A: L 119.94, H 69.48, index 92.43 before rounding
    low, high = references(Fraction("8.86"), REFERENCES)
    assert close(low, "119.94")
    assert close(high, "69.48")
    assert close(viscosity_index(Fraction("73.30"), Fraction("8.86"), REFERENCES), "92.43")


def test_h_of_procedure_b_is_28_975_and_not_the_28_97_of_the_print() -> None:
    # ASTM D2270 prints H 28.97, cut off; its table gives 28.975, so 156.42 for 156.37. The whole numbers agree.
    _, high = references(Fraction("5.05"), REFERENCES)
    assert high == Fraction("28.975")
    raw = viscosity_index(Fraction("22.83"), Fraction("5.05"), REFERENCES)
    assert close(raw, "156.42")
    assert not close(raw, "156.37")


def test_the_table_is_that_of_the_library() -> None:
    # chemicals 1.5 (MIT): D2270's table of 311 rows
    assert [float(one) for one in REFERENCES.column("at100")] == VI_nus
    assert [float(one) for one in REFERENCES.column("L")] == VI_Ls
    assert [float(one) for one in REFERENCES.column("H")] == VI_Hs


@pytest.mark.parametrize(
    "at100", ["2.00", "2.05", "3.33", "4.10", "9.99", "18.7", "47.25", "69.9", "70.1", "83", "250"]
)
@pytest.mark.parametrize("thicker", ["1.9", "3", "6", "9", "14"])
def test_index_agrees_with_the_library(at100: str, thicker: str) -> None:
    # chemicals 1.5 (MIT), before rounding
    at40 = Fraction(at100) * Fraction(thicker)
    ours = viscosity_index(at40, Fraction(at100), REFERENCES)
    theirs = second_opinion(float(at40) * 1e-6, float(at100) * 1e-6)
    assert theirs is not None
    assert math.isclose(ours, theirs, rel_tol=1e-9, abs_tol=1e-9)


def test_viscosity_at_80_degrees() -> None:
    # a published worked sheet on D341: 32 cSt at 40 °C and 5.4 at 100 °C: 8.5 at 80 °C
    found = gauge(VISCOSITY, point=("32@40C", "5.4@100C"), at="80C")
    assert close(found.value, "8.5")
    assert (found.unit, found.verdict, found.notes) == ("cSt", None, ())
    # it prints A 9.5259 and B 3.7449, with 273 for 273.15: not reproduced
    assert not close(found.more["A"], "9.5259")
    assert not close(found.more["B"], "3.7449")


@pytest.mark.parametrize("viscosity", ["0.3", "0.5", "0.8", "1", "1.5", "1.99", "2", "3", "10", "500", "100000"])
def test_backwards_as_by_the_formula_of_d341(viscosity: str) -> None:
    # D341, as a page quotes it, approximate, with z = Z - 0.7: v = z - exp(-0.7487 - 3.295z + 0.6119z² - 0.3193z³)
    line = straightened(Fraction(viscosity))
    over = 10**10 ** float(line) - 0.7
    approximate = over - math.exp(max(-700, -0.7487 - 3.295 * over + 0.6119 * over**2 - 0.3193 * over**3))
    assert abs(viscosity_at(line) / Fraction(viscosity) - 1) < Fraction(1, 10**20)
    assert math.isclose(approximate, float(viscosity), rel_tol=0.02)


@pytest.mark.parametrize(
    ("number", "at100", "winter", "in_it"),
    [
        # SAE J300 (2015, 2021), as reprinted: the ends of a grade, the lower belongs to it
        ("used 15W-40", "12.5", "15W-40", True),
        ("used 15W-40", "12.49", "15W-40", False),
        ("used 15W-40", "16.29", "15W-40", True),
        ("used 15W-40", "16.3", "15W-40", False),
        ("30", "9.3", "30", True),
        ("30", "9.29", "30", False),
        ("30", "12.49", "30", True),
        ("30", "12.5", "30", False),
        ("20 from 6.9, not from the 5.6 of a copy of 1999", "6.89", "20", False),
        ("20", "6.9", "20", True),
        ("60", "26.09", "60", True),
        ("60", "26.1", "60", False),
        ("10W", "4.1", "10W", True),
        ("10W", "4.09", "10W", False),
        ("25W, no upper end", "300", "25W", True),
    ],
)
def test_ends_of_the_grades(number: str, at100: str, winter: str, in_it: bool) -> None:
    found = gauge(GRADE, at100=at100, grade=winter)
    assert found.verdict == ("in" if in_it else "watch")


@pytest.mark.parametrize(
    ("at100", "grades"),
    # SAE J300: grades 8, 12, 16 and 20 overlap
    [("5.0", "8, 12"), ("6.1", "12, 16"), ("7.0", "12, 16, 20"), ("8.1", "16, 20"), ("8.2", "20"), ("3.99", "")],
)
def test_low_grades_overlap(at100: str, grades: str) -> None:
    found = gauge(GRADE, at100=at100)
    assert found.more["grades"] == grades
    assert any("overlap" in note for note in found.notes) is ("," in grades)


def test_tables_of_the_grades() -> None:
    # SAE J300: 10W cranks at -25 °C, not at the -30 of one copy; 40 is 3.5 with 0W to 10W, else 3.7
    winter, grades = TABLES["winter"], TABLES["grades"]
    assert winter.rows[2] == tuple(map(Decimal, ("10", "7000", "-25", "-30", "4.1")))
    assert grades.rows[5] == tuple(map(Decimal, ("40", "12.5", "16.3", "3.5", "3.7")))
    # pumping is asked five degrees below cranking, in every row
    assert all(row[2] - row[3] == 5 for row in winter.rows)


def test_fuel_in_the_oil_is_a_band_with_the_published_chart_in_it() -> None:
    # a published chart: new 160, used 137, fuel 3.0 cSt at 40 °C: 3 %; own figures 2.28, 2.31 and 3.90
    found = gauge(DILUTION, new="160", used="137", fuel="3.0")
    assert found.low is not None
    assert found.high is not None
    assert found.low < 3 < found.high
    assert (found.value, found.unit) == (None, "%")
    shares = fuel_share(Fraction(160), Fraction(137), Fraction(3))
    assert close(shares["walther"], "2.28")
    assert close(shares["refutas"], "2.31")
    assert close(shares["logarithmic"], "3.90")


def test_blending_number_is_12_490_and_not_the_12_492_of_the_print() -> None:
    # Refutas, a page's example: 2.234 cSt
    assert close(blending_number(Fraction("2.234")), "12.490")
    assert not close(blending_number(Fraction("2.234")), "12.492")
