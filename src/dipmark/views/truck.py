"""One truck: its state with reasons, its faults, its meters, what falls due."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.days import local_day
from dipmark.derive.expected import Forecast
from dipmark.derive.faults import FaultNow
from dipmark.derive.meter import MeterLife
from dipmark.derive.meter_habit import unlikely
from dipmark.derive.meter_slips import what_to_ask
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import FactId, FaultRef, PersonKey, Seriousness
from dipmark.facts.said import Word, says
from dipmark.rules.model import Rules
from dipmark.views.due_soon import DueRow, due_rows
from dipmark.views.measures import MeasureRow, UseRow, measure_rows, use_rows
from dipmark.views.words import moment, serious
from dipmark.views.yard import YardRow, yard_row

RECENT: Final = timedelta(days=31)
"""So long before the last good reading one that is not like the truck is still asked about."""

ONE_OF_TWO: Final = says("one of two readings is wrong: read the meter, correct the wrong one")
CONTRADICTS: Final = says("contradicts {} or more good readings: correct it, or note the change of the meter")
ODD: Final = says("{}: it counts; correct it if it is wrong")


class FaultRow(msgspec.Struct, frozen=True):
    """An open fault as people read it.

    Args:
        ref: its reference.
        text: what was seen.
        seriousness: code.
        words: how serious, with the date.
        since: since when, by the yard's clock.
        by: who reported it.
        deadline: last day of a `repair-by` fault.
        next: what comes next: mend, test, release.
        retest: True where a test must be recorded before the release.
    """

    ref: FaultRef
    text: str
    seriousness: Seriousness
    words: str
    since: str
    by: str
    deadline: date | None
    next: str
    retest: bool


class DoubtRow(msgspec.Struct, frozen=True):
    """A meter reading that does not agree with the others, or that counts and is not like the truck.

    Args:
        fact: where it stands.
        meter: the meter.
        shown: the hours written.
        text: why, and what to do.
    """

    fact: FactId
    meter: str
    shown: Decimal
    text: str


class TruckPage(msgspec.Struct, frozen=True):
    """One truck on a page.

    Args:
        row: its hook on the key board.
        faults: what is open, the most serious first.
        due: its services.
        doubts: meter readings to ask about.
        measures: the latest reading of everything measured.
        uses: what it uses of each fluid.
        serial: serial number.
        built: year.
        capacity_kg: from the plate.
        options: what it has; None where nobody has said.
        code: number and digest of its book, printed on every page.
    """

    row: YardRow
    faults: tuple[FaultRow, ...]
    due: tuple[DueRow, ...]
    doubts: tuple[DoubtRow, ...]
    measures: tuple[MeasureRow, ...]
    uses: tuple[UseRow, ...]
    serial: str | None
    built: int | None
    capacity_kg: Decimal | None
    options: tuple[str, ...] | None
    code: str


def truck_page(
    truck: TruckNow,
    rules: Rules,
    names: Mapping[PersonKey, str],
    as_of: datetime,
    zone: tzinfo,
    code: str,
    ahead: Forecast | None = None,
) -> TruckPage:
    """The page of one truck; see `TruckPage` and `views.yard.yard_row` for the arguments; `ahead` is its forecast."""
    live = sorted((fault for fault in truck.faults if fault.open), key=lambda fault: (not fault.stops, fault.since))
    return TruckPage(
        row=yard_row(truck, rules, names, as_of, zone),
        faults=tuple(fault_row(fault, names, zone, rules.word) for fault in live),
        due=due_rows([truck], rules, {truck.book: ahead} if ahead else {}, local_day(as_of, zone)),
        doubts=tuple(doubt for life in truck.meters for doubt in doubts(life, rules.word)),
        measures=measure_rows(truck, rules, names),
        uses=use_rows(truck, rules.word),
        serial=truck.enrolled.serial,
        built=truck.enrolled.built,
        capacity_kg=truck.enrolled.capacity_kg,
        options=truck.enrolled.options,
        code=code,
    )


def fault_row(fault: FaultNow, names: Mapping[PersonKey, str], zone: tzinfo, word: Word = str) -> FaultRow:
    """An open fault as people read it.

    Args:
        fault: as it stands.
        names: of people, by key.
        zone: the yard's.
        word: says a word in the reader's language.
    """
    if fault.mended is None:
        step = "mend"
    elif fault.retest and not fault.tested:
        step = "test, then release"
    else:
        step = "release"
    return FaultRow(
        ref=fault.ref,
        text=fault.text,
        seriousness=fault.seriousness,
        words=serious(fault, word),
        since=moment(fault.since, zone, word),
        by=names.get(fault.by, fault.by),
        deadline=fault.deadline,
        next=step,
        retest=fault.retest,
    )


def doubts(life: MeterLife, word: Word = str) -> tuple[DoubtRow, ...]:
    """The readings of a meter that a person is asked about; those that count and are not like the truck for a month.

    Args:
        life: the meter.
        word: says a sentence in the reader's language.
    """
    rows = []
    for one in life.doubtful:
        text = word(ONE_OF_TWO if one.why == "one of two" else CONTRADICTS).format(len(one.against))
        asked = what_to_ask(life, one, word)
        rows.append(DoubtRow(one.fact, life.name, one.shown, f"{text}. {asked}" if asked else text))
    odd = [
        DoubtRow(one.fact, life.name, one.shown, word(ODD).format(one.text(word)))
        for one in unlikely(life)
        if life.good[-1].day - one.day <= RECENT
    ]
    return (*rows, *odd)
