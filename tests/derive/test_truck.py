"""One truck, derived from its book."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from derive.builders import ENROLLED, NEW, RULES, ZONE, at, fid, record, truck
from dipmark.derive.truck import truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import Reading
from dipmark.facts.place import PlaceSet

TICK = timedelta(microseconds=1)

LIFE = (
    NEW
    + """
held-by truck:7 2026-02-01T07:00:00+01:00 ana
  who driver
  person ana
  meter {"hours": "50.0"}

held-by truck:7 2026-02-01T15:00:00+01:00 lead
  who yard

work-begun truck:7 2026-02-02T07:00:00+01:00 mia

out-of-service truck:7 2026-02-02T07:00:00+01:00 mia
  reason mast
"""
)


def test_a_truck_carries_all_that_is_derived() -> None:
    now = truck(LIFE, "2026-02-02T07:00:00")
    assert (now.book, now.name, now.enrolled.what) == ("truck:7", "7", "engine-pneumatic-lpg")
    assert now.hours == Decimal("50.0")
    assert now.held is not None
    assert (now.held.what.who, now.held.by, now.held.since) == ("yard", "lead", at("2026-02-01T15:00:00"))
    assert [lock.by for lock in now.locks] == ["mia"]
    assert [card.text for card in now.cards] == ["mast"]
    assert (now.walk, now.retired, now.faults) == (None, None, ())
    assert now.state.code == "out-of-service"
    assert [due.service for due in now.dues] == ["8h", "50h", "150h", "450h", "900h", "12mo"]
    assert len(now.counting) == 5


def test_the_last_who_had_it_has_it() -> None:
    held = truck(LIFE, "2026-02-01T14:59:59").held
    assert held is not None
    assert held.what.person == "ana"
    assert truck(NEW, "2026-02-01").held is None


def test_before_it_was_enrolled_there_is_no_truck() -> None:
    items, start = record(ENROLLED), at("2026-01-01T06:00:00")
    assert truck_now(items, RULES, YardNow(), ZONE, start) is not None
    assert truck_now(items, RULES, YardNow(), ZONE, start - TICK) is None
    assert truck_now((), RULES, YardNow(), ZONE, start) is None


def test_what_was_known_then_can_be_judged_by() -> None:
    now = truck_now(record(LIFE), RULES, YardNow(), ZONE, at("2026-03-01"), known=2)
    assert now is not None
    assert now.held is not None
    assert now.held.what.who == "driver"
    assert now.cards == ()


def test_one_that_left_is_retired_from_then_on() -> None:
    text = LIFE + "\nretired truck:7 2026-06-01T07:00:00+02:00 lead\n  how sold\n"
    gone = truck(text, "2026-06-01T07:00:00+02:00").retired
    assert gone is not None
    assert gone.how == "sold"
    assert truck(text, "2026-05-31T07:00:00+02:00").retired is None


def test_hours_are_those_of_the_first_meter() -> None:
    text = ENROLLED + '  meters - {"name": "pump"}\n  meters - {"name": "main"}\n'
    text += "\nmeter-read truck:7 2026-02-01T07:00:00+01:00 ana\n  hours 7.5\n"
    assert truck(text, "2026-03-01").hours is None
    assert truck(text + "  meter pump\n", "2026-03-01").hours == Decimal("7.5")
    assert truck(text, "2026-03-01").meters[1].good[0].fact == fid(2)


@pytest.mark.parametrize(
    ("place", "read", "rule"),
    [
        ({"area": "I-1-D"}, "", "place.class"),
        ({"area": "I-1-D"}, "EX", None),
        ({"floor_kg": Decimal(3000)}, "", None),  # its mass is asked, and nothing is guessed
        ({}, "", None),
    ],
)
def test_a_truck_in_a_place_it_may_not_be_in_is_out_of_service(
    place: dict[str, Any], read: str, rule: str | None
) -> None:
    """29 CFR 1910.178(b), (c)."""
    text = ENROLLED + '  place "hall 4"\n'
    if read:
        text += "\nplate-read truck:7 2026-01-02T08:00:00+01:00 lead\n  values []\n"
        text += f'  texts - {{"name": "type-mark", "text": "{read}"}}\n'
    yard = YardNow(places={"Hall 4": PlaceSet(name="Hall 4", **place)})
    found = truck(text, "2026-02-01T00:00:00", yard=yard)
    assert [one.rule for one in found.state.reasons if one.rule.startswith("place")] == ([rule] if rule else [])
    assert (found.state.code == "out-of-service") is (rule is not None)
    elsewhere = "\nheld-by truck:7 2026-01-03T08:00:00+01:00 lead\n  who other-site\n  place mill\n"
    assert truck(text + elsewhere, "2026-02-01T00:00:00", yard=yard).state.code != "out-of-service"


def test_hours_read_beside_something_else_are_of_the_first_meter() -> None:
    found = truck(ENROLLED, "2026-02-01T00:00:00")
    assert found.reading(None) is None
    assert found.reading(Decimal("12.5")) == Reading(hours=Decimal("12.5"), meter="main")
