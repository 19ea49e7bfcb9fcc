"""Places as they are typed: all that is wrong is said with its field, and nothing half is written."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from dipmark.facts.base import PersonKey
from dipmark.facts.errors import NotAllowed, Refused
from dipmark.facts.place import PlaceSet
from dipmark.office.access import Asker
from dipmark.office.places import PLACE_UNFIT, PlaceTyped, set_place
from office.desk import desk

LEAD = Asker(person=PersonKey("lead"), name="Lead", roles=("lead",))


def test_a_place_is_written_and_written_anew() -> None:
    with desk() as office:
        typed = PlaceTyped(
            name=" Paint  store ", area="I-2-D", ticked=["sealed"], floor="6,5 kg", ramp="8", note=" lock "
        )
        set_place(office, LEAD, typed)
        (place,) = office.yard.places.values()
        assert (place.name, place.area, place.sealed, place.note) == ("Paint store", "I-2-D", True, "lock")
        assert (place.floor_kg, place.ramp_percent) == (Decimal("6.5"), Decimal(8))
        set_place(office, LEAD, PlaceTyped(name="paint store", ticked=["wet"]))
        assert list(office.yard.places.values()) == [PlaceSet(name="paint store", wet=True)]


@pytest.mark.parametrize(
    ("change", "fields"),
    [
        ({"name": " "}, ["place-name"]),
        ({"area": "Zone 2"}, ["place-area"]),
        ({"floor": "much", "ramp": "0"}, ["place-floor", "place-ramp"]),
        ({"floor": "-5"}, ["place-floor"]),
        ({"ramp": "5 kg"}, ["place-ramp"]),
    ],
)
def test_what_cannot_be_is_said_with_its_field(change: dict[str, Any], fields: list[str]) -> None:
    with desk() as office:
        with pytest.raises(Refused) as refusal:
            set_place(office, LEAD, PlaceTyped(**{"name": "Hall", **change}))
        assert [one.where.column for one in refusal.value.problems] == fields
        assert PLACE_UNFIT in {one.code for one in refusal.value.problems} or change["floor"] == "much"
        assert office.yard.places == {}


def test_places_are_for_lead_and_owner() -> None:
    with desk() as office, pytest.raises(NotAllowed):
        set_place(office, Asker(person=PersonKey("d"), name="Dan", roles=("driver",)), PlaceTyped(name="Hall"))
