"""How well doubtful meter readings are found over made-up trucks: the rates of docs/explanation/meter.md.

Prints its tables and fails where a stated rate is missed or the page says otherwise; ``--write`` puts them into it.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.pop(0)  # bench/ itself, whose modules have the names of folders of tests/
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from derive.meter_counts import MORE, SEED, Counts, alarms, counted, power, unknown_digits, worst
from derive.meter_yard import SLIPS, Slip

PAGE = Path(__file__).resolve().parents[1] / "docs" / "explanation" / "meter.md"
BEGIN, END = "<!-- rates -->\n", "<!-- /rates -->\n"
TRUCKS = 200
WORST = ((9, 40_000), (47, 20_000), (399, 4_000))
LENGTHS = (30, 60, 200, 700)
WORDS: dict[Slip, str] = {
    "swapped": "two digits swapped",
    "point": "decimal point lost",
    "extra": "a digit too many",
    "misread": "a digit misread",
    "copied": "the day before copied",
    "date": "a wrong date",
}


def main() -> int:
    counts, (days, called) = counted(TRUCKS), alarms(TRUCKS)
    turned, told, false = unknown_digits(TRUCKS)
    again = f"Digits hidden: of {turned} meters that started again at zero {told} were asked about, and {false} other."
    text = f"{slip_table(counts)}\n{again}\n\n{alarm_table(days, called)}"
    print(text)
    good = counts.of[None, "all"]
    held = (
        counts.slips("strong contradicts") >= 0.995 * counts.slips("strong"),
        counts.of[None, "contradicts"] <= 0.001 * good,
        called <= 0.005 * days,
        told >= 0.9 * turned,
    )
    page = PAGE.read_text("utf-8")
    before, _, rest = page.partition(BEGIN)
    written, _, after = rest.partition(END)
    if "--write" in sys.argv:
        PAGE.write_text(f"{before}{BEGIN}{text}{END}{after}", "utf-8")
    elif written != text:
        print(f"{PAGE.name} says otherwise: run with --write")
        return 1
    return 0 if all(held) else 1


def slip_table(counts: Counts) -> str:
    lines = [
        f"{TRUCKS} trucks, {sum(counts.of[slip, 'all'] for slip in (None, *SLIPS)):,} readings, seed {SEED}.",
        "",
        "| slip | made | against two or more | of these pinned | of all a tie | of those doubted proposed right |",
        "|---|---|---|---|---|---|",
    ]
    for slip, words in WORDS.items():
        row = [counts.of[slip, what] for what in ("all", "strong", "strong contradicts", "one of two", "proposed")]
        doubted = counts.of[slip, "contradicts"] + counts.of[slip, "one of two"]
        lines.append(f"| {words} | {row[0]} | {row[1]} | {row[2]} | {row[3]} | {row[4]} of {doubted} |")
    strong, pinned, doubted = (counts.slips(what) for what in ("strong", "strong contradicts", "contradicts"))
    ties, good, wrong = counts.slips("one of two"), counts.of[None, "all"], counts.of[None, "contradicts"]
    lines += [
        f"| all | {counts.slips('all')} | {strong} | {pinned} ({share(pinned, strong)}) | {ties} "
        f"| {counts.slips('proposed')} of {doubted + ties} |",
        "",
        f"Of {good:,} good readings {wrong} were doubted ({share(wrong, good)}); {counts.of[None, 'one of two']} more "
        f"({share(counts.of[None, 'one of two'], good)}) stood in a tie and were put to a person.",
        "",
    ]
    return "\n".join(lines)


def alarm_table(days: int, called: int) -> str:
    lines = [
        f"False alarms: {called} of {days:,} working days without a slip ({share(called, days)}). On days that",
        "tail off like an exponential, the worst that is assumed, after 9, 47 and 399 working spells: "
        + ", ".join(share(worst(spells, rounds), rounds) for spells, rounds in WORST)
        + ".",
        "",
        f"| days of record | {' | '.join(f'+{more} h' for more in MORE)} |",
        f"|---|{'---|' * len(MORE)}",
    ]
    for length in LENGTHS:
        found = power(length, TRUCKS)
        lines.append(f"| {length} | {' | '.join(f'{100 * found[m][1] // found[m][0]} %' for m in MORE)} |")
    return "\n".join(lines) + "\n"


def share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.3g} %"


if __name__ == "__main__":
    sys.exit(main())
