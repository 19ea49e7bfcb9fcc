"""Filled sheets read from photos, against the time OpenCV alone needs to open each photo and lay the sheet flat.

Pages of week sheets are filled in and photographed by the generator of the tests, fair and not. Ours opens the file,
finds the sheet by its code, finds the corner marks, lays it flat, finds every box and ring and judges it. The baseline
is told where the four marks lie: it opens the file and lays the sheet flat, at the same size. One thread on both sides,
in turn, photo by photo; the ratio is that of the sums; 4 is the bound.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

import cv2
import numpy as np

from dipmark.adapters.vision.find import Points, sheets_in
from dipmark.adapters.vision.flat import SCALE, marks_of
from dipmark.adapters.vision.form import Form
from dipmark.adapters.vision.pictures import pictures_of
from dipmark.adapters.vision.read import Reading, read
from reading.damage import any_damage, photograph
from reading.filling import filled
from reading.sheets import LAYOUTS, printed

PHOTOS, MOST = 40, 4.0
SEED: Final = 40


def ours(data: bytes, form: Form) -> Reading | str:
    (found,) = sheets_in(pictures_of(data)[0])
    return read(found, form)


def alone(data: bytes, form: Form, marks: Points) -> float:
    grey = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE)
    assert grey is not None
    places = np.array([(area.x + area.w / 2, area.y + area.h / 2) for area in form.corners], np.float32) * SCALE
    shape = cv2.getPerspectiveTransform(places, marks)
    size = round(form.width * SCALE), round(form.height * SCALE)
    return float(cv2.warpPerspective(grey, shape, size, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)[0, 0])


def main() -> None:
    cv2.setNumThreads(1)
    spent, base, done, number = 0.0, 0.0, 0, 0
    while done < PHOTOS:
        rng = np.random.default_rng([SEED, number])
        pages = printed(number % len(LAYOUTS))
        page = pages[rng.integers(len(pages))]
        number += 1
        data = photograph(filled(page, rng, "ballpoint", "tick", stained=False).page, any_damage(rng), rng)
        found = sheets_in(pictures_of(data)[0])
        marks = marks_of(found[0], page.form) if found else None
        if marks is None or isinstance(ours(data, page.form), str):
            continue
        start = time.perf_counter()
        ours(data, page.form)
        middle = time.perf_counter()
        alone(data, page.form, marks)
        spent, base, done = spent + middle - start, base + time.perf_counter() - middle, done + 1
    ratio = spent / base
    print(f"{done} photos: ours {spent / done * 1e3:.0f} ms each, {done / spent:.1f} a second on one core;")
    print(f"OpenCV alone {base / done * 1e3:.0f} ms each. Ratio {ratio:.2f} (bound {MOST:g})")
    sys.exit(ratio > MOST)


if __name__ == "__main__":
    main()
