"""Lets made-up yards run for years and prints what service the order list reaches, and with how much in store.

python bench/prove_stores.py [YARDS [YEARS]]
"""

from __future__ import annotations

import sys
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "scripts"))

from evidence import write
from plan.shelves import Shelf, ours, two_weeks

SEED: Final = 20261126
LEVELS: Final = (0.90, 0.95, 0.98)
TITLE: Final = "## Parts kept in store"

Pair = tuple[float, float]


def one(number: int, years: int) -> tuple[Pair, tuple[Pair, ...]]:
    """The rule of two weeks, and ours at each level: service reached and mean stock."""
    usual = Shelf(SEED + number).year(years, two_weeks)
    return usual, tuple(Shelf(SEED + number).year(years, ours(level)) for level in LEVELS)


def main() -> None:
    yards, years = (int(word) for word in [*sys.argv[1:], *("5", "5")[len(sys.argv) - 1 :]])
    with ProcessPoolExecutor(2) as pool:
        found = list(pool.map(partial(one, years=years), range(yards)))

    def mean(pairs: list[Pair]) -> Pair:
        return sum(service for service, _ in pairs) / yards, sum(stock for _, stock in pairs) / yards

    usual = mean([each for each, _ in found])
    reached = [mean([each[at] for _, each in found]) for at in range(len(LEVELS))]
    better = min((stock for service, stock in reached if service >= usual[0]), default=usual[1])
    lines = [
        f"{yards} made-up yards of 18 trucks and 24 parts, {years} years each after one to warm up (seed {SEED}):",
        "services every 150 h that take parts, breakdowns now and then, lead times in doubt, packs. What is asked for",
        "and not there waits. *Service* is the share of pieces that were there when they were asked for.",
        "",
        "| rule | service | pieces in store |",
        "|---|---|---|",
        f"| two weeks' average beyond the lead time | {usual[0]:.1%} | {usual[1]:.0f} |",
        *(
            f"| order list at {level:.0%} | {service:.1%} | {stock:.0f} |"
            for level, (service, stock) in zip(LEVELS, reached, strict=True)
        ),
        "",
        f"At a service no worse than that of two weeks' average the list keeps {1 - better / usual[1]:.0%} less.",
    ]
    print("\n".join(lines))
    write(TITLE, lines)
    off = max(abs(service - level) for level, (service, _) in zip(LEVELS, reached, strict=True))
    sys.exit(not (off <= 0.02 and better <= 0.9 * usual[1]))


if __name__ == "__main__":
    main()
