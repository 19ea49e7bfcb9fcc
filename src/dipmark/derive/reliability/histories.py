"""Histories of units that are watched: when each came under watch, what happened at which hours, when it ended."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

import msgspec
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

LARGEST: Final = 1e12

LEVEL: Final = 0.95
"""Of limits, two-sided, where nobody asks for another."""


class History(msgspec.Struct, frozen=True):
    """What happened to one unit while it was watched.

    Args:
        events: hours of its faults; later than `start`, for what was there when the watch began did not come in it.
        end: hours at which the watch ended; at the last fault where it was watched until then.
        start: hours at which the watch began.
        costs: what each fault cost, as many as `events`; empty: every fault counts one.
        until_fault: True where the watch ended because of the last fault (failure truncated).
    """

    events: tuple[float, ...]
    end: float
    start: float = 0.0
    costs: tuple[float, ...] = ()
    until_fault: bool = False


class Histories(msgspec.Struct, frozen=True):
    """Many histories as arrays.

    Args:
        age: hours of every fault, unit after unit, in order within a unit.
        unit: to which unit each belongs, from 0.
        cost: of each.
        start: of each unit's watch.
        end: of each unit's watch.
        until_fault: units watched until their last fault.
    """

    age: Floats
    unit: Whole
    cost: Floats
    start: Floats
    end: Floats
    until_fault: NDArray[np.bool_]

    @property
    def ratio(self) -> Floats:
        """Of every fault its place within its unit's watch, 0 to 1; for watches that began at 0."""
        return self.age / self.end[self.unit]

    @property
    def from_new(self) -> bool:
        """True where every watch began at hour 0, as the power law and the tests of trend ask."""
        return bool(np.all(self.start == 0))

    @property
    def inner(self) -> NDArray[np.bool_]:
        """False for the faults at which a watch ended because of them: in a test of trend they say nothing."""
        last = np.append(self.unit[1:] != self.unit[:-1], True) if len(self.unit) else np.zeros(0, bool)
        return ~(last & self.until_fault[self.unit])


def histories(units: Iterable[History]) -> Histories:
    """Histories put together.

    Args:
        units: one for each thing watched.

    Raises:
        ValueError: a fault lies outside the watch of its unit, a number is not finite, or costs do not fit the faults.
    """
    held: Sequence[History] = tuple(units)
    age = np.array([age for one in held for age in one.events], float)
    unit = np.repeat(np.arange(len(held)), [len(one.events) for one in held])
    cost = np.array([cost for one in held for cost in (one.costs or (1.0,) * len(one.events))], float)
    start, end = (np.array([getattr(one, name) for one in held], float) for name in ("start", "end"))
    told = np.concatenate([age, cost, start, end])
    if len(cost) != len(age) or not np.all(np.isfinite(told)) or np.any(np.abs(told) > LARGEST):
        raise ValueError("costs do not fit the faults, or a number is not finite")
    if np.any(age <= start[unit]) or np.any(age > end[unit]) or np.any(end < start):
        raise ValueError("a fault lies outside the watch of its unit")
    order = np.lexsort((age, unit))
    return Histories(age[order], unit, cost[order], start, end, np.array([one.until_fault for one in held], bool))
