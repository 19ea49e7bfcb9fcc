"""A value with its unit as people write it: ``25.4mm``, ``1 1/2 in``, ``20F``, ``-10 °C``, ``85 lbf·ft``."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction
from typing import Final

import msgspec

from dipmark.facts.base import Value
from dipmark.facts.problems import Problem, code
from dipmark.facts.units import UNITS, WRITTEN, convert, difference

QUANTITY_UNREADABLE: Final = code("quantity-unreadable", "A measured value cannot be read as a number with its unit.")
QUANTITY_UNIT: Final = code("quantity-unit", "A measured value has no unit, or one that measures something else.")

LONGEST: Final = 40
"""Characters of a value as written."""

HALVED: Final = ("2", "4", "8", "16", "32", "64")
"""The fractions that rules and gauges are divided in; all of them have at most six decimals, as the record holds."""

_WRITTEN: Final = re.compile(
    r"""(?P<sign>[+-]?)\s*
    (?:(?:(?P<whole>\d{1,9})[ \-])?(?P<over>\d{1,4})/(?P<under>\d{1,4})
    |(?P<number>\d{1,12}(?:[.,]\d{1,6})?|[.,]\d{1,6}))
    \s*(?P<unit>[^\d\s].*)?""",
    re.VERBOSE,
)
_TYPED: Final = str.maketrans(
    {"−": "-", "⁄": "/", **{one: " " + unicodedata.normalize("NFKC", one).replace("⁄", "/") for one in "¼½¾⅛⅜⅝⅞"}}
)
"""Signs that are written otherwise in a number. Raised and lowered digits stay as they are: ``25²`` is no number."""


class Quantity(msgspec.Struct, frozen=True):
    """A value read off an instrument, exactly.

    Args:
        value: in `unit`.
        unit: a key of `UNITS`.
        resolution: the step in which the instrument was read, in `unit`: over 0.
    """

    value: Fraction
    unit: str
    resolution: Fraction

    @property
    def dimension(self) -> str:
        """What it measures."""
        return UNITS[self.unit].dimension

    def to(self, unit: str) -> Quantity:
        """The same in another unit, exactly; there and back changes nothing.

        Args:
            unit: one of the same dimension.
        """
        return Quantity(self.in_(unit), unit, difference(self.resolution, self.unit, unit))

    def in_(self, unit: str) -> Fraction:
        """Its value alone in a unit of the same dimension."""
        return convert(self.value, self.unit, unit)

    def __str__(self) -> str:
        return f"{plain(self.value)} {self.unit}"


def plain(value: Fraction, places: int = 6) -> Decimal:
    """A number as it is printed: at most so many decimal places, no trailing zeros.

    Args:
        value: exactly.
        places: decimal places kept.

    *Edge*: a half is rounded to the even neighbour.

    Example:
        >>> plain(Fraction(1, 3)), plain(Fraction(300))
        (Decimal('0.333333'), Decimal('300'))
    """
    whole = round(value * 10**places)
    return Decimal(f"{Decimal(whole).scaleb(-places).normalize():f}")


def amount_in(amount: Decimal, unit: str, told: str) -> Decimal | None:
    """An amount of the record in another unit; None where its unit is unknown, or measures something else.

    Args:
        amount: in `unit`.
        unit: as it stands in the record.
        told: the unit wanted, of `UNITS`.

    Example:
        >>> amount_in(Decimal(500), "ml", "l"), amount_in(Decimal(2), "kg", "l")
        (Decimal('0.5'), None)
    """
    if unit not in UNITS or UNITS[unit].dimension != UNITS[told].dimension:
        return None
    return plain(convert(amount, unit, told))


def quantity_of(value: Value) -> Quantity:
    """A value of the record; the last digit written is the instrument's step where none is noted.

    Args:
        value: in a unit of `UNITS`.
    """
    noted = value.resolution if value.resolution is not None and value.resolution > 0 else _step(value.value)
    return Quantity(Fraction(value.value), value.unit, Fraction(noted))


def value_of(quantity: Quantity, name: str, place: str | None = None) -> Value:
    """A quantity as it stands in the record.

    Args:
        quantity: as read; its value has a finite decimal.
        name: what was measured.
        place: where on the truck.
    """
    value = _decimal(quantity.value)
    step = _decimal(quantity.resolution)
    shown = value if _step(value) <= step else value.quantize(step)
    return Value(
        quantity=name,
        value=shown,
        unit=quantity.unit,
        place=place,
        resolution=None if _step(shown) == step else step,
    )


def _decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


def _step(value: Decimal) -> Decimal:
    """The last digit written; for whole numbers 1."""
    exponent = value.as_tuple().exponent
    return Decimal(1).scaleb(min(0, exponent if isinstance(exponent, int) else 0))


def _unit(told: str) -> str:
    """A unit as it stands among those written."""
    return unicodedata.normalize("NFKC", told).casefold().replace("′", "'").replace("''", '"')


def parse_quantity(text: str, dimension: str, usual: str | None = None) -> Quantity | Problem:
    """A value as people write it.

    Args:
        text: number and unit, such as ``313.94mm``, ``12 3/8"``, ``-10 °C``; a comma may stand for the point.
        dimension: what it has to measure.
        usual: the unit meant where none is written; None: one must be written.

    Returns:
        The quantity, its resolution the last digit written or the fraction's denominator; or what is wrong.

    *Edge*: a comma before exactly three digits may be either: it is asked, never guessed.

    Example:
        >>> str(parse_quantity("1 1/2 in", "length"))
        '1.5 in'
    """
    written = " ".join(text.translate(_TYPED).split())
    found = _WRITTEN.fullmatch(written) if len(text) <= LONGEST else None
    if found is None or (found["under"] or "2") not in HALVED:
        hint = "Write it as 25.4mm, 1 1/2 in or -10 C."
        return Problem(QUANTITY_UNREADABLE, ascii(text)[:60], f"a {dimension} as a number with its unit", hint)
    number = found["number"] or ""
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", number):
        either = f"{number.replace(',', '.')} or {number.replace(',', '')}"
        return Problem(QUANTITY_UNREADABLE, ascii(text)[:60], either, "Write the one that is meant.")
    told = found["unit"] or ""
    unit = WRITTEN.get(_unit(told)) if told else usual
    if unit is None or UNITS[unit].dimension != dimension:
        known = ", ".join(name for name, one in UNITS.items() if one.dimension == dimension)
        wrong = (
            f"{ascii(told)[:30]}, which measures {UNITS[unit].dimension}"
            if unit
            else ascii(told)[:30]
            if told
            else "no unit"
        )
        return Problem(
            QUANTITY_UNIT, wrong, f"a {dimension} in {known}", f"Write the unit behind the number: {ascii(text)[:30]}."
        )
    sign = -1 if found["sign"] == "-" else 1
    if number:
        exact = Decimal(number.replace(",", "."))
        return Quantity(sign * Fraction(exact), unit, Fraction(_step(exact)))
    step = Fraction(1, int(found["under"]))
    return Quantity(sign * (int(found["whole"] or 0) + int(found["over"]) * step), unit, step)
