"""The battery room's log: what is counted, what is asked, on each side of every edge."""

from __future__ import annotations

import pytest

from derive.builders import at, counting
from derive.measuring import SHIPPED
from dipmark.derive.charging import Room, room_now

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
