"""The lift chain: what is asked, what is refused, which side of a limit its edge falls on."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from derive.condition.gauging import gauge, outcome, refused
from dipmark.derive.condition.chain import MEASUREMENTS, pitch_of
from dipmark.derive.judging import Judged

CHAIN, PLATE = MEASUREMENTS
EIGHT = {"pitches": "20", "pitch": "25.4mm"}
"""20 pitches of 25.4 mm: 508 mm new, 518.16 mm at 2 %, 523.24 mm at 3 %."""


@pytest.mark.parametrize(
    ("length", "verdict", "rule"),
    [
        ("508.0 mm", "in", "chain.worn"),
        ("518.15 mm", "in", "chain.worn"),
        ("518.16 mm", "watch", "chain.watched"),
        ("523.23 mm", "watch", "chain.watched"),
        ("523.24 mm", "stop", "chain.worn"),
        ("523.25 mm", "stop", "chain.worn"),
        # 20.6 in is 523.24 mm; a rule in hundredths of an inch
        ("20.59 in", "watch", "chain.watched"),
        ("20.60 in", "stop", "chain.worn"),
        # read to a millimetre, the limit is the millimetre below it
        ("522 mm", "watch", "chain.watched"),
        ("523 mm", "stop", "chain.worn"),
    ],
)
def test_each_side_of_each_edge(length: str, verdict: str, rule: str) -> None:
    found = gauge(CHAIN, length=length, **EIGHT)
    assert (found.verdict, found.rule, found.unit) == (verdict, rule, "%")


@pytest.mark.parametrize(
    ("length", "error", "verdict"),
    [
        ("522.73mm", "0.5mm", "watch"),
        ("522.74mm", "0.5mm", "stop"),
        ("517.66mm", "0.5mm", "watch"),
        ("522.74mm", "0.02in", "stop"),
    ],
)
def test_what_reaches_a_limit_with_the_error_of_the_instrument_is_at_it(length: str, error: str, verdict: str) -> None:
    assert gauge(CHAIN, length=length, error=error, **EIGHT).verdict == verdict


def test_a_place_past_the_limit_counts_however_it_was_read() -> None:
    # 523.2 read to 0.1 mm is at the limit rounded to 523.2; 523.23 read to 0.01 mm is longer and inside it
    found = gauge(CHAIN, length=("left=523.2mm", "right=523.23mm", "mid=509mm"), **EIGHT)
    assert (found.verdict, found.value) == ("stop", Decimal("2.992126"))
    assert found.because.startswith("523.2 mm over 20 pitches (left): grown by 2.992 % since new. Out at 3 %")
    assert not any("places" in note for note in found.notes)


def test_what_has_to_be_said_beside_the_verdict() -> None:
    measured = gauge(CHAIN, length="510mm", pitches="20", new_length="508mm")
    assert measured.notes == ("Measure in at least 3 places where it runs over the sheave.",)
    assert "3 % may be 3.75 %" in gauge(CHAIN, length="510mm", **EIGHT).notes[1]
    assert "from memory" in gauge(CHAIN, length="510mm", pitches="20", designation="LH1623").notes[2]
    assert len(gauge(CHAIN, length="510mm", pitches="20", designation="BL823").notes) == 2
    assert (measured.limit, measured.source, measured.rule) == (Decimal(3), "chain-wear", "chain.worn")


@pytest.mark.parametrize(
    ("designation", "pitch"),
    [
        ("bl 523", Fraction("15.875")),
        ("BL-1023", Fraction("31.75")),
        ("AL422", Fraction("12.7")),
        ("LL0822", Fraction("12.7")),
        ("LH2423", Fraction("38.1")),
        ("BL022", None),
        ("LH0022", None),
        ("BL52", None),
        ("08B", None),
    ],
)
def test_designations(designation: str, pitch: Fraction | None) -> None:
    assert pitch_of(designation) == pitch


def test_what_is_measured_new_counts_before_the_designation_and_that_before_the_pitch() -> None:
    values = [
        gauge(CHAIN, length="325mm", pitches="20", designation="BL523", new_length="316mm").value,
        gauge(CHAIN, length="325mm", pitches="20", designation="BL523", pitch="15.9mm").value,
        gauge(CHAIN, length="325mm", pitches="20", pitch="15.875mm").value,
        gauge(CHAIN, length="325mm", pitches="20", pitch="15.9mm").value,
    ]
    assert values == [Decimal("2.848101"), Decimal("2.362205"), Decimal("2.362205"), Decimal("2.201258")]


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ({"length": "510mm", "pitches": "20"}, [("measure-missing", "pitch")]),
        ({"length": "510mm", "pitches": "20", "designation": "XY7"}, [("chain-designation", "designation")]),
        (
            {"length": "510mm", "pitches": "20", "designation": "BL823", "pitch": "15.875mm"},
            [("chain-designation", "pitch")],
        ),
        ({"length": "510mm", "pitches": "19.5", "pitch": "25.4mm"}, [("measure-nonsense", "pitches")]),
        # one pitch too few and too many counted; inches read as millimetres
        ({"length": "508mm", "pitches": "21", "pitch": "25.4mm"}, [("measure-nonsense", "length")]),
        ({"length": ("509mm", "20.1mm"), "pitches": "20", "pitch": "25.4mm"}, [("measure-nonsense", "length")]),
        ({"length": "508mm", "pitches": "15", "pitch": "25.4mm"}, [("measure-nonsense", "length")]),
        ({"length": "-508mm", "pitches": "0", "pitch": "25.4C"}, [
            ("measure-nonsense", "length"), ("measure-nonsense", "pitches"), ("quantity-unit", "pitch"),
        ]),
        ({"length": "NaN mm", "pitch": "1e3mm"}, [
            ("quantity-unreadable", "length"), ("measure-missing", "pitches"), ("quantity-unit", "pitch"),
        ]),
    ],
)  # fmt: skip
def test_nonsense_says_what_to_do(said: dict[str, str], found: list[tuple[str, str]]) -> None:
    assert refused(CHAIN, **said) == found
    problems = outcome(CHAIN, **said)
    assert not isinstance(problems, Judged)
    assert all(problem.hint for problem in problems)


@pytest.mark.parametrize(
    ("now", "verdict"), [("22.93mm", "in"), ("22.92mm", "stop"), ("0.903in", "in"), ("0.902in", "stop")]
)
def test_plates(now: str, verdict: str) -> None:
    # 95 % of 24.13 mm (0.95 in) is 22.9235 mm, 0.9025 in
    assert gauge(PLATE, now=now, new="24.13mm").verdict == verdict


def test_five_percent_of_a_plate_still_pass_and_one_that_grew_is_doubtful() -> None:
    assert gauge(PLATE, now="19.00mm", new="20mm").verdict == "in"
    assert gauge(PLATE, now="18.99mm", new="20mm").verdict == "stop"
    assert refused(PLATE, now="20.1mm", new="20mm") == [("measure-nonsense", "now")]
    assert gauge(PLATE, now="20.0mm", new="20mm").value == 0
