"""What the project has ruled, and what 29 CFR 1910.178 forbids or demands, held against the rules of every kind.

Only what rules data decide; what a truck's state makes of it is held in `test_state`. Paragraphs: *Source* beside each.
"""

from __future__ import annotations

import re
from decimal import Decimal

import pytest

from dipmark.adapters.rulefiles import read_rules
from dipmark.rules.model import KIND_KEYS, Check, Kind, Symptom, Task

KINDS = read_rules().kinds

ENGINES = (
    "engine-cushion",
    "engine-pneumatic-petrol",
    "engine-pneumatic-lpg",
    "engine-pneumatic-diesel",
    "tow-tractor",
    "rough-terrain",
    "telescopic",
)
BATTERIES = ("electric-counterbalanced", "reach", "order-picker", "pallet", "tow-tractor", "rough-terrain")
TANKS = tuple(key for key in ENGINES if key != "engine-pneumatic-lpg")
GAS = ("engine-cushion", "engine-pneumatic-lpg", "tow-tractor", "rough-terrain")
RIDERS = tuple(key for key in KIND_KEYS if key != "pallet")
MASTS = tuple(key for key in KIND_KEYS if key not in ("tow-tractor", "telescopic"))
LIFTS = tuple(key for key in KIND_KEYS if key != "tow-tractor")
AIR = tuple(key for key in KIND_KEYS if KINDS[key].check("tyres.pressure"))


def check(kind: str, id: str) -> Check:
    found = KINDS[kind].check(id)
    assert found is not None, (kind, id)
    return found


def symptom(kind: str, id: str, what: str) -> Symptom:
    found = check(kind, id).symptom(what)
    assert found is not None, (kind, id, what)
    return found


def task(kind: str, id: str) -> Task:
    found = KINDS[kind].task(id)
    assert found is not None, (kind, id)
    return found


def where(kinds: tuple[str, ...], *rows: tuple[str, str, str]) -> list[tuple[str, str, str, str]]:
    return [(kind, *row) for kind in kinds for row in rows]


RULED = [  # source: rulings.md, "Man, truck and work are judged apart", "Edges and windows", "People"
    *where(RIDERS, ("steps.firm", "loose", "stop"), ("brake-fluid.level", "low", "stop")),
    *where(KIND_KEYS, ("alarm.reversing", "dead", "stop"), ("display.code", "code", "stop")),
    *where(KIND_KEYS, ("ground.leaks", "brake-steering", "stop"), ("horn.heard", "weak", "stop")),
    *where(ENGINES, ("exhaust.tight", "leak", "stop"), ("inching.pedal", "slips", "stop")),
    *where(ENGINES, ("battery.held", "held", "stop"), ("belts.whole", "pump", "stop")),
    *where(ENGINES, ("engine-oil.level", "low", "now"), ("engine-oil.level", "fuel", "now")),
    *where(ENGINES, ("oil-pressure.rises", "none", "now"), ("noise.unusual", "headache", "now")),
    *where(GAS, ("ground.leaks", "fuel", "now"), ("lpg.tight", "leak", "now"), ("engine.starts", "no-start", "now")),
    *where(TANKS, ("ground.leaks", "spilled", "now"), ("fuel.tight", "leak", "now")),
    *where(MASTS, ("hoses.mast", "wet", "stop"), ("load.creep", "sinks", "stop"), ("forks.cracks", "thin", "stop")),
    *where(AIR, ("tyres.pressure", "soft", "now")),
    *where(BATTERIES, ("battery.lithium", "sick", "now"), ("battery.plug", "bare", "now")),
]


@pytest.mark.parametrize(("kind", "id", "what", "seriousness"), RULED)
def test_ruled_seriousness(kind: str, id: str, what: str, seriousness: str) -> None:
    found = symptom(kind, id, what)
    assert (found.seriousness, found.affects_safety) == (seriousness, True)


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_what_the_driver_may_put_right_he_writes_down(kind: str) -> None:
    """*Source*: rulings.md, "Put right on the spot"."""
    for one in KINDS[kind].checks:
        for found in one.symptoms:
            assert found.put_right is None or len(found.put_right.split()) > 2, (one.id, found.id)
    assert symptom(kind, "surroundings.clear", "blocked").put_right
    if kind in AIR:
        assert symptom(kind, "tyres.pressure", "low").put_right
        assert symptom(kind, "tyres.pressure", "soft").put_right is None  # 80.0 % is out: not inflated on the truck
    if kind in BATTERIES:
        assert symptom(kind, "charger.off", "on").put_right
    if kind in ENGINES:
        assert symptom(kind, "engine-oil.level", "low").put_right
        assert "bottle" in check(kind, "coolant.level").text
        assert "10 seconds" in check(kind, "oil-pressure.rises").text
    if kind in RIDERS:
        assert symptom(kind, "brake-fluid.level", "low").put_right is None  # it is going somewhere


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_repairs_of_brakes_steering_lift_mast_forks_chain_are_tested_before_release(kind: str) -> None:
    """*Source*: rulings.md: a recorded test before release, common practice."""
    parts = (
        "brake",
        "braking",
        "brake-fluid",
        "steering",
        "lift",
        "lifting",
        "mast",
        "forks",
        "chain",
        "boom",
        "tiller",
    )
    named = [one for one in KINDS[kind].checks if one.id.split(".")[0] in parts]
    untested = {one.id for one in named if not one.retest}
    assert untested <= {"chain.oil", "tiller.creep"}


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_windows(kind: str) -> None:
    """*Source*: rulings.md: chain, forks, brakes, gas 0 late; oil and grease 10 %, at most 25 h; the 8 hours none."""
    for one in KINDS[kind].tasks:
        part = one.id.split(".")[0]
        if part in ("chain", "forks", "brake", "lpg", "petrol", "diesel", "fuel", "boom", "tiller", "harness"):
            assert one.window.late_percent == 0, one.id
        if one.window.late_percent:
            assert (one.window.late_percent, one.window.late_most_hours) == (Decimal(10), Decimal(25)), one.id
    daily = KINDS[kind].service("8h")
    assert daily is not None
    window = KINDS[kind].window(daily)
    assert (window.early_percent, window.late_percent) == (Decimal(0), Decimal(0))
    assert (daily.months, daily.state_when_late) == (None, None)


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_150_hours_are_the_8_and_engine_oil_and_its_filter(kind: str) -> None:
    """*Source*: rulings.md, rhythm of engine trucks."""
    for id in ("150h", "200h"):
        service = KINDS[kind].service(id)
        assert (service is None) == (kind not in ENGINES)
        if service is not None:
            assert service.tasks == ("engine-oil.change", "engine-oil.filter")
            assert "coat the new gasket with clean oil before fitting" in task(kind, "engine-oil.filter").text
            assert KINDS[kind].window(service).late_hours(Decimal(150)) == 15


@pytest.mark.parametrize("kind", BATTERIES)
def test_one_reading_of_a_cell_decides_nothing(kind: str) -> None:
    """*Source*: rulings.md: charge, rest, measure again, beware fresh water."""
    text = task(kind, "battery.cells").text
    assert all(word in text for word in ("charge, rest, measure again", "fresh water"))
    assert any("frozen battery is never charged" in one for one in task(kind, "battery.cells").cautions)
    assert any("leave it, clear people, fire service" in one for one in check(kind, "battery.lithium").cautions)


@pytest.mark.parametrize("kind", GAS)
def test_cylinder_past_its_date_runs_empty_in_the_united_states_only(kind: str) -> None:
    """*Source*: rulings.md; `cylinder-date`."""
    assert symptom(kind, "cylinder.sound", "date").seriousness == "now"
    empty = symptom(kind, "cylinder.sound", "run-empty")
    assert (empty.seriousness, empty.source) == ("watch", "cylinder-date")
    assert "United States only" in empty.text
    assert "never refilled" in empty.text


@pytest.mark.parametrize("kind", [key for key in MASTS if KINDS[key].check("forks.tips")])
def test_tips_are_watched_short_of_three_percent_and_out_above(kind: str) -> None:
    """*Source*: rulings.md: 3 % of the blade is the limit, 6 mm a setting to watch."""
    uneven = symptom(kind, "forks.tips", "uneven")
    assert (uneven.seriousness, uneven.affects_safety) == ("watch", False)
    assert symptom(kind, "forks.tips", "lower").seriousness == "stop"


@pytest.mark.parametrize("kind", LIFTS)
def test_creep_with_load_is_a_mechanics_test(kind: str) -> None:
    """*Source*: rulings.md: the driver is asked only for what is plainly seen."""
    found = KINDS[kind].check("load.creep")
    assert found is None or "while you watch" in found.text
    work = KINDS[kind].task("load.creep")
    assert work is None or "roped off" in work.text


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_only_who_put_a_lock_on_takes_it_off(kind: str) -> None:
    """*Source*: 29 CFR 1910.147(e)(3)."""
    assert any("only who put it on takes it off" in one for one in check(kind, "card.read").cautions)
    on = symptom(kind, "card.read", "card-on")
    assert (on.seriousness, on.legal) == ("now", True)


def test_torque_comes_from_the_book_only() -> None:
    """*Source*: rulings.md: a computed torque is refused for wheels and for all that carries."""
    for kind in (key for key in KIND_KEYS if KINDS[key].task("wheels.nuts")):
        assert any("own book only" in one for one in task(kind, "wheels.nuts").cautions)
        assert task(kind, "wheels.nuts").plate == ("wheel-nut-torque",)


# ---------------------------------------------------------------- 29 CFR 1910.178, where rules data decide it


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_p1_and_q1_what_is_in_any_way_unsafe_is_out_of_service(kind: str) -> None:
    """*Source*: 1910.178(p)(1), (q)(1)."""
    for one in KINDS[kind].checks:
        assert all(found.stop_worthy for found in one.symptoms if found.affects_safety), one.id
    assert symptom(kind, "card.read", "card-on").source == "us-178-p1"


@pytest.mark.parametrize("kind", TANKS)
def test_p2_and_p3_no_filling_with_the_engine_running_and_no_start_with_fuel_spilled(kind: str) -> None:
    """*Source*: 1910.178(p)(2), (p)(3)."""
    spilled = symptom(kind, "fuel.tight", "spilled")
    assert (spilled.seriousness, spilled.legal, spilled.source) == ("now", True, "us-178-p2")
    assert "cap back on" in (spilled.put_right or "")
    assert any("Engine off" in one for one in check(kind, "fuel.tight").cautions)


@pytest.mark.parametrize("kind", ENGINES)
def test_p4_no_operation_with_a_fuel_leak(kind: str) -> None:
    """*Source*: 1910.178(p)(4)."""
    leaks = [found for one in KINDS[kind].checks for found in one.symptoms if found.source == "us-178-p4"]
    assert leaks
    assert all((found.seriousness, found.put_right) == ("now", None) for found in leaks)


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_p5_no_flame_to_look_at_fuel_or_battery(kind: str) -> None:
    """*Source*: 1910.178(p)(5)."""
    assert any("Never a flame" in one for one in task(kind, "fluids.topped-up").cautions)


@pytest.mark.parametrize("kind", [key for key in ENGINES if key != "engine-pneumatic-lpg"])
def test_q2_and_q3_fuel_and_ignition_are_mended_in_their_own_place(kind: str) -> None:
    """*Source*: 1910.178(q)(2), (q)(3)."""
    for one in KINDS[kind].tasks:
        if one.id in ("fuel.lines", "petrol.filter", "diesel.filter", "ignition.plugs", "ignition.change"):
            assert any("place set aside" in caution for caution in one.cautions), one.id


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_q4_battery_off_before_work_on_the_wires(kind: str) -> None:
    """*Source*: 1910.178(q)(4)."""
    electric = ("cables", "contactors", "motors", "insulation", "ignition")
    named = [one for one in KINDS[kind].tasks if one.id.split(".")[0] in electric]
    assert all(any("Battery off" in caution for caution in one.cautions) for one in named)


@pytest.mark.parametrize("kind", [key for key in KIND_KEYS if KINDS[key].task("guard.welds")])
def test_q5_and_q6_parts_of_equal_safety_nothing_altered(kind: str) -> None:
    """*Source*: 1910.178(q)(5), (q)(6)."""
    assert any("Parts of equal safety only" in one for one in task(kind, "guard.welds").cautions)


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_q7_examined_before_each_shift(kind: str) -> None:
    """*Source*: 1910.178(q)(7)."""
    assert task(kind, "walk-round.made").source == "us-178-q7"
    daily = KINDS[kind].service("8h")
    assert daily is not None
    assert daily.interval_hours == 8
    assert "walk-round.made" in daily.tasks


@pytest.mark.parametrize("kind", ENGINES)
def test_q8_and_q9_sparks_flames_and_overheating_stop_it_at_once(kind: str) -> None:
    """*Source*: 1910.178(q)(8), (q)(9)."""
    sparks, hot = symptom(kind, "exhaust.tight", "sparks"), symptom(kind, "temperature.normal", "high")
    assert (sparks.seriousness, sparks.source, sparks.legal) == ("now", "us-178-q8", True)
    assert (hot.seriousness, hot.source, hot.legal) == ("now", "us-178-q9", True)


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_q10_kept_clean(kind: str) -> None:
    """*Source*: 1910.178(q)(10)."""
    lint = symptom(kind, "truck.damage", "lint")
    assert (lint.seriousness, lint.source, lint.legal) == ("stop", "us-178-q10", True)


@pytest.mark.parametrize("kind", BATTERIES)
def test_g_charging(kind: str) -> None:
    """*Source*: 1910.178(g): covers open, no flame or spark, no tool on top, acid into water."""
    charging = check(kind, "charging.on")
    assert charging.source == "us-178-g"
    assert "covers open, nothing lies on the battery" in charging.text
    assert any("no flame or spark" in one for one in charging.cautions)
    assert any("acid into water" in one for one in check(kind, "battery.water").cautions)


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_a_plates_and_attachments(kind: str) -> None:
    """*Source*: 1910.178(a)(4), (a)(5), (a)(6)."""
    for what in ("unreadable", "wrong"):
        found = symptom(kind, "plate.readable", what)
        assert (found.seriousness, found.legal) == ("stop", True)
    attached = KINDS[kind].check("attachment.locked")
    assert attached is None or symptom(kind, "attachment.locked", "plate").source == "us-178-a4"


@pytest.mark.parametrize("kind", KIND_KEYS)
def test_m5_left_lowered_and_braked(kind: str) -> None:
    """*Source*: 1910.178(m)(5)."""
    assert symptom(kind, "park.brake", "rolls").source == "us-178-m5"
    if kind in LIFTS:
        assert symptom(kind, "park.forks", "up").source == "us-178-m5"


def _kinds_with(id: str) -> list[Kind]:
    return [kind for kind in KINDS.values() if kind.check(id)]


def test_no_count_of_fittings_anywhere() -> None:
    """*Source*: rulings.md, "Never invented on paper"."""
    assert len(_kinds_with("card.read")) == 11
    for kind in KINDS.values():
        for one in kind.tasks:
            assert not re.search(r"\d+ (?:fittings|nipples|points)", one.text), one.id
