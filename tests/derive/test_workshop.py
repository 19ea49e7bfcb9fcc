"""The workshop at an instant: what was said last counts, the rest stays."""

from __future__ import annotations

from datetime import date

from derive.builders import at, record
from dipmark.derive.workshop import USUAL, workshop_now
from dipmark.facts.base import PersonKey
from dipmark.facts.workshop import Bays

TEXT = """
workshop-set yard 2026-01-01T08:00:00+01:00 lead
  minutes 300
  bays - {"kind": "pit", "count": 1}

workshop-set yard 2026-02-01T08:00:00+01:00 lead
  overtime 0
  bays - {"kind": "pit", "count": 2}

away yard 2026-02-02T08:00:00+01:00 lead
  person ann
  first 2026-02-09
  last 2026-02-10

stock yard 2026-02-03T07:00:00+01:00 lead
  part plug
  what counted
  quantity 1

planned yard 2026-02-03T08:00:00+01:00 lead
  first 2026-02-04
  days 14
"""


def test_what_is_not_said_stays_as_it_was() -> None:
    now = workshop_now(record(TEXT), at("2026-03-01T08:00:00"))
    assert (now.told.minutes, now.told.overtime, now.told.set_up) == (300, 0, USUAL.set_up)
    assert now.told.bays == (Bays(kind="pit", count=2),)
    assert workshop_now(record(TEXT), at("2026-01-15T08:00:00")).told.overtime == USUAL.overtime
    assert workshop_now((), at("2026-01-15T08:00:00")).told == USUAL


def test_the_first_and_last_day_of_an_absence_belong_to_it() -> None:
    now = workshop_now(record(TEXT), at("2026-03-01T08:00:00"))
    ann, bob = PersonKey("ann"), PersonKey("bob")
    assert [now.works(ann, date(2026, 2, day)) for day in (8, 9, 10, 11)] == [True, False, False, True]
    assert now.works(bob, date(2026, 2, 9))


def test_the_plan_published_last() -> None:
    now = workshop_now(record(TEXT), at("2026-03-01T08:00:00"))
    assert now.plan is not None
    assert (now.plan.plan.first, now.plan.by, now.plan.since) == (date(2026, 2, 4), "lead", at("2026-02-03T08:00:00"))
    assert workshop_now(record(TEXT), at("2026-02-02T12:00:00")).plan is None
