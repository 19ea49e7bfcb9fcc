"""What holds for any life of an hour meter, and the rates the explanation states, over made-up trucks."""

from __future__ import annotations

from datetime import timedelta
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from derive.builders import LATER, ZONE
from derive.meter_counts import alarms, counted, power, unknown_digits
from derive.meter_yard import made
from dipmark.derive.meter import MeterLife, meters_of
from dipmark.derive.meter_habit import unlikely
from dipmark.derive.past import Counting, past

pytestmark = pytest.mark.property
quick = settings(max_examples=60, deadline=None, derandomize=True)
seeds = st.integers(0, 2**32)


def life(counting: Counting) -> MeterLife:
    return meters_of(counting, ZONE)[0]


@quick
@given(seeds, st.integers(2, 40))
def test_the_order_readings_arrive_in_does_not_matter(seed: int, days: int) -> None:
    rng = Random(seed)
    record = [one.item for one in made(rng, days, slips=100).counting]
    assert life(past(record, LATER)) == life(past(rng.sample(record, len(record)), LATER))


@quick
@given(seeds, st.integers(8, 40), st.data())
def test_a_reading_that_agrees_never_makes_another_doubtful(seed: int, days: int, data: st.DataObject) -> None:
    """Nor does it make one unlikely that was read before it."""
    truck = made(Random(seed), days, slips=60)
    whole = life(truck.counting)
    left_out = data.draw(st.sampled_from([one.fact for one in truck.readings if one.slip is None]))
    fewer = life(Counting(tuple(one for one in truck.counting if one.id != left_out)))
    if left_out in {one.fact for one in whole.good}:
        assert {one.fact for one in fewer.good} <= {one.fact for one in whole.good}
    before = [one.fact for one in whole.good]
    cut = before.index(left_out) if left_out in before else 0
    early = {one.fact for one in unlikely(whole)} & set(before[:cut])
    assert early <= {one.fact for one in unlikely(fewer)}


@quick
@given(seeds, st.integers(1, 40))
def test_hours_at_any_instant_lie_within_what_is_sure(seed: int, days: int) -> None:
    truck = made(Random(seed), days, slips=0)
    whole = life(truck.counting)
    first = whole.good[0]
    for one in whole.good:
        for shift in (0, 1, 13):
            instant = truck.counting[0].effective + timedelta(days=(one.day - first.day).days, hours=shift)
            found = whole.sure_at(instant)
            assert found is not None
            assert found.low <= found.high
            assert found.likely is None or found.low <= found.likely <= found.high


def test_slips_are_found_and_good_readings_left_alone_at_the_rates_stated() -> None:
    counts = counted()
    assert counts.slips("strong") > 700
    assert counts.slips("strong contradicts") >= 0.995 * counts.slips("strong")
    assert counts.of[None, "contradicts"] <= 0.001 * counts.of[None, "all"]
    assert counts.slips("proposed") >= 0.85 * (counts.slips("contradicts") + counts.slips("one of two"))


def test_the_unlikely_comes_with_no_more_false_alarms_than_stated_and_finds_a_day_of_23_hours() -> None:
    days, found = alarms()
    assert found <= 0.005 * days
    agreeing, called = power(60)[16]
    assert called >= 0.9 * agreeing


def test_a_meter_of_unknown_digits_that_started_again_is_asked_about() -> None:
    turned, told, false = unknown_digits(30)
    assert turned > 3
    assert told == turned
    assert false == 0
