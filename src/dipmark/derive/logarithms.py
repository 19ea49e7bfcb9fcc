"""Logarithms and powers without binary floats: to forty digits, the same on every machine."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Context, Decimal, localcontext
from fractions import Fraction
from typing import Final

DIGITS: Final = 40

SMALLEST: Final = -100
"""The power of ten under which a result is 0: a fraction of a million digits would help nobody."""


def _worked(how: Callable[[Decimal], Decimal], value: Fraction) -> Fraction:
    with localcontext(Context(prec=DIGITS, Emin=SMALLEST)):
        return Fraction(how(Decimal(value.numerator) / Decimal(value.denominator)))


def ln(value: Fraction) -> Fraction:
    """The natural logarithm.

    Args:
        value: more than 0.

    Example:
        >>> ln(Fraction(1))
        Fraction(0, 1)
    """
    return _worked(Decimal.ln, value)


def log10(value: Fraction) -> Fraction:
    """The common logarithm.

    Args:
        value: more than 0.

    Example:
        >>> log10(Fraction(1000))
        Fraction(3, 1)
    """
    return _worked(Decimal.log10, value)


def exp(value: Fraction) -> Fraction:
    """The power of e.

    Args:
        value: the exponent.

    *Edge*: so small a power that it has no digit left at `SMALLEST` is 0.

    Example:
        >>> exp(Fraction(0))
        Fraction(1, 1)
    """
    return _worked(Decimal.exp, value)


def ten_to(value: Fraction) -> Fraction:
    """The power of ten.

    Args:
        value: the exponent.

    Example:
        >>> ten_to(Fraction(-2))
        Fraction(1, 100)
    """
    return _worked(lambda exponent: Decimal(10) ** exponent, value)
