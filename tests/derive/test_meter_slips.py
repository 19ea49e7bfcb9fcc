"""Likely slips: what is proposed to the person who is asked."""

from __future__ import annotations

import msgspec
import pytest

from derive.builders import ENROLLED
from derive.test_meter import FOUR, changed, life, read
from dipmark.derive.meter_slips import likely_slip, what_to_ask

THOUSANDS = "".join(read(f"{day}T07:00", f"{1194 + 8 * day}.5") for day in range(1, 9) if day != 5)
"""The same truck at 1,202.5 to 1,258.5 h; on the fifth it showed 1,234.5."""


def asked(text: str, first: str = ENROLLED) -> list[str]:
    whole = life(text, first)
    return [what_to_ask(whole, one) for one in whole.doubtful]


@pytest.mark.parametrize(
    ("slip", "proposal"),
    [
        ("12345", "Probably 1,234.5 h (the decimal point)."),
        ("123.45", "Probably 1,234.5 h (the decimal point)."),
        ("2134.5", "Probably 1,234.5 h (two digits swapped)."),
        ("1324.5", "Probably 1,234.5 h (two digits swapped)."),
        ("12234.5", "Probably 1,234.5 h (a digit too many)."),
        ("1834.5", "Probably 1,234.5 h (a digit misread)."),
        ("234.5", "Probably 1,234.5 h (a digit left out)."),
        ("7777.7", ""),
    ],
)
def test_a_slip_is_proposed(slip: str, proposal: str) -> None:
    assert asked(THOUSANDS + read("5T07:00", slip)) == [proposal]


def test_the_reading_before_copied_is_told_without_hours() -> None:
    text = "".join(read(f"{day}T07:00", f"{100 + 23 * day}.0") for day in (1, 2, 3, 4, 6, 7, 8))
    assert asked(text + read("5T07:00", "192.0")) == ["Probably the reading before, copied."]


MONTHS = "".join(
    f"\nmeter-read truck:7 2026-{month:02}-0{day}T00:00:00+01:00/day ana\n  hours {900 + 150 * month + 5 * day}.5\n"
    for month in range(1, 11)
    for day in (1, 5, 8)
)
"""Read on the first, fifth and eighth of ten months: 150 h a month, five a day."""


@pytest.mark.parametrize(
    ("written", "hours", "read_on"),
    [
        ("2026-03-07T00:00:00+01:00/day", "1965.5", "2026-07-03"),
        ("2026-07-03T00:00:00+02:00/day", "1385.5", "2026-03-07"),
        ("2026-06-20T00:00:00+02:00/day", "1755.5", "2026-05-20"),
        ("2026-08-05T08:00:00+02:00", "2107.5", "2026-08-04"),
    ],
)
def test_a_wrong_date_is_proposed(written: str, hours: str, read_on: str) -> None:
    slip = f"\nmeter-read truck:7 {written} ana\n  hours {hours}\n"
    assert asked(MONTHS + slip)[-1:] == [f"Probably read on {read_on} (another date)."]


def test_a_date_after_the_last_reading_is_not_proposed() -> None:
    whole = life(THOUSANDS + read("9T07:00", "1700.5"))
    (doubt,) = whole.doubtful
    assert likely_slip(whole, doubt) is None


def test_after_the_last_reading_the_nearest_to_it_is_proposed() -> None:
    assert asked(THOUSANDS + read("9T07:00", "12665")) == ["Probably 1,266.5 h (the decimal point)."]


def test_of_two_each_is_held_against_the_other() -> None:
    assert asked(read("2T07:00", "100.0") + read("3T07:00", "1080")) == [
        "Probably 1,080.0 h (a digit left out).",
        "Probably 108.0 h (the decimal point).",
    ]


def test_hours_run_on_across_a_change_and_a_turn() -> None:
    text = read("1T07:00", "5000.0") + changed("2T07:00", "0.0", "5008.0")
    text += "".join(read(f"{day}T07:00", f"{8 * day - 16}.0") for day in (3, 4, 5, 7, 8)) + read("6T07:00", "320")
    assert asked(text) == ["Probably 32.0 h (the decimal point)."]
    text = read("2T07:00", "9979.4") + read("3T07:00", "9987.4") + read("5T07:00", "12.9") + read("6T07:00", "20.9")
    assert asked(text + read("7T07:00", "289"), FOUR) == ["Probably 28.9 h (the decimal point)."]


def test_a_meter_of_unknown_digits_seems_to_have_started_again() -> None:
    text = read("2T07:00", "9987.4") + read("4T07:00", "0012.9")
    sentence = "The meter seems to have started again at 10,000: if so, note how many digits it has."
    assert asked(text) == [sentence, sentence]


def test_without_a_good_reading_nothing_is_proposed() -> None:
    whole = life(THOUSANDS + read("5T07:00", "12345"))
    assert likely_slip(msgspec.structs.replace(whole, good=()), whole.doubtful[0]) is None
