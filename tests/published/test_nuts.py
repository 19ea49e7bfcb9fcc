"""Wheel nuts and bolts, held to printed figures. Tolerance: half a unit of the last printed digit."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.condition.gauging import SUBJECTS, gauge, refused
from dipmark.derive.condition.nuts import MEASUREMENTS, torque

RECHECK, STAGES, BOLT = MEASUREMENTS


def test_staged_torque_in_both_units() -> None:
    """*Source*: a maker's manual, of its own truck: 85, 110, 170 lbf.ft as 115.2, 149.1, 230.5 N.m."""
    found = gauge(STAGES, stage=("85 lbf·ft", "110 lbf·ft", "170 lbf·ft"))
    assert (found.value, found.unit) == ("115.2 / 149.1 / 230.5", "N.m")


@pytest.mark.parametrize(("last", "at", "after"), [("fitted", "50 h", "51 h"), ("checked", "150 h", "151 h")])
def test_checked_again_after_the_first_fifty_hours_then_each_150(last: str, at: str, after: str) -> None:
    """*Source*: the same manual."""
    assert gauge(RECHECK, since=at, last=last).verdict == "in"
    assert gauge(RECHECK, since=after, last=last).verdict != "in"


@pytest.mark.parametrize(("thread", "factor"), [("as-received", "0.2"), ("oiled", "0.15"), ("rusty", "0.3")])
def test_factors_of_the_thread(thread: str, factor: str) -> None:
    """*Source*: a calculator's page, T = K D F."""
    assert SUBJECTS["nuts"].rows["friction"].column(thread) == (Fraction(factor),)


def test_a_changed_friction_scales_the_torque() -> None:
    """*Source*: a page prints 130 x .09/.17 = 53; it is 68.8."""
    force = 130 / (Fraction("0.17") * 12)
    right = torque(Fraction("0.09"), Fraction(12), force)
    assert abs(right - Fraction("68.8")) <= Fraction("0.05")
    assert abs(right - 53) > 10


def test_a_wheel_nut_by_that_rule_is_refused() -> None:
    """*Source*: project rule: a torque computed from the thread scatters about 30 %."""
    said = {"for": "wheel", "diameter": "20 mm", "force": "60 kN", "thread": "oiled"}
    assert refused(BOLT, **said) == [("torque-book-only", "for")]
