"""Units that stand in a record, and exact conversion between those of one dimension."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Final

import msgspec


class Unit(msgspec.Struct, frozen=True):
    """A unit: ``base = value * factor + offset``, exactly.

    Args:
        name: as written in a record.
        dimension: units convert within one dimension only.
        factor: to the dimension's base unit.
        offset: in the base unit; only temperatures have one.
    """

    name: str
    dimension: str
    factor: Fraction = Fraction(1)
    offset: Fraction = Fraction(0)


def _units() -> dict[str, Unit]:
    inch, pound, force = Fraction("25.4"), Fraction("0.45359237"), Fraction("4.4482216152605")
    psi = force / Fraction("0.64516")
    rows: list[tuple[str, str, Fraction, Fraction]] = [
        ("h", "time", Fraction(1), Fraction(0)),
        ("min", "time", Fraction(1, 60), Fraction(0)),
        ("s", "time", Fraction(1, 3600), Fraction(0)),
        ("mm", "length", Fraction(1), Fraction(0)),
        ("cm", "length", Fraction(10), Fraction(0)),
        ("m", "length", Fraction(1000), Fraction(0)),
        ("in", "length", inch, Fraction(0)),
        ("ft", "length", 12 * inch, Fraction(0)),
        ("kg", "mass", Fraction(1), Fraction(0)),
        ("g", "mass", Fraction(1, 1000), Fraction(0)),
        ("lb", "mass", pound, Fraction(0)),
        ("l", "volume", Fraction(1), Fraction(0)),
        ("ml", "volume", Fraction(1, 1000), Fraction(0)),
        ("qt", "volume", Fraction("0.946352946"), Fraction(0)),
        ("gal", "volume", Fraction("3.785411784"), Fraction(0)),
        ("kPa", "pressure", Fraction(1), Fraction(0)),
        ("bar", "pressure", Fraction(100), Fraction(0)),
        ("psi", "pressure", psi, Fraction(0)),
        ("inH2O", "pressure", Fraction("0.24908891"), Fraction(0)),
        ("N", "force", Fraction(1), Fraction(0)),
        ("kN", "force", Fraction(1000), Fraction(0)),
        ("lbf", "force", force, Fraction(0)),
        ("N.m", "torque", Fraction(1), Fraction(0)),
        ("lbf.ft", "torque", force * Fraction("0.3048"), Fraction(0)),
        ("km/h", "speed", Fraction(1), Fraction(0)),
        ("m/s", "speed", Fraction("3.6"), Fraction(0)),
        ("mph", "speed", Fraction("1.609344"), Fraction(0)),
        ("deg", "angle", Fraction(1), Fraction(0)),
        ("cSt", "viscosity", Fraction(1), Fraction(0)),
        ("A", "current", Fraction(1), Fraction(0)),
        ("m3/h", "flow", Fraction(1), Fraction(0)),
        ("l/h", "flow", Fraction(1, 1000), Fraction(0)),
        ("ml/h", "flow", Fraction(1, 1_000_000), Fraction(0)),
        ("mg/g", "acidity", Fraction(1), Fraction(0)),
        ("C", "temperature", Fraction(1), Fraction(0)),
        ("F", "temperature", Fraction(5, 9), Fraction(-160, 9)),
        ("V", "voltage", Fraction(1), Fraction(0)),
        ("Ah", "charge", Fraction(1), Fraction(0)),
        ("%", "share", Fraction(1), Fraction(0)),
        ("ppm", "share", Fraction(1, 10_000), Fraction(0)),
        ("sg", "gravity", Fraction(1), Fraction(0)),
        ("count", "count", Fraction(1), Fraction(0)),
    ]
    return {name: Unit(name, dimension, factor, offset) for name, dimension, factor, offset in rows}


UNITS: Final = _units()
"""Units by name. Source: the inch is 25.4 mm, the pound 0.45359237 kg (international yard and pound agreement, 1959);
the pound-force is that mass at 9.80665 m/s²; the US gallon is 231 cubic inches; the inch of water is the
conventional one (NIST SP 811, table B.8, from memory). Torque is N.m and lbf.ft, acid numbers mg/g (of KOH)."""

WRITTEN: Final[dict[str, str]] = {
    **{name.casefold(): name for name in UNITS},
    "hr": "h",
    "hrs": "h",
    "hour": "h",
    "hours": "h",
    "sec": "s",
    "minutes": "min",
    "seconds": "s",
    '"': "in",
    "”": "in",
    "inch": "in",
    "inches": "in",
    "'": "ft",
    "feet": "ft",
    "foot": "ft",
    "millimetre": "mm",
    "millimetres": "mm",
    "lbs": "lb",
    "litre": "l",
    "litres": "l",
    "liter": "l",
    "liters": "l",
    "°c": "C",
    "degc": "C",
    "°f": "F",
    "degf": "F",
    "°": "deg",
    "degrees": "deg",
    "mm2/s": "cSt",
    "n·m": "N.m",
    "nm": "N.m",
    "lbf·ft": "lbf.ft",
    "lbf-ft": "lbf.ft",
    "lb.ft": "lbf.ft",
    "lb·ft": "lbf.ft",
    "ft·lbf": "lbf.ft",
    "ft.lbf": "lbf.ft",
    "ft-lbf": "lbf.ft",
    "ft-lb": "lbf.ft",
    "ft·lb": "lbf.ft",
    "lb-ft": "lbf.ft",
    "in h2o": "inH2O",
    "kph": "km/h",
    "mgkoh/g": "mg/g",
    "mg koh/g": "mg/g",
    "mg/kg": "ppm",
    "percent": "%",
    "amp": "A",
    "amps": "A",
    "volt": "V",
    "volts": "V",
    "kg/l": "sg",
    "gals": "gal",
    "gallons": "gal",
    "qts": "qt",
    "bars": "bar",
}
"""Units as people write them, in small letters, with the name that stands in a record."""


def convert(value: Decimal | Fraction, unit: str, to: str) -> Fraction:
    """A value in another unit of the same dimension, exactly.

    Args:
        value: in `unit`.
        unit: a key of `UNITS`.
        to: a key of `UNITS`.

    Raises:
        ValueError: a unit is unknown, the two measure different things, or the value is not finite.

    Example:
        >>> convert(Decimal("12.36"), "in", "mm") == Fraction("313.944")
        True
    """
    for name in (unit, to):
        if name not in UNITS:
            raise ValueError(f"unit {name!r} is not known")
    one, other = UNITS[unit], UNITS[to]
    if one.dimension != other.dimension:
        raise ValueError(f"{unit} measures {one.dimension}, {to} measures {other.dimension}")
    if isinstance(value, Decimal) and not value.is_finite():
        raise ValueError(f"{value} {unit} is no value")
    if one is other:
        return Fraction(value)
    return (Fraction(value) * one.factor + one.offset - other.offset) / other.factor


def difference(value: Fraction, unit: str, to: str) -> Fraction:
    """A difference or a step in another unit: where degrees begin to count does not matter to it.

    Args:
        value: in `unit`.
        unit: a key of `UNITS`.
        to: a key of `UNITS`, of the same dimension.

    Example:
        >>> difference(Fraction(5), "C", "F")
        Fraction(9, 1)
    """
    return convert(value, unit, to) - convert(Fraction(0), unit, to)
