"""Filled sheets at the terminal: pictures are taken, and marks that are not sure are looked over one by one."""

from __future__ import annotations

import io
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from dipmark.faces.cli.options import ask, counted, say

if TYPE_CHECKING:
    from dipmark.office.look_over import Decision, Mark, Waiting
    from dipmark.office.open import Office
    from dipmark.office.take_sheets import SheetsTaken

WIDE = 56
"""Columns of the terminal that a clipping takes."""


def pictures_among(files: Sequence[Path]) -> tuple[list[Path], list[tuple[str, bytes]]]:
    """Files that are tables, and those that are pictures with their content; what cannot be read stays a table."""
    from dipmark.adapters.vision.pictures import is_picture

    tables: list[Path] = []
    pictures: list[tuple[str, bytes]] = []
    for path in files:
        try:
            with path.open("rb") as opened:
                picture = is_picture(opened.read(8))
        except OSError:
            picture = False
        if picture:
            pictures.append((str(path), path.read_bytes()))
        else:
            tables.append(path)
    return tables, pictures


def put_sheets(taken: SheetsTaken, *, dry_run: bool) -> None:
    """Say what became of every column."""
    from dipmark.views.sheets import FATES, WHOLE_DAY, marks_words

    for one in taken.columns:
        marks = f" ({marks_words(one.asks)})" if one.asks else ""
        would = "would be: " if dry_run else ""
        say(f"Truck {one.truck}, {one.day}, {one.shift or WHOLE_DAY}: {would}{FATES[one.fate]}{marks}")
        for problem in one.problems if one.fate != "waiting" else ():
            say(f"  {problem.message}", err=True)
    for problem in taken.problems:
        place = problem.where.file or ""
        page = f", page {problem.where.line}" if problem.where.line else ""
        say(f"{place}{page}: {problem.message}", err=True)
    if any(one.fate == "waiting" for one in taken.columns):
        say("Look over what waits: dipmark take --look-over")


def look_over(office: Office) -> int:
    """Ask for every mark that waits; a column is entered once all of it is answered.

    Returns:
        How many columns were entered.
    """
    from dipmark.facts.errors import Refused
    from dipmark.office.look_over import columns_waiting, decide
    from dipmark.views.sheets import marks_words
    from dipmark.views.words import day

    done = 0
    waiting = columns_waiting(office)
    for one in waiting:
        when = day(one.aside.fact.happened.astimezone(office.zone).date(), office.rules.word)
        say(f"\nTruck {one.truck}, {when} {one.shift}: {marks_words(len(one.marks))}", err=True)
        decisions: dict[str, Decision] = {}
        for mark in one.marks:
            decision = _asked(office, one, mark)
            if decision is None:
                break
            decisions[mark.line] = decision
        if len(decisions) < len(one.marks):
            continue
        try:
            decide(office, one.aside.digest, decisions)
        except Refused as refusal:
            say(f"  {refusal}", err=True)
            continue
        done += 1
    left = len(waiting) - done
    say(f"{counted(done, 'column')} entered, {left} left waiting.")
    return done


def _asked(office: Office, one: Waiting, mark: Mark) -> Decision | None:
    """What a person makes of a mark; None: not now."""
    from dipmark.office.look_over import Decision, clip_of
    from dipmark.office.sheet_columns import HOURS

    say(f"\n  {mark.text or 'Hour meter'}{f' ({mark.normal})' if mark.normal else ''}", err=True)
    say(blocks(clip_of(office, one.aside.digest, mark.line)), err=True)
    if mark.line == HOURS:
        said = ask("  Hours as written, with the tenth; none, or later").casefold()
        return None if said == "later" else Decision(hours="" if said == "none" else said)
    words = ("same", "worse") if mark.fault else ("good", "fault")
    while (said := ask(f"  {words[0]}, {words[1]}, nothing or later").casefold()) not in {*words, "nothing", "later"}:
        say(f"  Write {words[0]}, {words[1]}, nothing or later.", err=True)
    if said == "later":
        return None
    if said == words[1]:
        return Decision("fault", _symptom(mark), ask("  In the words of the fault slip; empty: nothing to add") or None)
    return Decision("good" if said == words[0] else "nothing")


def _symptom(mark: Mark) -> str | None:
    """The number of what was found; none of them: at its worst."""
    known = mark.check.symptoms if mark.check else ()
    for number, one in enumerate(known, 1):
        say(f"    {number} {one.text}", err=True)
    said = ask("    Its number; empty: not known, taken at its worst") if known else ""
    return known[int(said) - 1].id if said.isdecimal() and 1 <= int(said) <= len(known) else None


def blocks(png: bytes) -> str:
    """A clipping in the characters of a terminal; the darker, the fuller."""
    from PIL import Image

    clipping = Image.open(io.BytesIO(png)).convert("L")
    high = max(round(clipping.height * WIDE / clipping.width / 2), 1)
    small = clipping.resize((WIDE, high), Image.Resampling.BOX)
    shades = " ░▒▓█" if sys.stderr.isatty() else " .+*#"
    grey = small.tobytes()
    white, spread = max(grey), max(grey) - min(grey) + 1
    signs = "".join(shades[(white - one) * 5 // spread] for one in grey)
    return "\n".join(f"    {signs[first : first + WIDE]}" for first in range(0, len(signs), WIDE))
