"""The logbook shows every fact with both times, and what became of it."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from dipmark.derive.past import past
from dipmark.facts import work
from dipmark.facts.base import Key, PersonKey
from dipmark.facts.codec import chain
from dipmark.facts.custody import HeldBy
from dipmark.facts.notation import parse
from dipmark.facts.walk_round import WalkRound
from dipmark.views.log import body_words, log_rows

RECORD = """
enrolled truck:7 2026-11-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
  options - seat-belt
  options - mirrors

meter-read truck:7 2026-11-10T00:00:00+00:00/day ana
  hours 10.5
  @id 00000000-0000-7000-8000-00000000000b

meter-read truck:7 2026-11-11T00:00:00+00:00/day bo
  hours 12
  @id 00000000-0000-7000-8000-00000000000c

corrected truck:7 2026-11-12T00:00:00+00:00 ana
  target 00000000-0000-7000-8000-00000000000b
  body {"kind":"meter-read","hours":"10.6"}
  reason misread

withdrawn truck:7 2026-11-12T00:00:00+00:00 ana
  target 00000000-0000-7000-8000-00000000000c
  reason "other truck"

walk-round truck:7 2026-11-19T00:00:00+00:00 ana
  @id 00000000-0000-7000-8000-00000000000d
  answers - {"check":"brake"}
  answers - {"check":"horn","mark":"unseen","text":"asleep"}
  answers - {"check":"chain.tension","mark":"fault","symptom":"slack","text":"left one","put_right":"oiled"}
  meter {"hours":"12.5"}
"""
MORE = """
fault truck:7 2026-11-20T00:00:00+00:00 ana
  @id 00000000-0000-7000-8000-00000000000e
  text "soft brake"
  seriousness stop

held-by truck:7 2026-11-20T00:00:00+00:00 ana
  who driver
  person ana

worked truck:7 2026-11-21T00:00:00+00:00 ana
  mends - 00000000-0000-7000-8000-00000000000d#horn
  mends - 00000000-0000-7000-8000-00000000000e
  tests - {"test":"lift-test","passed":true}
"""
ZONE = ZoneInfo("Europe/Madrid")


def test_every_fact_stands_there_once_with_what_became_of_it() -> None:
    record = chain(parse(RECORD).facts)
    as_of = datetime(2026, 11, 15, tzinfo=UTC)
    rows = log_rows(record, past(record, as_of), {PersonKey("ana"): "Ana Ruiz"}, as_of, ZONE)
    assert [row.kind for row in rows] == ["enrolled", "meter-read", "meter-read", "corrected", "withdrawn"]
    enrolled, first, second, correction, _ = rows
    assert (enrolled.by, second.by) == ("Ana Ruiz", "bo")
    assert (first.counts, first.corrected_by) == (True, (correction.id,))
    assert (second.counts, second.corrected_by) == (False, ())
    assert first.body == {"hours": Decimal("10.5")}
    assert first.whole_day
    assert correction.body["body"]["hours"] == Decimal("10.6")
    assert [row.fate for row in rows] == [
        "",
        "Corrected: another fact says how it was.",
        "Withdrawn: it no longer counts.",
        "",
        "",
    ]


def test_both_times_stand_there_by_the_clock_of_the_yard() -> None:
    record = chain(parse(RECORD).facts)
    as_of = datetime(2026, 11, 30, tzinfo=UTC)
    rows = log_rows(record, past(record, as_of), {}, as_of, ZONE)
    assert (rows[0].when, rows[0].taken) == ("Thu 2026-11-05 01:00", "Thu 2026-11-05 01:00")
    assert (rows[1].when, rows[1].taken) == ("Tue 2026-11-10", "Tue 2026-11-10 01:00")


def test_a_truck_enrolled_later_than_it_counts_stands_there_all_the_same() -> None:
    late = RECORD.replace("2026-11-05T00:00:00", "2026-11-25T00:00:00")
    record = chain(parse(late).facts)
    as_of = datetime(2026, 11, 15, tzinfo=UTC)
    assert "enrolled" in [row.kind for row in log_rows(record, past(record, as_of), {}, as_of, ZONE)]


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ("enrolled", "what engine-pneumatic-lpg, options seat-belt; mirrors"),
        ("meter-read", "hours 12"),
        ("corrected", "target No. 2, body 10.6 h, reason misread"),
        ("withdrawn", "target No. 3, reason other truck"),
        ("walk-round", "answers 3; The horn unseen: asleep; chain.tension fault: slack left one oiled, meter 12.5 h"),
        ("held-by", "who driver, person Ana Ruiz"),
        ("worked", "mends The horn; soft brake, tests lift-test passed"),
    ],
)
def test_a_fact_in_one_line(kind: str, says: str) -> None:
    record = chain(parse(RECORD + MORE).facts)
    as_of = datetime(2026, 11, 30, tzinfo=UTC)
    checks = {"horn": "The horn"}
    rows = log_rows(record, past(record, as_of), {PersonKey("ana"): "Ana Ruiz"}, as_of, ZONE, checks=checks)
    assert {row.kind: row.says for row in rows}[kind] == says


def test_a_body_alone_is_said_as_in_the_logbook() -> None:
    body = HeldBy(who="driver", person=PersonKey("ana"))
    assert body_words(body, {PersonKey("ana"): "Ana Ruiz"}) == "who driver, person Ana Ruiz"


def test_what_holds_is_named_alone_and_what_does_not_with_a_no() -> None:
    assert body_words(WalkRound(paper=True), {}) == "paper"
    assert (
        body_words(work.Worked(tests=(work.Tested(test=Key("brake-test"), passed=False),)), {})
        == "tests brake-test passed no"
    )


def test_a_verdict_is_said_as_on_the_key_board() -> None:
    assert body_words(WalkRound(verdict=Key("out-of-service")), {}) == "verdict Out of service"
    assert body_words(WalkRound(verdict=Key("checked")), {}) == "verdict Checked"
    assert body_words(WalkRound(verdict=Key("odd")), {}) == "verdict odd"
