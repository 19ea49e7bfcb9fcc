"""What a search finds, and that every word must be there."""

from __future__ import annotations

from datetime import UTC

import msgspec

from dipmark.adapters.rulefiles import read_rules
from dipmark.facts.base import PersonKey
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled, PlateRead, PlateText
from dipmark.facts.work import PartUsed, Worked
from dipmark.views.found import faults_found, fits, log_found, people_found, rules_found, trucks_found, words_of
from views.yards import RULES, made

RECORD = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
  serial LP-0042
  place "Hall A"

fault truck:7 2026-11-19T05:00:00+00:00 ana
  text "seat torn"
  seriousness watch

fault truck:7 2026-11-19T06:00:00+00:00 ana
  @id 00000000-0000-7000-8000-00000000000a
  text "horn weak"
  seriousness watch

worked truck:7 2026-11-19T07:00:00+00:00 ana
  mends - 00000000-0000-7000-8000-00000000000a
  text "New HORN fitted"
"""
TRUCK = made(RECORD, "2026-11-20T10:00")
ODD = msgspec.structs.replace(TRUCK, enrolled=Enrolled(what="airship"))


def test_trucks_by_number_place_kind_and_serial_number() -> None:
    for wanted in (["7"], ["hall", "a"], ["lp-0042"]):
        assert [hit.key for hit in trucks_found(wanted, [TRUCK], RULES)] == ["7"]
    assert list(trucks_found(["7", "nowhere"], [TRUCK], RULES)) == []
    (hit,) = trucks_found(["airship"], [ODD], RULES)
    assert hit.text == "airship"


def test_only_open_faults_are_found() -> None:
    assert [hit.text for hit in faults_found(["seat"], [TRUCK])] == ["seat torn"]
    assert list(faults_found(["horn"], [TRUCK])) == []


def test_the_logbook_gives_the_latest_first_and_skips_what_has_no_words() -> None:
    found = list(log_found(["horn"], "7", TRUCK.counting, UTC))
    assert [hit.text.partition(": ")[2] for hit in found] == ["New HORN fitted", "horn weak"]
    assert found[0].text.startswith("worked, Thu 2026-11-19 07:00")
    assert list(log_found(["horn", "brake"], "7", TRUCK.counting, UTC)) == []


def test_words_stand_in_fields_answers_lines_and_parts() -> None:
    assert list(words_of(MeterRead(hours=1))) == []  # type: ignore[arg-type]
    assert list(words_of(Worked(parts=(PartUsed(part="filter", serial="F1"), PartUsed(part="belt"))))) == [
        "filter F1",
        "belt",
    ]
    assert list(words_of(PlateRead(values=(), texts=(PlateText(name="plate", text="2500 kg"),)))) == ["2500 kg"]


def test_people_by_name_and_firm() -> None:
    names = {PersonKey("a"): "Ana Ruiz", PersonKey("b"): "Bo Lind"}
    assert [hit.key for hit in people_found(["ana"], names, {})] == ["a"]
    assert [(hit.key, hit.text) for hit in people_found(["tollgate"], names, {"b": "Tollgate"})] == [("b", "Tollgate")]


def test_a_rule_that_kinds_share_is_found_once() -> None:
    rules = read_rules()
    hits = [hit for hit in rules_found(["walk-round"], rules) if hit.sort == "rule"]
    assert len({hit.title for hit in hits}) == len(hits) > 0
    assert any("chain" in hit.more for hit in rules_found(["lift", "chain"], rules))
    assert list(rules_found(["no such word at all"], rules)) == []


def test_an_empty_text_hides_nothing() -> None:
    assert fits(["a"], None, "A")
    assert not fits(["a"], None)
