"""The truck file: one truck's proof for an inspector, everything with both times, and whether the record holds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import tzinfo
from typing import Final

import msgspec

from dipmark.derive.faults import FaultNow
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import FactId, PersonKey
from dipmark.facts.problems import Problem
from dipmark.facts.said import Word
from dipmark.rules.model import Rules
from dipmark.views.card import known_of
from dipmark.views.file_around import Around, FilePart, file_around
from dipmark.views.log import LogRow
from dipmark.views.measures import MeasureRow, limit_words, measure_rows
from dipmark.views.paper import Head
from dipmark.views.people import PersonRow
from dipmark.views.words import hours, moment, serious
from dipmark.views.yard import state_words

SECTIONS: Final = (
    ("Walk-rounds", ("walk-round",)),
    ("Maintenance and repairs", ("worked", "work-begun", "work-ended")),
    ("Measured values, samples, fluids put in", ("measured", "sampled", "topped-up", "charged")),
    ("Faults as reported, cards, releases", ("fault", "out-of-service", "released")),
    ("Incidents", ("incident",)),
    ("Examinations, certificates, job sheets and other papers", ("document",)),
    ("Corrections and withdrawals", ("corrected", "withdrawn")),
)
"""The kinds of fact of each section; what stands in none of them comes last."""

REST: Final = "Everything else: hour meter, who had it, what was fitted, what was read on it"


class FileRow(msgspec.Struct, frozen=True):
    """A fact.

    Args:
        seq: its number in the book.
        when: when it happened.
        taken: when the store took it.
        by: who says so.
        says: what.
        fate: why it no longer counts as written; empty where it does.
    """

    seq: int
    when: str
    taken: str
    by: str
    says: str
    fate: str


class FileSection(msgspec.Struct, frozen=True):
    """A heading with its facts."""

    title: str
    rows: tuple[FileRow, ...]


class FaultLife(msgspec.Struct, frozen=True):
    """A fault from its report to its end.

    Args:
        since: since when.
        by: who reported it.
        text: what was seen.
        words: how serious.
        mended: the work that mended it: when and by whom; empty: it is not.
        released: when and by whom the truck was released after it; empty: it was not.
        open: True while it is.
    """

    since: str
    by: str
    text: str
    words: str
    mended: str
    released: str
    open: bool


class FilePermit(msgspec.Struct, frozen=True):
    """Somebody who may drive such a truck, or may not any more.

    Args:
        name: of the driver.
        may: True where he may.
        why: why, or why not.
        led: when and by whom he was led round this truck; empty: he was not.
    """

    name: str
    may: bool
    why: str
    led: str


class FileMeasure(msgspec.Struct, frozen=True):
    """The latest reading of something: what and where, value with limit, verdict, day, who."""

    text: str
    value: str
    words: str
    day: str
    by: str


class TruckFile(msgspec.Struct, frozen=True, kw_only=True):
    """All that stands in the file.

    Args:
        head: of its pages.
        known: label and value of what is known of the truck.
        state: its state.
        reasons: why.
        hours: of its first meter.
        permits: by name.
        measures: the latest readings.
        faults: the newest first.
        around: what was around it: hits and what followed, what hung on it, who had it, its papers.
        sections: the record, by subject.
        facts: how many facts the book holds.
        problems: what is wrong with the record; empty: it verifies.
    """

    head: Head
    known: tuple[tuple[str, str], ...]
    state: str
    reasons: tuple[str, ...]
    hours: str
    permits: tuple[FilePermit, ...]
    measures: tuple[FileMeasure, ...]
    faults: tuple[FaultLife, ...]
    around: tuple[FilePart, ...]
    sections: tuple[FileSection, ...]
    facts: int
    problems: tuple[str, ...]


def truck_file(
    truck: TruckNow,
    rules: Rules,
    names: Mapping[PersonKey, str],
    head: Head,
    zone: tzinfo,
    log: Sequence[LogRow],
    around: Around,
    problems: Sequence[Problem],
) -> TruckFile:
    """The file of one truck.

    Args:
        truck: as it stands.
        rules: of today, in the language of the file.
        names: of people, by key.
        head: of its pages.
        zone: the yard's.
        log: its logbook.
        around: what its parts about all that was around the truck are made from, everybody of the yard with it.
        problems: what verifying the store has found.
    """
    facts = {row.id: row for row in log}
    lives = sorted(truck.faults, key=lambda fault: fault.since, reverse=True)
    return TruckFile(
        head=head,
        known=known_of(truck, rules.word),
        state=state_words(truck, names, zone, rules.word),
        reasons=tuple(because.text for because in truck.state.reasons),
        hours=hours(truck.hours),
        permits=tuple(one for person in around.people for one in _permits(person, truck)),
        measures=tuple(_measure(row, rules.word) for row in measure_rows(truck, rules, names)),
        faults=tuple(_life(fault, facts, names, zone, rules.word) for fault in lives),
        around=file_around(truck, around, facts, names, zone, rules.word),
        sections=_sections(log),
        facts=len(log),
        problems=tuple(problem.message for problem in problems),
    )


def _permits(person: PersonRow, truck: TruckNow) -> list[FilePermit]:
    led = next((f"{one.when}, {one.by}" for one in person.led if one.truck == truck.name), "")
    return [
        FilePermit(person.name, one.may, " ".join(reason.text for reason in (*one.reasons, *one.asks)), led)
        for one in person.permits
        if one.kind == truck.enrolled.what and not person.gone
    ]


def _measure(row: MeasureRow, word: Word) -> FileMeasure:
    what = f"{row.text}, {row.where}" if row.where else row.text
    words = row.words if row.renewed is None else f"{row.words}. {row.renewed}"
    return FileMeasure(what, limit_words(row, word), words, f"{row.day:%Y-%m-%d}", row.by)


def _life(
    fault: FaultNow, facts: Mapping[FactId, LogRow], names: Mapping[PersonKey, str], zone: tzinfo, word: Word
) -> FaultLife:
    return FaultLife(
        since=moment(fault.since, zone, word),
        by=names.get(fault.by, fault.by),
        text=fault.text,
        words=serious(fault, word),
        mended=_end(fault.mended, facts),
        released=_end(fault.released, facts),
        open=fault.open,
    )


def _end(fact: FactId | None, facts: Mapping[FactId, LogRow]) -> str:
    return "" if fact is None else f"{facts[fact].when}, {facts[fact].by}"


def _sections(log: Sequence[LogRow]) -> tuple[FileSection, ...]:
    named = {kind for _, kinds in SECTIONS for kind in kinds}
    wanted = [(title, tuple(row for row in log if row.kind in kinds)) for title, kinds in SECTIONS]
    wanted.append((REST, tuple(row for row in log if row.kind not in named)))
    return tuple(
        FileSection(title, tuple(FileRow(row.seq, row.when, row.taken, row.by, row.says, row.fate) for row in rows))
        for title, rows in wanted
    )
