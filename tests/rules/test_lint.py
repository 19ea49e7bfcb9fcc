from __future__ import annotations

import msgspec
import pytest

from dipmark.rules.lint import LENGTHS, lint
from dipmark.rules.merge import lay
from dipmark.rules.model import Rules
from dipmark.rules.read import read
from rules.small import PRACTICE, Content, measured, own, rules, said, shipped

SYMPTOM = "checks.chain.tension.symptoms"


def linted(change: Content) -> list[tuple[str, str | None]]:
    laid = lay(shipped(change))
    found, problems = read(laid)
    assert found is not None, problems
    return said(lint(found, laid.place))


def tension(**change: object) -> Content:
    return {"checks": {"chain": {"tension": change}}}


def slack(**change: object) -> Content:
    return tension(symptoms={"slack": change})


def service(id: str, **change: object) -> Content:
    return {"services": {id: change}}


def test_small_rules_are_in_order() -> None:
    assert lint(rules()) == ()


@pytest.mark.parametrize(
    ("change", "code", "key"),
    [
        (tension(source="practise"), "rule-source", "checks.chain.tension.source"),
        (slack(source="x"), "rule-source", f"{SYMPTOM}.slack.source"),
        ({"cautions": {"hands": {"source": "x"}}}, "rule-source", "cautions.hands.source"),
        ({"tasks": {"oil": {"change": {"source": "x"}}}}, "rule-source", "tasks.oil.change.source"),
        (service("100h", source="x"), "rule-source", "services.100h.source"),
        (slack(seriousness="watch"), "rule-safety", f"{SYMPTOM}.slack.seriousness"),
        (slack(days=3), "rule-days", f"{SYMPTOM}.slack.days"),
        (tension(symptoms={"dry": {"days": None}}), "rule-days", f"{SYMPTOM}.dry.days"),
        (tension(place="roof"), "rule-reference", "checks.chain.tension.place"),
        (tension(needs=["can"]), "rule-reference", "checks.chain.tension.needs"),
        (tension(symptoms=None), "rule-empty", "checks.chain.tension.symptoms"),
        ({"tasks": {"oil": {"change": {"needs": ["x"]}}}}, "rule-reference", "tasks.oil.change.needs"),
        (slack(needs=["x"]), "rule-reference", f"{SYMPTOM}.slack.needs"),
        (service("100h", needs=["x"]), "rule-reference", "services.100h.needs"),
        ({"places": {"rear": {"number": 1}}}, "rule-once", "places"),
        (service("100h", tasks=["oil.change", "oil.none"]), "rule-reference", "services.100h.tasks"),
        (service("100h", meter="engine"), "rule-unit", "services.100h.meter"),
        (service("100h", includes=["100h"]), "rule-includes", "services.100h.includes"),
        (service("100h", includes=["200h"]), "rule-includes", "services.100h.includes"),
        (service("100h", includes=["99h"]), "rule-reference", "services.100h.includes"),
        (service("200h", interval_hours=130), "rule-multiple", "services.200h.includes"),
        (service("200h", severe={"hard": 0}), "rule-factor", "services.200h.severe.hard"),
        ({"text": "x" * 61}, "rule-length", "text"),
        ({"places": {"rear": {"text": "x" * 41}}}, "rule-length", "places.rear.text"),
        (tension(text="x" * 111), "rule-length", "checks.chain.tension.text"),
        (tension(normal="x" * 111), "rule-length", "checks.chain.tension.normal"),
        (slack(text="x" * 101), "rule-length", f"{SYMPTOM}.slack.text"),
        (slack(put_right="x" * 121), "rule-length", f"{SYMPTOM}.slack.put_right"),
        ({"tasks": {"oil": {"change": {"text": "x" * 151}}}}, "rule-length", "tasks.oil.change.text"),
        ({"tasks": {"oil": {"change": {"parts": ["x" * 51]}}}}, "rule-length", "tasks.oil.change.parts"),
        ({"cautions": {"hands": {"text": "x" * 171}}}, "rule-length", "cautions.hands.text"),
        (service("100h", text="x" * 61), "rule-length", "services.100h.text"),
    ],
)
def test_fault_is_named(change: Content, code: str, key: str) -> None:
    assert linted(change) == [(code, key)]


def test_longest_texts_fit() -> None:
    assert LENGTHS["check"] == 110
    assert linted(tension(text="x" * 110)) == []


def test_service_without_task_or_interval() -> None:
    change = service("100h", tasks=[], interval_hours=None)
    found = linted(change)
    assert found == [
        ("rule-unused", "tasks.oil.change"),
        ("rule-empty", "services.100h.tasks"),
        ("rule-empty", "services.100h"),
    ]


def test_a_service_is_called_for_or_comes_back_and_never_both() -> None:
    assert linted(service("100h", after="hit")) == []
    assert linted(service("100h", after="hit", interval_hours=None)) == []
    assert linted(service("100h", after="hit", months=3)) == [("rule-after", "services.100h.after")]
    assert linted(service("100h", after="hit", interval_hours=None, months=3)) == [
        ("rule-after", "services.100h.after")
    ]


def test_unused_task_and_uneven_multiple_hold_nothing_up() -> None:
    changes: list[Content] = [service("100h", tasks=["chain.look"]), service("200h", interval_hours=250)]
    for change in changes:
        found, _ = read(lay(shipped(change)))
        assert found is not None
        (problem,) = lint(found)
        assert not problem.hard


@pytest.mark.parametrize(
    ("lower", "codes"),
    [
        ("163.6", ["rule-multiple"]),  # in time up to 179.96, the next opens at 180
        ("163.63", ["rule-multiple"]),  # 179.993
        ("163.64", ["rule-multiple", "rule-overlap"]),  # 180.004
    ],
)
def test_windows_that_overlap(lower: str, codes: list[str]) -> None:
    change = service("100h", interval_hours=float(lower))
    assert [code for code, _ in linted(change)] == codes


def test_window_that_touches_the_next_opening_overlaps() -> None:
    # 160 h and 10 % end at 176 h; 220 h less 20 % opens at 176 h
    change: Content = {
        "services": {"100h": {"interval_hours": 160}, "200h": {"interval_hours": 220, "includes": []}},
        "windows": {"strict": {"early_percent": 20}},
    }
    assert linted(change) == [("rule-overlap", "services.200h.interval_hours")]
    change["windows"]["strict"]["early_percent"] = 19
    assert linted(change) == []


def test_windows_of_other_meters_months_and_one_off_services_do_not_overlap() -> None:
    assert linted({"meters": ["key", "drive"], **service("100h", interval_hours=200, meter="drive", includes=[])}) == [
        ("rule-includes", "services.200h.includes")
    ]
    assert linted(service("100h", interval_hours=None, months=1)) == []
    assert linted(service("100h", interval_hours=195, once=True)) == [("rule-multiple", "services.200h.includes")]


def test_day_service_need_not_divide() -> None:
    assert linted(service("100h", interval_hours=24)) == []
    assert linted(service("100h", interval_hours=25, includes=[])) == []
    assert linted(service("100h", interval_hours=26)) == [("rule-multiple", "services.200h.includes")]


@pytest.mark.parametrize(
    "text",
    [
        "Fill 4.5 litres",
        "Fill 4 l",
        "Fill 4L of oil",
        "Tighten to 180 Nm",
        "Tighten to 180 N m",
        "Tighten to 90 lb-ft",
        "Set 8 bar",
        "Set 120 psi",
        "Set 600 kPa",
        "Warm to 80 °C",
        "Grease 12 nipples",
        "Grease 12 points",
        "Add 2 quarts",
        "Tighten to 12 kgf m",
    ],
)
def test_quantity_nobody_read_on_the_truck(text: str) -> None:
    assert linted({"tasks": {"oil": {"change": {"text": text}}}}) == [("rule-invented", "tasks.oil.change.text")]


@pytest.mark.parametrize(
    "text",
    ["Above 80 % of it", "At 10 seconds", "Three lamps", "90 % of new is out", "At 2 long forks", "Within 450 h"],
)
def test_numbers_that_are_none(text: str) -> None:
    assert linted({"tasks": {"oil": {"change": {"text": text}}}}) == []


def test_one_quantity_has_one_unit() -> None:
    asked: Content = {"checks": {"horn": {"heard": {"asked": {"quantity": "slack", "unit": "in"}}}}}
    assert linted(asked) == [("rule-unit", "checks.chain.tension.asked.unit")]
    asked["checks"]["horn"]["heard"]["asked"]["unit"] = "mm"
    assert linted(asked) == []


def test_two_rules_with_one_id() -> None:
    found = rules()
    kind = found.kinds["reach"]
    twice = msgspec.structs.replace(
        kind, checks=kind.checks * 2, tasks=kind.tasks * 2, services=(kind.services[0], *kind.services)
    )
    problems = lint(msgspec.structs.replace(found, kinds={"reach": twice}))
    assert [problem.found for problem in problems if problem.code == "rule-once"] == [
        "chain.tension 2 times",
        "horn.heard 2 times",
        "chain.look 2 times",
        "oil.change 2 times",
        "100h 2 times",
    ]


def test_duties_are_linted() -> None:
    found = rules()
    duty = msgspec.structs.replace(found.duties["XX"][0], source="x", text="x" * 241)
    changed: Rules = msgspec.structs.replace(found, duties={"XX": (duty,)})
    path = "duties.XX.duties.examination"
    assert said(lint(changed)) == [("rule-source", f"{path}.source"), ("rule-length", f"{path}.text")]


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({}, []),
        ({"text": "x" * 61}, [("rule-length", "text")]),
        ({"how": []}, [("rule-empty", "how")]),
        ({"how": ["x" * 240, "y" * 241]}, [("rule-length", "how")]),
        ({"limits": {"slack": {"source": "x"}}}, [("rule-source", "limits.slack.source")]),
        ({"limits": {"slack": {"text": "x" * 241}}}, [("rule-length", "limits.slack.text")]),
        ({"limits": {"slack": {"text": "Above 120 psi it is out."}}}, []),
        ({"limits": {"slack": {"days": 7}}}, [("rule-days", "limits.slack.days")]),
        ({"limits": {"worn": {"days": None}}}, [("rule-days", "limits.worn.days")]),
        ({"rows": {"sizes": {"source": "x"}}}, [("rule-source", "rows.sizes.source")]),
        ({"rows": {"sizes": {"text": "x" * 241}}}, [("rule-length", "rows.sizes.text")]),
        ({"cautions": {"fingers": {"source": "x"}}}, [("rule-source", "cautions.fingers.source")]),
        ({"cautions": {"fingers": {"text": "x" * 171}}}, [("rule-length", "cautions.fingers.text")]),
        ({"cautions": {"fingers": {"text": "Wait for 40 °C."}}}, [("rule-invented", "cautions.fingers.text")]),
    ],
)
def test_subjects_are_linted(change: Content, found: list[tuple[str, str]]) -> None:
    laid = lay([*shipped(), measured(change)])
    held, problems = read(laid)
    assert held is not None, problems
    assert said(lint(held, laid.place)) == found


def test_all_at_once_and_in_the_yards_file() -> None:
    yard = own(
        {"checks": {"chain": {"tension": {"source": "x", "place": "y"}}}, "places": {"front": {"text": "x" * 41}}}
    )
    laid = lay([*shipped(), yard])
    found, _ = read(laid)
    assert found is not None
    problems = lint(found, laid.place)
    assert {problem.where.file for problem in problems} == {"own.toml"}
    assert len(problems) == 3
    assert PRACTICE["source"] == "practice"


@pytest.mark.parametrize(("source", "codes"), [
    ({"title": "Manual", "read_by": "Ana", "read_on": "2026-11-20"}, []),
    ({"title": "Manual", "read_by": "Ana"}, ["rule-invented"]),
    ({"title": "Manual", "read_on": "2026-11-20"}, ["rule-invented"]),
])  # fmt: skip
def test_a_litre_may_be_written_where_somebody_answers_for_it(source: Content, codes: list[str]) -> None:
    task = {"tasks": {"oil": {"change": {"text": "Change oil, 5.5 l", "source": "manual", "mark": "seen"}}}}
    held = rules(*shipped(task), own({"sources": {"manual": source}}))
    assert [one.code for one in lint(held)] == codes
