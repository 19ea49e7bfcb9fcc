"""The commands `lessons`, `lessons table` and `lessons replace`: the yard, a table, when to replace a part."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from dipmark.faces.cli.lessons_yard import yard_lessons
from dipmark.faces.cli.options import Json, put_json

if TYPE_CHECKING:
    from dipmark.views.lessons_table import LivesLesson, RecurrenceLesson, ReplaceLesson, UpkeepLesson

lessons = typer.Typer()
lessons.callback(invoke_without_command=True)(yard_lessons)


@lessons.command()
def table(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A table: CSV or a workbook.")],
    holds: Annotated[
        Literal["recurrence", "lives", "upkeep"],
        typer.Option(
            "--as",
            help="recurrence: unit, hours, event (fault, end), cost. lives: hours, event (failed, running), count. "
            "upkeep: year, value, upkeep.",
        ),
    ],
    level: Annotated[float, typer.Option("--level", min=0.5, max=0.999, help="Of all limits.")] = 0.95,
    price: Annotated[float | None, typer.Option("--price", min=0, help="For upkeep: the truck new.")] = None,
    rate: Annotated[
        str | None, typer.Option("--rate", metavar="PERCENT", help="For upkeep: interest a year, such as 10%.")
    ] = None,
    decimal: Annotated[
        Literal["comma", "point"] | None, typer.Option("--decimal", help="The mark before decimals, where it is asked.")
    ] = None,
    as_json: Json = False,
) -> None:
    """What a table kept elsewhere teaches; nothing is written into the record."""
    from dipmark.office.lessons_table import lives_of, recurrence_of, upkeep_of

    if (price is None) is not (rate is None) or (holds == "upkeep") is (price is None):
        raise typer.BadParameter("--price and --rate go with --as upkeep, both of them")
    lesson: RecurrenceLesson | LivesLesson | UpkeepLesson
    if price is not None and rate is not None:
        lesson = upkeep_of(file, price, _rate(rate), decimal)
    elif holds == "lives":
        lesson = lives_of(file, level, decimal)
    else:
        lesson = recurrence_of(file, level, decimal)
    _put(lesson, as_json)


def _rate(text: str) -> float:
    """10% or 10 % or 0.10; a bare 10 reads two ways."""
    bare = text.strip()
    digits = bare.removesuffix("%").strip().replace(",", ".")
    try:
        value = float(digits) / (100 if bare.endswith("%") else 1)
    except ValueError:
        value = 2.0
    if not 0 <= value <= 1:
        raise typer.BadParameter(f"--rate {text}: write it with its sign, such as 10%, up to 100%")
    return value


@lessons.command()
def replace(
    shape: Annotated[float, typer.Option("--shape", help="Weibull shape of the lives; over 1 they wear out.")],
    scale: Annotated[float, typer.Option("--scale", help="Hours by which 63.2 % have failed.")],
    planned: Annotated[float, typer.Option("--planned", help="Cost of a planned replacement.")],
    failure: Annotated[float, typer.Option("--failure", help="Cost of a failure with all that follows.")],
    as_json: Json = False,
) -> None:
    """When to replace a part before it fails, so that it costs least."""
    from dipmark.office.lessons_table import replacement_of

    for name, value, least, most in (
        ("--shape", shape, 0.1, 100.0), ("--scale", scale, 1e-3, 1e9),
        ("--planned", planned, 1e-6, 1e12), ("--failure", failure, 1e-6, 1e12),
    ):  # fmt: skip
        if not least <= value <= most:
            raise typer.BadParameter(f"{name} {value:g}: a number from {least:g} to {most:g}")
    if failure > 1e6 * planned:
        raise typer.BadParameter(f"--failure {failure:g}: at most a million times --planned")
    _put(replacement_of(shape, scale, planned, failure), as_json)


def _put(lesson: RecurrenceLesson | LivesLesson | UpkeepLesson | ReplaceLesson, as_json: bool) -> None:
    if as_json:
        put_json(lesson)
        return
    from dipmark.faces.cli.render import console, put
    from dipmark.faces.cli.render_lessons_table import lesson_parts

    put(console(), *lesson_parts(lesson))
