"""Values as people write them: read exactly, with the step they were read in, or refused with what to do."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from dipmark.facts.base import Value
from dipmark.facts.codec import PLACES
from dipmark.facts.problems import Problem
from dipmark.facts.quantity import HALVED, LONGEST, Quantity, parse_quantity, plain, quantity_of, value_of
from dipmark.facts.units import UNITS, WRITTEN


def read(text: str, dimension: str, usual: str | None = None) -> Quantity:
    found = parse_quantity(text, dimension, usual)
    assert isinstance(found, Quantity), found
    return found


def refused(text: str, dimension: str, usual: str | None = None) -> Problem:
    found = parse_quantity(text, dimension, usual)
    assert isinstance(found, Problem), found
    assert found.hint
    return found


@pytest.mark.parametrize(
    ("text", "dimension", "value", "unit", "step"),
    [
        ("25.4mm", "length", "25.4", "mm", "0.1"),
        ("313.90 mm", "length", "313.9", "mm", "0.01"),
        (" 36 mm ", "length", "36", "mm", "1"),
        ("1 1/2 in", "length", "3/2", "in", "1/2"),
        ("12 3/8\"", "length", "99/8", "in", "1/8"),
        ("1-1/2in", "length", "3/2", "in", "1/2"),
        ("7/64 in", "length", "7/64", "in", "1/64"),
        ("1½ in", "length", "3/2", "in", "1/2"),
        ("¾ in", "length", "3/4", "in", "1/4"),
        ("12\u00a03/8 in", "length", "99/8", "in", "1/8"),
        ("3⁄8 in", "length", "3/8", "in", "1/8"),
        ("12″", "length", "12", "in", "1"),
        ("12''", "length", "12", "in", "1"),
        ("3′", "length", "3", "ft", "1"),
        ("20F", "temperature", "20", "F", "1"),
        ("-10 °C", "temperature", "-10", "C", "1"),
        ("−10.5℃", "temperature", "-10.5", "C", "0.1"),
        ("+5 degC", "temperature", "5", "C", "1"),
        ("85 lbf·ft", "torque", "85", "lbf.ft", "1"),
        ("25 inH2O", "pressure", "25", "inH2O", "1"),
        ("25 in H₂O", "pressure", "25", "inH2O", "1"),
        ("46 mm²/s", "viscosity", "46", "cSt", "1"),
        ("36 m³/h", "flow", "36", "m3/h", "1"),
        ("12,5 mm", "length", "12.5", "mm", "0.1"),
        ("0,125 mm", "length", "0.125", "mm", "0.001"),
        (".5 l", "volume", "0.5", "l", "0.1"),
        ("1.265 sg", "gravity", "1.265", "sg", "0.001"),
        ("0.1 %", "share", "0.1", "%", "0.1"),
    ],
)  # fmt: skip
def test_values_as_people_write_them(text: str, dimension: str, value: str, unit: str, step: str) -> None:
    assert read(text, dimension) == Quantity(Fraction(value), unit, Fraction(step))


def test_the_usual_unit_stands_in_where_none_is_written_and_only_there() -> None:
    assert read("12", "count", "count") == Quantity(Fraction(12), "count", Fraction(1))
    assert read("1 1/4", "length", "in").unit == "in"
    assert read("12 mm", "length", "in").unit == "mm"
    assert refused("12", "length").code == "quantity-unit"
    assert refused("12 kg", "length", "in").code == "quantity-unit"


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", "mm", "abc mm", "NaN mm", "inf mm", "--5 mm", "1.2.3 mm", "1,234,567 mm", "1/0 in", "1/3 in"),
        *("1 1/128 in", "1 2 in", "1e3 mm", "0x10 mm", "5/8/2 in", "½½ in", "1⅙ in", "25² mm", "5¹⁄₂ in"),
        *("1234567890123 mm", "0.1234567 mm", "12 mm" + " " * LONGEST, "1" * 100 + "mm", "mm 12", "٫5 mm"),
    ],
)
def test_what_is_no_value_says_how_one_is_written(text: str) -> None:
    problem = refused(text, "length")
    assert problem.code in {"quantity-unreadable", "quantity-unit"}
    assert len(problem.found) <= 60


@pytest.mark.parametrize("text", ["1,250 mm", "12,500mm", "999,999 mm"])
def test_a_comma_before_three_digits_is_asked(text: str) -> None:
    problem = refused(text, "length")
    point, none = text.replace("mm", "").strip().replace(",", "."), text.replace("mm", "").strip().replace(",", "")
    assert (problem.code, problem.expected) == ("quantity-unreadable", f"{point} or {none}")


@pytest.mark.parametrize("text", ["1,25 mm", "1,2500 mm", "0,125 mm", "1234,567 mm"])
def test_another_comma_is_a_point(text: str) -> None:
    assert read(text, "length").value == Fraction(text.replace(",", ".").split()[0])


def test_a_unit_of_something_else_is_named_with_what_it_measures() -> None:
    problem = refused("12 kg", "length")
    assert (problem.found, problem.expected) == ("'kg', which measures mass", "a length in mm, cm, m, in, ft")
    assert refused("12 furlongs", "length").found == "'furlongs'"
    assert refused("12", "length").found == "no unit"


def test_every_unit_is_read_by_its_name_and_by_every_way_of_writing_it() -> None:
    for name, unit in UNITS.items():
        assert read(f"12.5{name}", unit.dimension).unit == name
    for told, name in WRITTEN.items():
        for text in (told, told.upper()):
            assert read(f"3 {text}", UNITS[name].dimension).unit == name


def test_there_and_back_changes_neither_value_nor_step() -> None:
    for text, dimension in (("313.94mm", "length"), ("-40.5 F", "temperature"), ("3/64 in", "length")):
        one = read(text, dimension)
        for unit in (name for name, unit in UNITS.items() if unit.dimension == dimension):
            assert one.to(unit).to(one.unit) == one
            assert one.to(unit).value == one.in_(unit)
    assert read("20.0 C", "temperature").to("F") == Quantity(Fraction(68), "F", Fraction(9, 50))
    assert read("20 C", "temperature").dimension == "temperature"


@pytest.mark.parametrize(
    ("value", "places", "printed"),
    [
        (Fraction(1, 3), 6, "0.333333"),
        (Fraction(2, 3), 2, "0.67"),
        (Fraction(1, 8), 2, "0.12"),
        (Fraction(3, 8), 2, "0.38"),
        (Fraction(-5, 2), 0, "-2"),
        (Fraction(1200), 6, "1200"),
        (Fraction(0), 6, "0"),
        (Fraction(-1, 10**9), 6, "0"),
        (Fraction(10**12), 6, "1000000000000"),
    ],
)
def test_printed_without_trailing_zeros_and_without_an_exponent(value: Fraction, places: int, printed: str) -> None:
    assert str(plain(value, places)) == printed


@pytest.mark.parametrize(
    ("text", "value", "resolution"),
    [
        ("313.94mm", "313.94", None),
        ("36.0mm", "36.0", None),
        ("300mm", "300", None),
        ("1000mm", "1000", None),
        ("12 3/8in", "12.375", "0.125"),
        ("12 4/8in", "12.5", "0.125"),
        ("1 1/2in", "1.5", "0.5"),
        ("3/64in", "0.046875", "0.015625"),
        ("64/64in", "1.000000", "0.015625"),
    ],
)
def test_in_the_record_and_out_of_it(text: str, value: str, resolution: str | None) -> None:
    one = read(text, "length")
    held = value_of(one, "chain-length", "left")
    assert held == Value(
        quantity="chain-length",
        value=Decimal(value),
        unit=one.unit,
        place="left",
        resolution=None if resolution is None else Decimal(resolution),
    )
    assert str(held.value) == value
    assert quantity_of(held) == one


def test_every_step_fits_into_the_record() -> None:
    for under in HALVED:
        held = value_of(read(f"1/{under} in", "length"), "x")
        for number in (held.value, held.resolution or Decimal(1)):
            exponent = number.as_tuple().exponent
            assert isinstance(exponent, int)
            assert -exponent <= PLACES


@pytest.mark.parametrize("resolution", ["0", "-0.5"])
def test_a_step_that_is_none_says_nothing(resolution: str) -> None:
    held = Value(quantity="x", value=Decimal("36.0"), unit="mm", resolution=Decimal(resolution))
    assert quantity_of(held).resolution == Fraction(1, 10)


def test_a_number_with_an_exponent_was_read_in_whole_steps() -> None:
    assert quantity_of(Value(quantity="x", value=Decimal("3E+2"), unit="mm")).resolution == 1
