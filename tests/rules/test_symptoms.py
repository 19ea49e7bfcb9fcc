"""When something is wrong: read, linted, never loosened."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from dipmark.rules.lint import lint
from dipmark.rules.loosened import loosened
from dipmark.rules.merge import RuleFile, lay
from dipmark.rules.read import read
from dipmark.rules.symptoms import System
from dipmark.rules.value import Trucks
from rules.small import PRACTICE, rules, said, shipped

WHOLE: dict[str, Any] = {
    "system": "brakes",
    "text": "Brakes",
    "number": 7,
    "cautions": {"chock": {"text": "Chock it.", **PRACTICE}},
    "trucks": {"riders": {"kinds": ["reach"], "where": ["cab"]}},
    "troubles": {
        "squeal": {
            "text": "squeals",
            "sense": "heard",
            "causes": ["dust"],
            "seriousness": "repair-by",
            "affects_safety": False,
            "days": 7,
            **PRACTICE,
        },
        "soft": {
            "text": "soft pedal",
            "sense": "felt",
            "causes": ["air", "a leak"],
            "first": ["bottle"],
            "cautions": ["chock"],
            "trucks": "riders",
            "seriousness": "stop",
            "affects_safety": True,
            "legal": True,
            **PRACTICE,
        },
    },
}


def brakes(change: dict[str, Any] | None = None, *, trouble: str = "soft") -> RuleFile:
    troubles = {**WHOLE["troubles"], trouble: {**WHOLE["troubles"][trouble], **(change or {})}}
    return RuleFile("brakes.toml", {**WHOLE, "troubles": troubles})


def system(file: RuleFile) -> System:
    return rules(*shipped(), file).systems["brakes"]


def test_a_system_is_read_with_the_most_serious_first() -> None:
    found = system(brakes())
    assert (found.text, found.number, [one.id for one in found.troubles]) == ("Brakes", 7, ["soft", "squeal"])
    soft = found.trouble("soft")
    assert soft is not None
    assert (soft.sense, soft.causes, soft.first, soft.stops) == ("felt", ("air", "a leak"), ("bottle",), True)
    assert [one.text for one in soft.cautions] == ["Chock it."]
    assert soft.trucks == Trucks(kinds=("reach",), where=("cab",))
    squeal = found.trouble("squeal")
    assert squeal is not None
    assert (squeal.first, squeal.cautions, squeal.trucks, squeal.days, squeal.stops) == ((), (), Trucks(), 7, False)
    assert found.trouble("other") is None


def test_systems_come_in_the_order_of_their_numbers() -> None:
    first = RuleFile("engine.toml", {"system": "engine", "text": "Engine", "number": 0})
    assert list(rules(*shipped(), brakes(), first).systems) == ["engine", "brakes"]


def test_troubles_are_part_of_the_digest() -> None:
    assert rules(*shipped(), brakes()).digest != rules(*shipped(), brakes({"text": "soft"})).digest


def test_names_that_no_file_explains() -> None:
    _, problems = read(lay([*shipped(), brakes({"cautions": ["chok"], "trucks": "rider"})]))
    assert said(problems) == [
        ("rule-reference", "troubles.soft.trucks"),
        ("rule-reference", "troubles.soft.cautions"),
    ]
    assert [problem.hint for problem in problems] == ["Did you mean riders?", "Did you mean chock?"]
    assert problems[0].where.file == "brakes.toml"


@pytest.mark.parametrize(
    ("change", "code", "key"),
    [
        ({"affects_safety": True, "seriousness": "watch"}, "rule-safety", "seriousness"),
        ({"seriousness": "stop", "days": 3}, "rule-days", "days"),
        ({"seriousness": "repair-by"}, "rule-days", "days"),
        ({"causes": []}, "rule-empty", "causes"),
        ({"causes": ["x" * 111]}, "rule-length", "causes"),
        ({"first": ["add 2 l of oil"]}, "rule-invented", "first"),
        ({"text": "x" * 101}, "rule-length", "text"),
        ({"source": "nobody"}, "rule-source", "source"),
    ],
)
def test_faults_of_meaning(change: dict[str, Any], code: str, key: str) -> None:
    change = {"affects_safety": False, **change}
    found = rules(*shipped(), brakes(change))
    assert said(lint(found)) == [(code, f"systems.brakes.troubles.soft.{key}")]


def test_cautions_kinds_and_names_are_linted() -> None:
    file = brakes()
    table = {
        **file.table,
        "text": "x" * 61,
        "trucks": {"riders": {"kinds": ["reech"], "where": ["cab", "hard", "lifts-people", "kab"]}},
    }
    table["cautions"] = {"chock": {"text": "x" * 171, "source": "nobody", "mark": "seen"}}
    found = rules(*shipped(), msgspec.structs.replace(file, table=table))
    at = "systems.brakes"
    assert said(lint(found)) == [
        ("rule-length", f"{at}.text"),
        ("rule-source", f"{at}.cautions.chock.source"),
        ("rule-length", f"{at}.cautions.chock.text"),
        ("rule-reference", f"{at}.troubles.soft.trucks.kinds"),
        ("rule-reference", f"{at}.troubles.soft.trucks.where"),
    ]


@pytest.mark.parametrize(
    ("change", "keys"),
    [
        ({"seriousness": "repair-by", "days": 3}, ["seriousness"]),
        ({"affects_safety": False}, ["affects_safety"]),
        ({"legal": False}, ["legal"]),
        ({"seriousness": "now"}, []),
        ({"text": "spongy"}, []),
    ],
)
def test_a_yard_may_be_stricter_never_looser(change: dict[str, Any], keys: list[str]) -> None:
    own = RuleFile("own.toml", {"system": "brakes", "troubles": {"soft": change}}, own=True)
    laid = lay([*shipped(), brakes(), own])
    now, problems = read(laid)
    assert now is not None, problems
    assert said(loosened(rules(*shipped(), brakes()), now, laid.place)) == [
        ("rule-looser", f"troubles.soft.{key}") for key in keys
    ]


def test_a_trouble_is_not_taken_off_a_truck() -> None:
    own = RuleFile("own.toml", {"system": "brakes", "trucks": {"riders": {"kinds": ["pallet"]}}}, own=True)
    now, _ = read(lay([*shipped(), brakes(), own]))
    assert now is not None
    ours = rules(*shipped(), brakes())
    assert said(loosened(ours, now)) == [("rule-looser", "systems.brakes.troubles.soft.trucks.kinds")]
    broken = msgspec.structs.replace(now.systems["brakes"], troubles=())
    assert loosened(ours, msgspec.structs.replace(now, systems={"brakes": broken})) == ()


@pytest.mark.parametrize(
    ("table", "found"),
    [
        ({"system": "brakes", "kind": "reach"}, "a kind of truck and a system"),
        ({"system": 3}, "3"),
        ({"system": ["brakes"]}, "['brakes']"),
    ],
)
def test_a_file_is_about_one_thing(table: dict[str, object], found: str) -> None:
    (problem,) = lay([RuleFile("x.toml", table)]).problems
    assert (problem.code, problem.found, problem.where.key) == ("rule-kind", found, "system")


def test_a_system_has_an_id() -> None:
    _, problems = read(lay([*shipped(), RuleFile("x.toml", {"system": "The Brakes", "text": "x", "number": 1})]))
    (problem,) = problems
    assert (problem.code, problem.where.file) == ("rule-name", "x.toml")
