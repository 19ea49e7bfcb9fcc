"""Every line of the public daily lists for an engine truck on LPG has a check in our walk-round.

*Source*: `engine-list` (an association's sample list for engine trucks: 22 lines with the key off and the first 4 with
it on were read) and `propane-list` (a union's list for propane fork trucks: 13 lines with the key off, 1 with it on, 10
with the engine running, all read). Line names below are our own words.
"""

from __future__ import annotations

import pytest

from dipmark.adapters.rulefiles import read_rules
from dipmark.rules.model import Check

KIND = read_rules().kinds["engine-pneumatic-lpg"]

# source: engine-list, the 22 lines with the key off
ENGINE_OFF: dict[str, tuple[str, ...]] = {
    "leaks of fuel, hydraulic oil, engine oil, coolant": ("ground.leaks", "lpg.tight"),
    "tyres": ("tyres.damage", "tyres.wear", "tyres.pressure"),
    "forks, their pins, their heels": ("forks.cracks", "forks.locks", "forks.tips"),
    "load backrest": ("backrest.firm",),
    "hydraulic hoses, mast chains, cables, stops": ("hoses.mast", "chain.sound", "chain.tension", "carriage.whole"),
    "overhead guard": ("guard.overhead",),
    "finger guards": ("guards.fingers",),
    "propane cylinder": ("cylinder.locked", "cylinder.sound", "lpg.tight"),
    "safety warnings": ("labels.readable",),
    "battery": ("battery.held",),
    "belts": ("belts.whole",),
    "hydraulic oil level": ("hydraulic-oil.level",),
    "engine oil level": ("engine-oil.level",),
    "transmission fluid level": ("transmission.level",),
    "air cleaner": ("air-cleaner.clear",),
    "fuel sedimentor": (),  # diesel only: this truck has none
    "coolant": ("coolant.level",),
    "operator's manual": ("manual.there",),
    "nameplate": ("plate.readable",),
    "seat belt": ("seat-belt.works",),
    "hood latch": ("bonnet.latch",),
    "brake fluid": ("brake-fluid.level",),
}

# source: engine-list, the first 4 lines with the key on
ENGINE_ON: dict[str, tuple[str, ...]] = {
    "accelerator or direction pedal": ("direction.control",),
    "service brake": ("brake.service",),
    "parking brake": ("brake.parking",),
    "steering": ("steering.play",),
}

# source: engine-list-rest, the last 7 lines with the key on: expected, unverified
ENGINE_REST: dict[str, tuple[str, ...]] = {
    "drive control": ("direction.control",),
    "tilt control": ("tilt.smooth",),
    "hoist and lower control": ("lift.smooth",),
    "attachment control": ("hydraulics.attachment", "side-shift.smooth"),
    "horn and lights": ("horn.heard", "lights.work"),
    "cab heater, defroster, wipers": ("wiper.works",),
    "gauges": (
        "charging.works",
        "oil-pressure.rises",
        "hour-meter.runs",
        "fuel.gauge",
        "temperature.normal",
        "lamps.key-on",
    ),
}

# source: propane-list, 13 lines with the key off
PROPANE_OFF: dict[str, tuple[str, ...]] = {
    "overhead guard": ("guard.overhead",),
    "hydraulic cylinders": ("cylinders.dry",),
    "mast": ("mast.uprights",),
    "lift chains and rollers": ("chain.sound", "carriage.whole"),
    "forks": ("forks.cracks",),
    "tyres": ("tyres.damage",),
    "gas cylinder and its locating pin": ("cylinder.locked",),
    "gas hose": ("lpg.tight",),
    "gas gauge": ("fuel.gauge",),
    "engine oil level": ("engine-oil.level",),
    "battery": ("battery.held",),
    "hydraulic oil level": ("hydraulic-oil.level",),
    "coolant level": ("coolant.level",),
}

# source: propane-list, 1 line with the key on
PROPANE_ON: dict[str, tuple[str, ...]] = {"lights": ("lights.work",)}

# source: propane-list, 10 lines with the engine running
PROPANE_RUNNING: dict[str, tuple[str, ...]] = {
    "oil lamp": ("oil-pressure.rises", "lamps.key-on"),
    "ammeter lamp": ("charging.works",),
    "hour meter": ("hour-meter.runs", "hours.read"),
    "water temperature": ("temperature.normal",),
    "steering": ("steering.play",),
    "brakes": ("brake.service", "brake.parking"),
    "horn": ("horn.heard",),
    "safety seat": ("seat.firm", "presence.switch"),
    "attachments": ("hydraulics.attachment",),
    "transmission level": ("transmission.level",),
}

ALL = [*ENGINE_OFF.items(), *ENGINE_ON.items(), *ENGINE_REST.items()]
ALL += [*PROPANE_OFF.items(), *PROPANE_ON.items(), *PROPANE_RUNNING.items()]


def test_counts_are_those_of_the_lists() -> None:
    assert (len(ENGINE_OFF), len(ENGINE_ON)) == (22, 4)  # source: engine-list
    assert len(ENGINE_REST) == 7  # source: engine-list-rest, unverified
    assert len(ENGINE_REST["gauges"]) == 6  # source: engine-list-rest, unverified
    assert len(PROPANE_OFF) + len(PROPANE_ON) + len(PROPANE_RUNNING) == 24  # source: propane-list
    assert (len(PROPANE_OFF), len(PROPANE_ON), len(PROPANE_RUNNING)) == (13, 1, 10)  # source: propane-list


@pytest.mark.parametrize(("line", "checks"), ALL)
def test_line_has_a_check(line: str, checks: tuple[str, ...]) -> None:
    assert checks or line == "fuel sedimentor"
    assert [id for id in checks if KIND.check(id) is None] == []


def test_running_lines_are_checked_with_the_engine_running_or_the_key_on() -> None:
    def when(id: str) -> str:
        check = KIND.check(id)
        assert isinstance(check, Check)
        return check.when

    off = {line for line, checks in PROPANE_RUNNING.items() if all(when(id) == "key-off" for id in checks)}
    assert off == {"transmission level"}  # read as each truck's manual says, on some with the engine idling
    assert all(when(id) == "key-off" for checks in PROPANE_OFF.values() for id in checks if id != "fuel.gauge")
