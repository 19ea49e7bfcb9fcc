"""Rules laid over one another, id by id."""

from __future__ import annotations

import pytest

from dipmark.rules.merge import DEEPEST, RuleFile, lay
from dipmark.rules.read import read
from dipmark.rules.typed import Path
from rules.small import Content, own, rules, said, shipped

OURS = rules()


def test_lists_and_values_are_replaced_whole() -> None:
    kind = rules(*shipped(), own({"meters": ["key", "drive"], "options": {"net": False}})).kinds["reach"]
    assert kind.meters == ("key", "drive")
    assert kind.options == ("cab", "net")


def test_a_table_in_place_of_a_value_is_a_fault_of_type() -> None:
    _, problems = read(lay([*shipped(), own({"text": {"en": "Reach"}})]))
    assert said(problems) == [("rule-type", "text")]
    assert problems[0].where.file == "own.toml"


def test_same_key_in_two_files_of_one_set() -> None:
    laid = lay(
        [*shipped(), own({"text": "A"}, "a.toml"), own({"text": "B"}, "b.toml"), own({"meters": ["x"]}, "c.toml")]
    )
    assert said(laid.problems) == [("rule-twice", "text")]
    assert laid.problems[0].where.file == "b.toml"


@pytest.mark.parametrize(
    ("content", "code", "key"),
    [
        ({"checks": {}}, "rule-missing", "kind"),
        ({"kind": "reech", "checks": {}}, "rule-kind", "kind"),
        ({"kind": 3, "checks": {}}, "rule-kind", "kind"),
        ({"kind": ["reach"], "checks": {}}, "rule-kind", "kind"),
        ({"duties": {}}, "rule-kind", "country"),
        ({"country": "usa", "duties": {}}, "rule-kind", "country"),
        ({"country": "us", "duties": {}}, "rule-kind", "country"),
        ({"country": 1, "duties": {}}, "rule-kind", "country"),
    ],
)
def test_file_that_does_not_say_what_it_is_about(content: Content, code: str, key: str) -> None:
    laid = lay([RuleFile("x.toml", content)])
    assert said(laid.problems) == [(code, key)]
    assert laid.tree == {}


def test_misspelt_kind_is_met_with_a_suggestion() -> None:
    laid = lay([RuleFile("x.toml", {"kind": "reech", "text": "x"})])
    assert laid.problems[0].hint == "Did you mean reach?"


def test_unknown_key_at_the_top() -> None:
    _, problems = read(lay([*shipped(), own({"chekcs": {}})]))
    assert said(problems) == [("rule-unknown-key", "chekcs")]
    assert problems[0].hint == "Did you mean checks?"


def test_file_nested_too_deep() -> None:
    value: object = [1]
    for _ in range(DEEPEST):
        value = {"a": value}
    laid = lay([RuleFile("x.toml", {"kind": "reach", "checks": value})])
    assert said(laid.problems) == [("rule-deep", None)]


def test_place_is_in_the_file_that_says_most() -> None:
    def line(path: Path) -> int | None:
        return 7 if path == ("checks", "chain", "tension", "text") else None

    yard = RuleFile("own.toml", {"kind": "reach", "checks": {"chain": {"tension": {"text": 3}}}}, own=True, line=line)
    laid = lay([*shipped({"checks": {"chain": {"tension": {"normal": 3}}}}), yard])
    _, problems = read(laid)
    places = [(one.where.file, one.where.line, one.where.key) for one in problems]
    assert places == [
        ("own.toml", 7, "checks.chain.tension.text"),
        ("reach.toml", None, "checks.chain.tension.normal"),
    ]
    assert laid.place(("nowhere",)).file is None


def test_laying_changes_no_file() -> None:
    files = shipped()
    lay([*files, own({"checks": {"chain": {"tension": {"text": "x"}}}})])
    assert rules(*files).digest == OURS.digest


def test_who_says_how_serious_says_the_days_with_it() -> None:
    stricter = {"symptoms": {"dry": {"seriousness": "stop", "affects_safety": True}}}
    held = rules(*shipped(), own({"checks": {"chain": {"tension": stricter}}}))
    check = held.kinds["reach"].check("chain.tension")
    assert check is not None
    dry = check.symptom("dry")
    assert dry is not None
    assert (dry.seriousness, dry.days) == ("stop", None)


@pytest.mark.parametrize("content", [{"subject": 3}, {"subject": "belt", "kind": "reach"}])
def test_a_file_about_a_subject_and_something_else(content: Content) -> None:
    assert said(lay([RuleFile("x.toml", {**content, "text": "x"})]).problems) == [("rule-kind", "subject")]
