"""What every command takes, and how it opens the yard. Heavy imports stand inside functions: `--help` is quick."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from decimal import Decimal

    from dipmark.office.enter import Entered, When
    from dipmark.office.open import Office

AsOf = Annotated[
    str | None,
    typer.Option(
        "--as-of", metavar="TIME", help="Judge or write as of this time, such as 2026-11-20T06:00; yard's zone."
    ),
]
By = Annotated[str | None, typer.Option("--by", metavar="NAME", help="Who is asking or writing.")]
Json = Annotated[bool, typer.Option("--json", help="Print JSON.")]
Truck = Annotated[str, typer.Argument(metavar="TRUCK", help="The truck's number.")]
Hours = Annotated[str | None, typer.Option("--hours", metavar="HOURS", help="What the hour meter shows.")]
Tests = Annotated[
    list[str] | None, typer.Option("--tested", metavar="TEST", help="A test made and passed, such as road-test.")
]


@contextmanager
def office_of(context: typer.Context, by: str | None = None, *, create: bool = False) -> Iterator[Office]:
    """The yard that the command is about; closed at the end.

    Raises:
        typer.BadParameter: no store was named.
    """
    from dipmark.office.open import open_office

    with open_office(store_of(context), create=create, by=by, own_rules=own_rules_of(context)) as office:
        yield office


def store_of(context: typer.Context) -> str:
    """The address of the store, from --store or DIPMARK_STORE.

    Raises:
        typer.BadParameter: neither was given.
    """
    address: str | None = context.obj["store"]
    if not address:
        raise typer.BadParameter("no store was named: give --store PATH before the command, or set DIPMARK_STORE")
    return address


def own_rules_of(context: typer.Context) -> Path | None:
    """The folder with the yard's own rules, from --rules or DIPMARK_RULES."""
    own: Path | None = context.obj["rules"]
    return own


def when_of(office: Office, as_of: str | None) -> When:
    """When something written now happened: now, the time given, or a whole local day where only a date is given."""
    import re

    from dipmark.office.enter import When, day_of

    if as_of is None:
        return When(office.clock())
    moment = office.instant(as_of)
    if re.fullmatch(r"\d{4}-\d\d-\d\d|\d{8}", as_of.strip()):
        return day_of(moment.date(), office)
    return When(moment)


def number_of(text: str | None, what: str) -> Decimal | None:
    """A number as people write it.

    Raises:
        Refused: it is none, or it reads two ways.
    """
    if text is None:
        return None
    from dipmark.adapters.importing.cells import parse_number
    from dipmark.facts.errors import Refused
    from dipmark.facts.problems import Problem

    number = parse_number(text, None)
    if isinstance(number, Problem):
        raise Refused(f"{what}: {number.message}", [number])
    return number.value


def put_json(value: Any) -> None:
    """Print a value as JSON; decimal numbers are numbers."""
    import msgspec

    data = msgspec.json.encode(value) if isinstance(value, str) else _encoder().encode(value)
    sys.stdout.write(msgspec.json.format(data, indent=2).decode() + "\n")


def _encoder() -> Any:
    import msgspec

    return msgspec.json.Encoder(decimal_format="number", enc_hook=str)


def put_entered(entered: Entered, as_json: bool, said: str) -> None:
    """Say what was written, and what should be looked at all the same."""
    if as_json:
        put_json(
            {
                "accepted": [item.fact.id for item in entered.accepted],
                "known": entered.known,
                "doubtful": entered.doubts,
            }
        )
        return
    typer.echo(said if entered.accepted else "Known already; nothing was written.")
    for doubt in entered.doubts:
        typer.echo(f"Look at this: {doubt.message}", err=True)


@contextmanager
def progress_of(what: str) -> Iterator[Callable[[int, int], None]]:
    """A line on the terminal that says how far long work is; nothing where nobody watches."""
    if not sys.stderr.isatty():
        yield lambda _done, _whole: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, whole: bar.update(task, completed=done, total=whole)


def words(values: Sequence[str] | None) -> tuple[str, ...]:
    """The values of an option that may be given several times."""
    return tuple(values or ())
