"""Invented yards with known truth: what is planted is named, and where nothing is planted hardly anything is said.

Everything here is made up. Two years of eight trucks and five drivers, a walk-round a day; faults that come by chance,
faults that a service helps against at a rate that rises straight, hoses that are renewed when they fail.
"""

from __future__ import annotations

from functools import lru_cache

import pytest

from derive.builders import ZONE
from dipmark.derive.lessons.vigilance import LOOKS, YEARLY
from dipmark.derive.lessons.yard import PAGE, Lessons, lessons
from dipmark.facts.base import PersonKey
from dipmark.views.lessons import LessonsPage, Watcher, lessons_page
from lessons.seeded import AS_OF, BLIND, EVERYTHING, LIFTED, NOTHING, RULES, YARD, Planted, yard

SEEDS = (0, 1, 2)
WITHOUT = range(10)


@lru_cache(maxsize=16)
def found(seed: int, planted: Planted) -> Lessons:
    return lessons(yard(seed, planted), RULES, YARD, AS_OF, ZONE)


def page(seed: int, planted: Planted) -> LessonsPage:
    names = {PersonKey(BLIND): "Eve"}
    return lessons_page(found(seed, planted), RULES, names, "GB", Watcher(all=True))


def said(one: Lessons) -> list[str]:
    """What stands on the page as advice, by what it is about."""
    told = [f"wears {row.truck}" for row in one.wears if row.said]
    told += [f"bad {row.truck}" for row in one.bad if row.said]
    told += [f"{row.leans} {row.service}" for row in one.intervals if row.said]
    told += [f"part {row.part}" for row in one.parts if row.said]
    return told + [f"back {row.truck} {row.check}" for row in one.returns if row.said]


@pytest.mark.parametrize("seed", SEEDS)
def test_each_planted_truth_is_named(seed: int) -> None:
    planted = {"wears 3", "shorter 250h", f"part {LIFTED}", "back 5 horn.sound"}
    told = set(said(found(seed, EVERYTHING)))
    assert planted <= told
    assert {one for one in told - planted if " 3" not in one} == set()  # truck 3 is truly worse than the others


@pytest.mark.parametrize("seed", SEEDS)
def test_the_page_says_it_in_plain_sentences(seed: int) -> None:
    advice = "\n".join(page(seed, EVERYTHING).advice)
    for sentence in (
        "Truck 3 wears out", "Do the 250h service (reach truck) sooner", "The lift hose (reach truck) wears out",
        "Repairs of “Look at horn.sound” of truck 5 do not hold",
    ):  # fmt: skip
        assert sentence in advice


@pytest.mark.parametrize("seed", SEEDS)
def test_the_range_of_the_interval_holds_the_truth(seed: int) -> None:
    (one,) = found(seed, EVERYTHING).intervals
    assert one.low is not None
    assert one.high is not None
    # A walk-round a day and one open fault a check hide some: the range is widened by a tenth for that.
    assert 0.9 * one.low <= 125 <= 1.1 * one.high
    assert one.done is not None
    assert one.high < one.done / 1.5


@pytest.mark.parametrize("seed", SEEDS)
def test_the_shape_of_the_part_is_found(seed: int) -> None:
    (one,) = found(seed, EVERYTHING).parts
    assert one.limits is not None
    assert one.limits.shape_low > 1.5
    assert one.limits.shape_low <= 3.2
    assert one.limits.shape_high >= 2.8


@pytest.mark.parametrize("seed", SEEDS)
def test_the_driver_who_ticks_blindly_is_the_only_one_shown(seed: int) -> None:
    signs = [one for one in found(seed, EVERYTHING).signs if one.said]
    assert {one.by for one in signs} == {BLIND}
    assert {"quick", "same-seconds", "nothing-found"} <= {one.sign for one in signs}
    shown = page(seed, EVERYTHING).signs.others
    assert all(row.text.startswith("Eve: ") for row in shown)
    assert len(shown) == len(signs)


def test_in_ten_yards_without_hardly_anything_is_said() -> None:
    pages = [said(found(seed, NOTHING)) for seed in WITHOUT]
    assert sum(bool(told) for told in pages) <= 1, pages  # half a page in ten is to be expected at most
    signs = [one for seed in WITHOUT for one in found(seed, NOTHING).signs if one.said]
    assert signs == []  # one in ten years is to be expected at most, looked at each month


def test_a_page_without_advice_says_so() -> None:
    assert page(0, NOTHING).advice[0].startswith("Nothing in this record asks for a change")


@pytest.mark.prove
def test_false_advice_in_many_yards() -> None:
    yards = 400
    told = [lessons(yard(seed, NOTHING), RULES, YARD, AS_OF, ZONE) for seed in range(1000, 1000 + yards)]
    pages = sum(bool(said(one)) for one in told)
    signs = sum(one.said for lesson in told for one in lesson.signs)
    assert pages <= yards * PAGE + 3 * (yards * PAGE) ** 0.5
    assert signs <= yards * YEARLY / LOOKS + 3 * (yards * YEARLY / LOOKS) ** 0.5
