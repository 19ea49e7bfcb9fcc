"""Trucks that wear out, trucks worse than their like, and what fails in a kind."""

from __future__ import annotations

from math import sqrt

import pytest
from scipy import stats

from derive.lessons.made import fault, fid, mends, seen, walk
from dipmark.derive.lessons.watched import Watched
from dipmark.derive.lessons.wearing import bad_ones, fails, hours_more, wears
from dipmark.facts.kinds import AnyBody
from dipmark.facts.work import Worked


def with_faults(*hours: float, name: str = "1", check: str | None = None) -> Watched:
    """A truck watched for 1000 h with faults that belong to no check, so that none hides another."""
    events: list[tuple[float, AnyBody]] = [(0, walk()), *((at, fault(check)) for at in hours)]
    return seen(*events, name=name)


def test_laplace_says_it_where_lewis_and_robinson_agree() -> None:
    late = [700, 790, 850, 880, 900, 925, 940, 950, 960, 970, 980, 990]
    (one,) = wears([with_faults(*late)], 0.05)
    z = (sum(late) / 12 - 500) / (1000 / sqrt(12 * 12))
    assert one.tests is not None
    assert one.tests.laplace.statistic == pytest.approx(z)
    assert one.tests.lewis_robinson is not None
    assert one.chance == pytest.approx(max(one.tests.laplace.p, one.tests.lewis_robinson.p) / 2)
    assert one.chance >= stats.norm.sf(z)
    assert (one.faults, one.rate) == (12, 12)
    assert one.law is not None
    assert one.law.beta > 2


def test_faults_that_come_slower_are_no_wear() -> None:
    (one,) = wears([with_faults(*(1000 - at for at in (700, 790, 850, 900, 950, 980)))], 0.05)
    assert one.chance is not None
    assert one.chance > 0.9


def test_too_few_faults_say_how_long_to_wait() -> None:
    (one,) = wears([with_faults(400, 700)], 0.05)
    assert (one.chance, one.tests) == (None, None)
    assert one.more == hours_more(2, 1000, 0.05)
    assert one.more is not None
    assert one.more > 2000


@pytest.mark.parametrize(("faults", "waits"), [(0, False), (5, True), (200, False)])
def test_more_hours_are_named_where_they_would_help(faults: int, waits: bool) -> None:
    assert (hours_more(faults, 1000, 0.05) is not None) is waits


def test_a_truck_whose_first_hours_are_unknown_has_no_law_from_new() -> None:
    old = seen((40, walk()), (40, fault(None)), (300, fault(None)), (600, fault(None)), new=False)
    (one,) = wears([old], 0.05)
    assert one.law is None
    assert one.tests is not None
    assert one.hours == 960


def test_a_bad_truck_is_held_against_the_others_of_its_kind() -> None:
    bad = with_faults(*range(20, 1000, 40), name="1", check=None)
    good = [with_faults(500, 900, name=name) for name in ("2", "3")]
    first, second, _ = bad_ones([bad, *good])
    assert first.truck == "1"
    assert first.times == pytest.approx(25 / 2)
    assert first.chance == pytest.approx(stats.binomtest(25, 29, 1.5 / 3.5, "greater").pvalue)
    assert first.low > 1.5
    assert first.worst == (("other", 25),)
    assert second.chance > 0.9


def test_a_truck_alone_or_beside_faultless_ones() -> None:
    assert bad_ones([with_faults(100)]) == ()
    one, _ = bad_ones([with_faults(100, name="1"), with_faults(name="2")])
    assert (one.times, one.high) == (None, None)


def test_what_fails_in_a_kind() -> None:
    one = seen((0, walk()), (100, fault()), (110, mends(2, minutes=90)), (500, fault("horn.sound")), name="1")
    two = seen((0, walk()), (0, fault("horn.sound")), name="2", end=500)
    whole, horn, lamp, labour = fails([one, two])
    assert (whole.of, whole.faults, whole.trucks, whole.hours) == ("kind", 3, 2, 1500)
    assert whole.rate == pytest.approx(2)
    assert whole.mean.value.tolist() == pytest.approx([1 / 2, 1, 3 / 2])
    assert whole.few
    assert (horn.part, horn.faults, lamp.part, lamp.faults) == ("horn", 2, "lamp", 1)
    assert (labour.of, labour.mean.value.tolist()) == ("labour", pytest.approx([1.5 / 2]))


def test_a_kind_without_faults_or_labour_says_less() -> None:
    assert fails([seen((0, walk()), (10, Worked(services=("250h",))))]) == ()
    assert [one.of for one in fails([with_faults(10, check="lamp.work")])] == ["kind", "part"]


def test_the_facts_are_the_faults() -> None:
    (one,) = wears([with_faults(400, 700)], 0.05)
    assert one.facts == (fid("1", 2), fid("1", 3))
