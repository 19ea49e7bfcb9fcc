"""Many Weibull fits against a loop of lifelines, and a mean cumulative function against a sort of its faults.

1,000 right-censored sets of 50 lives are fitted at once; lifelines fits the same sets one by one, and both must agree
to one part in a million. Its bound: ours at least 500 times faster. Then the faults of 100,000 units, with limits: at
most 3 times what numpy.lexsort takes to sort them.
"""

from __future__ import annotations

import sys
import time
import warnings
from collections.abc import Callable
from typing import TypeVar

import numpy as np
from lifelines import WeibullFitter

from dipmark.derive.reliability.histories import Histories
from dipmark.derive.reliability.life import weibull_fits
from dipmark.derive.reliability.recurrent import cumulative

SETS, LIVES, FASTER, CLOSE = 1000, 50, 500.0, 1e-6
UNITS, MEAN, SLOWER = 100_000, 5, 3.0
ROUNDS = 5

Made = TypeVar("Made")


def best(call: Callable[[], Made]) -> tuple[float, Made]:
    """The shortest of several rounds, and what was made."""
    times = []
    for _ in range(ROUNDS - 1):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    start = time.perf_counter()
    made = call()
    return min(*times, time.perf_counter() - start), made


def fits(rng: np.random.Generator) -> bool:
    life = 1000 * rng.weibull(rng.uniform(0.7, 4, (SETS, 1)), (SETS, LIVES))
    watch = rng.uniform(200, 2500, life.shape)
    hours, failed = np.minimum(life, watch), life <= watch
    ours, found = best(lambda: weibull_fits(hours, failed))
    theirs = np.empty((SETS, 2))
    start = time.perf_counter()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for row in range(SETS):
            fitter = WeibullFitter().fit(hours[row], failed[row])
            theirs[row] = fitter.rho_, fitter.lambda_
    base = time.perf_counter() - start
    apart = float(np.max(np.abs(np.column_stack([found.shape, found.scale]) / theirs - 1)))
    print(f"baseline  lifelines in a loop, {SETS:,} sets of {LIVES}  {base:8.2f} s")
    print(f"ours      all at once                       {ours:8.4f} s")
    print(f"apart     {apart:.1e} (bound {CLOSE:g})")
    print(f"ratio     {base / ours:.0f} times faster (bound {FASTER:g})")
    return base >= FASTER * ours and apart <= CLOSE


def means(rng: np.random.Generator) -> bool:
    end = rng.uniform(500, 5000, UNITS)
    unit = np.repeat(np.arange(UNITS), rng.poisson(MEAN, UNITS))
    age = rng.random(len(unit)) * end[unit]
    base, order = best(lambda: np.lexsort((age, unit)))
    none = np.zeros(UNITS)
    units = Histories(age[order], unit[order], np.ones(len(unit)), none, end, none.astype(bool))
    ours, found = best(lambda: cumulative(units))
    print(f"baseline  numpy.lexsort((age, unit)), {len(unit):,} faults  {base:8.4f} s")
    print(f"ours      mean cumulative function with limits      {ours:8.4f} s, {found.value[-1]:.3f} faults a unit")
    print(f"ratio     {ours / base:.2f} (bound {SLOWER:g})")
    return bool(ours <= SLOWER * base)


def main() -> int:
    rng = np.random.default_rng(20261125)
    held = [fits(rng), means(rng)]
    return 0 if all(held) else 1


if __name__ == "__main__":
    sys.exit(main())
