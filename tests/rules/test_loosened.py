"""What a yard may change, and what it may not make looser."""

from __future__ import annotations

from decimal import Decimal

import msgspec
import pytest

from dipmark.rules.loosened import loosened
from dipmark.rules.merge import RuleFile, lay
from dipmark.rules.read import draft, read
from rules.small import PRACTICE, SOURCES, Content, measured, own, rules, said, shipped

OURS = rules()


def loose(content: Content) -> list[tuple[str, str | None]]:
    laid = lay([*shipped(), own(content)])
    now, problems = read(laid)
    assert now is not None, problems
    return said(loosened(OURS, now, laid.place))


def test_a_yard_changes_a_part_and_adds_its_own() -> None:
    check = {"place": "front", "text": "Net", "normal": "on", "when": "key-off", "shift": False, **PRACTICE}
    check["symptoms"] = {"off": {"text": "off", "seriousness": "watch", "affects_safety": False, **PRACTICE}}
    files = [own({"checks": {"net": {"on": check}, "chain": {"tension": {"text": "Our chains"}}}}), *shipped()]
    kind = rules(*files).kinds["reach"]
    chain = kind.check("chain.tension")
    assert chain is not None
    assert (chain.text, chain.normal) == ("Our chains", "tight")
    assert [one.id for one in kind.checks] == ["horn.heard", "chain.tension", "net.on"]
    assert loose({"checks": {"net": {"on": check}}}) == []


TENSION = ("checks", "chain", "tension")


def at(path: tuple[str, ...], **content: object) -> Content:
    nested: Content = dict(content)
    for key in reversed(path):
        nested = {key: nested}
    return nested


@pytest.mark.parametrize(
    "content",
    [
        {},
        at(TENSION, text="x", normal="y", place="rear", cautions=[]),
        at(("checks", "chain", "tension", "symptoms", "slack"), seriousness="now"),
        at(("checks", "chain", "tension", "symptoms", "dry"), seriousness="watch"),
        at(("tasks", "oil", "change"), minutes=1, window="strict", parts=["filter"]),
        at(("services", "100h"), interval_hours=150, months=3),
        at(("services", "200h"), interval_hours=180, months=1, tasks=["chain.look", "oil.change"]),
        at(("windows", "oil"), late_percent=5, late_most_hours=20),
    ],
)
def test_what_a_yard_may_change(content: Content) -> None:
    assert loose(content) == []


@pytest.mark.parametrize(
    ("content", "key"),
    [
        (at((*TENSION, "symptoms", "slack"), seriousness="watch"), "checks.chain.tension.symptoms.slack.seriousness"),
        (
            at((*TENSION, "symptoms", "slack"), affects_safety=False),
            "checks.chain.tension.symptoms.slack.affects_safety",
        ),
        (
            at(("checks", "horn", "heard", "symptoms", "dead"), seriousness="stop"),
            "checks.horn.heard.symptoms.dead.seriousness",
        ),
        (at(("checks", "horn", "heard", "symptoms", "dead"), legal=False), "checks.horn.heard.symptoms.dead.legal"),
        (at(("checks", "horn", "heard"), legal=False), "checks.horn.heard.legal"),
        (at(TENSION, shift=False), "checks.chain.tension.shift"),
        (at(TENSION, needs=["cab"]), "checks.chain.tension.needs"),
        (at(TENSION, retest=False), "checks.chain.tension.retest"),
        (at(("tasks", "chain", "look"), retest=False), "tasks.chain.look.retest"),
        (at(("tasks", "chain", "look"), legal=False), "tasks.chain.look.legal"),
        (at(("tasks", "chain", "look"), window="oil"), "tasks.chain.look.window"),
        (at(("windows", "strict"), late_percent=1), "tasks.chain.look.window"),
        (at(("windows", "strict"), early_percent=11), "tasks.chain.look.window"),
        (at(("windows", "oil"), late_most_hours=26), "tasks.oil.change.window"),
        (at(("services", "200h"), legal=False), "services.200h.legal"),
        (at(("services", "200h"), interval_hours=Decimal("200.1")), "services.200h.interval_hours"),
        (at(("services", "200h"), months=3), "services.200h.months"),
        (at(("services", "200h"), tasks=["oil.change"]), "services.200h.tasks"),
    ],
)
def test_what_a_yard_may_not_loosen(content: Content, key: str) -> None:
    assert loose(content) == [("rule-looser", key)]


def test_what_a_happening_calls_for_may_not_be_taken_off_it() -> None:
    called = {"text": "Third", "after": "hit", "state_when_late": "restricted", "tasks": ["oil.change"], **PRACTICE}
    before = rules(*shipped(), own(at(("services", "hit"), **called)))

    def told(**change: str) -> list[tuple[str, str | None]]:
        laid = lay([*shipped(), own(at(("services", "hit"), **{**called, **change}))])
        now, problems = read(laid)
        assert now is not None, problems
        return said(loosened(before, now, laid.place))

    assert told(text="Ours") == []
    assert told(after="rest") == [("rule-looser", "services.hit.after")]
    assert told(state_when_late="out-of-service") == [("rule-looser", "services.hit.state_when_late")]


def test_legal_interval_says_by_how_much_it_is_longer() -> None:
    laid = lay([*shipped(), own(at(("services", "200h"), interval_hours=230))])
    now, _ = read(laid)
    assert now is not None
    (problem,) = loosened(OURS, now)
    assert (problem.found, problem.expected) == ("230, 30 more than the law allows", "at most 200")
    assert problem.where.key == "kinds.reach.services.200h.interval_hours"


def test_duty_may_not_lapse_more_mildly_nor_come_later() -> None:
    change = {"every_months": 13, "when_lapsed": "nothing"}
    yard = RuleFile("own.toml", {"country": "XX", "duties": {"examination": change}}, own=True)
    laid = lay([*shipped(), yard])
    now, _ = read(laid)
    assert now is not None
    keys = [("rule-looser", f"duties.examination.{key}") for key in change]
    assert said(loosened(OURS, now, laid.place)) == keys


def test_a_kind_and_a_country_of_the_yards_own() -> None:
    net = RuleFile("net.toml", {"kind": "pallet", "text": "Pallet truck", "meters": ["drive"]}, own=True)
    duty = {"text": "Plate", "who": "owner", "kept": "always", "when_lapsed": "nothing", **PRACTICE}
    land = RuleFile("yy.toml", {"country": "YY", "duties": {"plate": duty}}, own=True)
    now = rules(*shipped(), net, land)
    assert set(now.kinds) == {"reach", "pallet"}
    assert set(now.duties) == {"XX", "YY"}
    assert loosened(OURS, now) == ()


def test_what_cannot_be_read_any_more_is_left_to_its_own_problem() -> None:
    yard = own({"checks": {"chain": 3, "horn": {"heard": {"symptoms": 3}}}, "tasks": 3, "services": 3})
    land = RuleFile("xx2.toml", {"country": "XX", "duties": {"examination": 3}}, own=True)
    laid = lay([*shipped(), yard, land])
    now, faults = draft(laid)
    assert faults
    assert said(loosened(OURS, now, laid.place)) == [("rule-looser", "duties.examination.every_months")]
    assert loosened(OURS, msgspec.structs.replace(now, duties={"XX": ()}), laid.place) == ()


def test_no_interval_where_the_law_sets_one() -> None:
    shorter = shipped()
    now = rules(shorter[0], shorter[1], RuleFile("xx.toml", _without_rhythm()))
    assert said(loosened(OURS, now)) == [("rule-looser", "duties.XX.duties.examination.every_months")]
    assert SOURCES["version"] == "1"


def _without_rhythm() -> dict[str, object]:
    duty = {"text": "x", "who": "x", "kept": "x", "when_lapsed": "out-of-service", "legal": True, **PRACTICE}
    return {"country": "XX", "duties": {"examination": duty}}


def test_late_bound_taken_away() -> None:
    ours, _ = read(lay(shipped()))
    now, _ = read(lay(shipped({"windows": {"oil": {"late_most_hours": None}}})))
    assert ours is not None
    assert now is not None
    (problem,) = loosened(ours, now)
    assert problem.found == "10 % early, 10 % late"
    assert problem.expected == "no wider than 10 % early, 10 % late, at most 25 h"


def belt(**limits: Content) -> RuleFile:
    """A yard's own limits of the small subject."""
    return RuleFile("ours.toml", {"subject": "belt", "limits": limits}, own=True)


def test_a_yard_lays_its_limits_over_ours() -> None:
    ours = rules(*shipped(), measured())
    laid = lay([*shipped(), measured(), belt(slack={"value": 15, "source": "practice"})])
    now, problems = read(laid)
    assert now is not None, problems
    assert now.subjects["belt"].limits["slack"].value == 15
    assert now.subjects["belt"].limits["worn"] == ours.subjects["belt"].limits["worn"]
    assert loosened(ours, now, laid.place) == ()
    assert now.digest != ours.digest


def test_a_looser_limit_is_refused_in_the_yards_file() -> None:
    ours = rules(*shipped(), measured())
    laid = lay([*shipped(), measured(), belt(slack={"value": 25}, tight={"value": 1}, worn={"days": 60})])
    now, problems = read(laid)
    assert now is not None, problems
    found = loosened(ours, now, laid.place)
    assert said(found) == [("rule-looser", "limits.slack.value"), ("rule-looser", "limits.worn.days")]
    assert {one.where.file for one in found} == {"ours.toml"}
    assert found[0].found == "25 mm"


def test_a_limit_made_more_serious_loses_its_days() -> None:
    now = rules(*shipped(), measured(), belt(worn={"verdict": "stop"}))
    worn = now.subjects["belt"].limits["worn"]
    assert (worn.verdict, worn.days) == ("stop", None)
    assert loosened(rules(*shipped(), measured()), now) == ()


def test_a_limit_that_a_yards_file_spoils_is_left_to_its_own_problem() -> None:
    ours = rules(*shipped(), measured())
    gone = msgspec.structs.replace(ours.subjects["belt"], limits={})
    assert loosened(ours, msgspec.structs.replace(ours, subjects={"belt": gone})) == ()
