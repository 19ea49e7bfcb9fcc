"""Finds the factors of derive/trend/factors.py by simulation and prints them; they are pasted from here.

Readings have normal errors of standard deviation 1 about a level line (slope and level change nothing: the line moves
with them), at hours that are sums of gamma gaps of shape 2. Asked is where the line lies 1.2 or 3 spans after the first
reading, half the rounds each.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy.integrate import quad
from scipy.stats import norm

from dipmark.derive.trend.factors import HELD
from dipmark.derive.trend.fit import TUNING, Floats, fit

SEED: Final = 20261125
ROUNDS: Final = 1_000_000
BLOCK: Final = 20_000
COUNTS: Final = (3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 15, 20, 30, 60)


def simulated(count: int, rounds: int) -> tuple[float, float]:
    """The factor, and the scatter that is exceeded in a tenth of all series."""
    rng = np.random.default_rng((SEED, count))
    parts = [_block(rng, count, min(BLOCK, rounds)) for _ in range(-(-rounds // BLOCK))]
    off, scatter = (np.concatenate(part) for part in zip(*parts, strict=True))
    return float(np.quantile(off, HELD)), float(np.quantile(scatter, 0.9))


def _block(rng: np.random.Generator, count: int, rows: int) -> tuple[Floats, Floats]:
    hours = np.cumsum(rng.gamma(2, 1, (rows, count)), axis=1)
    line = fit(hours, rng.normal(size=(rows, count)), np.full(rows, 1e-9))
    asked = hours[:, 0] + (hours[:, -1] - hours[:, 0]) * np.where(np.arange(rows) % 2, 1.2, 3.0)
    away = asked - line.hours
    sure = line.scatter * np.sqrt(1 / line.weight + away**2 / line.spread)
    return np.abs(line.value + line.slope * away) / sure, line.scatter


def without_end() -> tuple[float, float]:
    """Both with readings without end, by integration."""

    def mean(power: int, weight_power: int) -> float:
        return float(
            quad(lambda z: z**power * (1 - (z / TUNING) ** 2) ** weight_power * norm.pdf(z), -TUNING, TUNING)[0]
        )

    weight = mean(0, 2)
    scatter = np.sqrt(mean(2, 2) / weight)
    slope = mean(0, 2) - 4 / TUNING**2 * mean(2, 1)
    return float(norm.ppf((1 + HELD) / 2) * np.sqrt(mean(2, 4)) / slope * np.sqrt(weight) / scatter), float(scatter)


def main() -> None:
    for count in COUNTS:
        factor, scatter = simulated(count, ROUNDS if count <= 20 else ROUNDS // 5)
        print(f"    ({count}, {factor:.3f}, {scatter:.3f}),", flush=True)
    print("    (math.inf, {:.3f}, {:.3f}),".format(*without_end()))


if __name__ == "__main__":
    main()
