"""What one row of a table says: facts without a book and an id yet, or every problem of the row at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, tzinfo
from decimal import Decimal
from typing import Final, cast

import msgspec

from dipmark.adapters.importing.dates import When
from dipmark.adapters.importing.rows import ReadRow
from dipmark.adapters.importing.words import EXAMINATION, Field
from dipmark.derive.days import day_start
from dipmark.facts.base import Reading, Seriousness
from dipmark.facts.codec import plain
from dipmark.facts.fault import Fault
from dipmark.facts.kinds import AnyBody
from dipmark.facts.meter import MeterRead
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.truck import Enrolled, Meter
from dipmark.facts.work import Worked
from dipmark.office.papers import examination

ROW_TEXT_LONG: Final = code("row-text-long", "A text in a table is longer than its place in the record.")
ROW_CAPACITY: Final = code("row-capacity", "A rated capacity in a table without a unit that says what it is.")
ROW_DAY_MISSING: Final = code("row-day-missing", "A row tells of something done or seen, but not on what day.")
ROW_MENDED_BEFORE: Final = code("row-mended-before", "A fault in a table was mended before it was seen.")
ROW_SAYS_NOTHING: Final = code("row-says-nothing", "A row names a truck and says nothing else about it.")

LONGEST: Final[dict[Field, int]] = {
    "truck": 80, "note": 2000, "fault": 1900, "fuel": 100, "tyres": 100,
}  # fmt: skip
"""Characters of texts that go into a name or stand together in one text of the record; the reader holds the others."""

KILOGRAMS: Final[dict[str | None, Decimal]] = {
    "kg": Decimal(1),
    "t": Decimal(1000),
    "lb": Decimal("0.45359237"),
}
LEAST_CAPACITY: Final = 100
"""A smaller rated capacity without a unit was hardly meant in kg. Common practice, no source."""


class Moment(msgspec.Struct, frozen=True):
    """When: an instant with the yard's offset of that day, or a whole local day by its first instant."""

    instant: datetime
    whole_day: bool


class Draft(msgspec.Struct, frozen=True):
    """What happened and when."""

    body: AnyBody
    moment: Moment


class Said(msgspec.Struct, frozen=True):
    """What one row says.

    Args:
        row: the row as it was read.
        columns: header of each field, as written.
        truck: the truck's name as written.
        by: name of the person, None where the row has none.
        enrolled: the truck comes into the yard's care.
        commissioned: when that counts from.
        events: a service, a reading; each with its time.
        fault: a fault, which may have been mended since.
        mended: when it was.
        assumed_stop: True where the row has no word on how serious the fault is.
        problems: why the row is refused; empty: it is not, as far as the row alone can tell.
    """

    row: ReadRow
    columns: Mapping[Field, str]
    truck: str
    by: str | None
    enrolled: Enrolled | None
    commissioned: Moment | None
    events: tuple[Draft, ...]
    fault: Draft | None
    mended: Moment | None
    assumed_stop: bool
    problems: tuple[Problem, ...]

    @property
    def enrols(self) -> bool:
        """True where the row is meant to enrol its truck, also when it cannot."""
        return "trucks" in self.row.purposes

    def where(self, field: Field | None = None) -> Where:
        """The place of the row, and of one of its cells."""
        return place_of(self.row, self.columns, field)


def place_of(row: ReadRow, columns: Mapping[Field, str], field: Field | None = None) -> Where:
    """The place of a row in its file; with a field also the header of its column."""
    return Where(file=row.file, sheet=row.sheet, line=row.line, column=columns.get(field) if field else None)


def said_by(row: ReadRow, columns: Mapping[Field, str], zone: tzinfo, duties: Sequence[str] = ()) -> Said:
    """What a row says, in the yard's zone. A row with problems says nothing that may be recorded.

    Args:
        row: the row.
        columns: header by field.
        zone: the yard's.
        duties: ids of the legal duties that a report of an examination proves in the yard's country.
    """
    reader = _Row(row, columns, zone)
    note, by, truck = reader.text("note"), reader.text("by"), reader.text("truck") or ""
    moment = reader.moment("date")
    hours = reader.number("hours")
    meter = reader.text("meter") or "main"
    reading = None if hours is None else Reading(hours=hours, meter=meter)
    services = reader.services() if "services" in row.purposes else ()
    fault = reader.text("fault") if "faults" in row.purposes else None
    events: list[Draft] = []
    if services:
        reader.needs_day("service", moment)
        done = tuple(one for one in services if one != EXAMINATION)
        if moment is not None and done:
            events.append(Draft(Worked(services=done, text=note, meter=reading), moment))
        if moment is not None and EXAMINATION in services:
            events.append(Draft(examination(duties, note, reading), moment))
        note = reading = None
    fault_draft, mended, assumed = None, None, False
    if fault is not None:
        fault_draft, mended, assumed = reader.fault(fault, note, reading, moment)
        note = reading = None
    if reading is not None and moment is not None and "readings" in row.purposes:
        events.append(Draft(MeterRead(hours=reading.hours, meter=reading.meter, note=note), moment))
        note = None
    enrolled, commissioned = None, None
    if "trucks" in row.purposes:
        only = row.purposes == ("trucks",)
        commissioned = reader.moment("commissioned") or (moment if only else None)
        enrolled = reader.enrolled(note if only else None, commissioned)
    reader.says_something(services or fault or events or enrolled)
    problems = tuple(reader.problems)
    return Said(row, columns, truck, by, enrolled, commissioned, tuple(events), fault_draft, mended, assumed, problems)


def moment_of(when: When, zone: tzinfo) -> Moment:
    """The instant of a day or time as written; a time that the clocks skip is moved on with them."""
    if when.time is None:
        instant = day_start(when.day, zone).astimezone(zone)
    else:
        written = datetime.combine(when.day, when.time, tzinfo=when.offset or zone)
        instant = written.astimezone(UTC).astimezone(when.offset or zone)
    return Moment(datetime.fromisoformat(instant.isoformat()), when.time is None)


class _Row:
    """Reads the cells of one row and collects every problem."""

    def __init__(self, row: ReadRow, columns: Mapping[Field, str], zone: tzinfo) -> None:
        self.row, self.columns, self.zone = row, columns, zone
        self.problems = list(row.problems)

    def problem(self, problem_code: str, field: Field, expected: str, hint: str = "", found: str | None = None) -> None:
        """Enter a problem of one cell."""
        written = found or f"{self.columns.get(field, field)} {str(self.row.text(field) or '')[:80]!r}"
        self.problems.append(Problem(problem_code, written, expected, hint, place_of(self.row, self.columns, field)))

    def text(self, field: Field) -> str | None:
        """A text without the spaces around it; None where there is none or it is too long."""
        text = (self.row.text(field) or "").strip()
        most = LONGEST.get(field, len(text))
        if len(text) > most:
            found = f"{len(text):,} characters"
            self.problem(ROW_TEXT_LONG, field, f"at most {most:,}", "Shorten it.", found)
            return None
        return text or None

    def number(self, field: Field) -> Decimal | None:
        """A number in plain digits."""
        number = self.row.number(field)
        return None if number is None else plain(number.value)

    def whole(self, field: Field) -> int | None:
        """A whole number."""
        number = self.row.number(field)
        return None if number is None else int(number.value)

    def moment(self, field: Field) -> Moment | None:
        """A day or an instant."""
        when = self.row.when(field)
        return None if when is None else moment_of(when, self.zone)

    def needs_day(self, field: Field, moment: Moment | None) -> None:
        """Enter a problem where a row tells of something without its day and no other problem says why."""
        if moment is None and not self.problems:
            self.problem(ROW_DAY_MISSING, field, "the day it was done or seen", "Add a column with the date.")

    def says_something(self, anything: object) -> None:
        """Enter a problem where a row says nothing that could be recorded."""
        if not anything and not self.problems:
            self.problem(
                ROW_SAYS_NOTHING,
                "truck",
                "a kind, a reading, a service or a fault with its date",
                "Add it or leave out the row.",
            )

    def services(self) -> tuple[str, ...]:
        """The services done, as the reader has joined them."""
        text = self.text("service")
        return tuple(text.split(" + ")) if text else ()

    def fault(
        self, text: str, note: str | None, reading: Reading | None, moment: Moment | None
    ) -> tuple[Draft | None, Moment | None, bool]:
        """A fault, when it was mended, and whether its seriousness had to be assumed."""
        self.needs_day("fault", moment)
        mended = self.moment("mended")
        word = self.text("seriousness")
        if moment is None:
            return None, mended, word is None
        if mended is not None and _before(mended, moment):
            found = f"mended {mended.instant.date().isoformat()}"
            expected = f"on or after {moment.instant.date().isoformat()}, when the fault was seen"
            self.problem(ROW_MENDED_BEFORE, "mended", expected, "Put one of the two dates right.", found)
        body = Fault(
            text=f"{text}; {note}" if note else text, seriousness=cast("Seriousness", word or "stop"), meter=reading
        )
        return Draft(body, moment), mended, word is None

    def enrolled(self, note: str | None, commissioned: Moment | None) -> Enrolled | None:
        """A truck that comes into the yard's care."""
        kind = self.text("kind")
        fuel, tyres = (text and text.casefold() for text in (self.text("fuel"), self.text("tyres")))
        meter, digits = self.text("meter"), self.whole("digits")
        meters = (Meter(name=meter or "main", digits=digits),) if meter or digits else ()
        body = Enrolled(
            what=kind or "unknown",
            commissioned=commissioned.instant.date() if commissioned else None,
            start_hours=self.number("start_hours"),
            meters=meters,
            fuel=fuel,
            tyres=tyres,
            serial=self.text("serial"),
            built=self.whole("built"),
            capacity_kg=self.capacity(),
            place=self.text("place"),
            note="; ".join(part for part in (self.text("name"), note) if part) or None,
        )
        return body if kind else None

    def capacity(self) -> Decimal | None:
        """Rated capacity in kg."""
        number = self.row.number("capacity")
        if number is None:
            return None
        factor = KILOGRAMS.get(number.unit or "kg")
        if factor is None or (number.unit is None and number.value < LEAST_CAPACITY):
            found = f"{self.columns.get('capacity', 'capacity')} {number.value} {number.unit or 'without unit'}"
            self.problem(ROW_CAPACITY, "capacity", "a weight in kg, t or lb", "Write the unit into the header.", found)
            return None
        return round(plain(number.value * factor), 3) if factor != 1 else plain(number.value)


def _before(one: Moment, other: Moment) -> bool:
    """Earlier; by local days where either is a whole day."""
    if one.whole_day or other.whole_day:
        return one.instant.date() < other.instant.date()
    return one.instant < other.instant
