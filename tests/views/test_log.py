"""The logbook shows every fact with both times, and what became of it."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

from dipmark.derive.past import past
from dipmark.facts.base import PersonKey
from dipmark.facts.codec import chain
from dipmark.facts.notation import parse
from dipmark.views.log import in_words, log_rows

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
  answers - {"check":"chain.tension"}
  meter {"hours":"12.5"}
"""


def test_every_fact_stands_there_once_with_what_became_of_it() -> None:
    record = chain(parse(RECORD).facts)
    as_of = datetime(2026, 11, 15, tzinfo=UTC)
    rows = log_rows(record, past(record, as_of), {PersonKey("ana"): "Ana Ruiz"}, as_of)
    assert [row.kind for row in rows] == ["enrolled", "meter-read", "meter-read", "corrected", "withdrawn"]
    enrolled, first, second, correction, _ = rows
    assert (enrolled.by, second.by) == ("Ana Ruiz", "bo")
    assert (first.counts, first.corrected_by) == (True, (correction.id,))
    assert (second.counts, second.corrected_by) == (False, ())
    assert first.body == {"hours": Decimal("10.5")}
    assert first.whole_day
    assert correction.body["body"]["hours"] == Decimal("10.6")


def test_a_truck_enrolled_later_than_it_counts_stands_there_all_the_same() -> None:
    late = RECORD.replace("2026-11-05T00:00:00", "2026-11-25T00:00:00")
    record = chain(parse(late).facts)
    as_of = datetime(2026, 11, 15, tzinfo=UTC)
    assert "enrolled" in [row.kind for row in log_rows(record, past(record, as_of), {}, as_of)]


def test_a_fact_in_one_line() -> None:
    record = chain(parse(RECORD).facts)
    as_of = datetime(2026, 11, 30, tzinfo=UTC)
    rows = {row.kind: in_words(row) for row in log_rows(record, past(record, as_of), {}, as_of)}
    assert rows["enrolled"] == "what engine-pneumatic-lpg, options seat-belt mirrors"
    assert rows["walk-round"] == "answers 1, meter 12.5"
