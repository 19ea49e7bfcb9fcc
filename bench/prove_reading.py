"""Reads two thousand filled sheets back from damaged photographs and prints what was read right, by damage.

Seeds differ from those used while the bounds were set (1 to 9). Of each sheet one page, drawn by lot, is filled in and
photographed; with a second number so many of its pages.

    python bench/prove_reading.py [SHEETS [PAGES]]
"""

from __future__ import annotations

import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

from reading.trial import Count, bounds, table, trial

SEED: Final = 20261126
SHEETS: Final = 2000


def one(number: int, pages: int) -> Count:
    import cv2

    cv2.setNumThreads(1)
    return trial(SEED, number, pages)


def main() -> None:
    given = [int(word) for word in sys.argv[1:]]
    sheets, pages = [*given, *(SHEETS, 1)[len(given) :]]
    total: Count = Counter()
    with ProcessPoolExecutor(2) as pool:
        for done, count in enumerate(pool.map(partial(one, pages=pages), range(sheets), chunksize=5), 1):
            total.update(count)
            if done % 100 == 0:
                print(f"{done} of {sheets} sheets", file=sys.stderr, flush=True)
    print(f"{sheets:,} sheets, {pages} page of each, seed {SEED}.\n")
    print("\n".join(table(total)))
    missed = list(bounds(total))
    print("\n".join(missed) or "\nEvery bound is kept.")
    sys.exit(bool(missed))


if __name__ == "__main__":
    main()
