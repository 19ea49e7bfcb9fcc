"""Logarithms and powers to forty digits."""

from __future__ import annotations

import math
from decimal import ROUND_UP, getcontext, localcontext
from fractions import Fraction

import pytest

from dipmark.derive.logarithms import exp, ln, log10, ten_to

VALUES = [Fraction("0.003"), Fraction(1, 3), Fraction(1), Fraction("7.5"), Fraction("119.94"), Fraction(20_000_000)]


@pytest.mark.parametrize("value", VALUES, ids=str)
def test_they_agree_with_the_machine_and_undo_one_another(value: Fraction) -> None:
    assert math.isclose(ln(value), math.log(value), rel_tol=1e-14, abs_tol=1e-300)
    assert math.isclose(log10(value), math.log10(value), rel_tol=1e-14, abs_tol=1e-300)
    for there_and_back in (exp(ln(value)), ten_to(log10(value))):
        assert abs(there_and_back / value - 1) < Fraction(1, 10**36)


def test_e_and_its_logarithm_to_thirty_digits() -> None:
    # e = 2.718281828459045235360287471352…, a mathematical constant.
    assert abs(exp(Fraction(1)) - Fraction("2.718281828459045235360287471352")) < Fraction(1, 10**29)


def test_the_precision_around_it_changes_nothing() -> None:
    with localcontext(prec=3, rounding=ROUND_UP):
        rough = ln(Fraction(7, 3))
        assert getcontext().prec == 3
    assert rough == ln(Fraction(7, 3))


def test_what_is_too_small_is_nothing() -> None:
    assert exp(Fraction(-200)) > 0
    assert exp(Fraction(-5_000_000_000)) == 0
    assert ten_to(Fraction(-1000)) == 0
