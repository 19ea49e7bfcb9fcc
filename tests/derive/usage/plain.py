"""A few plain trucks on a plain calendar: eight planned hours every day, half of each worked."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final

import numpy as np

from dipmark.derive.usage.calendar import Calendar, days_of, number_of
from dipmark.derive.usage.clock import clock_of
from dipmark.derive.usage.fit import Readings
from dipmark.derive.usage.prior import Prior

FIRST: Final = date(2026, 1, 1)
DAYS: Final = days_of([Calendar()], FIRST, date(2029, 12, 31))
PRIOR: Final = Prior(factors=(0.5,) * 8, wave=1e-4, known=4.0, even=3.0, memory=1000.0)
CLOCK: Final = clock_of(DAYS, np.array(PRIOR.factors))


def readings(*trucks: Sequence[tuple[float, float]]) -> Readings:
    """Readings of trucks: days since the first and hours."""
    start = np.concatenate([[0], np.cumsum([len(truck) for truck in trucks])])
    flat = np.array([one for truck in trucks for one in truck])
    return Readings(start, np.zeros(len(trucks), np.int64), number_of(FIRST) + flat[:, 0], flat[:, 1])


def steady(per_day: float, days: int, gap: int = 7, begin: float = 0.0) -> list[tuple[float, float]]:
    """A reading every so many days of a truck that runs evenly."""
    return [(day, begin + day * per_day) for day in range(0, days + 1, gap)]
