"""How often Weibull limits hold the truth: nominal 90 % of 5,000 made-up sets of 20 parts, half of them still running.

Parts leave the watch in each of three forms: all at the failure of the tenth, all at the same hours, each at hours of
its own. Their true shape and scale must lie inside the limits in 88 to 92 % of the sets, each for itself. So must β of
a power law through 15 faults.

A table says how the limits of the mean cumulative function do at the last fault with at least ten units at risk, for 41
and for 100 units, watched to hours spread as in a real yard: nobody bounds it, the page reports it.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

import numpy as np

from dipmark.derive.reliability.histories import Floats, Histories, History, histories
from dipmark.derive.reliability.life import lives, weibull
from dipmark.derive.reliability.life_limits import weibull_limits
from dipmark.derive.reliability.power_law import power_law
from dipmark.derive.reliability.recurrent import cumulative

SETS, PARTS, LEVEL = 5000, 20, 0.90
SHAPE, SCALE = 2.0, 1000.0
HALF = SCALE * np.log(2) ** (1 / SHAPE)
BOUNDS = (0.88, 0.92)


def until_failure(_rng: np.random.Generator, life: Floats) -> Floats:
    return np.full(PARTS, np.sort(life)[PARTS // 2 - 1])


def until_hours(_rng: np.random.Generator, _life: Floats) -> Floats:
    return np.full(PARTS, HALF)


def at_random(rng: np.random.Generator, _life: Floats) -> Floats:
    return SCALE * rng.weibull(SHAPE, PARTS)


def evenly(rng: np.random.Generator, _life: Floats) -> Floats:
    return rng.uniform(0, 1748.7, PARTS)  # half of the parts fail


def covered(name: str, until: Callable[[np.random.Generator, Floats], Floats], sets: int) -> bool:
    rng = np.random.default_rng(19)
    inside, told, start = np.zeros(2), 0, time.perf_counter()
    for _ in range(sets):
        life = SCALE * rng.weibull(SHAPE, PARTS)
        end = until(rng, life)
        data = lives(np.minimum(life, end), life <= end)
        law = weibull(data)
        if law is None:
            continue
        found = weibull_limits(law, data, LEVEL)
        inside += (found.shape_low <= SHAPE <= found.shape_high, found.scale_low <= SCALE <= found.scale_high)
        told += 1
    shape, scale = inside / told
    print(f"{name:<22} {told:,} sets  shape {shape:.1%}  scale {scale:.1%}  {time.perf_counter() - start:5.0f} s")
    return all(BOUNDS[0] <= one <= BOUNDS[1] for one in (shape, scale))


def covered_beta(name: str, sets: int, *, until_fault: bool) -> bool:
    rng = np.random.default_rng(23)
    inside = 0
    for _ in range(sets):
        place = np.cumsum(rng.exponential(size=15)) if until_fault else np.sort(rng.random(15))
        hours = place ** (1 / SHAPE)
        end = float(hours[-1]) if until_fault else 1.0
        law = power_law(histories([History(tuple(hours.tolist()), end, until_fault=until_fault)]), LEVEL)
        inside += law is not None and law.low <= SHAPE <= law.high
    print(f"{name:<22} {sets:,} sets  beta {inside / sets:.1%}")
    return BOUNDS[0] <= inside / sets <= BOUNDS[1]


def mean_row(units: int, spread: float, sets: int) -> str:
    """Coverage by limits on the scale of the logarithm, and by the normal law; at the last age with ten at risk."""
    rng = np.random.default_rng(29)
    inside, told = np.zeros(4), 0
    for _ in range(sets):
        own = rng.gamma(1 / spread, spread, units) if spread else np.ones(units)
        end = rng.uniform(300, 1000, units)
        unit = np.repeat(np.arange(units), rng.poisson(own * (end / 500) ** 1.3))
        age = rng.random(len(unit)) ** (1 / 1.3) * end[unit]
        order = np.lexsort((age, unit))
        none = np.zeros(units)
        held = Histories(age[order], unit[order], np.ones(len(unit)), none, end, none.astype(bool))
        found = cumulative(held, LEVEL)
        last = int(np.flatnonzero(found.at_risk >= 10)[-1])
        truth = (found.hours[last] / 500) ** 1.3
        told += 1
        inside += (
            found.low[last] <= truth <= found.high[last],
            found.low_plain[last] <= truth <= found.high_plain[last],
            truth < found.low[last],
            truth > found.high[last],
        )
    log, plain, below, above = inside / told
    return f"| {units} | {spread:g} | {log:.1%} | {plain:.1%} | {below:.1%} | {above:.1%} |"


def main() -> int:
    sets = int(sys.argv[1]) if len(sys.argv) > 1 else SETS
    held = [
        covered("until the 10th failed", until_failure, sets),
        covered("until the same hours", until_hours, sets),
        covered("each like its life", at_random, sets),
        covered("each evenly", evenly, sets),
        covered_beta("until the 15th fault", sets, until_fault=True),
        covered_beta("until an hour", sets, until_fault=False),
    ]
    print("| units | variance of their rates | log limits | normal limits | truth below | truth above |")
    print("|---|---|---|---|---|---|")
    for units, spread in ((41, 0.0), (41, 0.5), (100, 0.0), (100, 0.5)):
        print(mean_row(units, spread, sets))
    return 0 if all(held) else 1


if __name__ == "__main__":
    sys.exit(main())
