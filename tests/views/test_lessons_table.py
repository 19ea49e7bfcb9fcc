"""What tables teach, in words: the advice first, and what to bear in mind."""

from __future__ import annotations

import json

import msgspec
import numpy as np
import pytest

from dipmark.derive.cost import Year, economic_life
from dipmark.derive.reliability.histories import History, histories
from dipmark.derive.reliability.life import Law, lives
from dipmark.derive.reliability.renewal import age
from dipmark.views.lessons_table import (
    BOOK,
    SAFE,
    figure,
    lives_lesson,
    recurrence_lesson,
    replace_lesson,
    upkeep_lesson,
)


def spread(power: float, faults: int, end: float = 1000.0) -> History:
    place = (np.arange(1, faults + 1) - 0.5) / faults
    return History(tuple((place**power * end).tolist()), end)


@pytest.mark.parametrize(
    ("units", "said"),
    [
        ([spread(0.4, 20)], "Faults come ever faster with the hours (shape "),
        ([spread(2.5, 20)], "Faults come ever more seldom (shape "),
        ([spread(0.8, 5)], "Not enough to tell whether faults come faster or more seldom (shape "),
        ([History((), 1000), History((400,), 1000, until_fault=False)], "Not enough to tell"),
        ([History((), 1000)], "Not enough to tell: 0 faults in 1,000 h; with about 2,900 more hours of all units"),
        ([History((700,), 700, until_fault=True)], "Not enough to tell: 1 fault in 700 h; with about 700 more hours"),
        ([History((9,), 9), History((7,), 7)], "Not enough to tell: no fault lies inside a watch."),
        ([History((), 0)], "Not enough to tell: no fault lies inside a watch."),
    ],
)
def test_advice_on_faults(units: list[History], said: str) -> None:
    assert recurrence_lesson(histories(units), 0.95, costs=False).advice.startswith(said)


def test_more_hours_are_named_where_it_cannot_be_told_yet() -> None:
    lesson = recurrence_lesson(histories([spread(0.8, 5)]), 0.95, costs=False)
    assert lesson.advice.endswith(" more hours of each unit it would be.")


def test_a_steady_rate_is_not_told_by_watching() -> None:
    hours = np.arange(1, 21) / 20.5 * 1000
    end = float(np.exp(1 + np.log(hours).mean()))  # where the shape is 1
    lesson = recurrence_lesson(histories([History(tuple(hours.tolist()), end)]), 0.95, costs=False)
    assert lesson.power_law is not None
    assert lesson.power_law.beta == pytest.approx(1)
    assert "nor would watching tell: steady" in lesson.advice


def test_the_figures_behind_it_as_json() -> None:
    units = [spread(0.5, 12), spread(0.6, 9), spread(0.4, 15)]
    told = json.loads(msgspec.json.encode(recurrence_lesson(histories(units), 0.95, costs=False)))
    assert set(told["power_law"]) == {"beta", "lambda", "eta", "low", "high", "truncation"}
    assert set(told["trend"]) == {"laplace", "mil189", "mann", "anderson_darling", "lewis_robinson"}
    assert set(told["trend"]["mann"]) == {"statistic", "p"}
    assert {"hours", "value", "se", "low", "high"} < set(told["mcf"][0])
    assert (told["units"], told["faults"], told["mcf_cost"]) == (3, 36, None)
    assert told["notes"] == ["From 177 h on 3 or fewer units are watched: too few at risk, limits unsure."]


def test_cost_stands_beside_the_number_of_faults() -> None:
    units = histories([History((10, 30), 40, costs=(5, 7)), History((20,), 40, costs=(3,))])
    lesson = recurrence_lesson(units, 0.95, costs=True)
    assert lesson.mcf_cost is not None
    assert [row.value for row in lesson.mcf] == [0.5, 1, 1.5]
    assert [row.value for row in lesson.mcf_cost] == [2.5, 4, 7.5]


def test_enough_units_at_risk_need_no_note() -> None:
    units = histories([spread(1.0, 2) for _ in range(10)])
    assert not any("at risk" in note for note in recurrence_lesson(units, 0.95, costs=False).notes)


def test_what_speaks_against_the_law_is_said() -> None:
    bursts = (*np.linspace(290, 310, 20).tolist(), *np.linspace(890, 910, 20).tolist())
    notes = recurrence_lesson(histories([History(bursts, 1000.0)]), 0.95, costs=False).notes
    assert any("a hint" in note for note in notes)
    assert any("fits badly" in note for note in notes)


@pytest.mark.parametrize(
    ("hours", "failed", "said"),
    [
        (np.linspace(800, 1200, 12), [True] * 12, "They wear out (shape "),
        (np.geomspace(1, 1e5, 20), [True] * 20, "They fail young (shape "),
        ([300.0, 700.0, 900.0, 1000.0], [True, True, True, False], "Not enough to tell whether they wear out or "),
        ([300.0, 500.0], [True, False], "Not enough to tell: 1 failure in 800 h; with about 800 more hours of all"),
        ([300.0, 500.0], [False, False], "Not enough to tell: 0 failures in 800 h; with about 2,300 more hours of"),
        ([300.0, 300.0], [True, True], "Not enough to tell: 2 failures in 600 h, all at the same hours."),
    ],
)
def test_advice_on_lives(hours: list[float], failed: list[bool], said: str) -> None:
    lesson = lives_lesson(lives(hours, failed), 0.95)
    assert lesson.advice.startswith(said)
    assert (lesson.weibull is not None) is (lesson.notes == (BOOK,))
    assert len(lesson.kaplan_meier) == len(set(np.asarray(hours)[failed]))


def test_lives_that_end_by_chance_are_not_told_by_watching() -> None:
    hours = -np.log(1 - (np.arange(1, 31) - 0.5) / 30) * 1000
    powers = np.linspace(0.9, 1.1, 41)
    lessons = (lives_lesson(lives(hours**power, [True] * 30), 0.95) for power in powers)
    lesson = min(lessons, key=lambda one: abs(one.weibull.shape - 1) if one.weibull else 1)
    assert "nor would watching tell: by chance" in lesson.advice


def test_a_limit_that_is_nowhere_and_a_share_of_none() -> None:
    lesson = lives_lesson(lives([5.0, 6.0, 7.0], [True, True, False], [1, 1, 1000]), 0.999)
    assert lesson.weibull is not None
    assert lesson.weibull.scale_high is None
    assert lives_lesson(lives([5.0, 6.0], [True, True]), 0.95).kaplan_meier[-1].high is None


def test_advice_on_upkeep() -> None:
    years = [Year(22500, 3000), Year(16875, 4500), Year(12750, 7000), Year(9750, 10000)]
    told = upkeep_lesson(economic_life(30000, years, 0.10))
    assert told.advice == "Keep it 3 years: it then costs 12,918 a year, the least; year 4 alone would cost 14,275."
    cut = upkeep_lesson(economic_life(30000, years[:1], 0.10))
    assert (
        cut.advice
        == "Not enough to tell: kept 1 year, the last told, it costs least a year so far (13,500); add a year."
    )


def test_advice_on_replacing() -> None:
    told = replace_lesson(age(Law("weibull", 2.5, 1000.0), 1, 5))
    assert told.advice == "Replace it at 493 h: 0.00346 an hour, 39% less than running to failure (0.00564)."
    assert told.notes == ("From 375 h to 649 h it costs at most 5% more: round it to the services.", BOOK)
    on = replace_lesson(age(Law("weibull", 1.3, 1000.0), 1, 3))
    assert " h on it costs at most 5% more" in on.notes[0]
    never = replace_lesson(age(Law("weibull", 1.0, 1000.0), 1, 5))
    assert never.advice == "Run it to failure, 0.005 an hour: a replacement ahead of failure does not pay."
    assert (never.interval, never.cost_rate, never.notes) == (None, 0.005, (SAFE, BOOK))


def test_figures_are_said_without_powers_of_ten() -> None:
    assert [figure(one) for one in (0.0000123, 0.0, 99.96, 1234567.0)] == ["0.0000123", "0", "100", "1,234,567"]
