"""The books of the trucks that the rows of one call are about: what is enrolled there and what is recorded already."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Final

import msgspec

from dipmark.adapters.importing.words import Field
from dipmark.adapters.store import Store
from dipmark.derive.past import past
from dipmark.facts.amend import Corrected
from dipmark.facts.base import FIRST, Accepted, Body, BookId, Fact, FactId, folded, name_of, truck_book
from dipmark.facts.document import Document
from dipmark.facts.fault import Fault, Released
from dipmark.facts.meter import MeterRead
from dipmark.facts.problems import Problem, code
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import Worked
from dipmark.office.take_facts import Moment, Said

ENROLMENT_CONTRADICTS: Final = code("enrolment-contradicts", "A row says of a truck what its enrolment contradicts.")
ENROLMENT_STANDS: Final = code("enrolment-stands", "A row has another place or note than the enrolment, which stands.")

Told = tuple[Body, date | datetime]
"""A fact as far as it can be told again: what, and the local day or the instant. By whom does not matter."""

TAKEN: Final = (Enrolled, MeterRead, Worked, Fault, Released, Document)
"""What rows are made into."""

_LOOSE: Final = ("place", "note")
_CELLS: Final[dict[str, tuple[Field, ...]]] = {
    "what": ("kind",),
    "commissioned": ("commissioned", "date"),
    "start_hours": ("start_hours",),
    "meters": ("digits", "meter"),
    "fuel": ("fuel",),
    "tyres": ("tyres",),
    "serial": ("serial",),
    "built": ("built",),
    "capacity_kg": ("capacity",),
    "place": ("place",),
    "note": ("note", "name"),
}
"""Where in a table the fields of an enrolment stand."""
_TRAILING: Final = re.compile(r"(\d+)[.,]0+")


def truck_key(name: str) -> str:
    """A truck's name as tables are compared: a workbook's 7.0 is truck 7."""
    same = folded(name)
    number = _TRAILING.fullmatch(same)
    return number[1] if number else same


def told(body: Body, moment: Moment) -> Told:
    """A fact for comparison with others, as far as a table can tell it: the time to the second, no pictures."""
    if isinstance(body, Worked) and body.services:
        body = Worked(services=body.services, text=body.text, meter=body.meter)
    elif isinstance(body, MeterRead):
        body = MeterRead(hours=body.hours, meter=body.meter, note=body.note)
    return body, moment.instant.date() if moment.whole_day else moment.instant.replace(microsecond=0)


class TruckBook:
    """One truck's book, with what the rows of this call add to it.

    Args:
        name: as first enrolled, or as first written.
        record: what the store holds.
        now: the time.
    """

    def __init__(self, name: str, record: tuple[Accepted, ...], now: datetime) -> None:
        self.name = name
        self.book = truck_book(name)
        self.record = record
        self.new: list[Fact] = []
        self.known: dict[Told, FactId] = {}
        self.enrolments: list[Enrolled] = []
        for body, moment, fact in _spoken(record):
            if isinstance(body, Enrolled):
                self.enrolments.append(body)
            else:
                self.known.setdefault(told(body, moment), fact)
        self._read_enrolment(now)
        self.refused_at: str | None = None

    def _read_enrolment(self, now: datetime) -> None:
        latest = max((item.received for item in self.record), default=now)
        counting = past(self.record, max(now, latest))
        counted = next((one for one in reversed(counting) if isinstance(one.body, Enrolled)), None)
        self.enrolment: FactId | None = None if counted is None else counted.id
        self.stored: Enrolled | None = None
        if counted is not None and isinstance(counted.body, Enrolled):
            self.stored = counted.body
        self.enrolled: Enrolled | None = self.stored
        self.enrolled_by: Said | None = None

    def enrol(self, said: Said, body: Enrolled) -> tuple[bool, list[Problem]]:
        """Take an enrolment from a row; it holds for all rows.

        A field that the enrolment leaves open is filled in; a field that contradicts it refuses the row, except for
        place and note, where the first word stands and the other is reported.

        Returns:
            Whether the row adds something, and its problems; the row is refused where one of them is hard.
        """
        if any(not _adds(body, old) for old in self.enrolments):
            return False, []
        if self.enrolled is None:
            self.enrolled, self.enrolled_by = body, said
            self.enrolments.append(body)
            return True, []
        problems = list(_contradictions(said, body, self.enrolled, self.name))
        if any(problem.hard for problem in problems):
            return False, problems
        merged = _merged(body, self.enrolled)
        adds = merged != self.enrolled
        if adds:
            self.enrolled, self.enrolled_by = merged, said
            self.enrolments.append(merged)
        return adds, problems

    def with_new(self, received: datetime) -> tuple[Accepted, ...]:
        """The record as it will be when the new facts are in it; their digests do not matter."""
        start = len(self.record) + 1
        added = (
            Accepted(fact=fact, received=received, seq=seq, prev=FIRST, digest=FIRST)
            for seq, fact in enumerate(self.new, start)
        )
        return (*self.record, *added)


class Books:
    """The books of all trucks that rows are about, each read once."""

    def __init__(self, store: Store, now: datetime) -> None:
        self._store = store
        self._now = now
        self._recorded: dict[str, BookId] = {
            truck_key(name_of(book)): book for book in store.books() if book.startswith("truck:")
        }
        self._open: dict[str, TruckBook] = {}
        self._near: dict[str, list[str]] = {}

    def of(self, name: str) -> TruckBook:
        """The book of a truck, empty where there is none yet."""
        key = truck_key(name)
        if key not in self._open:
            book = self._recorded.get(key)
            plain_name = re.sub(r"[.,]0+$", "", name) if _TRAILING.fullmatch(folded(name)) else " ".join(name.split())
            record = () if book is None else self._store.book(book)
            self._open[key] = TruckBook(plain_name if book is None else name_of(book), record, self._now)
        return self._open[key]

    def touched(self) -> Iterable[TruckBook]:
        """Every book that a row is about."""
        return self._open.values()

    def nearest(self, name: str) -> list[str]:
        """Names of enrolled trucks that look like it; asked when the enrolments of all rows count."""
        wanted = truck_key(name)
        if wanted not in self._near:
            names = {key: name_of(book) for key, book in self._recorded.items() if key not in self._open}
            names |= {key: book.name for key, book in self._open.items() if book.enrolled is not None}
            self._near[wanted] = [names[key] for key in difflib.get_close_matches(wanted, names, 3, 0.5)]
        return self._near[wanted]


def _spoken(record: tuple[Accepted, ...]) -> Iterator[tuple[Body, Moment, FactId]]:
    """What a record has ever said, corrections and corrected facts alike, by the id of the fact itself."""
    times = {item.fact.id: Moment(item.fact.happened, item.fact.whole_day) for item in record}
    for item in record:
        fact, body = item.fact, item.fact.body
        if isinstance(body, Corrected):
            moment = times.get(body.target) if body.happened is None else Moment(body.happened, body.whole_day)
            if moment is not None and isinstance(
                body.body, Enrolled | MeterRead | Worked | Fault | Released | Document
            ):
                yield body.body, moment, body.target
        elif isinstance(body, TAKEN):
            yield body, Moment(fact.happened, fact.whole_day), fact.id


def _adds(body: Enrolled, old: Enrolled) -> bool:
    """True where a row says something that an enrolment does not."""
    return any(
        value != getattr(old, name)
        for name in Enrolled.__struct_fields__
        if (value := getattr(body, name)) not in (None, ())
    )


def _merged(body: Enrolled, old: Enrolled) -> Enrolled:
    """An enrolment with what a row adds where it was open."""
    added = {
        name: value
        for name in Enrolled.__struct_fields__
        if getattr(old, name) in (None, ()) and (value := getattr(body, name)) not in (None, ())
    }
    return msgspec.structs.replace(old, **added)


def _contradictions(said: Said, body: Enrolled, old: Enrolled, truck: str) -> Iterator[Problem]:
    """Where a row and the enrolment cannot both be right."""
    for name in Enrolled.__struct_fields__:
        one, other = getattr(body, name), getattr(old, name)
        if one in (None, ()) or other in (None, ()) or one == other:
            continue
        place = said.where(next((field for field in _CELLS[name] if field in said.columns), None))
        expected = f"{_shown(other)}, as truck {truck} is enrolled"
        if name in _LOOSE:
            yield Problem(ENROLMENT_STANDS, _shown(one), expected, "The enrolment stands.", place, hard=False)
        else:
            hint = "Put the row right, or correct the enrolment first."
            yield Problem(ENROLMENT_CONTRADICTS, _shown(one), expected, hint, place)


def _shown(value: object) -> str:
    if isinstance(value, tuple):
        return ", ".join(_shown(part) for part in value)
    if isinstance(value, msgspec.Struct):
        return " ".join(str(part) for part in msgspec.structs.astuple(value) if part is not None)
    return str(value)
