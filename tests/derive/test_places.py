"""Places of the yard: what was last told of each, and what stands against a truck there."""

from __future__ import annotations

from decimal import Decimal

import pytest

from derive.builders import NEW, at, record, truck
from dipmark.derive.past import past
from dipmark.derive.places import (
    ASKED,
    CLASS,
    FLOOR,
    RAMP,
    area_words,
    minded,
    misplaced,
    on_floor,
    on_ramp,
    place_named,
    places_now,
)
from dipmark.derive.yard import YardNow
from dipmark.facts.place import PlaceSet

TEXT = """
place-set yard 2026-01-01T08:00:00+01:00 lead
  name "Cold store"
  cold true

stock yard 2026-01-02T07:00:00+01:00 lead
  part plug
  what counted
  quantity 1

place-set yard 2026-01-03T08:00:00+01:00 lead
  name Ramp
  ramp_percent 10

place-set yard 2026-02-01T08:00:00+01:00 lead
  name "cold  STORE"
  floor_kg 6000
"""

PAINT = PlaceSet(name="Paint", area="I-2-D")
SHUT = PlaceSet(name="Paint", area="I-2-D", sealed=True)


def test_what_was_last_told_of_a_place_is_all_that_holds() -> None:
    now = places_now(past(record(TEXT), at("2026-03-01T08:00:00")))
    assert list(now) == ["Ramp", "cold  STORE"]
    assert now["cold  STORE"] == PlaceSet(name="cold  STORE", floor_kg=Decimal(6000))
    before = places_now(past(record(TEXT), at("2026-01-15T08:00:00")))
    assert before["Cold store"].cold


def test_a_place_is_found_whatever_its_capitals_and_blanks() -> None:
    places = {"Cold store": PlaceSet(name="Cold store", cold=True)}
    assert place_named(places, " COLD  store") == places["Cold store"]
    assert place_named(places, "Cold") is None
    assert place_named(places, None) is None


@pytest.mark.parametrize("mark", [None, "", "E", "CN", "EX"])
def test_in_an_ordinary_place_any_truck_may_be(mark: str | None) -> None:
    assert misplaced(mark, PlaceSet(name="Hall", cold=True)) is None


@pytest.mark.parametrize(
    ("mark", "told"),
    [
        (None, "type mark is not known"),
        (" / ", "type mark is not known"),
        ("CN", "mark CN is none of those in the law"),
        ("E", "mark E is not allowed there"),
        ("ES", "mark ES is allowed only where"),
        ("GS/LP", "mark GS/LP is not allowed there"),
    ],
)
def test_what_may_not_be_there_is_told_with_its_reason(mark: str | None, told: str) -> None:
    why = misplaced(mark, PAINT)
    assert why is not None
    assert why.rule == CLASS
    assert why.text.startswith("Place Paint: Class I, Division 2, Group D.")
    assert told in why.text


@pytest.mark.parametrize("mark", ["EE", "Type EE", " ee ", "type ex", "DY/EX"])
def test_a_mark_is_read_as_people_write_it(mark: str) -> None:
    assert misplaced(mark, PAINT) is None


def test_where_all_stays_shut_in_a_lesser_mark_will_do() -> None:
    assert misplaced("GS/LPS", SHUT) is None
    assert misplaced("GS/LPS", PAINT) is not None
    assert misplaced("G", SHUT) is not None
    assert misplaced(None, SHUT) is not None


def test_a_reason_is_said_in_the_readers_language() -> None:
    why = misplaced("E", PAINT, lambda english: english.upper())
    assert why is not None
    assert "CLASS I, DIVISION 2, GROUP D" in why.text
    assert area_words("III-1", str.lower) == "class III, division 1"


@pytest.mark.parametrize(
    ("mass", "load", "rule"),
    [
        ("4000", "2000", None),
        ("4000", "2000.1", FLOOR),
        ("6001", None, FLOOR),
        (None, "6001", FLOOR),
        ("4000", None, ASKED),
        (None, "2000", ASKED),
        (None, None, ASKED),
    ],
)
def test_a_floor_carries_truck_and_load(mass: str | None, load: str | None, rule: str | None) -> None:
    place = PlaceSet(name="Bridge", floor_kg=Decimal(6000))
    why = on_floor(place, None if mass is None else Decimal(mass), None if load is None else Decimal(load))
    assert (why.rule if why else None) == rule
    assert why is None or "6000 kg" in why.text
    assert on_floor(PlaceSet(name="Hall"), None, None) is None


@pytest.mark.parametrize(("climbs", "rule"), [("10", None), ("9.9", RAMP), (None, ASKED), ("15", None)])
def test_a_ramp_is_held_against_the_plate(climbs: str | None, rule: str | None) -> None:
    place = PlaceSet(name="Ramp", ramp_percent=Decimal(10))
    why = on_ramp(place, None if climbs is None else Decimal(climbs))
    assert (why.rule if why else None) == rule
    assert why is None or "10 %" in why.text
    assert on_ramp(PlaceSet(name="Hall"), None) is None


def test_what_is_minded_in_a_place() -> None:
    assert minded(PlaceSet(name="a")) == ()
    every = minded(PlaceSet(name="a", area="III-2", cold=True, food=True, wet=True))
    assert len(every) == 9
    assert every[0].startswith("No repairs in this place")
    assert minded(PlaceSet(name="a", wet=True)) == every[6:]


@pytest.mark.parametrize(
    ("more", "hours"),
    [({}, 152), ({"food": True}, 152), ({"cold": True}, 62), ({"wet": True}, 62)],
)
def test_in_cold_and_wet_services_come_sooner_while_the_truck_is_there(more: dict[str, bool], hours: int) -> None:
    """Severe use: dust, heat, wet, in and out of a cold store: 0.4 of the interval. Source: manuals (seen)."""
    yard = YardNow(places={"Hall 4": PlaceSet(name="Hall 4", **more)})  # type: ignore[arg-type]
    for text, there in ((NEW + '  place "hall 4"\n', hours), (NEW, 152)):
        dues = truck(text, "2026-01-02T06:00:00", yard=yard).dues
        assert {due.hours for due in dues if due.service == "150h"} == {there}


def test_it_is_said_that_services_come_sooner() -> None:
    assert "services come sooner" in " ".join(minded(PlaceSet(name="x", cold=True)))
    assert "services come sooner" not in " ".join(minded(PlaceSet(name="x", food=True)))
