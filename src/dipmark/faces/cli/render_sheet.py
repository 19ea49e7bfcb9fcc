"""The sheet of a service on a terminal: tasks, what stands on the truck's plate or a blank, cautions."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rich.console import ConsoleRenderable
from rich.padding import Padding
from rich.text import Text

from dipmark.faces.cli.render import heading
from dipmark.views.service_sheet import ServiceSheet
from dipmark.views.words import CAUTION

ROOM: Final = "____________"
"""Room for a measured value; it is noted with the command measure."""


def sheet_parts(sheet: ServiceSheet) -> Iterator[ConsoleRenderable | str]:
    """A box to tick for each task; cautions stand beside the task."""
    yield heading(f"Truck {sheet.truck}, {sheet.text}: about {sheet.minutes} min, one trained person")
    for task in sheet.tasks:
        retest = " To be tested and recorded before release." if task.retest else ""
        yield Padding(Text(f"[ ] {task.text}.{retest}"), (0, 0, 0, 1))
        needs = [*task.parts, *task.fluids]
        lines = [f"with: {', '.join(needs)}"] if needs else []
        lines += [line.text for line in task.plate]
        for box in task.boxes:
            lines += [f"{row.text}: {ROOM}{f' last {row.last}' if row.last else ''}" for row in box.lines]
            lines += [*box.how, *box.limits]
        cautions = dict.fromkeys((*task.cautions, *(caution for box in task.boxes for caution in box.cautions)))
        lines += [f"! {caution}" for caution in cautions]
        for line in lines:
            yield Padding(Text(line), (0, 0, 0, 5))
    yield f"\n{CAUTION}"
