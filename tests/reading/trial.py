"""One trial: a sheet is printed, filled in, photographed and read; what was read is counted against the truth."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

import numpy as np

from dipmark.adapters.vision.find import sheets_in
from dipmark.adapters.vision.pictures import pictures_of
from dipmark.adapters.vision.read import Reading, read
from reading.damage import Damage, any_damage, photograph
from reading.filling import HANDS, PENS, Filled, filled
from reading.sheets import LAYOUTS, Sheet, printed

Count = Counter[tuple[str, str]]
"""How often what, by the kind of damage."""

STAINED: Final = 0.3


def trial(seed: int, number: int, pages: int | None = None) -> Count:
    """The pages of one sheet.

    Args:
        seed: of a set of trials.
        number: of the trial in it.
        pages: so many of them, any; None: all.
    """
    rng = np.random.default_rng([seed, number])
    pen, hand = (str(rng.choice(list(what), p=odds)) for what, odds in _OFTEN)
    count: Count = Counter()
    sheets = printed(number % len(LAYOUTS))
    count_of = min(pages or len(sheets), len(sheets))
    for turn in rng.choice(len(sheets), count_of, replace=False):
        sheet = sheets[turn]
        written = filled(sheet, rng, pen, hand, stained=bool(rng.random() < STAINED))
        damage = any_damage(rng)
        picture = pictures_of(photograph(written.page, damage, rng))[0]
        found = sheets_in(picture)
        right = [one for one in found if one.code == sheet.code]
        what: Counter[str] = Counter(pages=1, wrong_code=len(found) - len(right))
        reading = read(right[0], sheet.form) if right else "no code"
        if isinstance(reading, Reading):
            what.update(_boxes(sheet, written, reading))
            what.update(_digits(written, reading))
        else:
            what["refused"] += 1
        for group in _groups(damage, written):
            count.update({(group, name): number for name, number in what.items()})
    return count


_OFTEN: Final = ((PENS, [often for *_, often in PENS.values()]), (HANDS, list(HANDS.values())))


def _boxes(sheet: Sheet, written: Filled, reading: Reading) -> Iterator[str]:
    for tick, truth, ink in zip(sheet.marks, written.truth, reading.boxes, strict=False):
        column = tick.what
        yield f"{column}_boxes"
        if ink.seen == "unsure" or (column == "fault" and ink.seen == "mark"):
            yield f"{column}_asked"
            continue
        yield "sure"
        if column == "fault":
            yield from ("wrong", "fault_read_good") if truth != "blank" else ()
        elif (ink.seen == "mark") != (truth == "mark"):
            yield "wrong"


def _digits(written: Filled, reading: Reading) -> Iterator[str]:
    for truth, digit in zip(written.digits, reading.digits, strict=True):
        yield "digits"
        if digit.seen == "unsure":
            yield "digits_asked"
        else:
            yield "digits_sure"
            if digit.value != truth:
                yield "digits_wrong"


def _groups(damage: Damage, written: Filled) -> Iterator[str]:
    """What the picture is counted under: all, fair, and by each damage alone."""
    yield "all"
    yield "fair" if damage.fair else "not fair"
    yield f"slant {int(damage.slant // 10) * 10}–{int(damage.slant // 10) * 10 + 10}°"
    yield f"blur {'below 0.06' if damage.blur < 0.6 else '0.06–0.14' if damage.blur < 1.4 else '0.14–0.22'} mm"
    yield "shaken" if damage.shake else "held still"
    yield "shadow" if damage.shade else "no shadow"
    yield f"JPEG {damage.quality // 20 * 20}–{damage.quality // 20 * 20 + 19}"
    yield f"{int(damage.dots // 50) * 50}–{int(damage.dots // 50) * 50 + 49} dpi"
    yield f"{damage.folds} folds"
    yield "stained" if written.stained else "clean"
    yield f"pen: {written.pen}"
    yield f"hand: {written.hand}"


COLUMNS: Final = (
    "damage",
    "pages",
    "refused",
    "marks sure",
    "wrong",
    "fault read as good",
    "asked, OK column",
    "asked, fault column",
    "digits sure",
    "wrong",
    "asked",
)


def table(total: Count) -> Iterator[str]:
    """The counts by damage, as lines of a table."""
    yield f"| {' | '.join(COLUMNS)} |"
    yield f"|{' --- |' * len(COLUMNS)}"
    groups = sorted({group for group, _ in total}, key=lambda group: (group not in {"all", "fair"}, group))
    for group in groups:
        of = {name: number for (where, name), number in total.items() if where == group}
        yield f"| {' | '.join((group, *_cells(of)))} |"


def _cells(of: dict[str, int]) -> Iterator[str]:
    yield f"{of['pages']:,}"
    yield f"{of.get('refused', 0):,}"
    for name in ("sure", "wrong", "fault_read_good"):
        yield f"{of.get(name, 0):,}"
    for column in ("ok", "fault"):
        yield _share(of, f"{column}_asked", f"{column}_boxes")
    yield f"{of.get('digits_sure', 0):,}"
    yield f"{of.get('digits_wrong', 0):,}"
    yield _share(of, "digits_asked", "digits")


def _share(of: dict[str, int], part: str, whole: str) -> str:
    return f"{100 * of.get(part, 0) / of[whole]:.2f} %" if of.get(whole) else "–"


def bounds(total: Count) -> Iterator[str]:
    """Each bound that is not kept, in words."""

    def share(group: str, part: str, whole: str) -> float:
        return total[group, part] / total[group, whole] if total[group, whole] else 0.0

    for what, found, most in (
        ("fault marks read as good, of sure marks", share("all", "fault_read_good", "sure"), 1e-5),
        ("sure marks wrong", share("all", "wrong", "sure"), 5e-4),
        ("fair: marks outside the fault columns put to a person", share("fair", "ok_asked", "ok_boxes"), 0.02),
        ("fair: pages refused", share("fair", "refused", "pages"), 0.01),
        ("codes read wrong", share("all", "wrong_code", "pages"), 0.0),
        ("sure digits wrong", share("all", "digits_wrong", "digits_sure"), 5e-3),
    ):
        if found > most:
            yield f"{what}: found {found:.6f}; expected at most {most}."
