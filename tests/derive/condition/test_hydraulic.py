"""The hydraulic oil: counts in their order, which side of a limit its edge falls on, what is refused."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.gauging import gauge, refused
from derive.condition.roundabout import roundabout
from dipmark.derive.condition.hydraulic import MEASUREMENTS
from dipmark.derive.judging import Measurement

CLEAN, AS4059, NAS1638, WATER, ACID = MEASUREMENTS
THREE = ("3000", "500", "7")


@pytest.mark.parametrize(
    ("target", "verdict", "worse"),
    [
        ("19/16/10", "in", ""),
        ("18/16/10", "watch", "Over 4 µm: "),
        ("19/15/10", "watch", "Over 6 µm: "),
        ("18/16/9", "watch", "Over 4 µm, over 14 µm: "),
    ],
)
def test_each_size_against_its_target(target: str, verdict: str, worse: str) -> None:
    found = gauge(CLEAN, per_ml=THREE, target=target)
    assert (found.verdict, found.limit, found.rule, found.unit) == (verdict, target, "hydraulic.target", None)
    assert worse in found.because


def test_without_a_target_there_is_no_verdict() -> None:
    found = gauge(CLEAN, per_ml=THREE)
    assert (found.verdict, found.limit, found.rule, found.source) == (None, None, None, "iso-4406")


def test_what_is_dirtier_than_every_code_is_over_every_target() -> None:
    found = gauge(CLEAN, per_ml=("2500001", "0", "0"), target="28/28/28")
    assert (found.value, found.verdict) == (">28/0/0", "watch")


@pytest.mark.parametrize(
    ("counted", "value"), [("2 ml", "19/16/≥10"), ("2.857ml", "19/16/≥10"), ("3ml", "19/16/10"), ("1l", "19/16/10")]
)
def test_few_particles_are_marked(counted: str, value: str) -> None:
    found = gauge(CLEAN, per_ml=THREE, counted=counted)
    assert found.value == value
    assert ("fewer than 20" in " ".join(found.notes)) is ("≥" in value)


def test_counts_may_be_named_by_their_size() -> None:
    assert gauge(CLEAN, per_ml=("14=7", "4=3000", "6=500")).value == "19/16/10"
    assert gauge(AS4059, per_100ml=("d=306", "b=38900", "c=3460")).value == "7B/6C/5D"
    assert gauge(AS4059, per_100ml=("195", "76", "14", "3", "1", "0")).value == "000A/000B/000C/000D/000E/000F"
    assert gauge(AS4059, per_100ml=("390", "152")).value == "00A/00B"
    assert gauge(AS4059, per_100ml=("3200001",)).value == ">12A"
    named = ("over 100=0", "5-15=250", "15-25=44", "25-50=8", "50-100=2")
    assert gauge(NAS1638, per_100ml=named).value == "0"


@pytest.mark.parametrize(
    ("counts", "worst"),
    [
        (("0", "0", "0", "0", "0"), "00"),
        (("126", "0", "0", "0", "0"), "0"),
        (("8000", "0", "0", "0", "9"), "6"),
        (("1024001", "182400", "0", "0", "0"), ">12"),
        (("0", "0", "0", "0", "1025"), ">12"),
    ],
)
def test_the_worst_size_is_the_class(counts: tuple[str, ...], worst: str) -> None:
    assert gauge(NAS1638, per_100ml=counts).value == worst


@pytest.mark.parametrize(
    ("said", "verdict", "rule"),
    [
        ({"water": "400ppm"}, "in", "hydraulic.drain"),
        ({"water": "401ppm"}, "watch", "hydraulic.filter"),
        ({"water": "0.04%"}, "in", "hydraulic.drain"),
        ({"water": "0.0401%"}, "watch", "hydraulic.filter"),
        ({"water": "500ppm"}, "watch", "hydraulic.filter"),
        ({"water": "501ppm"}, "repair-by", "hydraulic.drain"),
        ({"water": "124ppm", "saturation": "250ppm"}, "in", "hydraulic.drain"),
        ({"water": "125ppm", "saturation": "250ppm"}, "watch", "hydraulic.half"),
        ({"water": "501ppm", "saturation": "250ppm"}, "repair-by", "hydraulic.drain"),
    ],
)
def test_each_side_of_each_edge_of_water(said: dict[str, str], verdict: str, rule: str) -> None:
    found = gauge(WATER, **said)
    assert (found.verdict, found.rule, found.unit) == (verdict, rule, "ppm")


def test_half_of_the_saturation_is_shown_as_the_limit() -> None:
    assert gauge(WATER, water="130ppm", saturation="0.025%").limit == Decimal(125)


@pytest.mark.parametrize(("now", "verdict"), [("1.39", "in"), ("1.40", "watch"), ("1.4", "watch"), ("0.3", "in")])
def test_each_side_of_the_edge_of_acid(now: str, verdict: str) -> None:
    found = gauge(ACID, new="0.40", now=now)
    assert (found.verdict, found.limit) == (verdict, Decimal(1))


@pytest.mark.parametrize(
    ("measurement", "said", "found"),
    [
        (CLEAN, {}, [("measure-missing", "per-100ml")]),
        (CLEAN, {"per_ml": THREE, "per_100ml": THREE}, [("measure-missing", "per-100ml")]),
        (CLEAN, {"per_ml": ("3000", "500")}, [("measure-missing", "per-ml")]),
        (CLEAN, {"per_ml": (*THREE, "1")}, [("measure-word", "per-ml")]),
        (CLEAN, {"per_ml": ("7", "500", "3000")}, [("measure-nonsense", "per-ml")]),
        (CLEAN, {"per_ml": ("5=3000", "15=500", "14=7")}, [("measure-word", "per-ml")]),
        (CLEAN, {"per_ml": ("3000", "-1", "NaN")}, [("measure-nonsense", "per-ml"), ("quantity-unreadable", "per-ml")]),
        (CLEAN, {"per_100ml": ("300,000", "500", "7")}, [("quantity-unreadable", "per-100ml")]),
        (CLEAN, {"per_ml": THREE, "target": "19/17"}, [("measure-word", "target")]),
        (AS4059, {"per_100ml": ("B=1", "B=1")}, [("measure-word", "per-100ml")]),
        (AS4059, {"per_100ml": ("A=1", "B=2")}, [("measure-nonsense", "per-100ml")]),
        (AS4059, {"per_100ml": ("G=1",)}, [("measure-word", "per-100ml")]),
        (NAS1638, {"per_100ml": ("8000", "1425")}, [("measure-missing", "per-100ml")]),
        (WATER, {"water": "300"}, [("quantity-unit", "water")]),
        (WATER, {"water": "-1ppm", "saturation": "5 mm"}, [
            ("measure-nonsense", "water"), ("quantity-unit", "saturation"),
        ]),
        (ACID, {"now": "1800"}, [("measure-missing", "new"), ("measure-nonsense", "now")]),
    ],
)  # fmt: skip
def test_nonsense_says_what_to_do(
    measurement: Measurement, said: dict[str, tuple[str, ...] | str], found: list[tuple[str, str]]
) -> None:
    assert refused(measurement, **said) == found


@pytest.mark.parametrize(
    ("measurement", "said"),
    [
        (WATER, {"water": "400ppm"}),
        (WATER, {"water": "0.05%"}),
        (WATER, {"water": "125ppm", "saturation": "0.025%"}),
        (CLEAN, {"per_ml": THREE, "counted": "3ml", "target": "19/16/10"}),
    ],
)
def test_no_verdict_depends_on_the_unit(measurement: Measurement, said: dict[str, tuple[str, ...] | str]) -> None:
    assert len(roundabout(measurement, **said)) == 1


def test_verdicts_only_get_worse_with_more_particles_and_more_water() -> None:
    order = ("in", "watch", "repair-by")
    water = [
        order.index(str(gauge(WATER, water=f"{step}ppm", saturation="250ppm").verdict)) for step in range(0, 700, 5)
    ]
    dirt = [
        order.index(str(gauge(CLEAN, per_ml=(f"{step}", "1", "1"), target="14/14/14").verdict))
        for step in range(1, 400)
    ]
    for ranks in (water, dirt):
        assert ranks == sorted(ranks)
        assert len(set(ranks)) > 1
