"""Readings on a terminal: the verdict, its limit and source, the cautions beside it; and what can be measured."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from rich.console import ConsoleRenderable
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from dipmark.derive.judging import Input, Judged, Measurement
from dipmark.derive.measures import amount
from dipmark.faces.cli.render import gauge_text, heading
from dipmark.rules.limits import Subject
from dipmark.rules.model import Rules
from dipmark.views.measures import MeasureRow, UseRow, limit_words, title_of, verdict_words
from dipmark.views.words import CAUTION, day


def gauged_parts(judged: Judged, subject: Subject, rules: Rules) -> Iterator[ConsoleRenderable | str]:
    """A reading, its verdict first."""
    limit = f", limit {amount(judged.limit, judged.unit)}" if judged.limit is not None else ""
    band = f", {amount(judged.low, None)} to {amount(judged.high, judged.unit)}" if judged.low is not None else ""
    value = f": {amount(judged.value, judged.unit)}{band}{limit}" if judged.value is not None else ""
    yield Text(f"{verdict_words(judged, rules.word)}{value}", "bold")
    yield _in(Text(judged.because))
    for note in judged.notes:
        yield _in(Text(note))
    more = ", ".join(f"{name.replace('-', ' ')} {amount(value, None)}" for name, value in judged.more.items())
    if more:
        yield _in(Text(more))
    source = title_of(judged.source, rules.sources)
    if source:
        yield _in(Text(f"[{source}]", "dim"))
    for caution in subject.cautions:
        yield _in(Text(f"! {caution.text}"))
    yield Text(rules.word(CAUTION), "dim")


def sheet_parts(rows: Sequence[MeasureRow]) -> Iterator[ConsoleRenderable]:
    """The results of a laboratory's sheet, a line each."""
    for row in rows:
        yield Text(f"{row.where}: {limit_words(row)}. {row.words}. {row.because}")
        for note in row.notes:
            yield _in(Text(note))


def measures_parts(rows: Sequence[MeasureRow], uses: Sequence[UseRow]) -> Iterator[ConsoleRenderable]:
    """What was measured on a truck, and what it uses."""
    if rows:
        yield heading("Measured")
    for row in rows:
        where = f" ({row.where})" if row.where else ""
        until = f" To be renewed by {day(row.until)}." if row.until else ""
        yield _in(Text(f"{row.words}: {row.text}{where}, {limit_words(row)}. {day(row.day)}, {row.by}.{until}"))
        lines = [row.renewed] if row.renewed else []
        lines += [gauge_text(row.gauge)] if row.gauge else []
        lines += [row.because] if row.verdict not in {"in", None} or row.value is None else []
        lines += [*row.notes] if row.verdict != "in" else []
        lines += [row.wear.text, *row.wear.doubtful] if row.wear else []
        for line in lines:
            yield Padding(Text(line), (0, 0, 0, 4))
    if uses:
        yield heading("Topped up")
    for use in uses:
        yield _in(Text(f"{use.fluid}: {use.text}"))


def measurement_parts(measurements: Iterable[Measurement]) -> Iterator[ConsoleRenderable]:
    """All that can be measured, each with what it takes; what may be left out stands in brackets."""
    table = Table.grid(padding=(0, 2, 0, 0))
    table.add_column(no_wrap=True)
    table.add_column(overflow="fold")
    for one in measurements:
        takes = " ".join(_usage(asked) for asked in one.inputs)
        table.add_row(Text(one.name, "bold"), Text(f"{one.text}\n{takes}"))
    yield table


def inputs_parts(measurement: Measurement) -> Iterator[ConsoleRenderable]:
    """What one measurement takes."""
    yield Text(measurement.text, "bold")
    table = Table.grid(padding=(0, 2, 0, 0))
    table.add_column(no_wrap=True)
    table.add_column(overflow="fold")
    for asked in measurement.inputs:
        words = f": {', '.join(asked.words)}" if asked.words else ""
        unit = f" ({asked.dimension})" if asked.dimension else ""
        table.add_row(Text(_usage(asked)), Text(f"{asked.text}{words}{unit}"))
    yield _in(table)


def _usage(asked: Input) -> str:
    text = f"--{asked.name}{' …' if asked.many else ''}"
    return text if asked.needed else f"[{text}]"


def _in(part: ConsoleRenderable) -> Padding:
    return Padding(part, (0, 0, 0, 2))
