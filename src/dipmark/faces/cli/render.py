"""Views on a terminal: lines under headings, and the dip gauge in block characters. Long lines wrap, none is cut."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Final

from rich.columns import Columns
from rich.console import Console, ConsoleRenderable, Group
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from dipmark.derive.state import StateCode
from dipmark.faces.cli.options import counted, put_text
from dipmark.views.due_soon import DueRow
from dipmark.views.expected import AskRow
from dipmark.views.gauge import Gauge
from dipmark.views.log import LogRow
from dipmark.views.truck import TruckPage
from dipmark.views.words import CAUTION, DUE, STATE, day, distance, hours
from dipmark.views.yard import Reason, YardRow

STICK: Final = 10
"""Cells of a gauge on a terminal."""

SAID: Final = STICK + 22
"""The width of a gauge with its words."""

SHAPE: Final[dict[StateCode, str]] = {"out-of-service": "■", "not-checked": "○", "restricted": "◣", "checked": "●"}
"""A shape beside each state, so that no colour is needed: card, blank key, clipped corner, key."""

STYLE: Final = {
    "out-of-service": "bold red",
    "not-checked": "bold",
    "restricted": "bold yellow",
    "checked": "bold green",
}

NAMED: Final = 14
"""The widest column of names; longer ones take several lines."""

PLAIN_WIDTH: Final = 120
"""Columns where the output is no terminal and COLUMNS says nothing."""

NARROWEST: Final = 60
"""On anything narrower the terminal breaks the lines."""

WIDE: Final = 110
"""From so many columns on, the gauges stand beside the words and not below them."""


def console() -> Console:
    """Standard output, as wide as its terminal; where it is none, as COLUMNS says."""
    out = Console(highlight=False, markup=False, emoji=False)
    told = os.environ.get("COLUMNS", "")
    if not out.is_terminal:
        out.width = int(told) if told.isascii() and told.isdecimal() else PLAIN_WIDTH
    out.width = max(out.width, NARROWEST)
    return out


def put(out: Console, *parts: ConsoleRenderable | str) -> None:
    """Print, one below the other, without blanks at the ends of lines."""
    with out.capture() as caught:
        for part in parts:
            out.print(part)
    put_text("".join(f"{line.rstrip()}\n" for line in caught.get().strip("\n").split("\n")))


def heading(text: str) -> Text:
    """A heading, with a line of space before it."""
    return Text(f"\n{text}", style="bold")


def gauge_text(gauge: Gauge) -> str:
    """The dip gauge in block characters: filled, in doubt, empty; outside its marks it opens and carries a word.

    Example:
        >>> from decimal import Decimal
        >>> gauge_text(Gauge("150h", Decimal(0), Decimal(150), Decimal(75)))
        '▕█████     ▏ 75 h left'
        >>> gauge_text(Gauge("150h", Decimal(0), Decimal(150), Decimal(-20), word="past by 20 h"))
        '╳          ▏ past by 20 h'
    """
    filled, doubt, empty = gauge.cells(STICK)
    if gauge.left is None:
        return f"▕{'?' * STICK}▏ {gauge.word or 'not known'}"
    if gauge.outside:
        begin, end = ("╳", "▏") if gauge.left <= 0 else ("▕", "▶")
        return f"{begin}{'█' * filled}{' ' * (STICK - filled)}{end} {gauge.word or 'outside its marks'}"
    left = f"{round(gauge.left, 1 if gauge.left >= 1 else 2):,f}".rstrip("0").removesuffix(".")
    return f"▕{'█' * filled}{'▒' * doubt}{' ' * empty}▏ {left} {gauge.unit} left"


def yard_parts(rows: Sequence[YardRow], width: int) -> Iterator[ConsoleRenderable]:
    """The key board: a hook a truck, in rows by place of work."""
    counts = [(STATE[code].split(",")[0].lower(), sum(row.state == code for row in rows)) for code in SHAPE]
    trucks = counted(len(rows), "truck")
    yield Text(
        f"{trucks}: " + ", ".join(f"{count} {word}" for word, count in counts if count) if rows else "No trucks."
    )
    widest = min(max((len(row.truck) for row in rows), default=0), NAMED)
    label = _label(gauge for row in rows for gauge in row.gauges)
    for place in dict.fromkeys(row.place for row in rows):
        yield heading(place or "No place noted")
        table = Table.grid(padding=(0, 2, 0, 0))
        table.add_column(width=1)
        table.add_column(width=widest, overflow="fold")
        table.add_column(ratio=1, overflow="fold")
        if width >= WIDE and label:
            table.add_column(width=label + 1 + SAID)
        for row in (row for row in rows if row.place == place):
            gauges = [Text(f"{gauge.what} {gauge_text(gauge)}") for gauge in row.gauges]
            words, beside = _hook(row), width >= WIDE and label > 0
            below = [] if beside else [Columns(gauges, padding=(0, 3, 0, 0))] if gauges else []
            cells: list[ConsoleRenderable] = [Text(SHAPE[row.state], STYLE[row.state]), Text(row.truck, "bold")]
            cells.append(Group(*words, *below))
            if beside:
                cells.append(_gauge_table(row.gauges, label))
            table.add_row(*cells)
        table.expand = True
        yield Padding(table, (0, 0, 0, 1))


def state_line(row: YardRow) -> str:
    """The state of a truck as it stands first; a clean check is never taken for more than it is."""
    return f"{row.words}. Not an examination." if row.state == "checked" else row.words


def reasons_of(row: YardRow) -> tuple[Reason, ...]:
    """Why, but for what the first line has said."""
    said = row.state == "checked"
    return tuple(reason for reason in row.reasons if not (said and reason.rule == "state.walk-round"))


def _hook(row: YardRow) -> Iterator[Text]:
    yield Text(state_line(row), STYLE[row.state])
    if row.lock:
        yield Text(f"Being worked on by {row.lock}: do not touch.", "bold")
    yield from (Text(f"ALARM: {alarm.text}", "bold") for alarm in row.alarms)
    yield from (Text(f"NOT WITH WHAT HANGS ON IT: {text}", "bold") for text in row.not_so)
    yield from (Text(reason.text) for reason in reasons_of(row))
    doubtful = counted(row.doubtful, "doubtful reading") if row.doubtful else ""
    read = f"{hours(row.hours)} read" if row.hours is not None else "no hours known"
    yield Text(" · ".join(part for part in (f"Key: {row.key}", read, doubtful) if part), "dim")


def _label(gauges: Iterable[Gauge]) -> int:
    """How wide the names of gauges are, so that all sticks begin below one another."""
    return max((len(gauge.what) for gauge in gauges), default=0)


def _gauge_table(gauges: Iterable[Gauge], label: int) -> Table:
    table = Table.grid(padding=(0, 1, 0, 0))
    table.add_column(width=label, justify="right")
    table.add_column(width=SAID, overflow="fold")
    for gauge in gauges:
        table.add_row(Text(gauge.what), Text(gauge_text(gauge)))
    return table


def due_parts(rows: Sequence[DueRow], today: date, *, named: bool = True) -> Iterator[ConsoleRenderable]:
    """What falls due, under its state; what is not known stands together, a line a truck; what is laid up comes last.

    Args:
        rows: the most pressing first.
        today: the yard's day, from which dates are counted.
        named: False where all are of one truck.
    """
    if not rows:
        yield Text("Nothing.")
    widest = min(max((len(row.truck) for row in rows), default=0), NAMED)
    for resting, state in dict.fromkeys((row.resting, row.state) for row in sorted(rows, key=lambda row: row.resting)):
        yield heading(f"Laid up, for the day it is woken: {DUE[state]}" if resting else DUE[state].capitalize())
        table = Table.grid(padding=(0, 2, 0, 0))
        if named:
            table.add_column(width=widest, overflow="fold")
        if state != "unknown":
            table.add_column(max_width=NAMED, overflow="fold")
            table.add_column(no_wrap=True)
            table.add_column(overflow="fold")
        same = [row for row in rows if (row.resting, row.state) == (resting, state)]
        for cells in _unknown(same) if state == "unknown" else (_due(row, today) for row in same):
            table.add_row(*(Text(cell) for cell in (cells if named else cells[1:])))
        yield Padding(table, (0, 0, 0, 2))


def _due(row: DueRow, today: date) -> tuple[str, ...]:
    by_hours = "" if row.due_hours is None else f"at {hours(row.due_hours)}"
    by_day = "" if row.due_date is None else f"by {day(row.due_date)}, {distance(row.due_date, today)}"
    parts = [" or ".join(part for part in (by_hours, by_day) if part)]
    if row.latest_hours is not None and row.latest_hours != row.due_hours:
        parts.append(f"in time up to {hours(row.latest_hours)}")
    if row.minutes:
        parts.append(f"{row.minutes} min")
    expected = f"\nExpected {row.expected.words}." if row.expected and row.expected.early != row.due_date else ""
    gauge = gauge_text(row.gauge) if row.gauge is not None else ""
    return (
        row.truck,
        (row.service or "").replace("-", " "),
        gauge,
        "; ".join(part for part in parts if part) + expected + f"\n{row.reason.text}",
    )


def ask_parts(rows: Sequence[AskRow]) -> Iterator[ConsoleRenderable]:
    """The meters that ought to be read."""
    if rows:
        yield heading("Read the meter")
        table = Table.grid(padding=(0, 2, 0, 0))
        for row in rows:
            table.add_row(Text(row.truck), Text(row.text))
        yield Padding(table, (0, 0, 0, 2))


def _unknown(rows: Sequence[DueRow]) -> Iterator[tuple[str, ...]]:
    for truck in dict.fromkeys(row.truck for row in rows):
        own = [row for row in rows if row.truck == truck]
        services = [row.service for row in own if row.service]
        services.sort(key=lambda name: (len(name), name))
        ruled = any(row.reason.rule != "due.no-rules" for row in own)
        why = "not in the record: say when each was last done" if ruled else own[0].reason.text
        yield truck, f"{' '.join(services)}: {why}" if services else why


def truck_parts(
    page: TruckPage, today: date, measured: Iterable[ConsoleRenderable] = ()
) -> Iterator[ConsoleRenderable]:
    """One truck; what was measured on it stands before what falls due."""
    row = page.row
    yield Text(f"{SHAPE[row.state]} Truck {row.truck}: {state_line(row)}", STYLE[row.state])
    if row.lock:
        yield _in(Text(f"Being worked on by {row.lock}: do not touch.", "bold"))
    for alarm in row.alarms:
        yield _in(Text(f"ALARM: {alarm.text}", "bold"))
    for reason in reasons_of(row):
        source = Text(f"  [{reason.source}]" if reason.source else "", "dim")
        yield _in(Text.assemble(reason.text, source))
    facts = [row.kind, row.place, page.serial and f"serial {page.serial}", page.built and f"built {page.built}"]
    facts.append(f"{page.capacity_kg:,f} kg" if page.capacity_kg else None)
    yield _in(Text(" · ".join(str(fact) for fact in facts if fact)))
    read = f"Hour meter {hours(row.hours)}" if row.hours is not None else "No hours known"
    yield _in(Text(f"{read} · key: {row.key} · book {page.code}"))
    if row.gauges:
        yield _in(_gauge_table(row.gauges, _label(row.gauges)))
    if page.faults:
        yield heading("Open faults")
    for fault in page.faults:
        said = f"{fault.words}: {fault.text}. Since {fault.since}, {fault.by}. Next: {fault.next}."
        yield _in(Group(Text(said), Text(fault.ref, "dim")))
    if page.doubts:
        yield heading("Doubtful meter readings")
    for doubt in page.doubts:
        yield _in(
            Group(Text(f"{hours(doubt.shown)} on {doubt.meter}: {doubt.text.rstrip('.')}."), Text(doubt.fact, "dim"))
        )
    yield from measured
    yield from due_parts(page.due, today, named=False)
    yield Text(f"\n{CAUTION}", "dim")


def _in(part: ConsoleRenderable) -> Padding:
    return Padding(part, (0, 0, 0, 2))


def log_parts(rows: Sequence[LogRow]) -> Iterator[ConsoleRenderable]:
    """The logbook: number, both times, what, by whom, what it says; what no longer counts says so first."""
    table = Table.grid(padding=(0, 2, 0, 0))
    table.add_column(justify="right")
    table.add_column(no_wrap=True)
    table.add_column(overflow="fold")
    for row in rows:
        head = Text.assemble((row.kind.replace("-", " "), "bold"), f" · {row.by}")
        fate = Text(row.fate, "bold")
        says = [part for part in (fate, Text(row.says), Text(row.id, "dim")) if part.plain]
        times = Text.assemble(row.when, (f"\nreceived {row.taken}", "dim"))
        table.add_row(str(row.seq), times, Group(head, *says))
    yield table if rows else Text("Nothing yet.")


def codes_parts(codes: dict[str, str]) -> ConsoleRenderable:
    """The code of every book, as many beside one another as there is room."""
    widest = max((len(book) for book in codes), default=0)
    return Columns([Text(f"{book:<{widest}} {code}") for book, code in codes.items()], padding=(0, 4, 0, 0))
