"""Getting to know a truck: in walking order, what can stop it first, what is on this very truck where it belongs."""

from __future__ import annotations

from datetime import UTC

from dipmark.adapters.rulefiles import read_rules
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.codec import chain
from dipmark.facts.notation import parse
from dipmark.views.know_truck import KnowTruck, know_truck, plate_lines
from views.yards import ANA, instant

RULES = read_rules()

RECORD = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
"""

PLATE = (
    RECORD
    + """
plate-read truck:7 2026-01-06T00:00:00+00:00 ana
  values - {"name":"grease-fittings.rear-wheel-left","value":"2","source":"counted"}

plate-read truck:7 2026-01-06T01:00:00+00:00 ana
  values - {"name":"engine-oil","value":"5.5","unit":"l"}

plate-read truck:7 2026-01-07T00:00:00+00:00 ana
  values - {"name":"tyre-pressure","value":"8","unit":"bar"}
  texts - {"name":"capacity-plate","text":"2500 kg at 500 mm"}
"""
)


def truck(text: str) -> TruckNow:
    parsed = parse(text)
    assert not parsed.problems, parsed.problems
    found = truck_now(chain(parsed.facts), RULES, YardNow(), UTC, instant("2026-11-20T10:00"))
    assert found is not None
    return found


def know(text: str) -> KnowTruck:
    return know_truck(truck(text), RULES.kinds["engine-pneumatic-lpg"], ANA)


def test_the_places_come_in_walking_order_and_what_can_stop_it_comes_first() -> None:
    found = know(RECORD)
    assert found.truck == "7"
    assert [place.number for place in found.places] == sorted(place.number for place in found.places)
    front = next(place for place in found.places if place.id == "front")
    stops = [row.stops for row in front.rows]
    assert stops == sorted(stops, reverse=True)
    assert all(row.bad and row.normal and row.text for place in found.places for row in place.rows)
    assert all(row.bad[0].seriousness == row.worst for place in found.places for row in place.rows)


def test_what_is_not_on_the_truck_is_left_out() -> None:
    texts = {row.text for place in know(RECORD).places for row in place.rows}
    cab = next(one for one in RULES.kinds["engine-pneumatic-lpg"].checks if one.id == "cab.glass")
    assert cab.text not in texts
    assert cab.text in {row.text for place in know(RECORD + "  options - cab\n").places for row in place.rows}


def test_what_was_read_on_this_truck_stands_where_it_belongs() -> None:
    found = know(PLATE)
    at = {line.name: place.id for place in found.places for line in place.fitted}
    assert (at["engine-oil"], at["tyre-pressure"]) == ("engine-bay", "sides")
    assert [line.name for line in found.elsewhere] == ["grease-fittings"]
    assert "counted by Ana Ruiz" in found.elsewhere[0].text


def test_a_name_with_its_place_counts_once() -> None:
    names = [line.name for line in plate_lines(truck(PLATE).counting, ANA)]
    assert names == ["grease-fittings", "engine-oil", "tyre-pressure", "capacity-plate"]
    assert plate_lines(truck(RECORD).counting, ANA) == ()
