"""Duties: read, linted, never loosened."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from dipmark.rules.duty import Duty, Sooner
from dipmark.rules.lint import lint
from dipmark.rules.loosened import loosened
from dipmark.rules.merge import RuleFile, lay
from dipmark.rules.model import Rules, rules_of
from dipmark.rules.read import read
from dipmark.rules.value import Trucks
from rules.small import PRACTICE, rules, said, shipped

WHOLE: dict[str, Any] = {
    "text": "Examined",
    "who": "a competent person",
    "kept": "two years",
    "every_months": 12,
    "when_lapsed": "out-of-service",
    "each_shift": True,
    "after_harm": True,
    "trucks": {"kinds": ["reach"], "where": ["stacker"]},
    "sooner": {"people": {"months": 6, "trucks": {"kinds": ["order-picker"], "where": ["lifts-people"]}}},
    **PRACTICE,
}


def land(change: dict[str, Any] | None = None, *, own: bool = False, country: str = "ZZ") -> RuleFile:
    duty = (change or {}) if own else {**WHOLE, **(change or {})}
    return RuleFile("own.toml" if own else "zz.toml", {"country": country, "duties": {"examination": duty}}, own=own)


def duty_of(found: Rules) -> Duty:
    return found.duties["ZZ"][0]


def test_a_duty_is_read_whole() -> None:
    duty = duty_of(rules(*shipped(), land({"about": "item", "written": False})))
    assert (duty.about, duty.written, duty.each_shift, duty.every_months) == ("item", False, True, 12)
    assert duty.trucks == Trucks(kinds=("reach",), where=("stacker",))
    people = Trucks(kinds=("order-picker",), where=("lifts-people",))
    assert duty.sooner == (Sooner(id="people", months=6, trucks=people),)


def test_what_is_left_out_is_a_written_duty_of_every_truck() -> None:
    duty = rules(*shipped()).duties["XX"][0]
    assert (duty.about, duty.written, duty.each_shift, duty.trucks, duty.sooner) == (
        "truck",
        True,
        False,
        Trucks(),
        (),
    )


@pytest.mark.parametrize(
    ("kind", "has", "months"),
    [("reach", (), 12), ("reach", ("lifts-people",), 6), ("order-picker", (), 6), ("pallet", ("stacker",), 12)],
)
def test_the_shortest_rhythm_that_fits_counts(kind: str, has: tuple[str, ...], months: int) -> None:
    assert duty_of(rules(*shipped(), land())).months(kind, has) == months


def test_no_rhythm_is_no_months() -> None:
    duty = duty_of(rules(*shipped(), land()))
    bare = msgspec.structs.replace(duty, every_months=None)
    assert bare.months("reach", ()) is None
    assert bare.months("order-picker", ()) == 6


def test_faults_of_form_are_found_at_once() -> None:
    change = {"about": "yard", "when_lapsed": "gone", "trucks": {"kinds": 3}, "sooner": {"people": {"months": 0}}}
    _, problems = read(lay([*shipped(), land(change)]))
    assert sorted(said(problems)) == [
        ("rule-choice", "duties.examination.about"),
        ("rule-choice", "duties.examination.when_lapsed"),
        ("rule-range", "duties.examination.sooner.people.months"),
        ("rule-type", "duties.examination.trucks.kinds"),
    ]


def test_faults_of_meaning_are_found_at_once() -> None:
    sooner = {
        "people": {"months": 12, "trucks": {"kinds": ["reech"]}},
        "hard": {"months": 11, "trucks": {"where": ["hard"]}},
    }
    found = rules(*shipped(), land({"trucks": {"kinds": ["palet"]}, "sooner": sooner, "who": "x" * 241}))
    at = "duties.ZZ.duties.examination"
    assert said(lint(found)) == [
        ("rule-length", f"{at}.who"),
        ("rule-reference", f"{at}.trucks.kinds"),
        ("rule-reference", f"{at}.sooner.people.trucks.kinds"),
        ("rule-sooner", f"{at}.sooner.people.months"),
    ]
    bare = msgspec.structs.replace(duty_of(found), every_months=None, trucks=Trucks(), who="x")
    bare = msgspec.structs.replace(bare, sooner=bare.sooner[1:])
    (problem,) = lint(msgspec.structs.replace(found, duties={"ZZ": (bare,)}))
    assert (problem.code, problem.found) == ("rule-sooner", "11 months, no usual rhythm")


@pytest.mark.parametrize(
    ("change", "keys"),
    [
        ({"when_lapsed": "not-checked"}, ["when_lapsed"]),
        ({"about": "driver"}, ["about"]),
        ({"written": False, "each_shift": False}, ["written", "each_shift"]),
        ({"after_harm": False}, ["after_harm"]),
        ({"trucks": {"kinds": ["pallet"]}}, ["trucks.kinds"]),
        ({"trucks": {"where": ["cab"]}}, ["trucks.where"]),
        ({"sooner": {"people": {"months": 7}}}, ["sooner.people.months"]),
        ({"sooner": {"people": {"trucks": {"kinds": []}}}}, ["sooner.people.trucks.kinds"]),
        ({"trucks": {"kinds": ["reach", "pallet"], "where": ["stacker", "cab"]}}, []),
        ({"trucks": {"kinds": [], "where": []}}, []),
        ({"every_months": 11, "sooner": {"people": {"months": 5}}}, []),
    ],
)
def test_a_yard_may_be_stricter_never_looser(change: dict[str, Any], keys: list[str]) -> None:
    ours = rules(*shipped(), land())
    laid = lay([*shipped(), land(), land(change, own=True)])
    now, problems = read(laid)
    assert now is not None, problems
    assert said(loosened(ours, now, laid.place)) == [("rule-looser", f"duties.examination.{key}") for key in keys]


def test_a_duty_of_every_truck_is_not_narrowed() -> None:
    ours = rules(*shipped())
    for trucks in ({"kinds": ["reach"]}, {"where": ["cab"]}):
        laid = lay([*shipped(), land({"trucks": trucks}, own=True, country="XX")])
        now, _ = read(laid)
        assert now is not None
        (problem,) = loosened(ours, now, laid.place)
        assert problem.expected == "no truck fewer"


def test_a_lapse_that_stops_a_driver_is_not_made_nothing() -> None:
    ours = rules(*shipped(), land({"when_lapsed": "not-you"}))
    for word, looser in (("nothing", True), ("out-of-service", False), ("not-you", False)):
        laid = lay([*shipped(), land({"when_lapsed": "not-you"}), land({"when_lapsed": word}, own=True)])
        now, _ = read(laid)
        assert now is not None
        assert bool(loosened(ours, now)) is looser


def test_an_upper_file_that_broke_a_shorter_rhythm_has_its_own_problem() -> None:
    ours = rules(*shipped(), land())
    now = msgspec.structs.replace(
        ours, duties={**ours.duties, "ZZ": (msgspec.structs.replace(duty_of(ours), sooner=()),)}
    )
    assert loosened(ours, now) == ()


@pytest.mark.parametrize(
    ("country", "law"),
    [
        (None, None),
        ("GB", "GB"),
        ("GB-ENG", "GB"),
        ("CA", "CA"),
        ("CA-ON", "CA-ON"),
        ("CA-BC", None),
        ("AU-VIC", "AU-VIC"),
        ("AU", None),
        ("AU-NSW", None),
        ("FR", None),
    ],
)
def test_whose_law_is_counted(country: str | None, law: str | None) -> None:
    found = rules_of({}, {"GB": (), "CA": (), "CA-ON": (), "AU-VIC": ()}, {}, "1")
    assert found.law_of(country) == law


def test_the_examinations_of_trucks() -> None:
    item, shift = land({"about": "item"}), land({})
    found = rules(*shipped(), item, RuleFile("yy.toml", {**shift.table, "country": "YY"}))
    assert [duty.id for duty in found.examinations("XX")] == ["examination"]
    assert [found.examinations(country) for country in ("YY", "ZZ", "FR", None)] == [()] * 4


@pytest.mark.parametrize("country", ["CA-ON", "AU-VIC", "FR-2"])
def test_a_part_of_a_country_may_have_a_law_of_its_own(country: str) -> None:
    assert country in rules(*shipped(), land(country=country)).duties


@pytest.mark.parametrize("country", ["CA-", "CA-ONTA", "CA-on", "CAN", "-ON"])
def test_what_is_no_country(country: str) -> None:
    assert said(lay([land(country=country)]).problems) == [("rule-kind", "country")]
