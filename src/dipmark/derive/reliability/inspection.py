"""How often to look for a fault that does not show: the interval that costs least."""

from __future__ import annotations

from typing import Final

import msgspec
import numpy as np
from scipy import optimize

from dipmark.derive.reliability.histories import Floats
from dipmark.derive.reliability.renewal import Lasting

STEPS: Final = 200
SUMMED: Final = 1e-12
MOST: Final = 200_000
"""Looks summed one by one; where more are needed within a life, looking so often is out of the question."""


class Inspection(msgspec.Struct, frozen=True):
    """How often to look.

    Args:
        hours: the interval that costs least; None where never looking costs least.
        cost: an hour.
        unnoticed: share of the time during which the fault is there and nobody knows.
    """

    hours: float | None
    cost: float
    unnoticed: float


def looks(life: Lasting, hours: float) -> float:
    """How many times one looks, on the mean, until the fault is found.

    Args:
        life: until the fault.
        hours: from look to look.
    """
    count = 64
    while count < MOST and float(life.alive(count * hours)) > SUMMED:
        count *= 2
    return float(life.alive(hours * np.arange(count, dtype=float)).sum())


def unnoticed_share(life: Lasting, hours: float) -> float:
    """Share of the time during which the fault is there and nobody knows.

    Args:
        life: until the fault; found, it is put right at once, as new.
        hours: from look to look.
    """
    return 1 - life.mean / (hours * looks(life, hours))


def hidden(life: Lasting, look: float, unnoticed: float) -> Inspection:
    """The interval between looks that costs least.

    Args:
        life: until a fault that does not show by itself.
        look: cost of one look.
        unnoticed: cost of an hour with the fault unnoticed.

    Returns:
        None for the interval where a look costs more than it can save.

    *Source*: Barlow, Hunter and Proschan 1963; of faults at a steady rate λ about ``√(2 look / (unnoticed λ))``.
    """
    places = np.log(life.mean) + np.linspace(np.log(1e-4), np.log(50), STEPS)

    def cost(log_hours: float) -> float:
        hours = float(np.exp(log_hours))
        return look / hours + unnoticed * unnoticed_share(life, hours)

    seen: Floats = np.array([cost(float(one)) for one in places])
    at = int(np.argmin(seen))
    if at == len(places) - 1 or seen[at] >= unnoticed:
        return Inspection(None, unnoticed, 1.0)
    bounds = (places[max(at - 1, 0)], places[at + 1])
    found = optimize.minimize_scalar(cost, bounds=bounds, method="bounded", options={"xatol": 1e-9})
    hours = float(np.exp(found.x))
    return Inspection(hours, float(found.fun), unnoticed_share(life, hours))
