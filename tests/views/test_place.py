"""The place where a truck is, in words."""

from __future__ import annotations

from decimal import Decimal

from derive.builders import ENROLLED, truck
from dipmark.derive.yard import YardNow
from dipmark.facts.place import PlaceSet
from dipmark.views.place import PlaceHere, place_here

TEXT = ENROLLED + '  place "hall 4"\n'


def here(*places: PlaceSet) -> PlaceHere | None:
    yard = YardNow(places={one.name: one for one in places})
    return place_here(truck(TEXT, "2026-02-01T00:00:00", yard=yard), yard)


def test_nothing_is_said_of_a_place_that_nobody_has_told_of() -> None:
    assert here() is None
    assert here(PlaceSet(name="Hall 5", cold=True)) is None


def test_what_is_asked_and_minded_there() -> None:
    found = here(PlaceSet(name="Hall 4", wet=True, ramp_percent=Decimal(8)))
    assert found is not None
    assert (found.name, found.area, len(found.asks), len(found.minded)) == ("Hall 4", "", 1, 3)
    assert "Enter what the truck climbs" in found.asks[0]


def test_a_classed_place_is_named_by_its_class() -> None:
    found = here(PlaceSet(name="Hall 4", area="I-2-D"))
    assert found is not None
    assert found.area == "Class I, Division 2, Group D"
    assert found.minded[0].startswith("No repairs in this place")
