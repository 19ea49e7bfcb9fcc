"""Readings that are not like the truck: found at the stated rate of false alarms, and kept."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from math import factorial
from random import Random

import pytest

from derive.builders import fid
from dipmark.derive.meter import Good, MeterLife
from dipmark.derive.meter_chain import HOUR
from dipmark.derive.meter_habit import STRIDES, WINDOW, _odd, _Spell, unlikely

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
    return [(first + day, str(1000 + sum(uses[:day]))) for day in range(len(uses) + 1)]


SIXES = (6, 5, 7, 6, 5, 7, 6, 5, 7, 6, 5, 7, 6, 5, 7, 6, 5, 7, 6)
"""Nineteen working days: middle 6, second largest 7."""


def test_no_reading_is_not_unlikely() -> None:
    assert unlikely(life()) == ()
    assert unlikely(life((0, "5"))) == ()


@pytest.mark.parametrize(("hours", "found"), [(10, 0), (11, 1), (23, 1)])
def test_more_than_three_strides_beyond_the_second_largest_of_nineteen_is_unlikely(hours: int, found: int) -> None:
    """7 + 3 × (7 − 6) = 10."""
    assert len(unlikely(life(*daily(*SIXES, hours)))) == found


def test_it_says_what_is_usual() -> None:
    (one,) = unlikely(life(*daily(*SIXES, 23, 6)))
    assert (one.fact, one.shown, one.days) == (fid(20), Decimal(1137), 1)
    assert (one.per_day, one.usual, one.most) == (Decimal("23.0"), Decimal("6.0"), Decimal("10.0"))
    assert one.text == "23.0 h in a day, where 6.0 are usual"


def test_with_fewer_than_nineteen_working_spells_nothing_is_unlikely() -> None:
    assert unlikely(life(*daily(*SIXES[1:], 24))) == ()
    assert unlikely(life(*daily(*SIXES[1:], 0, 0, 0, 24))) == ()


def test_one_long_day_does_not_make_another_likely() -> None:
    assert len(unlikely(life(*daily(*SIXES, 23, 23)))) == 2


def test_later_readings_change_nothing() -> None:
    early = unlikely(life(*daily(*SIXES, 23)))
    assert unlikely(life(*daily(*SIXES, 23, *[20] * 30)))[0] == early[0]


def test_a_longer_spell_is_judged_by_its_hours_a_day() -> None:
    read = daily(*SIXES)
    last = Decimal(read[-1][1])
    assert unlikely(life(*read, (22, str(last + 30)))) == ()
    (one,) = unlikely(life(*read, (22, str(last + 31))))
    assert one.text == "10.3 h a day for 3 days, where 6.0 are usual"


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


@pytest.mark.parametrize(("above", "stride"), STRIDES)
def test_a_false_alarm_comes_with_at_most_one_working_spell_in_200(above: int, stride: int) -> None:
    """(c + 2)! m! / (2 (m + c + 1)!): at most 1/200 from so many on, and over it with one fewer or a shorter stride."""

    def chance(m: int, c: int) -> Fraction:
        return Fraction(factorial(c + 2) * factorial(m), 2 * factorial(m + c + 1))

    assert chance(above, stride) <= Fraction(1, 200)
    assert chance(above - 1, stride) > Fraction(1, 200)
    assert stride == 0 or chance(above, stride - 1) > Fraction(1, 200)
    assert STRIDES[0] == ((WINDOW - 1) // 2, 0)


@pytest.mark.parametrize(("spells", "rounds"), [(19, 40_000), (47, 20_000), (399, 2_000)])
def test_days_that_tail_off_like_an_exponential_raise_no_more_alarms(spells: int, rounds: int) -> None:
    """The worst case of the assumption; 0.5 % and three standard errors."""
    rng, found = Random(20261120), 0
    good = life((1, "0")).good[0]
    for _ in range(rounds):
        *before, last = (_Spell(1, int(HOUR * (2 + rng.expovariate(0.5)))) for _ in range(spells + 1))
        found += _odd(good, last, before) is not None
    assert found <= 0.005 * rounds + 3 * (0.005 * rounds) ** 0.5
