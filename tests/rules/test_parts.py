"""What kinds of truck share is written once, as a part."""

from __future__ import annotations

import pytest

from dipmark.rules.loosened import loosened
from dipmark.rules.merge import RuleFile, lay
from dipmark.rules.model import Check, Kind, Service, Task
from dipmark.rules.read import read
from dipmark.rules.typed import Path
from rules.small import PRACTICE, Content, own, rules, said, shipped

NUTS: Content = {
    "place": "front",
    "text": "Nuts",
    "normal": "there",
    "when": "key-off",
    "shift": True,
    **PRACTICE,
    "symptoms": {"loose": {"text": "loose", "seriousness": "stop", "affects_safety": True, **PRACTICE}},
}

WET = {"text": "wet", "seriousness": "stop", "affects_safety": True, **PRACTICE}


def part(name: str, content: Content, *, own: bool = False) -> RuleFile:
    return RuleFile(f"{name}{own:d}.toml", {"part": name, **content}, own=own)


def taking(*files: RuleFile, change: Content | None = None, **takes: list[str]) -> Kind:
    return rules(*shipped({"takes": takes, **(change or {})}), *files).kinds["reach"]


WHEELS = part("wheels", {"checks": {"wheels": {"nuts": NUTS}}})


def test_a_kind_has_what_its_parts_bring() -> None:
    kind = taking(WHEELS, wheels=[])
    assert [one.id for one in kind.checks] == ["horn.heard", "wheels.nuts", "chain.tension"]
    assert kind.check("wheels.nuts") is not None


def test_parts_lie_over_one_another_in_the_order_they_are_taken_and_the_kind_over_all() -> None:
    over = part("air", {"checks": {"wheels": {"nuts": {"text": "Nuts and rings", "seconds": 20}}}})
    check = taking(WHEELS, over, wheels=[], air=[]).check("wheels.nuts")
    assert check is not None
    assert (check.text, check.seconds, check.normal) == ("Nuts and rings", 20, "there")
    check = taking(over, WHEELS, air=[], wheels=[]).check("wheels.nuts")
    assert check is not None
    assert (check.text, check.seconds) == ("Nuts", 20)
    change: Content = {"checks": {"wheels": {"nuts": {"text": "All nuts"}}}}
    check = taking(WHEELS, over, change=change, wheels=[], air=[]).check("wheels.nuts")
    assert check is not None
    assert check.text == "All nuts"


def test_what_a_part_brings_on_a_condition_asks_for_it_once() -> None:
    brought: Content = {
        "checks": {
            "wheels": {"nuts": {**NUTS, "needs": ["cab"]}, "rims": NUTS},
            "chain": {"tension": {"seconds": 25, "symptoms": {"wet": WET}}},
        },
        "tasks": {"wheels": {"look": {"text": "Look", "minutes": 1, "window": "strict", "steps": ["x"], **PRACTICE}}},
        "services": {"50h": {"text": "Early", "interval_hours": 50, "meter": "key", "step": "x", **PRACTICE}},
        "options": {"lamp": False},
    }
    kind = taking(part("wheels", brought), change={"options": {"cab": True, "net": False}}, wheels=["net", "cab"])
    every: tuple[Check | Task | Service, ...] = (*kind.checks, *kind.tasks, *kind.services)
    needs = {one.id: one.needs for one in every}
    assert needs["wheels.nuts"] == ("cab", "net")
    assert needs["wheels.rims"] == needs["wheels.look"] == needs["50h"] == ("net", "cab")
    assert needs["chain.tension"] == ()
    chain = kind.check("chain.tension")
    assert chain is not None
    assert chain.seconds == 25
    assert {one.id: one.needs for one in chain.symptoms} == {"wet": ("net", "cab"), "dry": (), "slack": ()}
    nuts = kind.check("wheels.nuts")
    assert nuts is not None
    assert nuts.symptoms[0].needs == ()
    assert set(kind.options) == {"cab", "net", "lamp"}


def test_a_yard_changes_a_part_for_all_that_take_it_and_a_kind_for_itself() -> None:
    yards = part("wheels", {"checks": {"wheels": {"nuts": {"text": "Yard's nuts", "seconds": 30}}}}, own=True)
    kind = taking(WHEELS, yards, own({"checks": {"wheels": {"nuts": {"text": "This kind's"}}}}), wheels=[])
    check = kind.check("wheels.nuts")
    assert check is not None
    assert (check.text, check.seconds) == ("This kind's", 30)


def test_a_yards_part_lies_over_our_kind() -> None:
    yards = part("wheels", {"checks": {"wheels": {"nuts": {"text": "Yard's nuts"}}}}, own=True)
    change: Content = {"checks": {"wheels": {"nuts": {"text": "Our kind's"}}}}
    check = taking(WHEELS, yards, change=change, wheels=[]).check("wheels.nuts")
    assert check is not None
    assert check.text == "Yard's nuts"


def test_days_fall_away_with_the_seriousness_they_were_said_with() -> None:
    def dry(**change: object) -> tuple[str, int | None]:
        change = {"checks": {"chain": {"tension": {"symptoms": {"dry": change}}}}}
        check = rules(*shipped(), own(change)).kinds["reach"].check("chain.tension")
        assert check is not None
        found = check.symptom("dry")
        assert found is not None
        return found.seriousness, found.days

    assert dry(text="bone dry") == ("repair-by", 7)
    assert dry(days=3) == ("repair-by", 3)
    assert dry(seriousness="stop") == ("stop", None)
    assert dry(seriousness="repair-by", days=2) == ("repair-by", 2)


def test_a_yard_takes_one_more_and_never_one_less() -> None:
    lamp = part("lamp", {"checks": {"lamp": {"work": NUTS}}}, own=True)
    files = [*shipped({"takes": {"wheels": []}}), WHEELS]
    kind = rules(*files, lamp, own({"takes": {"lamp": []}})).kinds["reach"]
    assert kind.check("lamp.work") is not None
    assert kind.check("wheels.nuts") is not None


def test_a_yards_condition_on_a_part_that_stops_trucks_is_looser() -> None:
    files = [*shipped({"takes": {"wheels": []}}), WHEELS]
    laid = lay([*files, own({"takes": {"wheels": ["cab"]}})])
    now, problems = read(laid)
    assert now is not None, problems
    assert said(loosened(rules(*files), now)) == [("rule-looser", "kinds.reach.checks.wheels.nuts.needs")]


def test_a_symptom_that_stops_the_truck_is_not_tied_to_an_option() -> None:
    change: Content = {"checks": {"chain": {"tension": {"symptoms": {"slack": {"needs": ["cab"]}}}}}}
    laid = lay([*shipped(), own(change)])
    now, _ = read(laid)
    assert now is not None
    assert said(loosened(rules(), now)) == [
        ("rule-looser", "kinds.reach.checks.chain.tension.symptoms.slack.needs"),
    ]
    change["checks"]["chain"]["tension"]["symptoms"] = {"dry": {"needs": ["cab"]}}
    assert loosened(rules(), rules(*shipped(), own(change))) == ()


def test_a_check_that_stops_nothing_may_be_tied_to_an_option() -> None:
    mild = shipped({"checks": {"chain": {"tension": {"symptoms": {"slack": None}}}}})
    now = rules(*mild, own({"checks": {"chain": {"tension": {"needs": ["cab"]}}}}))
    assert loosened(rules(*mild), now) == ()


@pytest.mark.parametrize(
    ("files", "found", "hint", "file", "key"),
    [
        ([own({"takes": {"wheles": []}}), WHEELS], "'wheles'", "Did you mean wheels?", "own.toml", "takes.wheles"),
        ([part("wheles", {"checks": {}})], "'wheles'", "Did you mean wheels?", "wheles0.toml", "part"),
        ([RuleFile("x.toml", {"part": 3})], "3", "", "x.toml", "part"),
        ([RuleFile("x.toml", {"part": "wheels", "kind": "reach"})], "a kind of truck and a part", "", "x.toml", "part"),
    ],
)
def test_part_that_is_none(files: list[RuleFile], found: str, hint: str, file: str, key: str) -> None:
    base = [*shipped({"takes": {"wheels": []}}), *([] if WHEELS in files else [WHEELS])]
    problem = lay([*base, *files]).problems[0]
    assert (problem.code, problem.found, problem.hint) == ("rule-part", found, hint)
    assert (problem.where.file, problem.where.key) == (file, key)


@pytest.mark.parametrize("takes", [3, [], {"wheels": 3}, {"wheels": [3]}])
def test_takes_that_are_none(takes: object) -> None:
    _, problems = read(lay([*shipped({"takes": takes}), WHEELS]))
    assert {one.code for one in problems} <= {"rule-type", "rule-part"}
    assert problems


def test_needs_of_another_type_are_left_to_the_reader() -> None:
    brought: Content = {"checks": {"wheels": {"nuts": {**NUTS, "needs": "cab"}}, "x": 3}}
    _, problems = read(lay([*shipped({"takes": {"wheels": ["cab"]}}), part("wheels", brought)]))
    assert ("rule-type", "checks.wheels.nuts.needs") in said(problems)


def test_a_fault_points_into_the_part_that_says_it() -> None:
    def line(path: Path) -> int | None:
        return 9 if path == ("checks", "wheels", "nuts", "text") else None

    wrong: Content = {"part": "wheels", "checks": {"wheels": {"nuts": {**NUTS, "text": 3}}}}
    file = RuleFile("wheels.toml", wrong, line=line)
    _, problems = read(lay([*shipped({"takes": {"wheels": []}}), file]))
    (problem,) = problems
    assert (problem.where.file, problem.where.line) == ("wheels.toml", 9)
    assert problem.where.key == "checks.wheels.nuts.text"
