"""Fork arms: which side of each limit its edge falls on, the worst place, what cannot be."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.converted import verdicts
from derive.condition.gauging import gauge, refused
from dipmark.derive.condition.forks import MEASUREMENTS
from dipmark.derive.judging import Measurement

HEEL, SHANK, ANGLE, STRAIGHT, TIPS, CRACKS = MEASUREMENTS

THICKNESS = [
    # at, just inside and just outside 36.0 mm of 40 mm
    ("40 mm", "36.1 mm", "in"),
    ("40 mm", "36.0 mm", "stop"),
    ("40 mm", "35.9 mm", "stop"),
    # 1.50 in: 1.35 in is 90 %
    ("1.50 in", "1.36 in", "in"),
    ("1.50 in", "1.35 in", "stop"),
    ("1.50 in", "34.30 mm", "in"),
    ("1.50 in", "34.29 mm", "stop"),
    ("38.1 mm", "1.351 in", "in"),
    ("38.1 mm", "1.350 in", "stop"),
    # the limit is 35.91 mm: in tenths it is the tenth above, in whole millimetres 36
    ("39.9 mm", "36.0 mm", "stop"),
    ("39.9 mm", "36.1 mm", "in"),
    ("39.9 mm", "36 mm", "stop"),
    ("39.9 mm", "37 mm", "in"),
]


@pytest.mark.parametrize("measurement", [HEEL, SHANK], ids=lambda one: one.name)
@pytest.mark.parametrize(("new", "now", "verdict"), THICKNESS)
def test_thickness_at_ninety_percent_is_out(measurement: Measurement, new: str, now: str, verdict: str) -> None:
    found = gauge(measurement, new=new, now=now)
    assert (found.subject, found.verdict, found.limit, found.unit) == (measurement.name, verdict, Decimal(90), "%")
    assert set(verdicts(measurement, new=new, now=now)) == {verdict}


def test_thickness_never_gets_better_by_wear() -> None:
    found = [gauge(HEEL, new="40 mm", now=f"{tenths / 10} mm").verdict for tenths in range(400, 300, -1)]
    assert found == ["in"] * 40 + ["stop"] * 60


def test_the_worst_place_counts() -> None:
    found = gauge(HEEL, new="40mm", now=("left=38.0mm", "right=35.9mm"))
    assert (found.verdict, found.value) == ("stop", Decimal("89.75"))
    assert found.because.startswith("35.9 mm (right) is 89.75 % of 40 mm when new. Out at 90.0 %")


def test_a_coarse_reading_that_may_be_past_the_limit_counts_before_a_finer_one_that_is_not() -> None:
    found = gauge(HEEL, new="39.9mm", now=("left=35.92mm", "right=36mm"))
    assert (found.verdict, found.because[:5]) == ("stop", "36 mm")


def test_what_is_left_of_its_strength_is_no_permission() -> None:
    found = gauge(HEEL, new="40mm", now="36.0mm")
    assert found.more == {"strength": Decimal(81)}
    assert found.notes == (
        "By its thickness 81 % of the strength is left: for the mechanic, not a permission to load.",
    )


def test_a_fork_thicker_than_when_new_is_doubtful_at_each_place() -> None:
    assert refused(HEEL, new="40mm", now=("40.1mm", "40.0mm", "41mm")) == [("measure-nonsense", "now")] * 2
    assert refused(SHANK, new="1.5in", now="38.2mm") == [("measure-nonsense", "now")]
    assert gauge(HEEL, new="40mm", now="40.0mm").verdict == "in"


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"now": "36mm"}, "measure-missing"),
        ({"new": "40mm", "now": "-36mm"}, "measure-nonsense"),
        ({"new": "0mm", "now": "36mm"}, "measure-nonsense"),
        ({"new": "40mm", "now": "1800C"}, "quantity-unit"),
        ({"new": "40mm", "now": "NaN"}, "quantity-unreadable"),
        ({"new": "40mm", "now": "36"}, "quantity-unit"),
        ({"new": "40m", "now": "36mm"}, "measure-nonsense"),
    ],
)
def test_nonsense_is_refused(said: dict[str, str], code: str) -> None:
    assert [found for found, _ in refused(HEEL, **said)] == [code]


@pytest.mark.parametrize(
    ("said", "verdict", "off"),
    [
        ({"now": "92.9"}, "in", "2.9"),
        ({"now": "93.0"}, "in", "3"),
        ({"now": "93.1 deg"}, "stop", "3.1"),
        ({"now": "87.0"}, "in", "3"),
        ({"now": "86.9"}, "stop", "3.1"),
        ({"now": "93.1", "new": "90.5"}, "in", "2.6"),
        ({"now": "93.1", "new": "90.0"}, "stop", "3.1"),
        ({"now": "91.5", "new": "88.0"}, "stop", "3.5"),
    ],
)
def test_more_than_three_degrees_off_is_out_both_ways(said: dict[str, str], verdict: str, off: str) -> None:
    found = gauge(ANGLE, **said)
    assert (found.verdict, found.value, found.unit) == (verdict, Decimal(off), "deg")
    assert bool(found.notes) is ("new" not in said)
    assert set(verdicts(ANGLE, **said)) == {verdict}


def test_the_angle_that_is_further_off_counts() -> None:
    assert gauge(ANGLE, now=("left=90.5", "right=86.0")).because.startswith("86 deg (right) is 4 deg off 90 deg")


@pytest.mark.parametrize(
    ("length", "bow", "verdict"),
    [
        ("1000 mm", "4.9 mm", "in"),
        ("1000 mm", "5.0 mm", "in"),
        ("1000 mm", "5.1 mm", "stop"),
        ("1 m", "0.19 in", "in"),
        ("1 m", "0.20 in", "stop"),
        ("40 in", "5.08 mm", "in"),
        ("40 in", "5.09 mm", "stop"),
        ("900 mm", "0 mm", "in"),
    ],
)
def test_half_a_percent_of_bow_still_passes(length: str, bow: str, verdict: str) -> None:
    assert gauge(STRAIGHT, length=length, bow=bow).verdict == verdict
    assert set(verdicts(STRAIGHT, length=length, bow=bow)) == {verdict}


def test_the_deepest_bow_counts() -> None:
    because = gauge(STRAIGHT, length="1 m", bow=("blade=2mm", "shank=6mm")).because
    assert because.startswith("A bow of 6 mm (shank) on 1 m is 0.6 %. Bent by more than 0.5 % of its length: out")


@pytest.mark.parametrize(
    ("blade", "difference", "verdict", "limit"),
    [
        ("1200 mm", "5.9 mm", "in", "3"),
        ("1200 mm", "6.0 mm", "watch", "0.5"),
        ("1200 mm", "6.1 mm", "watch", "0.5"),
        ("1200 mm", "36.0 mm", "watch", "0.5"),
        ("1200 mm", "36.1 mm", "stop", "3"),
        ("48 in", "1.44 in", "watch", "0.492126"),
        ("48 in", "1.45 in", "stop", "3"),
        ("48 in", "36.57 mm", "watch", "0.492126"),
        ("48 in", "36.58 mm", "stop", "3"),
        # read to a sixteenth of an inch, the 6 mm are the sixteenth below them: 3/16
        ("1200 mm", "3/16 in", "watch", "0.5"),
        ("1200 mm", "2/16 in", "in", "3"),
    ],
)
def test_tips_are_watched_from_six_millimetres_and_out_above_three_percent(
    blade: str, difference: str, verdict: str, limit: str
) -> None:
    found = gauge(TIPS, blade=blade, difference=difference)
    assert (found.verdict, found.limit, found.unit) == (verdict, Decimal(limit), "%")
    assert set(verdicts(TIPS, blade=blade, difference=difference)) == {verdict}


def test_blade_and_difference_taken_for_one_another_are_refused() -> None:
    assert refused(TIPS, blade="40mm", difference="1200mm") == [
        ("measure-nonsense", "blade"),
        ("measure-nonsense", "difference"),
    ]


@pytest.mark.parametrize("found", ["crack", "weld", "heat"])
def test_what_is_found_at_heel_and_hooks_takes_it_out(found: str) -> None:
    seen = gauge(CRACKS, found=found)
    assert (seen.verdict, seen.value, seen.limit, seen.rule) == ("stop", None, None, "forks.cracks")


def test_no_crack_seen_is_not_none_there() -> None:
    seen = gauge(CRACKS, found="nothing")
    assert (seen.verdict, seen.value) == ("in", None)
    assert "tested for cracks" in seen.notes[0]
    assert refused(CRACKS, found="rust") == [("measure-word", "found")]
