"""The battery room's log: what is counted, what is asked, on each side of every edge."""

from __future__ import annotations

from decimal import Decimal

import msgspec
import pytest

from derive.builders import ZONE, at, counting, fid
from derive.measuring import SHIPPED
from dipmark.derive.charging import Room, room_now
from dipmark.derive.makeup import Hung
from dipmark.derive.meter import meters_of
from dipmark.facts.base import BookId

BATTERY = SHIPPED.subjects["battery"]
ENROLLED = "\nenrolled item:b-1 2026-01-01T06:00:00+01:00 lead\n  what traction-battery\n"
DAY = "2026-01-{:02d}T{:02d}:00:00+01:00"


def charged(day: int, hour: int = 6, rest: str = "") -> str:
    return f"\ncharged item:b-1 {DAY.format(day, hour)} dan\n{rest}"


def water(day: int, hour: int = 7) -> str:
    return f'\ntopped-up item:b-1 {DAY.format(day, hour)} dan\n  fluid "distilled water"\n  amount 2\n  unit l\n'


EQUALISED = "  what equalise\n"


def room(text: str, as_of: str = "2026-01-20T12:00:00") -> Room:
    return room_now(counting(ENROLLED + text), BATTERY, at(as_of))


def rules(text: str, as_of: str = "2026-01-20T12:00:00") -> list[str]:
    return [one.rule for one in room(text, as_of).asks]


def test_of_a_battery_without_a_log_nothing_is_asked() -> None:
    assert room("") == Room()


def test_charges_are_counted_since_water_and_since_the_cells_were_made_alike() -> None:
    found = room(charged(1, rest=EQUALISED) + charged(2) + water(2) + charged(3) + charged(4))
    assert (found.charges, found.since_equalised, found.since_watered) == (4, 3, 2)
    assert found.charged is not None
    assert found.equalised is not None
    assert found.watered is not None
    assert (found.charged.effective, found.equalised.effective) == (
        at("2026-01-04T06:00:00"),
        at("2026-01-01T06:00:00"),
    )
    assert found.asks == ()


@pytest.mark.parametrize(("charges", "asked"), [(9, []), (10, ["battery.equalise", "battery.water"])])
def test_after_ten_charges_water_and_cells_are_asked_about(charges: int, asked: list[str]) -> None:
    """Makers of traction batteries (seen): water every 10 charges when new, equalise every 10 at the latest."""
    first = charged(1, rest=EQUALISED) + water(1)
    text = first + "".join(charged(2 + number // 2, 8 + 4 * (number % 2)) for number in range(charges))
    assert rules(text) == asked
    nobody = "".join(charged(2 + number // 2, 8 + 4 * (number % 2)) for number in range(charges))
    assert rules(nobody) == asked


@pytest.mark.parametrize(
    ("as_of", "asked"), [("2026-01-31T05:59:59", []), ("2026-01-31T06:00:00", ["battery.equalise"])]
)
def test_a_month_is_the_longest(as_of: str, asked: list[str]) -> None:
    assert rules(charged(1, rest=EQUALISED) + water(1), as_of) == asked
    assert (
        room(charged(1), "2026-03-01T00:00:00")
        .asks[0]
        .text.startswith("Since it was equalised, as far as noted: charges 1, days 58.")
    )


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        (charged(1) + water(1), []),
        (charged(1) + water(2, 6), []),
        (charged(1) + water(2, 7), ["battery.water-before"]),
        (water(2) + charged(3), ["battery.water-before"]),
        (water(2), []),
    ],
)
def test_water_goes_in_after_the_charge(text: str, asked: list[str]) -> None:
    """Handbooks (seen): water after the charge, never before it. The 24 hours: common practice, no source."""
    assert rules(text) == asked


@pytest.mark.parametrize(("percent", "asked"), [(20, []), (19, ["battery.deep"])])
def test_more_than_eighty_per_cent_drawn_is_told(percent: int, asked: list[str]) -> None:
    """Makers of traction batteries (seen): no more than 80 % drawn."""
    assert rules(charged(1, rest=f"  percent {percent}\n")) == asked


def test_a_lithium_battery_gets_no_water() -> None:
    plate = '\nplate-read item:b-1 2026-01-01T07:00:00+01:00 dan\n  texts - {"name": "cells", "text": "Lithium iron"}\n'
    plate += '  values - {"name": "weight", "value": "900", "unit": "kg"}\n'
    assert rules(plate + "".join(charged(day) for day in range(1, 15))) == []
    assert rules(plate + charged(1) + water(1)) == ["battery.sealed"]
    assert rules(plate.replace("Lithium iron", "lead-acid") + water(1) + charged(3)) == ["battery.water-before"]


OPPORTUNITY = "  what opportunity\n"


def test_a_charge_in_a_break_is_no_full_one() -> None:
    """Makers count charging cycles (seen: every 5 to 10 for water and equalising); a part charge is none."""
    many = "".join(charged(2 + number // 2, 8 + 4 * (number % 2), OPPORTUNITY) for number in range(20))
    found = room(charged(1, rest=EQUALISED) + water(1) + many)
    assert (found.charges, found.since_equalised, found.since_watered, found.asks) == (21, 0, 0, ())
    assert found.charged is not None
    assert found.charged.effective == at("2026-01-11T12:00:00")


def test_water_after_a_charge_in_a_break_is_asked_about() -> None:
    """Handbooks (seen): water after the charge, never before it; a part charge has not ended it."""
    assert rules(charged(1) + charged(4, 6, OPPORTUNITY) + water(4)) == ["battery.water-before"]
    assert rules(charged(4, 6, OPPORTUNITY) + water(4)) == []


def waters(charges: int, *amounts: str) -> str:
    """Water that nobody noted charges for, a charge with its water, then so many charges and the other waterings."""
    went = '\ntopped-up item:b-1 {} dan\n  fluid "distilled water"\n  amount {}\n  unit {}\n'
    first = went.format("2026-01-01T03:00:00+01:00", 99, "l") + charged(1, 4)
    first += went.format("2026-01-01T05:00:00+01:00", 9, "l")
    text = "".join(charged(1 + number // 3, 6 + 5 * (number % 3)) for number in range(charges))
    for number, amount in enumerate(amounts):
        text += went.format(f"2026-01-19T0{number}:00:00+01:00", *amount.split())
    return first + text


@pytest.mark.parametrize(
    ("charges", "amounts", "litres"),
    [
        (10, ("2 l",), "20"),
        (12, ("1.5 l", "500 ml"), "16.7"),
        (9, ("2 l",), None),
        (10, (), None),
        (10, ("2 kg",), None),
    ],
)
def test_what_it_drinks_in_a_hundred_charges(charges: int, amounts: tuple[str, ...], litres: str | None) -> None:
    """Plain arithmetic: litres after the first watering that followed a charge, by the charges from it to the last."""
    found = room(waters(charges, *amounts)).per_100
    assert found == (None if litres is None else Decimal(litres))


READ = "\nmeter-read truck:7 2026-01-04T{}+01:00 dan\n  hours {}\n"
HUNG = Hung(BookId("item:b-1"), BookId("truck:7"), at("2026-01-02T06:00:00"), fid(7))
CHARGE = "  since 2026-01-04T08:00:00+01:00\n"


def meanwhile(readings: str, hung: Hung = HUNG, charge: str = charged(4, 16, CHARGE)) -> list[str]:
    """What is asked of a charge on 4 January, 8 to 16 h, while the battery hung on a truck with these readings."""
    truck = "\nenrolled truck:7 2026-01-01T06:00:00+01:00 lead\n  what reach\n" + readings
    life = meters_of(counting(truck), ZONE)[0]
    found = room_now(counting(ENROLLED + charge), BATTERY, at("2026-01-20T12:00:00"), trucks=[(hung, life)])
    return [one.text for one in found.asks]


BEFORE, AFTER = READ.format("08:00:00", "100.0"), READ.format("16:00:00", "103.0")


def test_a_truck_that_ran_while_its_battery_was_charged_is_asked_about() -> None:
    """A battery on charge drives nothing: one of the two entries is wrong. Plain reasoning, no source."""
    said = "Truck 7 ran {} h or more while it was charged, and it hung on it as far as noted. Ask which is so."
    assert meanwhile(BEFORE + AFTER) == [said.format("2.8")]
    assert meanwhile(READ.format("10:00:00", "100.0") + READ.format("12:00:00", "101.0")) == [said.format("0.8")]


@pytest.mark.parametrize(
    ("readings", "hung", "charge"),
    [
        (BEFORE + READ.format("16:00:00", "100.1"), HUNG, charged(4, 16, CHARGE)),
        (BEFORE + READ.format("20:00:00", "104.0"), HUNG, charged(4, 16, CHARGE)),
        ("", HUNG, charged(4, 16, CHARGE)),
        (BEFORE + AFTER, msgspec.structs.replace(HUNG, end=at("2026-01-04T08:00:00")), charged(4, 16, CHARGE)),
        (BEFORE + AFTER, msgspec.structs.replace(HUNG, start=at("2026-01-04T16:00:00")), charged(4, 16, CHARGE)),
        (BEFORE + AFTER, HUNG, charged(4, 16)),
        (BEFORE + AFTER, HUNG, charged(4, 0, CHARGE).replace("+01:00 dan", "+01:00/day dan")),
        (BEFORE + AFTER, HUNG, ""),
    ],
    ids=["within its rounding", "later, perhaps", "no reading", "off", "on later", "begun when", "a day only", "none"],
)
def test_what_may_be_so_is_not_asked_about(readings: str, hung: Hung, charge: str) -> None:
    assert meanwhile(readings, hung, charge) == []
