"""Leaks: class against fluid and part, what drops come to, what is said where nobody counted."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.condition.converted import verdicts
from derive.condition.gauging import gauge, refused
from dipmark.derive.condition.leaks import ASK, BRAKE, FLUIDS, FUELS, MEASUREMENTS, SEEN

(LEAK,) = MEASUREMENTS
CALM = ("in", "watch", "watch", "stop")
"""By what is seen, for what is neither fuel nor holds anything."""


@pytest.mark.parametrize("fluid", [one for one in FLUIDS if one not in (*FUELS, BRAKE, "battery-acid")])
@pytest.mark.parametrize(("seen", "verdict"), [*zip(SEEN, CALM, strict=True)])
def test_class_three_is_out_one_and_two_are_watched(fluid: str, seen: str, verdict: str) -> None:
    found = gauge(LEAK, fluid=fluid, seen=seen, part="elsewhere")
    assert (found.verdict, found.value, found.unit, found.notes) == (verdict, None, None, ())
    assert found.limit == ("class 1" if verdict == "watch" else "class 3")


@pytest.mark.parametrize("fluid", FUELS)
@pytest.mark.parametrize("seen", SEEN)
def test_any_fuel_leak_is_no_start(fluid: str, seen: str) -> None:
    found = gauge(LEAK, fluid=fluid, seen=seen)
    assert (found.verdict, found.rule) == ("in" if seen == "dry" else "now", "leaks.fuel")
    assert found.limit == "dry"


@pytest.mark.parametrize(
    ("said", "rule"),
    [
        ({"fluid": "brake-fluid"}, "leaks.holds"),
        ({"fluid": "hydraulic-oil", "part": "brakes"}, "leaks.holds"),
        ({"fluid": "hydraulic-oil", "part": "steering"}, "leaks.holds"),
        ({"fluid": "hydraulic-oil", "part": "pressure-hose"}, "leaks.holds"),
        ({"fluid": "battery-acid"}, "leaks.acid"),
    ],
)
@pytest.mark.parametrize("seen", SEEN)
def test_what_brakes_steers_or_lifts_is_out_whatever_the_class(said: dict[str, str], rule: str, seen: str) -> None:
    found = gauge(LEAK, seen=seen, **said)
    assert (found.verdict, found.rule) == ("in" if seen == "dry" else "stop", rule)


def test_fuel_goes_before_the_part_it_leaks_from() -> None:
    assert gauge(LEAK, fluid="diesel", seen="wet", part="pressure-hose").verdict == "now"


def test_where_the_part_is_not_said_it_is_asked_for() -> None:
    assert gauge(LEAK, fluid="hydraulic-oil", seen="wet").notes == (ASK,)
    assert gauge(LEAK, fluid="hydraulic-oil", seen="dry").notes == ()
    assert gauge(LEAK, fluid="diesel", seen="wet").notes == ()


def test_drops_that_fall_are_class_three_however_few() -> None:
    found = gauge(LEAK, fluid="coolant", drops_per_minute="0.1", seen="drops", part="elsewhere")
    assert (found.verdict, found.more["class"], found.rule) == ("stop", "III", "leaks.falling")


def test_without_drops_what_is_seen_decides() -> None:
    assert refused(LEAK, fluid="coolant") == [("measure-missing", "seen")]
    assert refused(LEAK, fluid="coolant", drops_per_minute="0") == [("measure-missing", "seen")]
    found = gauge(LEAK, fluid="coolant", drops_per_minute="0", seen="drops", part="elsewhere")
    assert (found.verdict, found.value, found.more) == ("watch", None, {"class": "II"})


def test_where_nobody_counted_the_drops_of_a_millilitre_it_is_a_band() -> None:
    found = gauge(LEAK, fluid="engine-oil", drops_per_minute="60", part="elsewhere")
    assert (found.value, found.unit, found.low, found.high) == (
        Decimal(180),
        "ml/h",
        Decimal("118.032787"),
        Decimal(240),
    )
    assert found.notes == ("Reckoned with 0.05 ml to the drop.",)
    counted = gauge(LEAK, fluid="engine-oil", drops_per_minute="60", drops_per_ml="15", part="elsewhere")
    assert (counted.value, counted.low, counted.high) == (Decimal(240), None, None)
    assert counted.more["ml-per-drop"] == Decimal("0.066667")


def test_hours_until_it_is_empty() -> None:
    said = {"fluid": "coolant", "part": "elsewhere", "drops_per_minute": "10", "drops_per_ml": "20"}
    found = gauge(LEAK, left="1.5 l", **said)
    assert found.more["hours-to-empty"] == Decimal(50)
    assert "for ordering only" in found.notes[-1]
    assert gauge(LEAK, left="1 qt", **said).more["hours-to-empty"] == Decimal("31.55")
    assert set(verdicts(LEAK, left="1.5 l", **said)) == {"stop"}


@pytest.mark.parametrize(
    ("said", "codes"),
    [
        ({"seen": "wet"}, ["measure-missing"]),
        ({"fluid": "beer", "seen": "wet"}, ["measure-word"]),
        ({"fluid": "coolant", "drops_per_minute": "-1"}, ["measure-nonsense"]),
        # half a millilitre to the drop is ten times too much
        ({"fluid": "coolant", "drops_per_minute": "10", "drops_per_ml": "2"}, ["measure-nonsense"]),
        ({"fluid": "coolant", "drops_per_minute": "10", "left": "0 l"}, ["measure-nonsense"]),
        ({"fluid": "coolant", "drops_per_minute": "10 mm"}, ["quantity-unit"]),
    ],
)
def test_nonsense_is_refused(said: dict[str, str], codes: list[str]) -> None:
    assert [found for found, _ in refused(LEAK, **said)] == codes
