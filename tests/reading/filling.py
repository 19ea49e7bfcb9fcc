"""Fills in a page by hand: ticks, crosses, scribbles, corrections, pencil, meters, dirt. The truth is known."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Final, Literal, NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from dipmark.adapters.vision.pictures import Grey
from dipmark.views.sheet_geometry import Tick, initials, written
from reading.sheets import DOTS, Sheet

Floats = NDArray[np.float64]

UNIT: Final = DOTS / 254
"""Pixels to a tenth of a millimetre."""

Truth = Literal["blank", "mark", "struck"]
"""Nothing; a mark; a mark that was blackened to take it back."""

PENS: Final = {
    # width in tenths of a millimetre, how much of the light is taken away, how often
    "ballpoint": ((3.0, 5.0), (0.60, 0.85), 0.55),
    "felt pen": ((5.0, 8.0), (0.70, 0.92), 0.15),
    "pencil": ((4.0, 7.0), (0.40, 0.60), 0.20),
    "light pencil": ((3.0, 6.0), (0.22, 0.38), 0.10),
}

HANDS: Final = {"tick": 0.6, "cross": 0.2, "stroke": 0.1, "scribble": 0.1}
"""What a hand makes into a box, and how often."""


class Filled(NamedTuple):
    """A page with what was written on it.

    Args:
        page: as it looks.
        truth: of every box, in the order of the form.
        digits: of every digit of the meters; None where no ring was filled.
        pen: with which.
        hand: what it makes.
        stained: whether something was spilt.
    """

    page: Grey
    truth: tuple[Truth, ...]
    digits: tuple[int | None, ...]
    pen: str
    hand: str
    stained: bool


class Hand:
    """A hand with a pen."""

    def __init__(self, page: Grey, rng: np.random.Generator, pen: str, hand: str) -> None:
        (thin, thick), (pale, deep), _ = PENS[pen]
        self.rng, self.hand = rng, hand
        self.width = max(round(rng.uniform(thin, thick) * UNIT), 1)
        self.ink = rng.uniform(pale, deep)
        self.lean = rng.normal(0, 2.0, 2)
        self.size = rng.uniform(0.8, 1.35)
        self.layer = np.zeros_like(page)
        self.page = page

    def put(self, middle: Floats, points: list[tuple[float, float]], size: float, width: int | None = None) -> None:
        """A line through points, as parts of a size around a middle, both in tenths of a millimetre."""
        wobble = self.rng.normal(0, 0.05, (len(points), 2))
        at = (middle + (np.array(points) + wobble) * size) * UNIT * 16
        cv2.polylines(
            self.layer, [at.round().astype(np.int32)[:, None]], False, 255, width or self.width, cv2.LINE_AA, 4
        )

    def mark(self, tick: Tick) -> None:
        """A mark in a box, as this hand makes it."""
        middle, size = self.middle(tick), tick.area.w * self.size * self.rng.uniform(0.85, 1.15)
        if self.hand == "tick":
            self.put(middle, [(-0.35, -0.02), (-0.1, 0.33), (0.5, -0.5)], size)
        elif self.hand == "cross":
            self.put(middle, [(-0.4, -0.4), (0.4, 0.4)], size)
            self.put(middle, [(0.4, -0.4), (-0.4, 0.4)], size)
        elif self.hand == "stroke":
            self.put(middle, [(-0.35, 0.4), (0.35, -0.4)], size)
        else:
            across = [(-0.45 + 0.9 * turn / 4, (-1) ** turn * 0.35) for turn in range(5)]
            self.put(middle, across, size)

    def strike(self, tick: Tick) -> None:
        """Blacken a box, to take back what is in it."""
        middle = self.middle(tick, 0.3)
        step = max(self.width / UNIT * 0.75, 2.0)
        lines = max(int(tick.area.h * 1.05 / step), 4)
        across = [((-1) ** turn * 0.5, -0.5 + turn / (lines - 1)) for turn in range(lines)]
        self.put(middle, across, tick.area.w * 1.05)

    def fill(self, tick: Tick) -> None:
        """Fill a ring."""
        middle = self.middle(tick, 0.35)
        across = [((-1) ** turn * 0.42, -0.45 + 0.9 * turn / 5) for turn in range(6)]
        points = [(x * tick.area.w / tick.area.h, y) for x, y in across]
        self.put(middle, points, tick.area.h * self.rng.uniform(0.8, 1.05), max(self.width, round(3.6 * UNIT)))

    def middle(self, tick: Tick, care: float = 1.0) -> Floats:
        area = tick.area
        return np.array([area.x + area.w / 2, area.y + area.h / 2]) + care * (self.lean + self.rng.normal(0, 2.5, 2))

    def word(self, x: float, y: float, text: str, height: float) -> None:
        """Something written."""
        at = round(x * UNIT), round(y * UNIT)
        cv2.putText(
            self.layer, text, at, cv2.FONT_HERSHEY_SCRIPT_SIMPLEX, height * UNIT / 22, 255, self.width, cv2.LINE_AA
        )

    def done(self) -> Grey:
        """The page with the ink on it; the pen presses unevenly."""
        press = cv2.resize(self.rng.uniform(0.85, 1.0, (40, 30)).astype(np.float32), self.page.shape[::-1])
        taken = self.layer.astype(np.float32) * (self.ink / 255) * press
        return np.asarray(self.page * (1 - taken), np.uint8)


def filled(sheet: Sheet, rng: np.random.Generator, pen: str, hand: str, *, stained: bool) -> Filled:
    """Somebody fills in a page."""
    at = Hand(sheet.clean, rng, pen, hand)
    boxes = [one for one in sheet.marks if one.what != "digit"]
    truth: dict[tuple[int, int, str], Truth] = {}
    used = {shift: rng.random() < 0.85 for shift in {one.shift for one in sheet.marks}}
    for tick in boxes:
        if tick.what == "ok":
            good, bad = _pair(rng) if used[tick.shift] else ("blank", "blank")
            truth[tick.shift, tick.at, "ok"], truth[tick.shift, tick.at, "fault"] = good, bad
        what = truth[tick.shift, tick.at, tick.what]
        if what != "blank":
            at.mark(tick)
        if what == "struck":
            at.strike(tick)
    for area in initials(sheet.layout) if sheet.layout.rows else ():
        at.word(area.x + 10, area.y + area.h - 18, "abkmrs"[rng.integers(6)].upper() + "d", 40)
    digits = tuple(_meters(sheet, rng, at, used))
    page = at.done()
    if stained:
        page = _stained(page, rng)
    return Filled(page, tuple(truth[one.shift, one.at, one.what] for one in boxes), digits, pen, hand, stained)


def ticked(sheet: Sheet, good: Collection[tuple[int, int]], fault: Collection[tuple[int, int]], hours: str) -> Grey:
    """A page with these lines ticked, each by its shift and the number of its line; every shift with the same hours."""
    at = Hand(sheet.clean, np.random.default_rng(11), "ballpoint", "tick")
    at.lean, at.size, at.width = np.zeros(2), 0.9, 4
    shifts = {shift for shift, _ in (*good, *fault)}
    for tick in sheet.marks:
        if (tick.what == "ok" and (tick.shift, tick.at) in good) or (
            tick.what == "fault" and (tick.shift, tick.at) in fault
        ):
            at.mark(tick)
        if tick.what == "digit" and hours and tick.shift in shifts and hours[tick.at] == str(tick.value):
            at.fill(tick)
    return at.done()


def _pair(rng: np.random.Generator) -> tuple[Truth, Truth]:
    """What stands in the two boxes of a line."""
    pairs: list[tuple[Truth, Truth]] = [
        ("mark", "blank"),
        ("blank", "mark"),
        ("struck", "mark"),
        ("mark", "struck"),
        ("blank", "blank"),
    ]
    return pairs[rng.choice(5, p=(0.945, 0.02, 0.005, 0.005, 0.025))]


def _meters(sheet: Sheet, rng: np.random.Generator, at: Hand, used: dict[int, bool]) -> Iterator[int | None]:
    places = {(meter.shift, turn): area for meter in sheet.layout.meters for turn, area in enumerate(written(meter))}
    wanted: dict[tuple[int, int], int | None] = {}
    for tick in sheet.marks:
        if tick.what != "digit":
            continue
        place = tick.shift, tick.at
        if place not in wanted:
            value = int(rng.integers(10)) if used[tick.shift] and rng.random() < 0.99 else None
            wanted[place] = value
            if value is not None:
                area = places[place]
                at.word(area.x + 6, area.y + area.h - 12, str(value), 34)
        if wanted[place] == tick.value:
            at.fill(tick)
    yield from wanted.values()


def _stained(page: Grey, rng: np.random.Generator) -> Grey:
    """Rings of a cup, a drop of oil, dirty fingers."""
    dirt = np.zeros(page.shape, np.float32)
    high, wide = page.shape
    for _ in range(int(rng.integers(1, 4))):
        at = int(rng.uniform(0, wide)), int(rng.uniform(0.2, 1) * high)
        kind, deep = rng.integers(3), float(rng.uniform(0.08, 0.25))
        if kind == 0:
            cv2.circle(dirt, at, int(rng.uniform(350, 480)), deep, int(rng.uniform(10, 35)), cv2.LINE_AA)
        elif kind == 1:
            cv2.ellipse(dirt, at, (int(rng.uniform(60, 260)), int(rng.uniform(60, 200))), 20, 0, 360, deep, -1)
        else:
            for _ in range(6):
                spot = at[0] + int(rng.normal(0, 120)), at[1] + int(rng.normal(0, 120))
                cv2.ellipse(dirt, spot, (int(rng.uniform(8, 40)), int(rng.uniform(8, 30))), 40, 0, 360, deep, -1)
    small = cv2.GaussianBlur(cv2.resize(dirt, None, fx=0.25, fy=0.25), (0, 0), float(rng.uniform(1.0, 4)))
    return np.asarray(page * (1 - cv2.resize(small, (wide, high))), np.uint8)
