"""Charges and water are noted in a battery's own book."""

from __future__ import annotations

from datetime import timedelta

import pytest

from dipmark.derive.item import ItemNow
from dipmark.facts.charging import Charged
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.measure import ToppedUp
from dipmark.office.battery import note_charge, room_of
from dipmark.office.enter import When
from dipmark.office.items import enrol_item, item
from dipmark.office.open import Office
from office.desk import desk
from office.taking import NOW

THEN = When(NOW - timedelta(days=1))


def battery(office: Office) -> ItemNow:
    enrol_item(office, "b-1", "traction-battery", When(NOW - timedelta(days=9)))
    enrol_item(office, "charger 1", "charger", When(NOW - timedelta(days=9)))
    return item(office, "b-1", NOW)


def test_a_charge_and_the_water_after_it_are_noted_in_one_go() -> None:
    with desk() as office:
        battery(office)
        note_charge(office, "B-1", "equalise", THEN, percent="25", charger="Charger 1", water="2.5 l")
        now = item(office, "b-1", NOW)
        charge, water = (one.body for one in now.counting[-2:])
        assert isinstance(charge, Charged)
        assert isinstance(water, ToppedUp)
        assert (charge.what, charge.percent, charge.charger) == ("equalise", 25, "item:charger 1")
        assert (str(water.amount), water.unit, water.fluid) == ("2.5", "l", "distilled water")
        room = room_of(office, now, NOW)
        assert room is not None
        assert (room.charges, room.asks) == (1, ())


def test_only_water_may_be_noted_and_then_it_must_be_some() -> None:
    with desk() as office:
        battery(office)
        note_charge(office, "b-1", "", THEN, water="1 l")
        with pytest.raises(Refused):
            note_charge(office, "b-1", "", THEN)
        with pytest.raises(Refused, match="expected more than nothing"):
            note_charge(office, "b-1", "charge", THEN, water="0 l")
        assert len(item(office, "b-1", NOW).counting) == 2


@pytest.mark.parametrize(("what", "percent"), [("boost", ""), ("charge", "101"), ("charge", "a lot"), ("charge", "-3")])
def test_what_is_no_charge_is_said(what: str, percent: str) -> None:
    with desk() as office:
        battery(office)
        with pytest.raises(Refused) as refusal:
            note_charge(office, "b-1", what, THEN, percent=percent)
        assert [one.code for one in refusal.value.problems] == ["charge-unfit"]


def test_only_a_battery_is_charged_and_only_by_a_charger_that_is_there() -> None:
    with desk() as office:
        battery(office)
        with pytest.raises(Refused, match=r"charger 1: charger; expected a traction battery"):
            note_charge(office, "charger 1", "charge", THEN)
        with pytest.raises(NotFound):
            note_charge(office, "b-1", "charge", THEN, charger="charger 9")
        assert room_of(office, item(office, "charger 1", NOW), NOW) is None
