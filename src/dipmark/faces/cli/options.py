"""What every command takes, and how it opens the yard. Heavy imports stand inside functions: `--help` is quick."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, TextIO

import typer

if TYPE_CHECKING:
    from dipmark.office.enter import Entered, When
    from dipmark.office.open import Office
    from dipmark.views.yard import YardRow

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
Note = Annotated[str | None, typer.Option("--note", metavar="WORDS", help="Anything to remember.")]
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

    own, language = own_rules_of(context), language_of(context)
    with open_office(store_of(context), create=create, by=by, own_rules=own, language=language) as office:
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


def language_of(context: typer.Context) -> str | None:
    """The language asked for, from --language or DIPMARK_LANGUAGE; None: the yard's."""
    tag: str | None = context.obj["language"]
    return tag


def when_of(office: Office, as_of: str | None) -> When:
    """When something written now happened: now, the time given, or a whole local day where only a date is given.

    Now is told to the second, as tables and people do.
    """
    from dipmark.office.enter import When, day_of
    from dipmark.office.open import is_day

    if as_of is None:
        return When(office.clock().replace(microsecond=0))
    moment = office.instant(as_of)
    return day_of(moment.date(), office) if is_day(as_of) else When(moment)


def say(text: str, *, err: bool = False) -> None:
    """Print lines for a person; on a terminal they break between words."""
    stream = sys.stderr if err else sys.stdout
    put_text((_broken(text) if stream.isatty() else text) + "\n", stream)


def put_text(text: str, stream: TextIO | None = None) -> None:
    """Print text as it is, at once."""
    out = stream or sys.stdout
    out.write(text)
    out.flush()


def _broken(text: str) -> str:
    """Lines no longer than the terminal is wide, each part as far from the edge as its line begins."""
    import shutil
    import textwrap

    width = max(40, shutil.get_terminal_size().columns)
    lines = []
    for line in text.split("\n"):
        edge = " " * (len(line) - len(line.lstrip()))
        lines += textwrap.wrap(line, width, subsequent_indent=edge, break_on_hyphens=False) or [""]
    return "\n".join(lines)


def counted(number: int, word: str) -> str:
    """A number with its word: 1 row, 2 rows.

    Example:
        >>> counted(1, "row"), counted(1200, "row")
        ('1 row', '1,200 rows')
    """
    return f"{number:,} {word}{'' if number == 1 else 's'}"


def ask(question: str) -> str:
    """Ask on the error stream, so that what is printed stays clean; the answer without blanks around it.

    Raises:
        typer.Abort: nobody answers any more.
    """
    put_text(f"{_broken(question) if sys.stderr.isatty() else question}: ", sys.stderr)
    line = sys.stdin.readline()
    if not line:
        raise typer.Abort
    return line.strip()


def put_bytes(data: bytes) -> None:
    """Print bytes as they are, whatever the terminal speaks."""
    typer.echo(data, nl=False)


def put_json(value: Any) -> None:
    """Print a value as JSON, in UTF-8; decimal numbers are numbers."""
    import msgspec

    encoder = msgspec.json.Encoder(decimal_format="number", enc_hook=str)  # a path is its text
    put_bytes(msgspec.json.format(encoder.encode(value), indent=2) + b"\n")


def put_entered(
    office: Office,
    name: str,
    entered: Entered,
    as_of: str | None,
    as_json: bool,
    said: str,
    more: Mapping[str, object] | None = None,
) -> None:
    """Say what was written, how the truck stands now, and what should be looked at all the same.

    With --json `more` stands beside it.
    """
    from dipmark.facts.errors import NotFound
    from dipmark.office.look import as_of_or_now, row_of
    from dipmark.views.words import VERDICT

    try:
        row: YardRow | None = row_of(office, name, as_of_or_now(office, as_of))
    except NotFound:  # written for a day before the truck was enrolled
        row = None
    if as_json:
        ids = [item.fact.id for item in entered.accepted]
        put_json({"accepted": ids, "known": entered.known, "doubtful": entered.doubts, "truck": row, **(more or {})})
        return
    say(said)
    if row is not None:
        say(f"Truck {row.truck}: {row.words}. {office.rules.word(VERDICT[row.state])}")
        for reason in row.reasons:
            say(f"  {reason.text}")
    for doubt in entered.doubts:
        say(f"Look at this: {doubt.message}", err=True)


@contextmanager
def progress_of(what: str) -> Iterator[Callable[[int, int], None]]:
    """A line on the terminal that says how far long work is; nothing where nobody watches."""
    if not sys.stderr.isatty():
        yield lambda _done, _whole: None
        return
    from rich.console import Console
    from rich.progress import Progress

    bar = Progress(console=Console(stderr=True), transient=True)
    task = bar.add_task(what, total=None)

    def tell(done: int, whole: int) -> None:
        bar.start()  # with the first step, so that questions asked before it stand alone
        bar.update(task, completed=done, total=whole)

    try:
        yield tell
    finally:
        bar.stop()


@contextmanager
def write_new(path: Path, *, csv_like: bool) -> Iterator[TextIO]:
    """A new text file; a table begins with a mark that spreadsheet programs know UTF-8 by.

    Raises:
        Refused: it is there already, or cannot be written.
    """
    from dipmark.facts.errors import Refused

    try:
        with path.open("x", encoding="utf-8-sig" if csv_like else "utf-8", newline="") as out:
            yield out
    except FileExistsError as fault:
        raise Refused(f"{path} is there already; it is not written over. Name another file.") from fault
    except OSError as fault:
        raise Refused(f"{path} cannot be written: {fault.strerror}.") from fault


def words(values: Sequence[str] | None) -> tuple[str, ...]:
    """The values of an option that may be given several times."""
    return tuple(values or ())
