"""Take filled sheets from pictures: what is sure goes into the record at once, the rest waits for a person.

Nothing is guessed, and nothing is lost: a column with a mark that is not sure, or with any ink in its fault column, is
set aside as it was read, with its picture, until somebody has looked at it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, Literal

import msgspec

from dipmark.adapters.store import Blob
from dipmark.adapters.vision.find import Found, sheets_in
from dipmark.adapters.vision.pictures import Picture, as_jpeg, pictures_of
from dipmark.adapters.vision.read import Digit, Ink, Reading, read
from dipmark.derive.days import local_day
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import Fact, name_of
from dipmark.facts.errors import DipmarkError, ImportError_, NotFound, Refused
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.office.enter import enter
from dipmark.office.look import truck
from dipmark.office.open import Office
from dipmark.office.set_aside import MARK_UNSURE
from dipmark.office.sheet_columns import HOURS, Column, column_id, column_of, moment_of, pages_of, walk_of
from dipmark.office.sheet_form import form_of
from dipmark.views.sheet_code import SheetCode, read_sheet_code
from dipmark.views.sheet_geometry import Printed, digest_of, pages, printed_of

PICTURE_UNREADABLE: Final = code("sheet-picture-unreadable", "A file with a sheet on it cannot be opened.")
SHEET_NOT_FOUND: Final = code("sheet-not-found", "No code of a sheet can be read in a picture.")
SHEET_WRONG: Final = code("sheet-wrong", "A page in a picture is none that is read back.")
SHEET_FOREIGN: Final = code("sheet-foreign", "A sheet was printed by another yard, or from another record.")
SHEET_UNREADABLE: Final = code("sheet-unreadable", "A sheet is in the picture, and its marks cannot be read.")
PAGE_TWICE: Final = code("page-twice", "A page of a sheet came twice.")
PAGE_MISSING: Final = code("page-missing", "A page of a sheet did not come with the others.")
SHIFT_AHEAD: Final = code("shift-ahead", "A column is filled in whose shift has not begun.")
COLUMN_DIFFERS: Final = code("column-differs", "A column was taken before, and reads otherwise now.")

SIDE: Final = 2400
"""The longer side of a picture of a sheet as it is kept, in pixels; nothing is in it but what is seen."""

QUALITY: Final = 80

Fate = Literal["taken", "known", "waiting", "refused"]


class ColumnTaken(msgspec.Struct, frozen=True, kw_only=True):
    """What became of one column.

    Args:
        truck: its number.
        day: of the shift.
        shift: as the yard calls it; empty: the whole day.
        fate: in the record now; there already; waits for a person; refused.
        asks: how many of its marks a person must look at.
        answers: how many checks it answers surely.
        hours: read off its rings.
        problems: what stands against it, or should be looked at.
    """

    truck: str
    day: str
    shift: str
    fate: Fate
    asks: int
    answers: int
    hours: str | None
    problems: tuple[Problem, ...] = ()


class SheetsTaken(msgspec.Struct, frozen=True):
    """What became of all pictures: columns by truck and shift, and what could not be read at all."""

    columns: tuple[ColumnTaken, ...]
    problems: tuple[Problem, ...]

    @property
    def refused(self) -> bool:
        """True where something could not be taken."""
        return any(one.hard for one in self.problems) or any(one.fate == "refused" for one in self.columns)


class _Page(msgspec.Struct, frozen=True):
    """A page that was read: its sheet, its number, and the picture it was read from."""

    printed: Printed
    number: int
    reading: Reading
    kept: Blob
    where: Where


def take_sheets(office: Office, files: Sequence[tuple[str, bytes]], *, dry_run: bool = False) -> SheetsTaken:
    """Read every picture, and take what is on the sheets.

    Args:
        office: the yard.
        files: name and content of each.
        dry_run: say what would become of them, and write nothing.
    """
    problems: list[Problem] = []
    read_pages: list[_Page] = []
    for name, data in files:
        try:
            for picture in pictures_of(data):
                where = Where(file=name, line=picture.page if picture.page > 1 else None)
                read_pages += _pages(office, picture, where, problems)
        except ImportError_ as fault:
            expected = "a JPEG, PNG, TIFF or PDF"
            problems.append(Problem(PICTURE_UNREADABLE, str(fault), expected, "Take it again.", Where(file=name)))
    columns: list[ColumnTaken] = []
    sheets = {digest_of(page.printed): page.printed for page in read_pages}
    for digest, printed in sheets.items():
        held = _merged([page for page in read_pages if digest_of(page.printed) == digest], problems)
        columns += _sheet(office, printed, held, problems, dry_run=dry_run)
    return SheetsTaken(tuple(columns), tuple(problems))


def _pages(office: Office, picture: Picture, where: Where, problems: list[Problem]) -> Iterator[_Page]:
    """Every page in a picture that can be read."""
    found = sheets_in(picture)
    if not found:
        hint = "The whole page, flat, with light from one side, held still; nothing over the square code."
        problems.append(Problem(SHEET_NOT_FOUND, "no code that can be read", "the code of a sheet", hint, where))
    kept = Blob(as_jpeg(picture.grey, SIDE, QUALITY), "image/jpeg") if found else None
    for one in found:
        page = _page(office, one, where)
        if isinstance(page, Problem):
            problems.append(page)
        elif kept is not None:
            printed, number, reading = page
            yield _Page(printed, number, reading, kept, where)


def _page(office: Office, found: Found, where: Where) -> tuple[Printed, int, Reading] | Problem:
    said = read_sheet_code(found.code)
    if said is None:
        hint = "Only week sheets and sheets of one shift are read back."
        return Problem(SHEET_WRONG, f"the code {found.code[:60]!r}", "that of a week or shift sheet", hint, where)
    printed = sheet_printed(office, said)
    if printed is None:
        expected = "a sheet that was printed from this record"
        hint = "Take it in where it was printed, or restore the record it was printed from."
        return Problem(SHEET_FOREIGN, f"a sheet of truck {said.truck} that is not known here", expected, hint, where)
    reading = read(found, form_of(pages(printed)[said.page - 1]))
    if isinstance(reading, str):
        text = f"truck {said.truck}, page {said.page} of {said.pages}: {reading}"
        return Problem(SHEET_UNREADABLE, text, "a page whose marks can be made out", "Take the photo again.", where)
    return printed, said.page, reading


def sheet_printed(office: Office, said: SheetCode) -> Printed | None:
    """The sheet as it was printed; None where it was not printed from this record."""
    blob = office.store.blob(said.sheet)
    try:
        return None if blob is None else printed_of(blob.data)
    except ValueError:
        return None


def _merged(found: Sequence[_Page], problems: list[Problem]) -> dict[int, _Page]:
    """The pages of a sheet by number; what two pictures of one page do not agree on is for a person."""
    held: dict[int, _Page] = {}
    for page in found:
        first = held.get(page.number)
        if first is None:
            held[page.number] = page
            continue
        same = _agreed(first.reading, page.reading)
        differ = same.boxes != first.reading.boxes or same.digits != first.reading.digits
        what = "they differ, and what differs waits for a person" if differ else "they agree, and count once"
        text = f"page {page.number} of truck {name_of(page.printed.book)} a second time: {what}"
        problems.append(Problem(PAGE_TWICE, text, "each page once", where=page.where, hard=False))
        held[page.number] = msgspec.structs.replace(first, reading=same)
    return held


def _agreed(one: Reading, other: Reading) -> Reading:
    boxes = (a if a.seen == b.seen else Ink("unsure", a.dark) for a, b in zip(one.boxes, other.boxes, strict=True))
    digits = (
        a if (a.seen, a.value) == (b.seen, b.value) else Digit("unsure", None, a.dark)
        for a, b in zip(one.digits, other.digits, strict=True)
    )
    return Reading(one.flat, tuple(boxes), tuple(digits))


def _sheet(
    office: Office, printed: Printed, held: dict[int, _Page], problems: list[Problem], *, dry_run: bool
) -> Iterator[ColumnTaken]:
    """Every column of a sheet into which somebody wrote."""
    read_pages = {number: page.reading for number, page in held.items()}
    where = next(iter(held.values())).where
    name = name_of(printed.book)
    try:
        now = truck(office, name, office.clock())
    except NotFound as gone:
        problems.append(Problem(SHEET_FOREIGN, str(gone), "a truck that is enrolled here", "Enrol it.", where))
        return
    columns = [column_of(printed, shift, read_pages) for shift in range(len(printed.shifts))]
    inked = [column for column in columns if column.inked]
    missing = {page for column in inked for page in pages_of(printed, column.shift)} - set(held)
    if not inked:
        missing = set(range(1, len(pages(printed)) + 1)) - set(held)
    if missing:
        named = ", ".join(str(page) for page in sorted(missing))
        text = f"truck {name} without page {named} of {len(pages(printed))}"
        hint = "Photograph all pages of the sheet and take them together; nothing of it was written."
        problems.append(Problem(PAGE_MISSING, text, "every page that was written on", hint, where))
        return
    for column in inked:
        yield _column(office, now, printed, column, [held[one] for one in pages_of(printed, column.shift)], dry_run)


def _column(
    office: Office, now: TruckNow, printed: Printed, column: Column, held: Sequence[_Page], dry_run: bool
) -> ColumnTaken:
    zone, shift = office.zone, printed.shifts[column.shift]
    happened, whole_day = moment_of(shift, zone)
    blobs = tuple({page.kept.digest: page.kept for page in held}.values())
    body = walk_of(printed, column, _unsure(column, printed), now.meters[0].name)
    fact = Fact(
        id=column_id(printed, column.shift, zone),
        book=printed.book,
        happened=happened,
        by=office.by,
        body=msgspec.structs.replace(body, pages=tuple(blob.digest for blob in blobs)),
        whole_day=whole_day,
    )
    fate, problems = _fate(office, fact, column, dry_run=dry_run, blobs=blobs)
    return ColumnTaken(
        truck=now.name,
        day=shift.day.isoformat(),
        shift=shift.name,
        fate=fate,
        asks=len(column.asks) if fate == "waiting" else 0,
        answers=sum(tick == "good" for tick in column.lines.values()),
        hours=None if column.hours is None else f"{column.hours:f}",
        problems=tuple(problems),
    )


def _unsure(column: Column, printed: Printed) -> dict[str, Answer]:
    """Until a person has looked, a check that was not read was not looked at."""
    return {line: Answer(check=line, mark="unseen") for line in column.asks if line not in (*printed.faults, HOURS)}


def _fate(
    office: Office, fact: Fact, column: Column, *, dry_run: bool, blobs: Sequence[Blob]
) -> tuple[Fate, Sequence[Problem]]:
    """Whether a column is new, known, or waits; new ones are written."""
    where = Where(book=fact.book, fact=fact.id)
    there = office.store.fact(fact.id)
    if there is not None:
        differs = list(_differences(there.fact.body, column))
        if not differs:
            return "known", ()
        hint = "The record stays as it is. Look at both; if it is wrong, correct the walk-round in the logbook."
        return "refused", (Problem(COLUMN_DIFFERS, "; ".join(differs), "what was taken before", hint, where),)
    waits = [one for one in office.store.set_aside_list() if one.fact.id == fact.id]
    if waits:
        return ("waiting" if waits[0].settled is None else "known"), waits[0].problems
    if local_day(fact.happened, office.zone) > local_day(office.clock(), office.zone):
        found = f"a column of {fact.happened:%Y-%m-%d %H:%M}"
        hint = "Was the sheet of another week used? Write that walk-round by hand."
        return "refused", (Problem(SHIFT_AHEAD, found, "a shift that has begun", hint, where),)
    asks = tuple(_ask(line, where) for line in column.asks)
    if dry_run:
        return ("waiting" if asks else "taken"), asks
    for blob in blobs:
        office.store.put_blob(blob.data, blob.media)
    if not asks:
        try:
            return "taken", enter(office, [fact]).doubts
        except Refused as refusal:
            asks = refusal.problems
    office.store.set_aside(fact, asks)
    return "waiting", asks


def _ask(line: str, where: Where) -> Problem:
    found = "rings that are not sure" if line == HOURS else "ink in the fault column, or a mark that is not sure"
    place = msgspec.structs.replace(where, key=line)
    return Problem(MARK_UNSURE, f"{line}: {found}", "a person to look at it", "Look at the clipped picture.", place)


def _differences(body: object, column: Column) -> Iterator[str]:
    """What is sure on the sheet now, and stands otherwise in the record."""
    if not isinstance(body, WalkRound):
        raise DipmarkError(f"The id of a column is that of a {type(body).__name__}.")
    good = {one.check for one in body.answers if one.mark == "ok"} | {
        one.fault for one in body.open_faults if one.now == "same"
    }
    for line, tick in column.lines.items():
        if tick != "ask" and (tick == "good") != (line in good):
            yield f"{line}: {'ticked' if tick == 'good' else 'not ticked'} now, the record has it otherwise"
    if column.hours is not None and body.meter is not None and body.meter.hours != column.hours:
        yield f"hours {column.hours:f} now, {body.meter.hours:f} in the record"
