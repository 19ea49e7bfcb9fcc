"""What the project has ruled about checks, symptoms and services, held against the shipped rules."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest

from dipmark.adapters.rulefiles import read_problems, read_rules
from dipmark.rules.model import KIND_KEYS, Check, Service, Symptom, Task

RULES = read_rules()
KIND = RULES.kinds["engine-pneumatic-lpg"]


def check(id: str) -> Check:
    found = KIND.check(id)
    assert found is not None
    return found


def symptom(id: str, what: str) -> Symptom:
    found = check(id).symptom(what)
    assert found is not None
    return found


def task(id: str) -> Task:
    found = KIND.task(id)
    assert found is not None
    return found


def service(id: str) -> Service:
    found = KIND.service(id)
    assert found is not None
    return found


def test_shipped_rules_have_no_problem_hard_or_soft() -> None:
    assert read_problems() == ()


def test_every_kind_has_rules() -> None:
    assert set(RULES.kinds) == set(KIND_KEYS)
    assert len(KIND_KEYS) == 11
    assert RULES.kind("engine-pneumatic-lpg") is KIND
    assert RULES.kind("hovercraft") is None


def test_what_affects_safety_only_ever_stops_the_truck() -> None:
    for one in KIND.checks:
        for found in one.symptoms:
            assert found.stop_worthy or not found.affects_safety, (one.id, found.id)
            assert (found.days is not None) == (found.seriousness == "repair-by"), (one.id, found.id)


@pytest.mark.parametrize(
    ("id", "what", "seriousness"),
    [
        ("alarm.reversing", "dead", "stop"),
        ("exhaust.tight", "leak", "stop"),
        ("exhaust.tight", "sparks", "now"),
        ("steps.firm", "loose", "stop"),
        ("inching.pedal", "slips", "stop"),
        ("display.code", "code", "stop"),
        ("battery.held", "held", "stop"),
        ("belts.whole", "pump", "stop"),
        ("ground.leaks", "fuel", "now"),
        ("ground.leaks", "brake-steering", "stop"),
        ("hoses.mast", "wet", "stop"),
        ("engine-oil.level", "low", "now"),
        ("engine-oil.level", "fuel", "now"),
        ("lpg.tight", "leak", "now"),
        ("horn.heard", "weak", "stop"),
        ("noise.unusual", "headache", "now"),
        ("engine.starts", "no-start", "now"),
        ("load.creep", "sinks", "stop"),
        ("tyres.pressure", "soft", "now"),
    ],
)
def test_ruled_seriousness(id: str, what: str, seriousness: str) -> None:
    found = symptom(id, what)
    assert found.seriousness == seriousness
    assert found.affects_safety


def test_measured_value_short_of_its_limit_may_be_watched() -> None:
    uneven = symptom("forks.tips", "uneven")
    assert (uneven.seriousness, uneven.affects_safety) == ("watch", False)


def test_what_the_driver_may_put_right_asks_what_and_how_much() -> None:
    for id, what in (("engine-oil.level", "low"), ("coolant.level", "low"), ("tyres.pressure", "low")):
        assert symptom(id, what).put_right
    assert symptom("tyres.pressure", "soft").put_right is None  # 80.0 % is out: not inflated on the truck
    assert symptom("brake-fluid.level", "low").put_right is None  # it is going somewhere


def test_engine_oil_lamp_is_given_ten_seconds() -> None:
    assert "10 seconds" in check("oil-pressure.rises").text


def test_coolant_is_read_on_the_bottle() -> None:
    low = check("coolant.level")
    assert "bottle" in low.text
    assert any("stone-cold" in caution for caution in low.cautions)


def test_repairs_of_brakes_steering_lift_mast_forks_and_chain_are_tested_before_release() -> None:
    tested = {one.id.split(".")[0] for one in KIND.checks if one.retest}
    assert {"brake", "steering", "lift", "mast", "forks", "chain", "carriage", "cylinders", "hoses"} <= tested
    for one in KIND.checks:
        if one.id.split(".")[0] in ("brake", "steering", "lift", "mast", "forks"):
            assert one.retest, one.id


def test_places_are_walked_in_order_and_the_shift_ends_at_eleven() -> None:
    numbers = [place.number for place in KIND.places]
    assert numbers == sorted(set(numbers))
    assert (KIND.places[-1].id, KIND.places[-1].number) == ("shift-end", 11)
    turn = {place.id: place.number for place in KIND.places}
    walked = [turn[one.place] for one in KIND.checks]
    assert walked == sorted(walked)
    assert all((one.when == "shift-end") == (one.place == "shift-end") for one in KIND.checks)


def test_shift_list_is_short_enough_to_be_done() -> None:
    before = [one for one in KIND.checks_for(KIND.usual) if one.shift]
    assert not any(one.when == "shift-end" for one in before)
    assert 15 <= len(before) <= 25  # common practice: fifteen to twenty-five lines
    assert all(one.stop_worthy for one in before if one.id != "hours.read")


@pytest.mark.parametrize(
    ("id", "hours", "months", "includes"),
    [
        ("8h", 8, None, ()),
        ("150h", 150, 1, ("8h",)),
        ("450h", 450, 3, ("8h", "150h")),
        ("900h", 900, 6, ("8h", "150h", "450h")),
        ("1800h", 1800, 12, ("8h", "150h", "450h", "900h")),
    ],
)
def test_rhythm(id: str, hours: int, months: int | None, includes: tuple[str, ...]) -> None:
    found = service(id)
    assert (found.interval_hours, found.months, found.includes) == (Decimal(hours), months, includes)
    assert (found.meter or KIND.meters[0], found.once, found.state_when_late) == ("engine", False, None)


def test_150_hours_add_only_engine_oil_and_its_filter() -> None:
    assert service("150h").tasks == ("engine-oil.change", "engine-oil.filter")
    assert "coat the new gasket with clean oil before fitting" in task("engine-oil.filter").text


@pytest.mark.parametrize(
    ("id", "early", "late"),
    [("8h", "0", "0"), ("150h", "15", "15"), ("450h", "45", "0"), ("900h", "90", "0"), ("1800h", "180", "0")],
)
def test_windows(id: str, early: str, late: str) -> None:
    found = service(id)
    assert found.interval_hours is not None
    window = KIND.window(found)
    assert window.early_hours(found.interval_hours) == Decimal(early)
    assert window.late_hours(found.interval_hours) == Decimal(late)


def test_chain_forks_brakes_and_gas_are_never_late() -> None:
    for one in KIND.tasks:
        if one.id.split(".")[0] in ("chain", "forks", "brake", "lpg"):
            assert one.window.late_percent == 0, one.id
    oil = task("hydraulics.oil").window
    assert oil.late_hours(Decimal(1800)) == 25  # 10 % would be 180 h: late at most 25 h


def test_what_lpg_adds() -> None:
    own = {one.id for one in KIND.tasks if one.id.startswith("lpg.")}
    asked = {"soap-test", "lock-off", "vaporiser", "mixer", "carbon-monoxide", "cylinder", "hose-age"}
    assert {f"lpg.{what}" for what in asked} <= own


def test_oil_change_never_falls_twice() -> None:
    for rhythm in ("rhythm-150", "rhythm-200"):
        called = [one for one in KIND.services_for([rhythm]) if one.after]
        held = [one for one in KIND.services_for([rhythm]) if not (one.once or one.after)]
        named = [task for one in held for task in one.tasks]
        assert len(named) == len(set(named))
        assert {*named, *(task for one in called for task in one.tasks)} == {one.id for one in KIND.tasks}
        hours = [one.interval_hours for one in held if one.interval_hours]
        assert all(longer % shorter == 0 for shorter, longer in pairwise(hours[1:]))


def test_hard_use_shortens_and_the_worst_counts() -> None:
    assert service("450h").factor(["hard", "harsh"]) == Decimal("0.4")
    assert service("8h").factor(["harsh"]) == 1


def test_minutes_stay_near_what_the_trade_takes() -> None:
    # common practice: 120 to 170, 200 to 280, 360 to 480 minutes at the three longer steps
    total = {one.id: sum(work.minutes for work in KIND.all_tasks(one)) for one in KIND.services}
    assert 120 <= total["450h"] <= 170
    assert 200 <= total["900h"] <= 280
    assert 360 <= total["1800h"] <= 480


def test_every_value_has_a_source_that_is_explained() -> None:
    values = [*KIND.checks, *KIND.tasks, *KIND.services, *KIND.cautions]
    values += [found for one in KIND.checks for found in one.symptoms]
    assert all(value.source in RULES.sources for value in values)
    assert all((value.mark == "common practice") == (value.source == "practice") for value in values)
