"""Held against print: a computed value and the figure as printed."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction


def close(value: Decimal | Fraction | str | None, printed: str) -> bool:
    """Whether a value is the printed one, to half a unit of its last digit."""
    places = len(printed.partition(".")[2])
    return abs(Fraction(str(value)) - Fraction(printed)) <= Fraction(1, 2 * 10**places)
