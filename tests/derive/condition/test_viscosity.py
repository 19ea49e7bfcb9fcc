"""Viscosity, grade and fuel: what is asked, what is refused, which side an edge falls on."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from derive.condition.gauging import SUBJECTS, gauge, refused
from dipmark.derive.condition.viscosity import MEASUREMENTS, bounds, straightened, viscosity_at

INDEX, VISCOSITY, GRADE, DILUTION = MEASUREMENTS
OIL = ("32@40C", "5.4@100C")


def test_at_the_oil_of_index_100_both_procedures_meet() -> None:
    # L and H of the table at 9 cSt: index 0 and 100
    low, high = (SUBJECTS["viscosity"].rows["index"].column(one) for one in ("L", "H"))
    row = SUBJECTS["viscosity"].rows["index"].column("at100").index(Fraction(9))
    assert gauge(INDEX, at40=str(float(low[row])), at100="9").value == 0
    assert gauge(INDEX, at40=str(float(high[row])), at100="9").value == 100


def test_seventy_is_looked_up_and_above_it_is_computed() -> None:
    assert gauge(INDEX, at40="1558", at100="70").more == {"L": Decimal(4905), "H": Decimal(1558)}
    assert gauge(INDEX, at40="1558", at100="70.1").more["H"] == Decimal("1561.204284")


@pytest.mark.parametrize(
    ("at40", "at100", "code", "field"),
    [
        ("8.86", "73.30", "viscosity-points", "at40"),
        ("8.86", "8.86", "viscosity-points", "at40"),
        ("5", "1.99", "measure-nonsense", "at100"),
        ("-3", "8", "measure-nonsense", "at40"),
        ("nan", "8", "quantity-unreadable", "at40"),
        ("73 mm", "8", "quantity-unit", "at40"),
    ],
)
def test_no_index(at40: str, at100: str, code: str, field: str) -> None:
    assert refused(INDEX, at40=at40, at100=at100) == [(code, field)]


def test_the_line_goes_through_its_points_whatever_their_order_and_unit() -> None:
    assert gauge(VISCOSITY, point=OIL, at="40C").value == 32
    assert gauge(VISCOSITY, point=OIL[::-1], at="212F").value == Decimal("5.4")
    fahrenheit = gauge(VISCOSITY, point=("32@104F", "5.4 mm²/s@212F"), at="176F")
    assert fahrenheit.value == gauge(VISCOSITY, point=OIL, at="80C").value


def test_outside_the_points_it_says_so() -> None:
    for inside in ("40C", "70C", "100C"):
        assert gauge(VISCOSITY, point=OIL, at=inside).notes == ()
    for outside in ("39.9C", "100.1C"):
        assert len(gauge(VISCOSITY, point=OIL, at=outside).notes) == 1


def test_warmer_is_thinner() -> None:
    values = [gauge(VISCOSITY, point=OIL, at=f"{at}C").value for at in range(-30, 240, 15)]
    assert values == sorted(values, reverse=True, key=lambda one: Fraction(str(one)))
    assert len(set(values)) == len(values)


def test_the_line_has_no_step_where_thin_liquids_begin() -> None:
    thin, thick = straightened(Fraction("1.999999")), straightened(Fraction("2.000001"))
    assert 0 < thick - thin < Fraction(1, 10**5)
    assert abs(viscosity_at(straightened(Fraction(2))) - 2) < Fraction(1, 10**20)


@pytest.mark.parametrize(
    "points",
    [
        ("32@40C",),
        (*OIL, "8.5@80C"),
        ("32@40C", "5.4@40C"),
        ("32@40C", "5.4@104F"),
        ("5.4@40C", "32@100C"),
        ("32@40C", "32@100C"),
    ],
)
def test_no_line(points: tuple[str, ...]) -> None:
    assert refused(VISCOSITY, point=points, at="80C") == [("viscosity-points", "point")]


@pytest.mark.parametrize(
    ("points", "at", "code", "field"),
    [
        (("32", "5.4@100C"), "80C", "measure-missing", "point"),
        (("0.2@40C", "5.4@100C"), "80C", "measure-nonsense", "point"),
        (OIL, "1800C", "measure-nonsense", "at"),
        (OIL, "80", "quantity-unit", "at"),
        # so steep a line that it leaves what D341 is made for, on either side
        (("1000@40C", "10@45C"), "-60C", "measure-nonsense", "at"),
        (("1000@40C", "10@45C"), "80C", "measure-nonsense", "at"),
    ],
)
def test_no_viscosity(points: tuple[str, ...], at: str, code: str, field: str) -> None:
    assert refused(VISCOSITY, point=points, at=at) == [(code, field)]


@pytest.mark.parametrize(
    ("grade", "ends"),
    [
        ("15W-40", ("12.5", "16.3")),
        ("15w40", ("12.5", "16.3")),
        ("SAE 15W-40", ("12.5", "16.3")),
        ("20W-20", ("6.9", "9.3")),
        ("25W-20", ("9.3", "9.3")),
        ("0W", ("3.8", None)),
        ("8", ("4.0", "6.1")),
        ("15W-45", None),
        ("35W-40", None),
        ("W", None),
        ("SAE ", None),
        ("gear oil", None),
    ],
)
def test_grades_as_they_stand_on_the_can(grade: str, ends: tuple[str, str | None] | None) -> None:
    expected = ends and (Fraction(ends[0]), None if ends[1] is None else Fraction(ends[1]))
    assert bounds(grade, SUBJECTS["viscosity"]) == expected


def test_out_of_its_grade_on_both_sides() -> None:
    thin, thick = (gauge(GRADE, at100=one, grade="15W-40") for one in ("12.0", "17.0"))
    assert (thin.verdict, thin.limit, thin.rule, thin.more["grades"]) == (
        "watch",
        Decimal("12.5"),
        "viscosity.grade",
        "30",
    )
    assert (thick.verdict, thick.limit, thick.more["grades"]) == ("watch", Decimal("16.3"), "50")
    assert "Out of its grade" in thick.because
    assert gauge(GRADE, at100="2").because == "2 cSt at 100 °C fits no grade."


def test_without_a_grade_there_is_no_limit() -> None:
    found = gauge(GRADE, at100="14.1")
    assert (found.value, found.unit, found.verdict, found.limit) == (Decimal("14.1"), "cSt", None, None)
    assert found.because == "14.1 cSt at 100 °C fits grade 40."


def test_an_unknown_grade_is_refused_with_all_that_are_known() -> None:
    assert refused(GRADE, at100="14.1", grade="15W-41") == [("oil-grade", "grade")]


@pytest.mark.parametrize(
    ("used", "verdict"),
    [("160", "in"), ("146.0", "in"), ("144.5", "watch"), ("137", "watch"), ("60", "watch"), ("4", "watch")],
)
def test_the_upper_end_of_the_band_counts(used: str, verdict: str) -> None:
    # ln(160/U)/ln(160/3) is 2.5 % at 144.85 cSt
    found = gauge(DILUTION, new="160", used=used, fuel="3")
    assert (found.verdict, found.limit, found.rule) == (verdict, Decimal("2.5"), "viscosity.fuel")
    assert found.low is not None
    assert found.high is not None
    assert 0 <= found.low <= found.high < 100
    assert any("hide fuel" in note for note in found.notes)


def test_an_oil_that_has_thickened_has_no_band() -> None:
    found = gauge(DILUTION, new="160", used="161", fuel="3")
    assert (found.verdict, found.value, found.low, found.high) == (None, None, None, None)
    assert "cannot be told" in found.because


@pytest.mark.parametrize(("new", "used", "fuel"), [("160", "3", "3"), ("160", "137", "160"), ("3", "137", "3")])
def test_fuel_is_thinner_than_the_oil(new: str, used: str, fuel: str) -> None:
    assert refused(DILUTION, new=new, used=used, fuel=fuel) == [("viscosity-points", "fuel")]
