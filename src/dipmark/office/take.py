"""Take a yard's own tables into its record: what can be recorded goes in at once, the rest is handed back.

All files of a call are read before anything is decided, so that an enrolment in any of them counts for every row of
every file, in any order. A row goes in whole or not at all. What is recorded already is known and adds nothing, also
when somebody else said it or when it has since been corrected or withdrawn.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Final

import msgspec

from dipmark.adapters.importing.cells import DecimalMark
from dipmark.adapters.importing.dates import DateOrder
from dipmark.adapters.importing.refused import write_refused
from dipmark.derive.days import day_start
from dipmark.facts.amend import Corrected
from dipmark.facts.base import YARD, Fact, FactId, FaultRef, PersonKey, truck_book
from dipmark.facts.codec import faults_of
from dipmark.facts.errors import DipmarkError
from dipmark.facts.fault import Fault, Released
from dipmark.facts.kinds import AnyBody
from dipmark.facts.people import YardSet
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import Worked
from dipmark.office.open import Office, zone_of
from dipmark.office.take_books import Books, TruckBook, told
from dipmark.office.take_doubts import date_ahead, doubtful_readings
from dipmark.office.take_facts import Draft, Moment, Said, said_by
from dipmark.office.take_read import Files, Question, read_files
from dipmark.office.take_yard import yard_set

__all__ = ["LeftOut", "Question", "Refusal", "TakeOptions", "Taken", "take"]

TRUCK_NOT_ENROLLED: Final = code("truck-not-enrolled", "A row is about a truck that nobody has enrolled.")

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class TakeOptions:
    """How to read the tables.

    Args:
        dates: order of day, month and year where a date reads two ways; None: ask, else refuse.
        decimal: the mark before decimals where a number reads two ways; None: ask, else refuse.
        columns: header to field, where the words of a header are not known.
        zone: the yard's time zone, written to its book where it differs.
        country: the yard's country, likewise.
        dry_run: True writes nothing at all.
        ask: asks a person, once a column; None where nobody is there to answer.
    """

    dates: DateOrder | None = None
    decimal: DecimalMark | None = None
    columns: dict[str, str] = field(default_factory=dict)
    zone: str | None = None
    country: str | None = None
    dry_run: bool = False
    ask: Callable[[Question], str | None] | None = None


class Refusal(msgspec.Struct, frozen=True):
    """Why a row, or a whole file, was not taken; a row with several faults has several."""

    file: str | None
    sheet: str | None
    line: int | None
    column: str | None
    found: str
    expected: str
    hint: str


class LeftOut(msgspec.Struct, frozen=True):
    """Columns of a table that nobody knows."""

    file: str
    sheet: str | None
    columns: tuple[str, ...]


class Taken(msgspec.Struct, frozen=True):
    """What became of the files.

    Args:
        accepted: rows that added something.
        known: rows that said only what is recorded already.
        refused: why the others were refused, in their order.
        refused_rows: how many rows that were.
        left_out: columns that were not read.
        notes: what else a person ought to know.
        refused_files: where the refused rows stand, to be mended and taken again.
        doubtful: soft problems of rows that were accepted all the same.
    """

    accepted: int
    known: int
    refused: tuple[Refusal, ...]
    refused_rows: int
    left_out: tuple[LeftOut, ...]
    notes: tuple[str, ...]
    refused_files: tuple[Path, ...]
    doubtful: tuple[Problem, ...]


class _Row(msgspec.Struct):
    """A row on its way."""

    said: Said
    problems: list[Problem]
    adds: bool = False


def take(office: Office, files: Sequence[Path], options: TakeOptions, progress: Progress | None = None) -> Taken:
    """Take tables into the record, in one transaction.

    Raises:
        Refused: the zone or country given is none; nothing was read.
        StoreError: the store could not be written; nothing of the call is in it.
    """
    setting = yard_set(office, options.zone, options.country)
    zone = zone_of(setting.zone) if setting is not None and setting.zone else office.zone
    read = read_files(files, options.columns, options.dates, options.decimal, options.ask)
    country = setting.country if setting is not None and setting.country else office.yard.country
    duties = [duty.id for duty in office.rules.examinations(country) if duty.when_lapsed == "out-of-service"]
    run = _Run(office, zone)
    rows = [[_Row(said := said_by(row, table.columns, zone, duties), list(said.problems)) for row in table.rows]
            for table in read.tables]  # fmt: skip
    flat = [row for table_rows in rows for row in table_rows]
    run.enrol(flat)
    run.record(flat, progress)
    facts = run.facts(setting)
    doubtful = run.doubts()
    if facts and not options.dry_run:
        office.append(facts)
    notes = [str(problem) for problem in read.notes]
    notes += _assumed(flat)
    refused_files = () if options.dry_run else tuple(_hand_back(read, rows, notes))
    return Taken(
        accepted=sum(row.adds and not row.problems for row in flat),
        known=sum(not row.adds and not row.problems for row in flat),
        refused=tuple(_refusal(problem) for problem in (*read.refused, *(p for row in flat for p in row.problems))),
        refused_rows=sum(bool(row.problems) for row in flat),
        left_out=tuple(
            LeftOut(read_table.table.sheet.file, read_table.table.sheet.name, read_table.table.left_out)
            for read_table in read.tables
            if read_table.table.left_out
        ),
        notes=tuple(notes),
        refused_files=refused_files,
        doubtful=tuple(doubtful),
    )


class _Run:
    """One call: the books it is about and the facts it adds."""

    def __init__(self, office: Office, zone: tzinfo) -> None:
        self.office, self.zone, self.now = office, zone, office.clock()
        self.books = Books(office.store, self.now)
        self.places: dict[FactId, Where] = {}
        self.soft: list[Problem] = []

    def enrol(self, rows: Sequence[_Row]) -> None:
        """Let the enrolments of all rows count, then make one fact of them for each truck."""
        for row in rows:
            if not row.problems:
                row.problems += self._unfit(row.said)
            if not (row.said.truck and row.said.enrols):
                continue
            book = self.books.of(row.said.truck)
            if not row.problems and row.said.enrolled is not None:
                row.adds, problems = book.enrol(row.said, row.said.enrolled)
                row.problems += [problem for problem in problems if problem.hard]
                self.soft += [problem for problem in problems if not problem.hard]
            if row.problems and book.refused_at is None:
                book.refused_at = str(row.said.where())
        for book in self.books.touched():
            if book.enrolled_by is not None and book.enrolled is not None:
                self._put(book, *self._enrolment(book, book.enrolled, book.enrolled_by), book.enrolled_by)

    def _unfit(self, said: Said) -> Iterator[Problem]:
        """What no record may hold, beyond what the cells have shown; with the place of the row."""
        drafts = [*said.events, *([said.fault] if said.fault else [])]
        if said.enrolled is not None:
            drafts.append(Draft(said.enrolled, Moment(self.now, whole_day=False)))
        for draft in drafts:
            fact = self.office.fact(
                truck_book(" ".join(said.truck.split())),
                draft.body,
                draft.moment.instant,
                whole_day=draft.moment.whole_day,
            )
            for problem in faults_of(fact):
                yield msgspec.structs.replace(problem, where=said.where("truck"))

    def _enrolment(self, book: TruckBook, body: Enrolled, said: Said) -> tuple[AnyBody, Moment]:
        """A truck's enrolment, or what is filled into it, and when that happened."""
        start = None if body.commissioned is None else day_start(body.commissioned, self.zone).astimezone(self.zone)
        now = Moment(self.now, whole_day=False)
        begun = now if start is None else Moment(datetime.fromisoformat(start.isoformat()), whole_day=True)
        if book.enrolment is None or book.stored is None:
            return body, begun
        moved = begun if body.commissioned != book.stored.commissioned else None
        correction = Corrected(
            target=book.enrolment,
            body=body,
            reason=f"filled in from {said.where()}"[:1000],
            happened=moved.instant if moved else None,
            whole_day=moved is not None,
        )
        return correction, now

    def record(self, rows: Sequence[_Row], progress: Progress | None) -> None:
        """Make the facts of all rows about trucks that are enrolled."""
        for number, row in enumerate(rows, start=1):
            if row.said.truck:
                book = self.books.of(row.said.truck)
                if book.enrolled is None and not row.said.enrols:
                    row.problems.append(self._not_enrolled(row.said, book))
                if not row.problems:
                    row.adds |= self._record(row.said, book)
            if progress is not None and (number % 500 == 0 or number == len(rows)):
                progress(number, len(rows))

    def _not_enrolled(self, said: Said, book: TruckBook) -> Problem:
        near = self.books.nearest(said.truck)
        if book.refused_at is not None:
            hint = f"Its enrolment was refused ({book.refused_at}): mend that first."
        else:
            hint = "Enrol it with a table of truck and kind, in the same call or before."
            if near:
                hint = f"Perhaps {' or '.join(near)} is meant; else e{hint[1:]}"
        return Problem(TRUCK_NOT_ENROLLED, f"truck {said.truck!r}", "an enrolled truck", hint, said.where("truck"))

    def _record(self, said: Said, book: TruckBook) -> bool:
        """Put what a row says into its truck's book; True where that adds something."""
        before = len(book.new)
        for draft in said.events:
            self._put_once(book, draft.body, draft.moment, said)
        if said.fault is not None and isinstance(fault := said.fault.body, Fault):
            found = self._put_once(book, fault, said.fault.moment, said)
            if said.mended is not None:
                self._put_once(book, Worked(mends=(FaultRef(found),), text="Mended."), said.mended, said)
                if fault.seriousness in {"now", "stop"}:
                    self._put_once(book, Released(clears=(FaultRef(found),)), said.mended, said)
        return len(book.new) > before

    def _put_once(self, book: TruckBook, body: AnyBody, moment: Moment, said: Said) -> FactId:
        """The id of a fact: of the recorded one, or of a new one."""
        same = told(body, moment)
        if same not in book.known:
            book.known[same] = self._put(book, body, moment, said)
        return book.known[same]

    def _put(self, book: TruckBook, body: AnyBody, moment: Moment, said: Said) -> FactId:
        fact = self.office.fact(book.book, body, moment.instant, whole_day=moment.whole_day, by=self._key(said.by))
        book.new.append(fact)
        self.places[fact.id] = said.where()
        self.soft += date_ahead(moment, self.now, said.where("date"))
        return fact.id

    def _key(self, name: str | None) -> PersonKey | None:
        return None if name is None else self.office.people.key_or_new(name)

    def facts(self, setting: YardSet | None) -> list[Fact]:
        """Everything to be written, the yard's own settings first."""
        yard = [] if setting is None else [self.office.fact(YARD, setting, self.now)]
        return [*yard, *(fact for book in self.books.touched() for fact in book.new)]

    def doubts(self) -> list[Problem]:
        """Soft problems of what was accepted, in the order of the rows."""
        for book in self.books.touched():
            self.soft += doubtful_readings(book, self.places, self.now, self.zone)
        order: dict[str | None, int] = {}
        for where in self.places.values():
            order.setdefault(where.file, len(order))
        return sorted(self.soft, key=lambda one: (order.get(one.where.file, 0), one.where.line or 0))


def _assumed(rows: Sequence[_Row]) -> Iterator[str]:
    """A word on faults without a word on how serious they are."""
    count = sum(row.said.assumed_stop and row.adds and not row.problems for row in rows)
    if count:
        faults = "1 fault says" if count == 1 else f"{count} faults say"
        yield f"{faults} nothing on how serious it is: taken as stop (out of service), the safe reading."


def _hand_back(read: Files, rows: Sequence[Sequence[_Row]], notes: list[str]) -> Iterator[Path]:
    """Write the refused rows of each table beside its file; what cannot be written is said in a note."""
    done: set[tuple[Path, str | None]] = set()
    for table, table_rows in zip(read.tables, rows, strict=True):
        refused = [(row.said.row, row.problems) for row in table_rows if row.problems]
        place = (table.path.resolve(), table.table.sheet.name)
        if not refused or place in done:
            continue
        done.add(place)
        try:
            yield write_refused(table.path, table.table, refused)
        except (OSError, DipmarkError) as fault:
            notes.append(f"{table.path}: the refused rows could not be written beside it: {fault}")


def _refusal(problem: Problem) -> Refusal:
    where = problem.where
    return Refusal(where.file, where.sheet, where.line, where.column, problem.found, problem.expected, problem.hint)
