"""Two hundred week sheets, one compile each, against the typesetter alone on the same template.

A yard of two hundred trucks is entered. For each truck the sheet is made as `dipmark print week TRUCK` makes it: its
book read, the truck derived, the sheet laid out, kept and set. The baseline is the typesetter on the very data that
was handed to it, called as its own manual does. Both sides compile each sheet once, in turn; the ratio is that of the
sums; 2 is the bound.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Final

import typst

from dipmark.faces.paper.press import HERE, STANDARD, compiled, told
from dipmark.facts.base import Fact, Reading, truck_book
from dipmark.facts.fault import Fault
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import Worked
from dipmark.office.open import Office, open_office
from dipmark.office.print_sheets import Asked, sheets

SHEETS: Final = int(os.environ.get("DIPMARK_BENCH_SHEETS", "200"))
BOUND: Final = 2.0
KINDS: Final = ("engine-pneumatic-lpg", "reach", "electric-counterbalanced", "pallet", "telescopic")


def fill(office: Office) -> None:
    now = office.clock()
    facts: list[Fact] = []
    for number in range(SHEETS):
        book, kind = truck_book(f"T{number}"), KINDS[number % len(KINDS)]
        facts += [
            office.fact(book, Enrolled(what=kind, place=f"hall {number % 9}"), now - timedelta(days=90)),
            office.fact(book, Worked(meter=Reading(hours=Decimal(number))), now - timedelta(days=40)),
            office.fact(book, Fault(text=f"lamp {number} is out", seriousness="watch"), now - timedelta(days=2)),
        ]
    office.append(facts)


def main() -> int:
    theirs = ours = 0.0
    template = (HERE / "templates" / "main.typ").as_posix()
    with tempfile.TemporaryDirectory() as folder, open_office(str(Path(folder, "yard.dip")), create=True) as office:
        fill(office)
        when = office.clock()
        for number in range(SHEETS):
            start = time.perf_counter()
            (doc,) = sheets(office, Asked(sheet="week", as_of=when, trucks=(f"T{number}",)))
            data = told([doc], office.rules, "a4")
            made = compiled(data, when)
            ours += time.perf_counter() - start
            start = time.perf_counter()
            raw = typst.compile(
                template,
                root=HERE.as_posix(),
                font_paths=[(HERE / "fonts").as_posix()],
                ignore_system_fonts=True,
                sys_inputs={"told": data, "again": str(number)},
                pdf_standards=STANDARD,
                format="pdf",
            )
            theirs += time.perf_counter() - start
            assert isinstance(raw, bytes)
            assert abs(len(raw) - len(made)) < 1000
    ratio = ours / theirs
    print(f"{SHEETS} week sheets: {ours:.2f} s, the typesetter alone {theirs:.2f} s: {ratio:.2f} times, bound {BOUND}")
    return 0 if ratio < BOUND else 1


if __name__ == "__main__":
    sys.exit(main())
