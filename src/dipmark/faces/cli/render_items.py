"""An item at the terminal: where it hangs, what is wrong with it, its hours."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import ConsoleRenderable
from rich.padding import Padding
from rich.text import Text

from dipmark.faces.cli.render import heading
from dipmark.views.items import ItemPage
from dipmark.views.words import CAUTION


def item_parts(page: ItemPage) -> Iterator[ConsoleRenderable]:
    """One item."""
    row = page.row
    yield Text(f"{row.name}: {row.what}, {row.where}", "bold")
    yield from (_in(f"OUT: {text}") for text in row.stops)
    yield _in(f"Hours on trucks: {page.hours}" + (f" · serial {row.serial}" if row.serial else ""))
    yield from (_in(text) for text in (*row.due, *page.faults, *page.measures))
    if page.stays:
        yield heading("Where it has hung")
    for stay in page.stays:
        yield _in(f"truck {stay.truck}: {stay.start} – {stay.end or 'now'}, {stay.hours}")
        if stay.doubt:
            yield _in(stay.doubt, 4)
    yield Text(f"\n{CAUTION}", "dim")


def _in(text: str, left: int = 2) -> Padding:
    return Padding(Text(text), (0, 0, 0, left))
