"""The chain of readings that agree: proved longest by trying every subset of short records."""

from __future__ import annotations

from datetime import date
from decimal import ROUND_DOWN, ROUND_UP, Decimal
from itertools import combinations
from random import Random

import pytest

from derive.builders import fid
from dipmark.derive.meter_chain import HOUR, Shown, judge, longest_chain, rounding_of, shown

DAY = date(2026, 11, 20)


def _longest(spans: list[tuple[int, int]]) -> list[bool]:
    """Every subset, the largest first."""
    for size in range(len(spans), -1, -1):
        for some in combinations(range(len(spans)), size):
            if all(spans[i][0] <= spans[j][1] for i, j in combinations(some, 2)):
                return [index in some for index in range(len(spans))]
    raise AssertionError


def test_the_chain_is_as_long_as_any_and_agrees_with_itself() -> None:
    rng = Random(20261120)
    for _ in range(400):
        lows = [rng.randrange(12) for _ in range(rng.randrange(9))]
        spans = [(low, low + rng.randrange(4)) for low in lows]
        kept = longest_chain(spans)
        assert sum(kept) == sum(_longest(spans)), spans
        for i, j in combinations([index for index, keep in enumerate(kept) if keep], 2):
            assert spans[i][0] <= spans[j][1], spans


def test_of_two_longest_chains_the_earlier_spans_are_kept() -> None:
    assert longest_chain([(0, 0), (5, 5), (3, 3)]) == [True, True, False]
    assert longest_chain([(5, 5), (3, 3)]) == [True, False]
    assert longest_chain([]) == []


def _agree(one: Shown, other: Shown) -> bool:
    """Two instants: hours fall by less than both roundings and outrun the clock by no more than they do."""
    first, second = sorted((one, other), key=lambda one: one.start)
    slack = first.rounding + second.rounding
    return first.micro - second.micro < slack and second.micro - first.micro <= second.end - first.start + slack


def _most(readings: list[Shown]) -> int:
    for size in range(len(readings), 0, -1):
        if any(all(_agree(a, b) for a, b in combinations(some, 2)) for some in combinations(readings, size)):
            return size
    raise AssertionError


def _made_up(rng: Random, places: tuple[int, ...]) -> list[Shown]:
    """Up to eight readings, three of ten of them slips, of the given decimal places."""
    readings, clock, tenths = [], 0, 1000
    for number in range(rng.randrange(1, 9)):
        clock, tenths = clock + rng.randrange(1, 30), tenths + rng.randrange(80)
        slip = rng.choice((-300, 300, -40, 40, -15, 15)) if rng.random() < 0.3 else 0
        unit = Decimal(1).scaleb(-rng.choice(places))
        hours = (Decimal(tenths + slip) / 10).quantize(unit, rng.choice((ROUND_UP, ROUND_DOWN)))
        readings.append(shown(fid(number), hours, clock * HOUR, clock * HOUR, DAY))
    return readings


@pytest.mark.parametrize(("places", "allowed"), [((1,), 0), ((0,), 1), ((0, 1), 1)])
def test_as_many_readings_are_kept_as_can_agree(places: tuple[int, ...], allowed: int) -> None:
    """Exactly, where all are read to one tenth; with coarse roundings one in four hundred may be one off."""
    rng, missed = Random(20261120), 0
    for _ in range(400):
        readings = _made_up(rng, places)
        missed += len(judge(readings, None).kept) != _most(readings)
    assert missed <= allowed


@pytest.mark.parametrize(
    ("hours", "parts"), [("12", 1), ("12.0", 10), ("12.00", 100), ("0.125", 1000), ("1.0625", 10_000), ("1E+2", 1)]
)
def test_the_rounding_is_one_unit_of_the_last_digit_and_at_most_an_hour(hours: str, parts: int) -> None:
    assert rounding_of(Decimal(hours)) * parts == HOUR


def test_the_order_readings_arrive_in_does_not_matter() -> None:
    rng = Random(20261120)
    for _ in range(100):
        readings = _made_up(rng, (0, 1))
        mixed = rng.sample(readings, len(readings))
        one, other = judge(readings, None), judge(mixed, None)
        assert [readings[index].fact for index, _ in one.kept] == [mixed[index].fact for index, _ in other.kept]
