"""Lessons from a table on a terminal: the advice first, then the figures behind it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final, TypeVar

from rich.console import ConsoleRenderable
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from dipmark.faces.cli.options import counted
from dipmark.faces.cli.render import heading
from dipmark.views.lessons_table import LivesLesson, McfRow, RecurrenceLesson, ReplaceLesson, UpkeepLesson, figure

SHOWN: Final = 12
"""Rows of a long table that are shown, spread over the whole; --json has all."""

Row = TypeVar("Row")

TESTS: Final = {
    "laplace": "Laplace",
    "mil189": "MIL-HDBK-189",
    "mann": "Mann, order of the gaps",
    "anderson_darling": "Anderson and Darling",
    "lewis_robinson": "Lewis and Robinson",
}


def lesson_parts(
    lesson: RecurrenceLesson | LivesLesson | UpkeepLesson | ReplaceLesson,
) -> Iterator[ConsoleRenderable]:
    """A lesson, its advice first."""
    yield Text(lesson.advice, "bold")
    if not isinstance(lesson, UpkeepLesson):
        yield from (_in(Text(note)) for note in lesson.notes)
    if isinstance(lesson, RecurrenceLesson):
        yield from _recurrence(lesson)
    elif isinstance(lesson, LivesLesson):
        yield from _lives(lesson)
    elif isinstance(lesson, UpkeepLesson):
        rows = zip(lesson.equivalent_annual_cost, lesson.marginal, strict=True)
        yield heading("Cost a year")
        yield _table(("years kept", "a year", "that year alone"),
                     [(str(at), figure(kept), figure(alone)) for at, (kept, alone) in enumerate(rows, 1)])  # fmt: skip


def _recurrence(lesson: RecurrenceLesson) -> Iterator[ConsoleRenderable]:
    yield heading(f"{counted(lesson.units, 'unit')}, {counted(lesson.faults, 'fault')}; limits of {lesson.level:.4g}")
    law, now = lesson.power_law, lesson.between
    if law:
        told = f"Power law: shape {figure(law.beta)} ({figure(law.low)} to {figure(law.high)}), one fault by "
        yield _in(Text(f"{told}{figure(law.eta)} h; {law.truncation} truncated."))
    if now:
        limits = "limits not known" if now.low is None else f"{figure(now.low)} to {_or_none(now.high)}"
        yield _in(Text(f"Hours between faults at the end of the watch: {figure(now.hours)} ({limits})."))
    if lesson.trend:
        yield heading("Do the faults come closer together?")
        found = [(words, getattr(lesson.trend, name)) for name, words in TESTS.items()]
        rows = [(words, f"{one.statistic:.4g}", f"{one.p:.2g}") for words, one in found if one]
        yield _table(("test", "statistic", "p"), rows)
    yield from _mcf("Faults a unit has had", lesson.mcf)
    if lesson.mcf_cost is not None:
        yield from _mcf("Cost of a unit", lesson.mcf_cost)


def _mcf(title: str, rows: Sequence[McfRow]) -> Iterator[ConsoleRenderable]:
    if rows:
        yield heading(title)
        yield _table(
            ("by hours", "mean", "low", "high", "units watched"),
            [
                (figure(row.hours), *map(figure, (row.value, row.low, row.high)), str(row.at_risk))
                for row in _some(rows)
            ],
        )


def _lives(lesson: LivesLesson) -> Iterator[ConsoleRenderable]:
    parts, watched = counted(round(lesson.parts), "part"), f"{figure(lesson.watched)} h of all together"
    yield heading(f"{parts}, {lesson.failures:,.0f} failed, {watched}; limits of {lesson.level:.4g}")
    law = lesson.weibull
    if law:
        shape = f"Weibull: shape {figure(law.shape)} ({figure(law.shape_low)} to {figure(law.shape_high)})"
        ends = f"{_or_none(law.scale_low)} to {_or_none(law.scale_high)}"
        yield _in(Text(f"{shape}, 63.2 % failed by {figure(law.scale)} h ({ends})."))
    if lesson.kaplan_meier:
        yield heading("Share that lives longer")
        yield _table(
            ("than hours", "share", "low", "high", "parts watched"),
            [
                (figure(row.hours), f"{row.alive:.1%}", f"{row.low:.1%}",
                 "" if row.high is None else f"{row.high:.1%}", f"{row.at_risk:,.0f}")
                for row in _some(lesson.kaplan_meier)
            ],
        )  # fmt: skip


def _or_none(value: float | None) -> str:
    return "none" if value is None else figure(value)


def _some(rows: Sequence[Row]) -> Sequence[Row]:
    """At most so many rows, the first and the last among them."""
    last = len(rows) - 1
    return rows if last < SHOWN else [rows[round(at * last / (SHOWN - 1))] for at in range(SHOWN)]


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> Padding:
    made = Table.grid(padding=(0, 3, 0, 0))
    for at, _ in enumerate(heads):
        made.add_column(justify="left" if at == 0 else "right")
    made.add_row(*(Text(head, "dim") for head in heads))
    for row in rows:
        made.add_row(*row)
    return _in(made)


def _in(part: ConsoleRenderable) -> Padding:
    return Padding(part, (0, 0, 0, 2))
