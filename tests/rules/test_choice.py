from __future__ import annotations

from decimal import Decimal

import pytest

from dipmark.rules.choice import Alternative, Choice, read_choices
from dipmark.rules.merge import lay
from dipmark.rules.read import read
from dipmark.rules.typed import Faults, Table
from rules.small import PRACTICE, Content, own, rules, said, shipped

FUEL = Choice(
    id="fuel",
    usual="gas",
    of=(
        Alternative(id="gas", words=("lpg", "propane"), brings=("engine", "spark")),
        Alternative(id="diesel", words=("diesel",), brings=("engine",)),
        Alternative(id="electric"),
    ),
)

TOLD: Content = {
    "choices": {
        "fuel": {
            "usual": "gas",
            "of": {"gas": {"words": ["lpg"], "brings": ["engine"]}, "electric": {"words": ["elektro"]}},
        },
    },
}


def chosen(said: tuple[str, ...] = (), words: tuple[str, ...] = ()) -> set[str]:
    return set(FUEL.chosen(said, words))


def test_what_was_said_comes_before_words_and_words_before_what_is_usual() -> None:
    assert chosen() == {"gas", "engine", "spark"}
    assert chosen(words=("red", "diesel")) == {"diesel", "engine"}
    assert chosen(("electric",), ("diesel",)) == {"electric"}
    assert chosen(("gas", "diesel")) == {"gas", "diesel", "engine", "spark"}
    assert FUEL.options() == {"gas", "diesel", "electric", "engine", "spark"}


@pytest.mark.parametrize(
    ("needs", "allowed"),
    [
        ((), True),
        (("cab",), True),
        (("gas", "spark", "cab"), True),
        (("engine",), True),
        (("diesel", "spark"), False),
        (("engine", "electric"), False),
    ],
)
def test_options_of_different_fuels_are_not_on_one_truck(needs: tuple[str, ...], allowed: bool) -> None:
    assert FUEL.allows(needs) is allowed


def test_choice_is_read() -> None:
    faults = Faults()
    (choice,) = read_choices(Table(TOLD, (), faults))
    assert faults.all == []
    assert (choice.id, choice.usual, [one.id for one in choice.of]) == ("fuel", "gas", ["gas", "electric"])
    assert (choice.of[0].words, choice.of[0].brings) == (("lpg",), ("engine",))


def test_usual_one_is_one_of_them() -> None:
    faults = Faults()
    read_choices(Table({"choices": {"fuel": {"usual": "gaz", "of": {"gas": {}}}}}, (), faults))
    read_choices(Table({"choices": {"fuel": {"of": {}}}}, (), faults))
    assert said(faults.all) == [("rule-choice", "choices.fuel.usual"), ("rule-missing", "choices.fuel.usual")]


def test_a_truck_always_has_one() -> None:
    kind = rules(*shipped(TOLD)).kinds["reach"]
    assert kind.options == ("cab", "electric", "engine", "gas")
    assert kind.usual == ("cab", "engine", "gas")
    assert kind.fitted(None) == {"cab", "engine", "gas"}
    assert kind.fitted(None, "Elektro, 48 V") == {"cab", "electric"}
    assert kind.fitted(()) == {"engine", "gas"}
    assert kind.fitted((), "lpg") == {"engine", "gas"}
    assert kind.fitted(("cab", "electric"), "lpg") == {"cab", "electric"}
    assert kind.fitted(("engine",), "elektro") == {"electric"}


def test_a_yard_says_what_is_usual_there() -> None:
    kind = rules(*shipped(TOLD), own({"choices": {"fuel": {"usual": "electric"}}})).kinds["reach"]
    assert kind.usual == ("cab", "electric")


def test_services_and_symptoms_are_those_of_the_truck() -> None:
    change: Content = {
        **TOLD,
        "services": {"100h": {"needs": ["engine"]}},
        "checks": {"chain": {"tension": {"symptoms": {"dry": {"needs": ["electric"]}}}}},
        "tasks": {"oil": {"change": {"needs": ["engine"]}}},
    }
    kind = rules(*shipped(change)).kinds["reach"]
    assert [one.id for one in kind.services_for(["electric"])] == ["200h"]
    assert [one.id for one in kind.services_for(["engine"])] == ["100h", "200h"]
    (chain,) = kind.checks_for(["engine"])
    assert [one.id for one in chain.symptoms] == ["slack"]
    assert kind.checks_for(["electric"])[0] is kind.check("chain.tension")
    upper = kind.services[1]
    assert [one.id for one in kind.all_tasks(upper, ["electric"])] == ["chain.look"]
    assert [one.id for one in kind.all_tasks(upper)] == ["oil.change", "chain.look"]


def test_a_step_takes_the_tasks_that_one_truck_can_have() -> None:
    task = {"text": "Plugs", "minutes": 3, "window": "strict", "steps": ["small", "big"], **PRACTICE}
    change: Content = {
        **TOLD,
        "tasks": {
            "plugs": {"change": {**task, "needs": ["engine"]}},
            "brushes": {"look": {**task, "needs": ["electric"]}},
        },
        "services": {
            "100h": {"step": "small", "needs": ["engine"], "tasks": ["oil.change", "plugs.change"]},
            "200h": {"step": "big"},
        },
    }
    kind = rules(*shipped(change)).kinds["reach"]
    first, second = kind.services
    assert first.tasks == ("plugs.change", "oil.change")
    assert second.tasks == ("plugs.change", "brushes.look", "chain.look")
    assert first.interval_hours == Decimal(100)


def test_step_without_a_task_is_an_empty_service() -> None:
    found, problems = read(lay(shipped({"services": {"100h": {"step": "none", "tasks": None}}})))
    assert problems == ()
    assert found is not None
    assert found.kinds["reach"].services[0].tasks == ()
