"""Charges and water are noted in a battery's own book."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from dipmark.derive.item import ItemNow
from dipmark.facts.base import truck_book
from dipmark.facts.charging import Charged
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.measure import ToppedUp
from dipmark.facts.meter import MeterRead
from dipmark.office.battery import battery_logs, note_charge, room_of
from dipmark.office.enter import When, enter
from dipmark.office.items import enrol_item, fit, item, items
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


def test_a_charge_says_when_it_began_and_not_after_it_had_ended() -> None:
    with desk() as office:
        battery(office)
        ended = THEN.happened
        begun = (ended - timedelta(hours=2)).isoformat()
        note_charge(office, "b-1", "opportunity", THEN, begun=begun)
        charge = item(office, "b-1", NOW).counting[-1].body
        assert isinstance(charge, Charged)
        assert (charge.what, charge.since) == ("opportunity", ended - timedelta(hours=2))
        with pytest.raises(Refused, match="before it had ended"):
            note_charge(office, "b-1", "charge", THEN, begun=ended.isoformat())


def test_a_truck_that_ran_while_its_battery_was_charged_is_asked_about() -> None:
    with desk() as office:
        battery(office)
        ended, begun = NOW - timedelta(hours=1), NOW - timedelta(hours=9)
        fit(office, "7", "b-1", When(NOW - timedelta(days=2)))
        for when, hours in ((begun, "100.0"), (ended, "104.0")):
            enter(office, [office.fact(truck_book("7"), MeterRead(hours=Decimal(hours)), when)])
        note_charge(office, "b-1", "charge", When(ended), begun=begun.isoformat())
        (log,) = battery_logs(office, items(office, NOW), NOW)
        assert (log.name, log.where.startswith("on truck 7 since")) == ("b-1", True)
        assert log.room.asks[-1].startswith("Truck 7 ran 3.8 h or more while it was charged")


def test_a_log_is_told_as_it_stood_at_an_instant() -> None:
    with desk() as office:
        battery(office)
        note_charge(office, "b-1", "charge", When(NOW - timedelta(days=8)))
        later = NOW + timedelta(days=22)
        assert battery_logs(office, items(office, NOW), NOW)[0].room.asks == ()
        (ask,) = battery_logs(office, items(office, later), later)[0].room.asks
        assert ask.startswith("Since it was equalised, as far as noted: charges 1, days 30.")
