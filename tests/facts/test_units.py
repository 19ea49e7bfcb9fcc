from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest

from dipmark.facts.units import UNITS, WRITTEN, convert, difference


@pytest.mark.parametrize(
    ("value", "unit", "to", "exactly"),
    [
        # International yard and pound agreement, 1959: 1 yd = 0.9144 m, 1 lb = 0.45359237 kg (from memory)
        ("3", "ft", "m", "0.9144"),
        ("1", "lb", "kg", "0.45359237"),
        ("1", "ft", "in", "12"),
        # 1 US gallon = 231 cubic inches = 4 liquid quarts (NIST Handbook 44, appendix C, from memory)
        ("1", "gal", "ml", str(231 * Decimal("16.387064"))),
        ("1", "gal", "qt", "4"),
        # SI prefixes; the bar is 100 kPa and the litre a cubic decimetre (NIST SP 811, from memory)
        ("1", "bar", "kPa", "100"),
        ("2.5", "l", "ml", "2500"),
        ("1", "m", "cm", "100"),
        ("90", "min", "h", "1.5"),
        ("1", "kg", "g", "1000"),
        ("1", "kN", "N", "1000"),
        ("1", "m3/h", "ml/h", "1000000"),
        ("1", "l/h", "ml/h", "1000"),
        ("1", "m/s", "km/h", "3.6"),
        ("1", "%", "ppm", "10000"),
        ("60", "s", "min", "1"),
        # The mile is 1609.344 m, the standard fall 9.80665 m/s² (international yard; CGPM 1901; from memory)
        ("1", "mph", "km/h", "1.609344"),
        ("1", "lbf", "N", "4.4482216152605"),
        ("1", "lbf.ft", "N.m", str(Decimal("4.4482216152605") * Decimal("0.3048"))),
        # Fixed points of the two scales
        ("0", "C", "F", "32"),
        ("212", "F", "C", "100"),
        ("-40", "F", "C", "-40"),
    ],
)
def test_conversions_that_are_exact_by_definition(value: str, unit: str, to: str, exactly: str) -> None:
    assert convert(Decimal(value), unit, to) == Fraction(exactly)
    assert convert(convert(Decimal(value), unit, to), to, unit) == Fraction(value)


@pytest.mark.parametrize(
    ("unit", "to", "printed"),
    [
        # NIST SP 811, appendix B.8, seven printed digits (from memory)
        ("psi", "kPa", "6.894757"),
        ("lb", "kg", "0.4535924"),
        ("gal", "l", "3.785412"),
        ("qt", "l", "0.9463529"),
        ("ft", "m", "0.3048000"),
        ("in", "cm", "2.540000"),
        ("lbf", "N", "4.448222"),
        ("lbf.ft", "N.m", "1.355818"),
        # inch of water, conventional
        ("inH2O", "kPa", "0.2490889"),
    ],
)
def test_conversions_as_printed(unit: str, to: str, printed: str) -> None:
    half_a_digit = Fraction(5, 10 ** (len(printed.partition(".")[2]) + 1))
    assert abs(convert(Decimal(1), unit, to) - Fraction(printed)) <= half_a_digit


def test_every_pair_of_units_converts_there_and_back_or_not_at_all() -> None:
    value = Decimal("313.94")
    for one, other in product(UNITS.values(), repeat=2):
        if one.dimension == other.dimension:
            assert convert(convert(value, one.name, other.name), other.name, one.name) == Fraction(value)
        else:
            with pytest.raises(ValueError, match=f"{one.name} measures {one.dimension}, {other.name} measures"):
                convert(value, one.name, other.name)


def test_units_are_listed_under_their_own_names_with_one_base_each() -> None:
    assert all(name == unit.name for name, unit in UNITS.items())
    for dimension in {unit.dimension for unit in UNITS.values()}:
        bases = [unit for unit in UNITS.values() if unit.dimension == dimension and unit.factor == 1]
        assert [unit.offset for unit in bases] == [0]


def test_no_two_units_are_written_alike_and_each_way_of_writing_leads_to_one() -> None:
    assert len({name.casefold() for name in UNITS}) == len(UNITS)
    assert set(WRITTEN.values()) == set(UNITS)
    assert [told for told in WRITTEN if told != told.casefold()] == []


@pytest.mark.parametrize(
    ("value", "unit", "to", "exactly"), [("5", "C", "F", "9"), ("1.8", "F", "C", "1"), ("1", "in", "mm", "25.4")]
)
def test_a_difference_does_not_care_where_degrees_begin(value: str, unit: str, to: str, exactly: str) -> None:
    assert difference(Fraction(value), unit, to) == Fraction(exactly)


@pytest.mark.parametrize(("unit", "to"), [("furlong", "m"), ("m", "furlong"), ("", "m"), ("MM", "mm")])
def test_an_unknown_unit_is_named(unit: str, to: str) -> None:
    with pytest.raises(ValueError, match="is not known"):
        convert(Decimal(1), unit, to)


@pytest.mark.parametrize("value", ["NaN", "sNaN", "Infinity", "-Infinity"])
def test_what_is_no_number_is_no_value(value: str) -> None:
    with pytest.raises(ValueError, match="is no value"):
        convert(Decimal(value), "mm", "in")
