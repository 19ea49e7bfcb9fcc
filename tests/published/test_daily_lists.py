"""Every line of the public daily lists has a check on the right kinds of truck.

*Source*: `electric-list` (a union's list for electric fork trucks: 8 lines with the key off, 8 with it on, all read),
`engine-list` (an association's sample list for engine trucks: 22 lines with the key off and the first 4 with it on were
read). Line names below are our own words. `test_lpg_lists` holds the propane list and the engine truck on LPG.
"""

from __future__ import annotations

import pytest

from dipmark.adapters.rulefiles import read_rules
from dipmark.rules.model import Check
from published.test_lpg_lists import ENGINE_OFF, ENGINE_ON

KINDS = read_rules().kinds

# source: electric-list, 8 lines with the key off
ELECTRIC_OFF: dict[str, tuple[str, ...]] = {
    "overhead guard": ("guard.overhead",),
    "hydraulic cylinders": ("cylinders.dry",),
    "mast": ("mast.uprights",),
    "lift chains and rollers": ("chain.sound", "chain.tension", "carriage.whole"),
    "forks": ("forks.cracks", "forks.locks"),
    "tyres": ("tyres.damage", "tyres.wear"),
    "battery": ("battery.restrained", "battery.plug", "battery.water", "battery.top"),
    "hydraulic oil level": ("hydraulic-oil.level",),
}

# source: electric-list, 8 lines with the key on
ELECTRIC_ON: dict[str, tuple[str, ...]] = {
    "hour meter": ("hour-meter.runs", "hours.read"),
    "discharge indicator": ("battery.charge",),
    "steering": ("steering.play",),
    "brakes": ("brake.service", "brake.parking", "braking.electric"),
    "lights": ("lights.work",),
    "horn": ("horn.heard",),
    "safety seat": ("seat.firm", "presence.switch"),
    "attachments": ("hydraulics.attachment", "attachment.locked"),
}

# source: electric-list-rest, the association's electric list: 16 and 13 lines, expected, unverified
ELECTRIC_REST: dict[str, tuple[str, ...]] = {
    "leaks": ("ground.leaks",),
    "tyres": ("tyres.damage",),
    "forks": ("forks.cracks",),
    "load backrest": ("backrest.firm",),
    "hoses, chains, stops": ("hoses.mast", "chain.sound", "carriage.whole"),
    "finger guards": ("guards.fingers",),
    "overhead guard": ("guard.overhead",),
    "safety warnings": ("labels.readable",),
    "battery water and charge": ("battery.water", "battery.charge"),
    "hydraulic oil level": ("hydraulic-oil.level",),
    "transmission fluid level": (),  # a drive unit that nobody but the mechanic opens: task drive-unit.level
    "operator's manual": ("manual.there",),
    "capacity plate": ("plate.readable",),
    "battery restraint": ("battery.restrained",),
    "operator protection": ("seat-belt.works",),
    "brake fluid": ("brake-fluid.level",),
    "accelerator linkage": ("direction.control",),
    "parking brake": ("brake.parking",),
    "service brake": ("brake.service",),
    "steering": ("steering.play",),
    "drive control": ("direction.control",),
    "tilt control": ("tilt.smooth",),
    "hoist and lower control": ("lift.smooth",),
    "attachment control": ("hydraulics.attachment", "side-shift.smooth"),
    "horn": ("horn.heard",),
    "lights and alarms": ("lights.work", "alarm.reversing"),
    "hour meter": ("hour-meter.runs",),
    "discharge indicator": ("battery.charge",),
    "monitors": ("lamps.key-on", "display.code"),
}

ENGINES = ("engine-cushion", "engine-pneumatic-petrol", "engine-pneumatic-lpg", "engine-pneumatic-diesel")

ONLY = {
    "propane cylinder": ("engine-cushion", "engine-pneumatic-lpg"),
    "fuel sedimentor": ("engine-cushion", "engine-pneumatic-diesel"),
}
"""Lines that only a truck on that fuel can have."""

ELSEWHERE = {"lpg.tight": "fuel.tight"}
"""Where the truck has petrol or diesel instead of gas."""

NOT_THERE = {("engine-cushion", "tyres.pressure")}
"""What is on no truck of that kind."""


def checks(kind: str) -> dict[str, Check]:
    return {one.id: one for one in KINDS[kind].checks}


def test_counts_are_those_of_the_lists() -> None:
    assert (len(ELECTRIC_OFF), len(ELECTRIC_ON)) == (8, 8)  # source: electric-list
    assert len(ELECTRIC_OFF) + len(ELECTRIC_ON) == 16  # source: electric-list
    assert (len(ENGINE_OFF), len(ENGINE_ON)) == (22, 4)  # source: engine-list
    assert len(ELECTRIC_REST) == 16 + 13  # source: electric-list-rest, unverified


@pytest.mark.parametrize(("line", "ids"), [*ELECTRIC_OFF.items(), *ELECTRIC_ON.items(), *ELECTRIC_REST.items()])
def test_line_of_the_electric_lists_has_a_check(line: str, ids: tuple[str, ...]) -> None:
    assert ids or line == "transmission fluid level"
    assert set(ids) <= set(checks("electric-counterbalanced"))


def test_drive_unit_is_looked_at_by_the_mechanic() -> None:
    assert KINDS["electric-counterbalanced"].task("drive-unit.level") is not None


def test_condition_of_the_truck_is_that_of_the_list() -> None:
    ours = checks("electric-counterbalanced")
    assert all(ours[id].when == "key-off" for ids in ELECTRIC_OFF.values() for id in ids)
    on = [line for line, ids in ELECTRIC_ON.items() if all(ours[id].when == "key-off" for id in ids)]
    assert on == []


@pytest.mark.parametrize("kind", ENGINES)
@pytest.mark.parametrize(("line", "ids"), [*ENGINE_OFF.items(), *ENGINE_ON.items()])
def test_line_of_the_engine_list_has_a_check(kind: str, line: str, ids: tuple[str, ...]) -> None:
    if kind not in ONLY.get(line, ENGINES):
        assert not {"cylinder.locked", "water-trap.drained"} & set(checks(kind)) & set(ids)
        return
    wanted = ids or ("water-trap.drained",)
    there = {id if id in checks(kind) else ELSEWHERE.get(id, id) for id in wanted if (kind, id) not in NOT_THERE}
    assert there <= set(checks(kind))
    assert there


@pytest.mark.parametrize("kind", ["engine-pneumatic-petrol", "engine-pneumatic-diesel"])
def test_no_cylinder_without_gas(kind: str) -> None:
    assert not {"cylinder.locked", "cylinder.sound", "lpg.tight", "gas.shut"} & set(checks(kind))
    assert ("water-trap.drained" in checks(kind)) is (kind == "engine-pneumatic-diesel")


@pytest.mark.parametrize("kind", ["reach", "order-picker", "pallet"])
def test_other_electric_trucks_have_the_lines_of_what_they_have(kind: str) -> None:
    ours = set(checks(kind))
    for line in ("forks", "battery", "tyres", "hour meter", "discharge indicator", "steering", "lights", "horn"):
        ids = (ELECTRIC_OFF | ELECTRIC_ON)[line]
        assert ours.intersection(ids), line
    assert ("lift.smooth" in ours) or kind == "pallet"
