"""The lift chain against what is printed: ASME B29.8-2002, chain makers' tables, TM 10-3930-671-24, own examples.

Half a unit of the last printed digit is allowed; the sources stand beside the rows.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.condition.gauging import gauge
from dipmark.derive.condition.chain import MEASUREMENTS, pitch_of
from published.printed import close

CHAIN, PLATE = MEASUREMENTS
TWELVE = {"pitches": "12", "pitch": "25.4mm"}


@pytest.mark.parametrize(
    ("designation", "pitch"),
    [
        # ASME B29.8-2002 (seen): the leading digits count eighths of an inch
        ("BL422", "12.7"),
        ("BL523", "15.875"),
        ("BL634", "19.05"),
        ("BL844", "25.4"),
        ("BL1023", "31.75"),
        ("BL1246", "38.1"),
        ("BL1688", "50.8"),
        # ISO 4347 names (from memory): LH08 as BL4, LH10 as BL5 and so on
        ("LH0822", "12.7"),
        ("LH1023", "15.875"),
        ("LH1234", "19.05"),
        ("LH1644", "25.4"),
        ("LH2023", "31.75"),
        ("LH2446", "38.1"),
    ],
)
def test_pitches_by_designation(designation: str, pitch: str) -> None:
    assert pitch_of(designation) == Fraction(pitch)


@pytest.mark.parametrize(
    ("length", "percent", "verdict"),
    [
        # own examples for 5/8 in, 20 pitches of 15.875 mm: 317.5 mm new
        ("322.0mm", "1.42", "in"),
        ("323.85mm", "2", "watch"),
        ("327.03mm", "3.00", "stop"),
        # exactly 3 %, where a binary float computes 2.999999999999993
        ("327.025mm", "3.000", "stop"),
        ("327.024mm", "3.000", "watch"),
    ],
)
def test_elongation(length: str, percent: str, verdict: str) -> None:
    found = gauge(CHAIN, length=length, pitches="20", designation="BL523")
    assert close(found.value, percent)
    assert found.verdict == verdict


@pytest.mark.parametrize(
    ("length", "verdict"),
    [("313.93mm", "watch"), ("313.94mm", "stop"), ("314.0mm", "stop"), ("12.35in", "watch"), ("12.36in", "stop")],
)
def test_a_span_of_thirteen_pins_is_out_at_three_percent(length: str, verdict: str) -> None:
    # 12 pitches of 25.4 mm are 304.8 mm; 3 % more are 313.944 mm, 12.36 in
    assert gauge(CHAIN, length=length, **TWELVE).verdict == verdict


def test_the_limit_printed_as_twelve_and_three_eighths_is_not_reproduced() -> None:
    # A chain maker's table prints 12.375 in (314.3 mm), which is 3.125 %: what lies between is out
    assert close(gauge(CHAIN, length="12.375in", **TWELVE).value, "3.125")
    assert gauge(CHAIN, length="314.2mm", **TWELVE).verdict == "stop"
    assert gauge(CHAIN, length="12.37in", **TWELVE).verdict == "stop"


def test_a_chain_made_short_has_grown_more_than_its_pitch_says() -> None:
    # A chain maker's page: made 0.75 % short, a reading of 3 % is really 3.75 % (printed); exactly 3.78 %
    new, now = "315.11875mm", "327.025mm"  # 0.9925 and 1.03 times 317.5 mm
    known = gauge(CHAIN, length=now, pitches="20", new_length=new)
    assert close(known.value, "3.78")
    assert not close(known.value, "3.75")
    assert any("3 % may be 3.75 %" in note for note in gauge(CHAIN, length=now, pitches="20", pitch="15.875mm").notes)
    # at 2.3 % of the pitch it is out already, where its length when new is known
    short = {"length": "324.8mm", "pitches": "20"}
    assert gauge(CHAIN, **short, pitch="15.875mm").verdict == "watch"
    assert gauge(CHAIN, **short, new_length=new).verdict == "stop"


def test_the_worse_strand_takes_both_out() -> None:
    # own example: right strand 1.4 %, left 3.1 %
    found = gauge(CHAIN, length=("right=321.945mm", "left=327.343mm"), pitches="20", designation="BL523")
    assert close(found.value, "3.1")
    assert found.verdict == "stop"
    assert "(left)" in found.because
    assert "every strand is renewed as a set" in found.because


def test_plate_height() -> None:
    # own example for 1 in: 24.13 mm when new (0.95 of the pitch), limit 22.92 mm
    assert gauge(PLATE, now="22.93mm", new="24.13mm").verdict == "in"
    assert gauge(PLATE, now="22.92mm", new="24.13mm").verdict == "stop"
    assert close(gauge(PLATE, now="22.9235mm", new="24.13mm").value, "5.000")
