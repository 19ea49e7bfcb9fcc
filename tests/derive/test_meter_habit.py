"""Readings that are not like the truck: found at the stated rate of false alarms, and kept."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from math import prod

import pytest

from derive.builders import fid
from derive.meter_counts import worst
from dipmark.derive.meter import Good, MeterLife
from dipmark.derive.meter_habit import WINDOW, stride, unlikely

START = date(2026, 1, 1)


def life(*read: tuple[int, str]) -> MeterLife:
    """Good readings: number of the day and true hours."""
    good = [
        Good(fid(number), Decimal(hours), Decimal(hours), 0, 0, START + timedelta(days=day))
        for number, (day, hours) in enumerate(read)
    ]
    return MeterLife("main", None, tuple(good), ())


def daily(*uses: int, first: int = 0) -> list[tuple[int, str]]:
    """The reading of a first day, then one a day after so many hours of use each."""
    return [(first + day, f"{1000 + sum(uses[:day])}.0") for day in range(len(uses) + 1)]


SIXES = (6, 5, 7, 6, 5, 7, 6, 5, 7, 6, 5, 7, 6, 5, 7, 6, 5, 7, 6)
"""Nineteen working days: middle 6, second largest 7."""


def test_no_reading_is_not_unlikely() -> None:
    assert unlikely(life()) == ()
    assert unlikely(life((0, "5"))) == ()


@pytest.mark.parametrize(("hours", "found"), [("9.9", 0), ("10.0", 1), ("23.0", 1)])
def test_more_than_a_stride_beyond_the_second_largest_is_unlikely(hours: str, found: int) -> None:
    """Of nineteen: 7 + 2.7 × (7 − 6), and two roundings of a tenth: 9.9 is still likely."""
    read = daily(*SIXES)
    assert len(unlikely(life(*read, (20, str(Decimal(read[-1][1]) + Decimal(hours)))))) == found


def test_it_says_what_is_usual() -> None:
    (one,) = unlikely(life(*daily(*SIXES, 23, 6)))
    assert (one.fact, one.shown, one.days) == (fid(20), Decimal("1137.0"), 1)
    assert (one.per_day, one.usual, one.most) == (Decimal("23.0"), Decimal("6.0"), Decimal("9.9"))
    assert one.text() == "23.0 h in a day, where 6.0 are usual"


def test_with_fewer_than_nine_working_spells_nothing_is_unlikely() -> None:
    assert unlikely(life(*daily(*SIXES[:8], 24))) == ()
    assert unlikely(life(*daily(*SIXES[:8], 0, 0, 0, 24))) == ()
    assert len(unlikely(life(*daily(*SIXES[:9], 24)))) == 1


def test_one_long_day_does_not_make_another_likely() -> None:
    assert len(unlikely(life(*daily(*SIXES, 23, 23)))) == 2


def test_later_readings_change_nothing() -> None:
    early = unlikely(life(*daily(*SIXES, 23)))
    assert unlikely(life(*daily(*SIXES, 23, *[20] * 30)))[0] == early[0]


def test_a_longer_spell_is_judged_by_its_hours_a_day() -> None:
    read = daily(*SIXES)
    last = Decimal(read[-1][1])
    assert unlikely(life(*read, (22, str(last + 29)))) == ()
    (one,) = unlikely(life(*read, (22, str(last + 31))))
    assert one.text() == "10.3 h a day for 3 days, where 6.0 are usual"


def test_a_shorter_spell_is_not_held_against_longer_ones() -> None:
    weekly = [(7 * week, str(1000 + 30 * week)) for week in range(25)]
    assert unlikely(life(*weekly, (7 * 24 + 1, str(1000 + 30 * 24 + 20)))) == ()
    assert len(unlikely(life(*weekly, (7 * 25, str(1000 + 30 * 24 + 60))))) == 1


def test_several_readings_of_a_day_are_each_held_against_the_day_before() -> None:
    read = [one for day, hours in daily(*SIXES) for one in ((day, str(Decimal(hours) - 3)), (day, hours))]
    last = Decimal(read[-1][1])
    assert unlikely(life(*read)) == ()
    (one,) = unlikely(life(*read, (20, str(last + 9)), (20, str(last + 11))))
    assert one.per_day == Decimal("11.0")


@pytest.mark.parametrize("above", [4, 9, 23, 50, 198, 199, 300])
def test_a_false_alarm_comes_with_at_most_one_working_spell_in_200(above: int) -> None:
    """Half of the product of j / (j + 1 + c): at most 1/200 with the stride, over it with one a tenth shorter."""

    def chance(tenths: int) -> Fraction:
        return prod((Fraction(10 * j, 10 * j + 10 + tenths) for j in range(2, above + 1)), start=Fraction(1, 2))

    assert chance(stride(above)) <= Fraction(1, 200)
    assert stride(above) == 0 or chance(stride(above) - 1) > Fraction(1, 200)
    assert (stride(above) == 0) is (above >= (WINDOW - 1) // 2)


@pytest.mark.parametrize(("spells", "rounds"), [(9, 40_000), (47, 20_000), (399, 2_000)])
def test_days_that_tail_off_like_an_exponential_raise_no_more_alarms(spells: int, rounds: int) -> None:
    """The worst case of the assumption; 0.5 % and three standard errors."""
    assert worst(spells, rounds) <= 0.005 * rounds + 3 * (0.005 * rounds) ** 0.5
