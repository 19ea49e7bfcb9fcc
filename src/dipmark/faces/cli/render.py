"""Views on a terminal: tables, and the dip gauge in block characters."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from dipmark.facts.base import iso_day
from dipmark.rules.model import Check, Kind, Rules, Symptom, Task
from dipmark.views.due_soon import DueRow
from dipmark.views.gauge import Gauge
from dipmark.views.log import LogRow, in_words
from dipmark.views.truck import TruckPage
from dipmark.views.words import CAUTION, DUE, SERIOUSNESS, day, hours
from dipmark.views.yard import YardRow

STICK: Final = 10
"""Cells of a gauge on a terminal."""

SHAPE: Final = {"out-of-service": "■", "not-checked": "○", "restricted": "◣", "checked": "●"}
"""A shape beside each state, so that no colour is needed: card, blank key, clipped corner, key."""

WIDEST: Final = 200


def console() -> Console:
    """Standard output; where it is no terminal, wide enough that nothing is cut."""
    plain = Console(highlight=False)
    return plain if plain.is_terminal else Console(highlight=False, width=WIDEST)


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
    if gauge.value is None:
        return f"▕{'?' * STICK}▏ not known"
    if gauge.outside:
        past = gauge.left is None or gauge.left <= 0
        begin, end = ("╳", "▏") if past else ("▕", "▶")
        return f"{begin}{'█' * filled}{' ' * (STICK - filled)}{end} {gauge.word or 'outside its marks'}"
    left = "" if gauge.left is None else f"{round(gauge.left, 1):,f}".removesuffix(".0")
    return f"▕{'█' * filled}{'▒' * doubt}{' ' * empty}▏ {left} {gauge.unit} left"


def yard_table(rows: Sequence[YardRow]) -> Table:
    """The key board: a hook a truck, in rows by place of work."""
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for name in ("", "truck", "state", "why", "key", "hours", "left"):
        table.add_column(name, overflow="fold", justify="right" if name == "hours" else "left")
    for place in dict.fromkeys(row.place for row in rows):
        table.add_row("", Text(place or "no place noted", style="bold"))
        for row in (row for row in rows if row.place == place):
            why = "\n".join(reason.text for reason in row.reasons)
            if row.lock:
                why = f"Being worked on by {row.lock}\n{why}"
            shown = hours(row.hours) + (f"\n{row.doubtful} doubtful" if row.doubtful else "")
            gauges = "\n".join(f"{gauge.what:>10} {gauge_text(gauge)}" for gauge in row.gauges)
            table.add_row(SHAPE[row.state], row.truck, row.words, why, row.key, shown, gauges)
    return table


def due_table(rows: Sequence[DueRow]) -> Table:
    """What falls due, the most pressing first."""
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for name in ("truck", "service", "state", "due at", "in time until", "or by", "time", "left", "counted from"):
        table.add_column(
            name, overflow="fold", justify="right" if name in ("due at", "in time until", "time") else "left"
        )
    for row in rows:
        table.add_row(
            row.truck,
            row.service or "–",
            DUE[row.state],
            hours(row.due_hours),
            hours(row.latest_hours),
            day(row.due_date),
            "–" if row.minutes is None else f"{row.minutes} min",
            "" if row.gauge is None else gauge_text(row.gauge),
            row.reason.text,
        )
    return table


def put_truck(out: Console, page: TruckPage) -> None:
    """One truck on the terminal."""
    row = page.row
    out.print(Text(f"{SHAPE[row.state]} Truck {row.truck}: {row.words}", style="bold"))
    for reason in row.reasons:
        out.print(f"  {reason.text}" + (f" [{reason.source}]" if reason.source else ""), markup=False)
    if row.lock:
        out.print(f"  Being worked on by {row.lock}. Do not touch.", markup=False)
    facts = [row.kind, row.place, page.serial and f"serial {page.serial}", page.built and f"built {page.built}"]
    out.print("  " + " · ".join(str(fact) for fact in facts if fact), markup=False)
    out.print(f"  Hour meter {hours(row.hours)} · key {row.key} · book {page.code}", markup=False)
    for gauge in row.gauges:
        out.print(f"  {gauge.what:>10} {gauge_text(gauge)}", markup=False)
    if page.faults:
        out.print(Text("Open faults", style="bold"))
    for fault in page.faults:
        out.print(f"  {fault.words}: {fault.text} (since {fault.since}, {fault.by}). Next: {fault.next}.", markup=False)
        out.print(f"    {fault.ref}", markup=False, style="dim")
    if page.doubts:
        out.print(Text("Doubtful meter readings", style="bold"))
    for doubt in page.doubts:
        out.print(f"  {hours(doubt.shown)} on {doubt.meter}: {doubt.text} ({doubt.fact})", markup=False)
    out.print(Text("Due soon", style="bold"))
    out.print(due_table(page.due))
    out.print(CAUTION, markup=False, style="dim")


def put_log(out: Console, rows: Sequence[LogRow]) -> None:
    """The logbook: both times, what it says, who, its number; what no longer counts is struck through with a word."""
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for name in ("no", "happened", "received", "what", "says", "by", "id"):
        table.add_column(name, overflow="fold")
    for row in rows:
        clock = "" if row.whole_day else f" {row.happened:%H:%M}"
        says = in_words(row)
        if row.corrected_by:
            says = f"CORRECTED: {says}"
        elif not row.counts and row.kind not in ("corrected", "withdrawn"):
            says = f"WITHDRAWN: {says}"
        table.add_row(
            str(row.seq),
            iso_day(row.happened.date()) + clock,
            f"{row.received:%Y-%m-%d %H:%M}",
            row.kind,
            Text(says),
            row.by,
            row.id,
        )
    out.print(table)


def put_rules(out: Console, kind: Kind, rules: Rules) -> None:
    """The rules of a kind of truck: checks by place, services with their tasks, each with its source."""
    out.print(Text(f"{kind.text} ({kind.key})", style="bold"))
    for place in sorted(kind.places, key=lambda one: one.number):
        out.print(Text(f"{place.number}. {place.text}", style="bold"))
        for check in (one for one in kind.checks if one.place == place.id):
            needs = f" (if fitted: {', '.join(check.needs)})" if check.needs else ""
            out.print(
                f"  {check.id}: {check.text}{needs}. Normal: {check.normal}. {_source(check, rules)}", markup=False
            )
            for symptom in check.symptoms:
                days = f" within {symptom.days} days" if symptom.days else ""
                word = f"{SERIOUSNESS[symptom.seriousness]}{days}"
                out.print(f"      {symptom.id}: {symptom.text}. {word}. {_source(symptom, rules)}", markup=False)
    for service in kind.services:
        window = kind.window(service)
        interval = "by date" if service.interval_hours is None else hours(service.interval_hours)
        months = "" if service.months is None else f" or {service.months} months, whichever first"
        edges = f"early {window.early_percent:f} %, late {window.late_percent:f} %"
        out.print(Text(f"{service.text}: {interval}{months}; {edges}", style="bold"))
        for task in (one for one in kind.tasks if one.id in service.tasks):
            out.print(f"  {task.id}: {task.text} ({task.minutes} min). {_source(task, rules)}", markup=False)
            for caution in task.cautions:
                out.print(f"      ! {caution}", markup=False)
    out.print(CAUTION, markup=False, style="dim")


def _source(value: Check | Symptom | Task, rules: Rules) -> str:
    source = rules.sources[value.source]
    return f"[{' '.join(part for part in (source.title, source.clause) if part)}; {value.mark}]"
