"""``lessons`` alone: what the yard's record teaches."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from dipmark.faces.cli.options import AsOf, By, Json, office_of, progress_of, put_json

if TYPE_CHECKING:
    from rich.console import ConsoleRenderable

    from dipmark.views.lessons import LessonsPage, Section

ROWS = 6
"""So many sentences of a question are shown without --all."""

All = Annotated[bool, typer.Option("--all", help="Every figure.")]
Sheets = Annotated[
    bool | None,
    typer.Option("--sheets/--no-sheets", help="Signs of careless sheets; without it as the country asks."),
]
Price = Annotated[
    float | None, typer.Option("--price", min=0, metavar="MONEY", help="A new truck, to keep or replace.")
]
Rate = Annotated[str, typer.Option("--rate", metavar="PERCENT", help="Interest a year, such as 10%.")]
Loses = Annotated[str, typer.Option("--loses", metavar="PERCENT", help="What a truck loses of its value each year.")]


def yard_lessons(
    context: typer.Context,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
    everything: All = False,
    sheets: Sheets = None,
    price: Price = None,
    rate: Rate = "0%",
    loses: Loses = "100%",
) -> None:
    """What keeps breaking: advice first, the figures behind it, and what could fool them."""
    if context.invoked_subcommand is not None:
        return
    from dipmark.faces.cli.render import console, put
    from dipmark.office.lessons import lessons_of
    from dipmark.office.look import as_of_or_now
    from dipmark.views.lessons import Watcher

    with office_of(context, by) as office, progress_of("deriving") as progress:
        page = lessons_of(
            office,
            as_of_or_now(office, as_of),
            Watcher(office.by if by is not None else None, all=True, on=sheets),
            price=price,
            rate=share(rate, "--rate"),
            loses=share(loses, "--loses"),
            progress=progress,
        )
    if as_json:
        put_json(page)
        return
    put(console(), *lessons_parts(page, ROWS if not everything else None))


def share(text: str, option: str) -> float:
    """A share written as a percentage, such as 10% or 7,5 %.

    Raises:
        typer.BadParameter: it is none from 0 to 100 %.
    """
    try:
        percent = float(text.strip().removesuffix("%").strip().replace(",", "."))
    except ValueError:
        percent = -1.0
    if not 0 <= percent <= 100:
        raise typer.BadParameter(f"{option} {text!r}: write a percentage from 0% to 100%, such as 10%")
    return percent / 100


def lessons_parts(page: LessonsPage, most: int | None) -> Iterator[ConsoleRenderable]:
    """The page on a terminal; of each question so many sentences, all where `most` is None."""
    from rich.padding import Padding
    from rich.text import Text

    from dipmark.faces.cli.render import heading

    def told(text: str, style: str = "", edge: int = 2) -> Padding:
        return Padding(Text(text, style), (0, 0, 0, edge))

    yield Text("What keeps breaking", "bold")
    yield from (told(line) for line in page.advice)
    yield told(page.method, "dim")
    if page.unheard:
        yield told(f"Without hours, so nothing can be learnt of them: {', '.join(page.unheard)}.", "dim")
    for section in page.sections:
        yield heading(section.title)
        yield from (told(text) for text in _sentences(section, most))
        if section.fooled:
            yield told(section.fooled, "dim")
    signs = page.signs
    yield heading("Are walk-rounds made?")
    yield from (told(row.text) for row in (*signs.own, *signs.others))
    yield from (told(line) for line in signs.yard)
    yield told(signs.note, "dim")
    if most is None:
        yield told("What is looked at, to be posted:", "dim")
        yield from (told(line, "dim", 4) for line in signs.posted)
    yield Text(f"\n{page.caution}", "dim")


def _sentences(section: Section, most: int | None) -> Iterator[str]:
    shown = section.rows[:most]
    yield from (row.text for row in shown)
    if len(shown) < len(section.rows):
        yield f"… and {len(section.rows) - len(shown)} more: --all shows them."
