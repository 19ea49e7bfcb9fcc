"""How well lines and alarms keep what they state, over made-up parts and top-ups: docs/explanation/trend.md.

Prints its tables and fails where a stated rate is missed or the page says otherwise; ``--write`` puts them into it.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from dipmark.derive.trend.fit import Floats
from dipmark.derive.trend.topups import BETWEEN, SHAPE, chart, limit_of

sys.path.pop(0)  # bench/ itself, whose modules have the names of folders of tests/
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from derive.trend.parts import held, shifted

PAGE = Path(__file__).resolve().parents[1] / "docs" / "explanation" / "trend.md"
BEGIN, END = "<!-- rates -->\n", "<!-- /rates -->\n"
READINGS = (3, 4, 6, 8, 12, 20)
NOISE = (0.05, 0.1, 0.3, 1.0)
SIZES = (0.5, 1.0, 3.0, 10.0)
SHAPES = (1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0)
BEFORE = (10, 20, 50)
SERIES, GAPS, SEED = 10_000, 200, 20261125


def main() -> int:
    bands, bands_held = band_table()
    errors, errors_held = error_table()
    alarms, alarms_held = alarm_table()
    text = f"{bands}\n{errors}\n{alarms}"
    print(text)
    page = PAGE.read_text("utf-8")
    before, _, rest = page.partition(BEGIN)
    written, _, after = rest.partition(END)
    if "--write" in sys.argv:
        PAGE.write_text(f"{before}{BEGIN}{text}{END}{after}", "utf-8")
    elif written != text:
        print(f"{PAGE.name} says otherwise: run with --write")
        return 1
    return 0 if bands_held and errors_held and alarms_held else 1


def band_table() -> tuple[str, bool]:
    lines = [
        "Of 10,000 parts so many had their true hours inside the band; error not known | known:",
        "",
        f"| readings | {' | '.join(f'scatter {sd:g}' for sd in NOISE)} |",
        f"|---|{'---|' * len(NOISE)}",
    ]
    kept = True
    for readings in READINGS:
        cells = []
        for sd in NOISE:
            unknown, known = (held(SEED, readings, sd, 0.1, known=known) for known in (False, True))
            cells.append(f"{unknown:.1%} · {known:.1%}")
            kept &= readings != 12 or all(0.78 <= one <= 0.82 for one in (unknown, known))
        lines.append(f"| {readings} | {' | '.join(cells)} |")
    return "\n".join(lines) + "\n", kept


def error_table() -> tuple[str, bool]:
    lines = [
        "One reading in ten wrong by so much, at a scatter of 0.1: so far moves the median of the hours left of 10,000"
        " parts:",
        "",
        f"| where | {' | '.join(f'{sign}{size:g}' for size in SIZES for sign in '+-')} |",
        f"|---|{'---|' * 2 * len(SIZES)}",
    ]
    kept = True
    for where, place in (("anywhere", None), ("always the last", 9)):
        moves = [shifted(SEED, 10, sign * size, place) for size in SIZES for sign in (1, -1)]
        lines.append(f"| {where} | {' | '.join(f'{move:+.1%}' for move in moves)} |")
        kept &= place is not None or max(map(abs, moves)) < 0.05
    return "\n".join(lines) + "\n", kept


def alarm_table() -> tuple[str, bool]:
    lines = [
        "Alarms by the shape of the gaps, and after how many top-ups a doubled use is found:",
        "",
        "| shape | alarm above | false alarms in 200 | with no history | taken for shape 4 |"
        f" found, usual known | {' | '.join(f'after {n} gaps' for n in BEFORE)} |",
        f"|---|---|---|---|---|---|{'---|' * len(BEFORE)}",
    ]
    kept = True
    for shape in SHAPES:
        drawn = gaps(shape, GAPS)
        rates = chart(drawn, shape, 1.0).alarm, chart(drawn, shape).alarm[:, 1:], chart(drawn, SHAPE).alarm[:, 1:]
        right, alone, mistaken = (float(alarm.mean()) * BETWEEN for alarm in rates)
        found = [after(shape, 20, 1.0), *(after(shape, before, None) for before in BEFORE)]
        cells = f"{limit_of(shape):.3f} | {right:.2f} | {alone:.2f} | {mistaken:.2f}"
        lines.append(f"| {shape:g} | {cells} | {' | '.join(map(str, found))} |")
        kept &= abs(right - 1) <= 0.1 and abs(alone - 1) <= 0.1 and (shape != SHAPE or max(found) <= 6)
    return "\n".join(lines) + "\n", kept


def gaps(shape: float, count: int) -> Floats:
    return np.random.default_rng((SEED, int(shape), count)).gamma(shape, 1 / shape, (SERIES, count))


def after(shape: float, before: int, usual: float | None) -> int:
    """Median number of top-ups until a doubled use is found."""
    drawn = gaps(shape, before + 200)
    drawn[:, before:] /= 2
    alarm = chart(drawn, shape, usual).alarm[:, before:]
    return int(np.median(np.where(alarm.any(axis=1), alarm.argmax(axis=1) + 1, alarm.shape[1] + 1)))


if __name__ == "__main__":
    sys.exit(main())
