"""The coolant: which side of a limit its edge falls on, which table is told, what is refused."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from derive.condition.gauging import SUBJECTS, gauge, refused
from derive.condition.roundabout import roundabout
from dipmark.derive.condition.coolant import MEASUREMENTS, tables
from dipmark.derive.judging import Measurement

COOLANT, BOILING, REFILL = MEASUREMENTS
EG = {"glycol": "ethylene", "by": "volume"}


@pytest.mark.parametrize(
    ("said", "verdict", "rule"),
    [
        # half and half freezes at -37.1 by one table, at -37.0 by another: the warmest counts
        ({**EG, "percent": "50", "lowest": "-31.9C"}, "in", "coolant.frost"),
        ({**EG, "percent": "50", "lowest": "-32.0C"}, "in", "coolant.frost"),
        ({**EG, "percent": "50", "lowest": "-32.1C"}, "watch", "coolant.frost"),
        ({**EG, "percent": "50", "lowest": "-25.6F"}, "in", "coolant.frost"),
        ({**EG, "percent": "50", "lowest": "-25.7F"}, "watch", "coolant.frost"),
        ({"glycol": "ethylene", "freezes": "-30C", "lowest": "-25C"}, "in", "coolant.frost"),
        ({"glycol": "ethylene", "freezes": "-22F", "lowest": "-25C"}, "in", "coolant.frost"),
        ({"glycol": "ethylene", "freezes": "-30C", "lowest": "-26C"}, "watch", "coolant.frost"),
        ({**EG, "percent": "60"}, None, None),
        ({**EG, "percent": "60", "lowest": "-47C"}, "in", "coolant.frost"),
        ({**EG, "percent": "60.1"}, "watch", "coolant.glycol"),
        ({**EG, "percent": "60.1", "lowest": "10C"}, "watch", "coolant.glycol"),
        ({"glycol": "ethylene", "freezes": "-30C"}, None, None),
    ],
)
def test_each_side_of_each_edge(said: dict[str, str], verdict: str | None, rule: str | None) -> None:
    found = gauge(COOLANT, **said)
    assert (found.verdict, found.rule) == (verdict, rule)


def test_the_limit_stands_where_the_value_stands() -> None:
    found = gauge(COOLANT, **EG, percent="50", lowest="-22F")
    assert (found.value, found.limit, found.unit) == (Decimal("-37.1"), Decimal(-35), "C")
    strong = gauge(COOLANT, **EG, percent="70")
    assert (strong.value, strong.limit, strong.unit) == (None, Decimal(60), "%")


def test_where_one_table_is_known_there_is_no_band() -> None:
    found = gauge(COOLANT, glycol="propylene", by="mass", percent="40")
    assert (found.value, found.low, found.high, found.notes) == (Decimal("-20.6"), None, None, ())
    assert (found.source, found.verdict) == ("glycol-melinder", None)


def test_a_table_that_ends_earlier_is_left_out_beyond_its_end() -> None:
    assert len(tables("propylene", "volume", SUBJECTS["coolant"])) == 3
    assert gauge(COOLANT, glycol="propylene", by="volume", percent="50").high == Decimal(-33)
    found = gauge(COOLANT, glycol="propylene", by="volume", percent="55")
    assert (found.low, found.high) == (Decimal("-41.6"), Decimal(-41))


def test_tables_that_agree_still_give_their_band() -> None:
    found = gauge(COOLANT, **EG, percent="0")
    assert [found.value, found.low, found.high] == [0, 0, 0]


@pytest.mark.parametrize("glycol", ["ethylene", "propylene"])
@pytest.mark.parametrize("by", ["mass", "volume"])
def test_more_glycol_never_makes_it_worse_up_to_60_percent_and_is_watched_above(glycol: str, by: str) -> None:
    said = [gauge(COOLANT, glycol=glycol, by=by, percent=f"{step}", lowest="-25C").verdict for step in range(101)]
    first = said.index("in")
    assert said == ["watch"] * first + ["in"] * (61 - first) + ["watch"] * 40


@pytest.mark.parametrize(
    ("hottest", "verdict"),
    [
        # half and half under 15 psi: 223 + 249.7 - 212 = 260.7 °F by the steam tables, less 10.08 °F
        ("250.6F", "in"),
        ("250.62F", "in"),
        ("250.63F", "watch"),
        ("250.7F", "watch"),
        ("121.45C", "in"),
        ("121.46C", "watch"),
    ],
)
def test_each_side_of_the_margin_to_boiling(hottest: str, verdict: str) -> None:
    found = gauge(BOILING, glycol="ethylene", percent="50", cap="15psi", hottest=hottest)
    assert (found.verdict, found.rule, found.unit) == (verdict, "coolant.boiling", "C")


def test_height_lowers_the_boiling_point_and_propylene_counts_as_water() -> None:
    plain = gauge(BOILING, glycol="propylene", percent="50")
    assert (plain.value, plain.low, plain.verdict) == (Decimal(100), Decimal(100), None)
    assert plain.notes == ("Counted as water: at least this.",)
    assert gauge(BOILING, glycol="propylene", percent="50", altitude="600m").value == 97
    assert (
        gauge(BOILING, glycol="ethylene", percent="60").value == gauge(BOILING, glycol="ethylene", percent="50").value
    )
    assert "no cap" in plain.because


@pytest.mark.parametrize(
    ("now", "wanted", "litres", "fill"),
    [
        ("50%", "50%", "0", "neat glycol"),
        ("0%", "50%", "10", "neat glycol"),
        ("60%", "45%", "5", "water"),
        ("20%", "60%", "10", "neat glycol"),
    ],
)
def test_drain_and_refill(now: str, wanted: str, litres: str, fill: str) -> None:
    found = gauge(REFILL, system="20l", now=now, wanted=wanted)
    assert (found.value, found.more["refill"], found.verdict) == (Decimal(litres), fill, None)
    # what stays and what comes in give the mixture that was wanted
    share = Fraction(litres) / 20
    mixed = Fraction(now[:-1]) * (1 - share) + (100 if fill == "neat glycol" else 0) * share
    assert mixed == Fraction(wanted[:-1])


@pytest.mark.parametrize(
    ("measurement", "said", "found"),
    [
        (COOLANT, {"glycol": "ethylene"}, [("measure-missing", "percent")]),
        (COOLANT, {"glycol": "ethylene", "percent": "50"}, [("measure-missing", "by")]),
        (COOLANT, {"glycol": "ethylene", "by": "mass"}, [("measure-missing", "percent")]),
        (COOLANT, {"glycol": "glycerol", "by": "weight", "percent": "-5"}, [
            ("measure-word", "glycol"), ("measure-word", "by"), ("measure-nonsense", "percent"),
        ]),
        (COOLANT, {"percent": "101 %", "lowest": "1800C"}, [
            ("measure-missing", "glycol"), ("measure-nonsense", "percent"), ("measure-nonsense", "lowest"),
        ]),
        (COOLANT, {"glycol": "ethylene", "freezes": "5C"}, [("measure-nonsense", "freezes")]),
        (BOILING, {"glycol": "ethylene", "percent": "NaN", "cap": "15 C"}, [
            ("quantity-unreadable", "percent"), ("quantity-unit", "cap"),
        ]),
        (REFILL, {"system": "16l", "now": "35%", "wanted": "61%"}, [("measure-nonsense", "wanted")]),
        (REFILL, {"system": "0l", "now": "100%", "wanted": "50%"}, [
            ("measure-nonsense", "system"), ("measure-nonsense", "now"),
        ]),
    ],
)  # fmt: skip
def test_nonsense_says_what_to_do(measurement: Measurement, said: dict[str, str], found: list[tuple[str, str]]) -> None:
    assert refused(measurement, **said) == found


@pytest.mark.parametrize(
    "said",
    [
        {**EG, "percent": "50", "lowest": "-32.0C"},
        {**EG, "percent": "50", "lowest": "-25.6F"},
        {**EG, "percent": "60"},
        {"glycol": "propylene", "freezes": "-22F", "lowest": "-25C"},
        {"glycol": "propylene", "freezes": "-30C", "lowest": "-13F"},
    ],
)
def test_no_verdict_depends_on_the_unit(said: dict[str, str]) -> None:
    assert len(roundabout(COOLANT, **said)) == 1


def test_no_verdict_on_boiling_depends_on_the_unit() -> None:
    said = {"glycol": "ethylene", "percent": "50", "cap": "15psi", "altitude": "300m", "hottest": "250F"}
    assert len(roundabout(BOILING, **said)) == 1
