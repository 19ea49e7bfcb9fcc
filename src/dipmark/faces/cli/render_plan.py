"""The fortnight and the stores in the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import ConsoleRenderable
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from dipmark.faces.cli.render import gauge_text, heading
from dipmark.views.parts import PartsPage, bare
from dipmark.views.workshop import PlanPage


def plan_parts(page: PlanPage, *, why: bool) -> Iterator[ConsoleRenderable]:
    """Day by day, then what is not in it."""
    for day in page.days:
        busy = [cell for cell in day.cells if cell.cards]
        if not busy:
            continue
        yield heading(day.words)
        table = Table.grid(padding=(0, 2, 0, 0))
        for cell in busy:
            for number, card in enumerate(cell.cards):
                who = page.people[cell.who] if number == 0 else ""
                said = "; ".join(card.jobs) + (" [moved]" if card.moved else "")
                lines = [said, *card.why] if why else [said]
                shift, minutes = cell.shift if number == 0 else "", f"{card.minutes} min"
                table.add_row(*map(Text, (who, shift, card.truck, "\n".join(lines), minutes)))
        yield Padding(table, (0, 0, 0, 2))
    for title, due in (("Not in the plan", True), ("May wait", False)):
        rows = [row for row in page.left if row.due is due]
        if rows:
            yield heading(title)
            table = Table.grid(padding=(0, 2, 0, 0))
            for row in rows:
                changes = " or ".join(row.changes) if due else ""
                table.add_row(
                    Text(row.truck), Text(row.job), Text(f"would fit with: {changes}" if changes else row.fits)
                )
            yield Padding(table, (0, 0, 0, 2))
    for complaint in page.complaints:
        yield Text(f"Cannot be: {complaint}", "bold")
    if page.cost:
        yield heading("What it is paid for, for comparing only")
        yield Padding(Text("\n".join(f"{amount:>12}  {text}" for text, amount in page.cost)), (0, 0, 0, 2))
    yield Text("\n".join(part for part in (f"\n{page.sure}", page.changes, page.guessed) if part))
    yield Text("\n" + " ".join(page.cautions), "dim")


def shelf_parts(page: PartsPage) -> Iterator[ConsoleRenderable]:
    """What to order, the kits, the shelf."""
    yield heading(f"Order, for {page.level} % of what is asked for")
    table = Table.grid(padding=(0, 2, 0, 0))
    for order in page.orders:
        lead = "" if order.lead_days is None else f"{order.lead_days} days"
        unit = "" if order.unit == "piece" else f"{order.unit} "
        what = f"{order.quantity} {unit}{order.part}"
        table.add_row(Text(f"by {order.day}"), Text(what), Text(lead), Text(order.supplier or ""), Text(order.wanted))
    yield Padding(table if page.orders else Text("Nothing."), (0, 0, 0, 2))
    if page.kits:
        yield heading("Kits")
        table = Table.grid(padding=(0, 2, 0, 0))
        for kit in page.kits:
            lines = [f"{line.quantity} {line.part}{_there(line.there, line.quantity)}" for line in kit.lines]
            table.add_row(Text(kit.day), Text(kit.truck), Text(kit.what), Text("\n".join(lines)))
        yield Padding(table, (0, 0, 0, 2))
    yield heading("Shelf")
    table = Table.grid(padding=(0, 2, 0, 0))
    for row in page.shelf:
        there = f"{bare(row.there)} {row.unit}"
        table.add_row(Text(row.part), Text(row.place or ""), Text(gauge_text(row.gauge)), Text(there),
                      Text("\n".join((*row.coming, *row.words))))  # fmt: skip
    yield Padding(table, (0, 0, 0, 2))


def _there(there: object, quantity: int) -> str:
    if there is None:
        return ", not kept"
    return "" if int(str(there).split(".", maxsplit=1)[0]) >= quantity else f", {there} there"
