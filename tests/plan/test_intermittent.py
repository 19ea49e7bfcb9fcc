"""Demand now and then: none at all, and what dies out."""

from __future__ import annotations

import pytest

from dipmark.plan.intermittent import by_chance, by_gaps


def test_nothing_was_ever_asked_for() -> None:
    for found in (by_gaps([0, 0, 0]), by_chance([0, 0, 0]), by_gaps([]), by_chance([])):
        assert found.rate == 0


def test_what_dies_out_fades_by_chance_and_stays_by_gaps() -> None:
    alive, dead = [1.0, 0.0] * 20, [1.0, 0.0] * 20 + [0.0] * 60
    assert by_gaps(dead).rate == pytest.approx(by_gaps(alive).rate)
    assert by_chance(dead).rate < 0.01 < by_chance(alive).rate
