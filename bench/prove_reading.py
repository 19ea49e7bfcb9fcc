"""Reads two thousand filled sheets back from damaged photographs and prints what was read right, by damage.

The seed is none of those used while the bounds were set (1 to 9, 20261126). Of each sheet one page, drawn by lot, is
filled in and photographed; with a second number so many of its pages.

    python bench/prove_reading.py [SHEETS [PAGES]]
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "scripts"))

from evidence import write
from reading.trial import Count, bounds, table, trial

SEED: Final = 20261127
SHEETS: Final = 2000
TITLE: Final = "## Filled sheets, read from pictures"


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
    missed = list(bounds(total))
    lines = [*told(sheets, pages), *table(total), "", *(missed or ["Every bound is kept."])]
    print("\n".join(lines))
    write(TITLE, lines)
    sys.exit(bool(missed))


def told(sheets: int, pages: int) -> Iterator[str]:
    """What was done."""
    yield f"{sheets:,} week sheets of five layouts were printed; of each {pages} page, drawn by lot, was filled in,"
    yield f"spoilt and photographed by the generator of the tests (seed {SEED}), and read. *Asked* is put to a person;"
    yield "any ink in a fault column always is. A page is counted in every row that describes its picture; *fair* is a"
    yield "slant below 20°, sharp, held still, in even light. The bounds stand in `tests/reading/trial.py`."
    yield ""


if __name__ == "__main__":
    main()
