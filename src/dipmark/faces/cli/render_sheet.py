"""The sheet of a service on a terminal: tasks, what stands on the truck's plate or a blank, cautions."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import ConsoleRenderable
from rich.padding import Padding
from rich.text import Text

from dipmark.faces.cli.render import heading
from dipmark.views.service_sheet import ServiceSheet
from dipmark.views.words import CAUTION


def sheet_parts(sheet: ServiceSheet) -> Iterator[ConsoleRenderable | str]:
    """A box to tick for each task; cautions stand beside the task."""
    yield heading(f"Truck {sheet.truck}, {sheet.text}: about {sheet.minutes} min, one trained person")
    for task in sheet.tasks:
        retest = " To be tested and recorded before release." if task.retest else ""
        yield Padding(Text(f"[ ] {task.text}.{retest}"), (0, 0, 0, 1))
        needs = [*task.parts, *task.fluids]
        lines = [f"with: {', '.join(needs)}"] if needs else []
        lines += [line.text for line in task.plate]
        lines += [f"! {caution}" for caution in task.cautions]
        for line in lines:
            yield Padding(Text(line), (0, 0, 0, 5))
    yield f"\n{CAUTION}"
