"""What holds for every kind of truck and, where it may run on one fuel or another, for each of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

import pytest

from dipmark.adapters.rulefiles import read_rules
from dipmark.rules.lint import INVENTED, lint
from dipmark.rules.model import KIND_KEYS, Check, Kind, Service, Symptom, Task

RULES = read_rules()

FUELS = {
    "engine-cushion": ("gas", "petrol", "diesel"),
    "tow-tractor": ("electric", "gas", "petrol", "diesel"),
    "rough-terrain": ("diesel", "gas", "petrol", "electric"),
}
"""Kinds that run on one or another."""

TRUCKS = [(key, fuel) for key in KIND_KEYS for fuel in FUELS.get(key, ("",))]

ELECTRIC = ("electric-counterbalanced", "reach", "order-picker", "pallet")


def options(key: str, fuel: str) -> frozenset[str]:
    """What such a truck usually carries, on that fuel."""
    kind = RULES.kinds[key]
    fuels = {option for choice in kind.choices if choice.id == "fuel" for option in choice.options()}
    return kind.fitted([*(set(kind.usual) - fuels), *([fuel] if fuel else [])])


def texts(check: Check | Task) -> Iterator[str]:
    yield check.text
    if isinstance(check, Check):
        yield check.normal
        yield from (symptom.text for symptom in check.symptoms)
        yield from (symptom.put_right or "" for symptom in check.symptoms)
    else:
        yield from (*check.parts, *check.fluids)


def every_text(kind: Kind) -> Iterator[str]:
    """All that can reach a card or a sheet."""
    yield kind.text
    yield from (place.text for place in kind.places)
    both: tuple[Check | Task, ...] = (*kind.checks, *kind.tasks)
    for rule in both:
        yield from texts(rule)
        yield from rule.cautions
    yield from (service.text for service in kind.services)


SHIFT = {
    ("electric-counterbalanced", ""): (25, 225),
    ("reach", ""): (25, 240),
    ("order-picker", ""): (25, 229),
    ("pallet", ""): (19, 145),
    ("engine-cushion", "gas"): (24, 246),
    ("engine-cushion", "petrol"): (23, 236),
    ("engine-cushion", "diesel"): (23, 236),
    ("engine-pneumatic-petrol", ""): (24, 296),
    ("engine-pneumatic-lpg", ""): (25, 306),
    ("engine-pneumatic-diesel", ""): (24, 296),
    ("tow-tractor", "electric"): (20, 177),
    ("tow-tractor", "gas"): (19, 198),
    ("tow-tractor", "petrol"): (18, 188),
    ("tow-tractor", "diesel"): (18, 188),
    ("rough-terrain", "diesel"): (24, 296),
    ("rough-terrain", "gas"): (25, 306),
    ("rough-terrain", "petrol"): (24, 296),
    ("rough-terrain", "electric"): (25, 280),
    ("telescopic", ""): (25, 312),
}
"""Lines of the shift list and the seconds they take, together; estimates, common practice."""


@pytest.mark.parametrize(("key", "fuel"), TRUCKS)
def test_shift_list_is_short_and_takes_two_to_six_minutes(key: str, fuel: str) -> None:
    held = [one for one in RULES.kinds[key].checks_for(options(key, fuel)) if one.shift]
    seconds = sum(one.seconds for one in held)
    assert (len(held), seconds) == SHIFT[key, fuel]
    assert 15 <= len(held) <= 25  # common practice
    assert 120 <= seconds <= 360  # common practice
    assert all(one.when != "shift-end" for one in held)
    assert [one.id for one in held if not one.stop_worthy] == ["hours.read"]


@pytest.mark.parametrize(("key", "fuel"), TRUCKS)
def test_every_list_holds_what_every_truck_has(key: str, fuel: str) -> None:
    held = {one.id for one in RULES.kinds[key].checks_for(options(key, fuel)) if one.shift}
    assert held >= {"card.read", "hours.read", "ground.leaks", "horn.heard", "noise.unusual", "steering.play"}
    assert ({"brake.service", "brake.parking"} <= held) is (key != "pallet")
    assert ({"forks.cracks"} <= held) is (key != "tow-tractor")
    assert ({"guard.overhead"} <= held) is (key not in ("pallet", "tow-tractor", "telescopic"))
    assert ({"chain.sound", "chain.tension"} <= held) is (key not in ("pallet", "tow-tractor", "telescopic"))
    electric = key in ELECTRIC or fuel == "electric"
    assert ({"battery.restrained", "battery.plug", "charger.off"} <= held) is electric
    assert ({"engine-oil.level"} <= held) is not electric
    assert (held >= {"cylinder.locked", "lpg.tight"}) is (fuel == "gas" or key == "engine-pneumatic-lpg")


@pytest.mark.parametrize(
    ("key", "checks"),
    [  # the checks that only some kinds have: trade facts, mostly common practice, no source
        ("reach", ("reach.smooth", "forks.tilt", "wheels.small")),
        ("order-picker", ("harness.sound", "descent.reachable", "gates.switch", "platform.pedal", "guidance.tracks")),
        ("pallet", ("tiller.returns", "tiller.button", "tiller.creep", "platform.arms", "wheels.small")),
        ("tow-tractor", ("coupler.sound", "trailers.sound", "presence.switch", "platform.pedal")),
        ("rough-terrain", ("frame.level", "stabilisers.hold", "steering.modes", "guard.roll-over", "air-tank.drained")),
        ("telescopic", ("boom.sound", "chart.readable", "load-moment.test", "quick-coupler.home", "camera.clear")),
    ],
)
def test_what_only_some_kinds_have(key: str, checks: tuple[str, ...]) -> None:
    assert [id for id in checks if RULES.kinds[key].check(id) is None] == []


ENGINE = r"engine|radiator|exhaust|coolant|dipstick|spark|bonnet|gas|lpg|petrol|diesel|fuel|choke|air cleaner|cranking"
BATTERY = r"traction|charger|charging|lithium|battery water|contactors?|brushes|plug it|emergency stop|distilled"
HANDS = r"tiller|harness|reach(ed)?|boom|stabilisers?|coupler|trailers?|drawbar"
FOREIGN = {
    "electric": ENGINE,
    "engine": BATTERY,
    "engine-cushion": rf"{HANDS}|inflate\w*|air tyres?|rims?|lock rings?",
    "electric-counterbalanced": HANDS,
    "reach": r"tiller|harness|boom|stabilisers?|trailers?|counterweight|tilt pins|king pins?|side gates",
    "order-picker": r"tiller|boom|trailers?|counterweight|tilt|seat|king pins?|reach truck|backrest",
    "pallet": r"pedals?|seat|steps?|overhead guard|counterweight|tilt|king pins?|boom|harness|side-shift|trailers?",
    "tow-tractor": r"masts?|forks?|chains?|tilt|lift|hydraulics?|overhead guard|counterweight|tiller|harness|boom",
    "rough-terrain": r"tiller|harness|boom|trailers?|finger guards?|reach legs",
    "telescopic": r"masts?|tiller|harness|trailers?|finger guards?|overhead guard|counterweight",
    "engine-pneumatic-lpg": rf"{HANDS}|diesel|petrol|water trap|fuel tank|choke",
    "engine-pneumatic-petrol": rf"{HANDS}|diesel|gas|lpg|water trap|injectors?",
    "engine-pneumatic-diesel": rf"{HANDS}|gas|lpg|petrol|spark|ignition|choke",
}
"""Words for parts that a kind of truck has not."""


@pytest.mark.parametrize(("key", "fuel"), TRUCKS)
def test_no_list_names_a_part_that_the_truck_has_not(key: str, fuel: str) -> None:
    kind, fitted = RULES.kinds[key], options(key, fuel)
    electric = key in ELECTRIC or fuel == "electric"
    foreign = re.compile(rf"\b({FOREIGN['electric' if electric else 'engine']}|{FOREIGN[key]})\b", re.IGNORECASE)
    tasks = {task.id: task for service in kind.services_for(fitted) for task in kind.all_tasks(service, fitted)}
    both: tuple[Check | Task, ...] = (*kind.checks_for(fitted), *tasks.values())
    for rule in both:
        for text in texts(rule):
            assert not (found := foreign.search(text)), (rule.id, text, found)


@pytest.mark.parametrize("key", KIND_KEYS)
def test_every_option_is_asked_for_by_some_rule(key: str) -> None:
    kind = RULES.kinds[key]
    symptoms = [one for check in kind.checks for one in check.symptoms]
    rules: tuple[Check | Task | Service | Symptom, ...] = (*kind.checks, *kind.tasks, *kind.services, *symptoms)
    needed = {option for rule in rules for option in rule.needs}
    assert set(kind.options) - needed <= {option for choice in kind.choices for option in choice.options()}
    assert needed <= set(kind.options)


@pytest.mark.parametrize("key", KIND_KEYS)
def test_places_are_walked_in_order(key: str) -> None:
    kind = RULES.kinds[key]
    numbers = [place.number for place in kind.places]
    assert numbers == sorted(set(numbers))
    turn = {place.id: place.number for place in kind.places}
    walked = [turn[one.place] for one in kind.checks]
    assert walked == sorted(walked)
    assert set(walked) == set(numbers)
    assert all((one.when == "shift-end") == (one.place == "shift-end") for one in kind.checks)


@pytest.mark.parametrize("key", KIND_KEYS)
def test_what_affects_safety_only_ever_stops_the_truck(key: str) -> None:
    for one in RULES.kinds[key].checks:
        for found in one.symptoms:
            assert found.stop_worthy or not found.affects_safety, (one.id, found.id)
            assert (found.days is not None) == (found.seriousness == "repair-by"), (one.id, found.id)


@pytest.mark.parametrize("key", KIND_KEYS)
def test_no_litre_torque_pressure_or_count_can_reach_a_card(key: str) -> None:
    digits = {text for text in every_text(RULES.kinds[key]) if re.search(r"\d", text)}
    allowed = r"\b(3 %|80 %|90 %|10 seconds|\d+-hour service|after \d+ hours)"
    assert [text for text in digits if re.search(r"\d", re.sub(allowed, "", text))] == []
    assert [problem for problem in lint(RULES) if problem.code == INVENTED] == []


@pytest.mark.parametrize("key", KIND_KEYS)
def test_values_of_the_truck_itself_stay_blanks_in_the_rules(key: str) -> None:
    grease = RULES.kinds[key].task("grease.all")
    assert grease is not None
    assert grease.plate == ("grease-fittings",)
    assert ":" in grease.text  # where the fittings sit


@pytest.mark.parametrize(("key", "fuel"), TRUCKS)
def test_no_task_falls_twice_in_one_rhythm_and_each_falls_once(key: str, fuel: str) -> None:
    kind, fitted = RULES.kinds[key], options(key, fuel)
    services = [one for one in kind.services_for(fitted) if not one.once]
    named = [task for one in services for task in one.tasks]
    assert len(named) == len(set(named))
    assert set(named) >= {task.id for task in kind.tasks if set(task.needs) <= fitted}


RHYTHMS = {
    "engine": ["8h", "150h", "450h", "900h", "1800h"],
    "other": ["8h", "200h", "600h", "1200h", "2400h"],
    "electric": ["8h", "250h", "500h", "1000h", "2000h"],
}


@pytest.mark.parametrize(("key", "fuel"), TRUCKS)
def test_rhythm_of_hours_and_months(key: str, fuel: str) -> None:
    kind, fitted = RULES.kinds[key], options(key, fuel)
    electric = key in ELECTRIC or fuel == "electric"
    rough = ["50h"] if key in ("rough-terrain", "telescopic") else []
    again = [one for one in kind.services_for(fitted) if not one.once and one.after is None]
    wanted = RHYTHMS["electric" if electric else "engine"]
    assert [one.id for one in again] == [wanted[0], *rough, *wanted[1:]]
    assert [one.months for one in again] == [None, *([None] * len(rough)), 1, 3, 6, 12]
    assert [one.interval_hours for one in again] == [Decimal(one.id.removesuffix("h")) for one in again]
    assert all(set(upper.includes) == {one.id for one in again[:at]} for at, upper in enumerate(again))
    once = [one.id for one in kind.services_for(fitted) if one.once]
    assert once == (["first-100h"] if electric else ["first-50h"])
    if not electric:
        other = kind.services_for([*(fitted - {"rhythm-150"}), "rhythm-200"])
        assert [one.id for one in other if not (one.once or one.after or one.id in rough)] == RHYTHMS["other"]


@pytest.mark.parametrize("key", KIND_KEYS)
def test_hard_use_shortens_hours_and_months_alike_and_the_worst_counts(key: str) -> None:
    for service in RULES.kinds[key].services:
        worst = Decimal(1) if service.id == "8h" or service.once or service.after else Decimal("0.4")
        assert service.factor(["hard", "harsh"]) == worst


@pytest.mark.parametrize("key", KIND_KEYS)
def test_every_value_has_a_source_that_is_explained(key: str) -> None:
    kind = RULES.kinds[key]
    values = [*kind.checks, *kind.tasks, *kind.services, *kind.cautions]
    values += [found for one in kind.checks for found in one.symptoms]
    assert all(value.source in RULES.sources for value in values)
    assert [value for value in values if (value.mark == "common practice") != (value.source == "practice")] == []


@pytest.mark.parametrize(
    ("key", "fuel", "wanted"),
    [
        ("engine-cushion", "Treibgas", "gas"),
        ("engine-cushion", "gasoline", "petrol"),
        ("tow-tractor", "eléctrico", "electric"),
        ("tow-tractor", "diesel", "diesel"),
        ("rough-terrain", None, "diesel"),
        ("tow-tractor", "steam", "electric"),
    ],
)
def test_fuel_in_its_peoples_words_chooses_what_is_asked(key: str, fuel: str | None, wanted: str) -> None:
    held = RULES.kinds[key].fitted(None, fuel)
    assert {one for one in ("gas", "petrol", "diesel", "electric") if one in held} == {wanted}
