"""The solver on models whose answers are known elsewhere; what is impossible, and what runs out of time."""

from __future__ import annotations

from itertools import combinations, pairwise
from math import inf
from typing import Final

import numpy as np
import pytest

from dipmark.adapters.solver import Solved, solve
from dipmark.plan.rows import Arrays

FT06: Final = (
    ((2, 1), (0, 3), (1, 6), (3, 7), (5, 3), (4, 6)),
    ((1, 8), (2, 5), (4, 10), (5, 10), (0, 10), (3, 4)),
    ((2, 5), (3, 4), (5, 8), (0, 9), (1, 1), (4, 7)),
    ((1, 5), (0, 5), (2, 5), (3, 3), (4, 8), (5, 9)),
    ((2, 9), (1, 3), (4, 5), (5, 4), (0, 3), (3, 1)),
    ((1, 3), (3, 3), (5, 9), (0, 10), (4, 4), (2, 1)),
)
"""Six jobs on six machines, machine and time of each step: Fisher and Thompson 1963, from memory."""

Row = tuple[dict[int, float], float, float]


def solved(
    cost: list[float], upper: list[float], integer: list[bool], rows: list[Row], **more: float | np.ndarray
) -> Solved:
    model = Arrays(
        np.array(cost, float),
        np.zeros(len(cost)),
        np.array(upper, float),
        np.array(integer, bool),
        np.array([low for _, low, _ in rows], float),
        np.array([high for _, _, high in rows], float),
        np.cumsum([0, *(len(row) for row, _, _ in rows)]).astype(np.int32),
        np.array([at for row, _, _ in rows for at in row], np.int32),
        np.array([one for row, _, _ in rows for one in row.values()], float),
    )
    return solve(model, **({"seconds": 60.0} | more))  # type: ignore[arg-type]


KNAPSACK: Final = ([-60.0, -100.0, -120.0], [1.0] * 3, [True] * 3, [({0: 10.0, 1: 20.0, 2: 30.0}, -inf, 50.0)])


def test_the_knapsack_of_the_textbook() -> None:
    """The best is 220: Cormen and others, Introduction to Algorithms, greedy algorithms (from memory)."""
    told = solved(*KNAPSACK)
    assert told.values is not None
    assert (told.values.round().tolist(), round(told.cost), round(told.bound), told.proven) == (
        [0, 1, 1],
        -220,
        -220,
        True,
    )


def test_in_parts_the_knapsack_is_worth_more() -> None:
    """The same in fractions: 240, at the same place."""
    cost, upper, _, rows = KNAPSACK
    told = solved(cost, upper, [False] * 3, rows)
    assert (round(told.cost, 6), round(told.bound, 6), told.proven) == (-240, -240, True)


def test_six_jobs_on_six_machines_take_55() -> None:
    """The least time known and proven is 55 (statistics of this project: ft06; Fisher and Thompson 1963)."""
    steps = {(job, step): job * 6 + step for job in range(6) for step in range(6)}
    end, most = 36, sum(time for job in FT06 for _, time in job)
    cost, upper, integer = [0.0] * 36 + [1.0], [float(most)] * 37, [False] * 37
    rows: list[Row] = []
    for job, line in enumerate(FT06):
        for step, later in pairwise(range(6)):
            rows.append(({steps[job, later]: 1.0, steps[job, step]: -1.0}, line[step][1], inf))
        rows.append(({end: 1.0, steps[job, 5]: -1.0}, line[5][1], inf))
    for machine in range(6):
        on = [
            (steps[job, step], time)
            for job, line in enumerate(FT06)
            for step, (where, time) in enumerate(line)
            if where == machine
        ]
        for (one, takes), (other, then) in combinations(on, 2):
            order = len(cost)
            cost, upper, integer = [*cost, 0.0], [*upper, 1.0], [*integer, True]
            rows.append(({other: 1.0, one: -1.0, order: -60.0}, takes - 60, inf))
            rows.append(({one: 1.0, other: -1.0, order: 60.0}, then, inf))
    upper[:37] = [60.0] * 37
    told = solved(cost, upper, integer, rows)
    assert (round(told.cost), told.proven) == (55, True)


def test_what_cannot_be_is_said() -> None:
    told = solved([1.0], [1.0], [True], [({0: 1.0}, 2.0, 2.0)])
    assert (told.values, told.bound, told.proven) == (None, inf, True)


def test_without_columns_nothing_costs_nothing() -> None:
    told = solved([], [], [], [])
    assert (told.cost, told.bound, told.proven) == (0, 0, True)


def test_without_time_the_first_solution_stays_and_its_bound_is_below() -> None:
    cost, upper, integer, rows = KNAPSACK
    told = solved(cost, upper, integer, rows, seconds=0.0, first=np.array([1.0, 1.0, 0.0]))
    assert told.cost <= -160
    assert told.bound <= told.cost
    assert told.proven == (told.cost == -220)


def test_without_time_and_a_first_solution_nothing_is_known() -> None:
    rng = np.random.default_rng(1)
    weights = rng.integers(10, 99, 200).astype(float)
    row: Row = (dict(enumerate(weights)), float(weights.sum() // 2), float(weights.sum() // 2))
    told = solved(rng.integers(10, 99, 200).astype(float).tolist(), [1.0] * 200, [True] * 200, [row], seconds=0.0)
    assert (told.values, told.proven) == (None, False)
    assert told.bound < inf
    lone = solved(
        [1.0, 1.0],
        [5.0, 5.0],
        [False, False],
        [({0: 1.0, 1: 2.0}, 3.0, 4.0), ({0: 2.0, 1: 1.0}, 3.0, 4.0)],
        seconds=0.0,
    )
    assert lone.bound in {-inf, lone.cost}


def test_it_prints_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    solved(*KNAPSACK)
    assert capfd.readouterr() == ("", "")


def test_the_same_model_gives_the_same_answer() -> None:
    rng = np.random.default_rng(2)
    size = 30
    cost = rng.integers(1, 4, size).astype(float).tolist()
    rows: list[Row] = [({int(at): 1.0 for at in rng.choice(size, 5, replace=False)}, 1.0, inf) for _ in range(40)]
    one, other = (solved(cost, [1.0] * size, [True] * size, rows) for _ in range(2))
    assert one.values is not None
    assert other.values is not None
    assert one.values.tolist() == other.values.tolist()
