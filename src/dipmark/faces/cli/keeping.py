"""Commands around the record: take, give, verify, backup, restore."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from dipmark.faces.cli.options import (
    AsOf,
    By,
    Json,
    ask,
    counted,
    office_of,
    own_rules_of,
    progress_of,
    put_bytes,
    put_json,
    say,
    store_of,
    words,
    write_new,
)

if TYPE_CHECKING:
    from dipmark.office.open import Office
    from dipmark.office.take import Question, Taken

Dates = Literal["dmy", "mdy", "ymd"]
Mark = Literal["comma", "point"]


Files = Annotated[
    list[Path] | None,
    typer.Argument(metavar="[FILE]...", help="Tables: CSV or a workbook. Filled sheets: JPEG, PNG, TIFF or PDF."),
]
Over = Annotated[
    bool, typer.Option("--look-over", help="Then look over the marks of sheets that were not sure, one by one.")
]


def take(
    context: typer.Context,
    files: Files = None,
    zone: Annotated[
        str | None, typer.Option("--zone", metavar="ZONE", help="The yard's time zone, such as Europe/Madrid.")
    ] = None,
    country: Annotated[
        str | None, typer.Option("--country", metavar="CODE", help="The yard's country, such as GB.")
    ] = None,
    dates: Annotated[
        Dates | None, typer.Option("--dates", help="How to read 03/04/2026, where it reads two ways.")
    ] = None,
    decimal: Annotated[
        Mark | None, typer.Option("--decimal", help="How to read 1,250, where it reads two ways.")
    ] = None,
    column: Annotated[
        list[str] | None,
        typer.Option("--column", metavar="HEADER=FIELD", help="What a column means, such as 'Day=date'."),
    ] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Say what would happen; write nothing.")] = False,
    over: Over = False,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Take your own tables in, and filled sheets from pictures; what is refused or not sure is handed back."""
    from dipmark.faces.cli.sheets import look_over, pictures_among, put_sheets
    from dipmark.office.take import TakeOptions
    from dipmark.office.take import take as take_tables
    from dipmark.office.take_sheets import SheetsTaken, take_sheets

    if not files and not over:
        raise typer.BadParameter("name a file, or give --look-over")
    tables, pictures = pictures_among(files or ())
    columns = dict(_pair(text) for text in words(column))
    ask = None if as_json or not sys.stdin.isatty() else _ask
    options = TakeOptions(dates, decimal, columns, zone, country, dry_run, ask)
    with _office_to_take(context, by, dry_run=dry_run) as office, progress_of("taking") as progress:
        taken = take_tables(office, tables, options, progress)
        sheets = take_sheets(office, pictures, dry_run=dry_run) if pictures else SheetsTaken((), ())
        if as_json:
            put_json({**_fields(taken), "sheets": sheets} if pictures else taken)
        else:
            _put_taken(taken, dry_run=dry_run, told=bool(tables or zone or country))
            put_sheets(sheets, dry_run=dry_run)
        if over and not dry_run:
            look_over(office)
    if taken.refused or sheets.refused:
        raise typer.Exit(1)


def _fields(taken: Taken) -> dict[str, object]:
    return {name: getattr(taken, name) for name in taken.__struct_fields__}


def _pair(text: str) -> tuple[str, str]:
    header, equals, field = text.rpartition("=")
    if not equals:
        raise typer.BadParameter(f"{text!r}: write HEADER=FIELD, such as 'Day=date'", param_hint="--column")
    return header.strip(), field.strip()


@contextmanager
def _office_to_take(context: typer.Context, by: str | None, *, dry_run: bool) -> Iterator[Office]:
    """The yard to take into; a dry run makes no store where there is none."""
    from dipmark.facts.errors import NotFound
    from dipmark.office.open import open_office

    address, rules = store_of(context), own_rules_of(context)
    try:
        office = open_office(address, create=not dry_run, by=by, own_rules=rules)
    except NotFound:
        office = open_office(":memory:", create=True, by=by, own_rules=rules)
    with office:
        yield office


def _ask(question: Question) -> str | None:
    place = f"{question.file}, sheet {question.sheet}" if question.sheet else question.file
    say(f"{place}, column {question.column}: {question.example}", err=True)
    return ask(f"{question.about}: {', '.join(question.choices)}; empty refuses") or None


def _put_taken(taken: Taken, *, dry_run: bool, told: bool) -> None:
    if not told:
        return
    would = "would be " if dry_run else ""
    rows = counted(taken.accepted, "row")
    say(f"{rows} {would}accepted, {taken.known} known already, {taken.refused_rows} refused.")
    for left in taken.left_out:
        place = f"{left.file}, sheet {left.sheet}" if left.sheet else left.file
        say(f"{place}: columns left out: {', '.join(left.columns)}. --column 'HEADER=FIELD' takes one in.")
    for note in taken.notes:
        say(note)
    for doubt in taken.doubtful:
        say(f"Look at this: {doubt}")
    for one in taken.refused:
        place = ", ".join(
            part
            for part in (one.file, one.sheet, one.line and f"line {one.line}", one.column and f"column {one.column}")
            if part
        )
        say(f"{place}: found {one.found}; expected {one.expected}. {one.hint}".rstrip(), err=True)
    for path in taken.refused_files:
        say(f"Refused rows are in {path}: mend them there and take that file.", err=True)


def give(
    context: typer.Context,
    what: Annotated[Literal["trucks", "readings", "services", "record"], typer.Argument(help="What to hand out.")],
    path: Annotated[Path | None, typer.Argument(metavar="FILE", help="Where to; without it, standard output.")] = None,
    names: Annotated[list[str] | None, typer.Option("--truck", metavar="TRUCK", help="Only this truck.")] = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Hand out a table that `take` reads again, or the record in the plain-text notation."""
    from dipmark.office.give import give_notation, give_table
    from dipmark.office.look import as_of_or_now

    with office_of(context, by) as office:
        if what == "record":
            text = give_notation(office, words(names))
        else:
            text = give_table(office, what, as_of_or_now(office, as_of), words(names))
    if as_json:
        put_json({"what": what, "text": text})
    elif path is None:
        put_bytes(text.encode())
    else:
        with write_new(path, csv_like=what != "record") as out:
            out.write(text)
        say(f"{path} written.")


def verify(
    context: typer.Context,
    against: Annotated[
        str | None, typer.Option("--against", metavar="CODE", help="A code printed earlier on any page.")
    ] = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Prove the record: every fact, every chain; against a printed code also that nothing was cut or rewritten."""
    from dipmark.office.prove import codes
    from dipmark.office.prove import verify as verify_record

    with office_of(context, by) as office, progress_of("verifying") as progress:
        problems, found = verify_record(office, against, progress), codes(office)
    if as_json:
        put_json({"clean": not problems, "problems": problems, "codes": found})
    else:
        for problem in problems:
            say(str(problem), err=True)
        for book, code in found.items():
            say(f"{book:<16} {code}")
        say(counted(len(problems), "problem") + "." if problems else "Clean: no fact was changed and none is missing.")
    if problems:
        raise typer.Exit(1)


def backup(
    context: typer.Context,
    path: Annotated[Path, typer.Argument(metavar="FILE", help="Where to; it must not be there yet.")],
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Write a consistent copy of the whole store, while it is in use."""
    from dipmark.office.prove import backup as write_backup

    with office_of(context, by) as office, progress_of("copying") as progress:
        write_backup(office, path, progress)
    put_json({"backup": str(path)}) if as_json else say(f"{path} written and verified. Keep it in another place.")


def restore(
    context: typer.Context,
    path: Annotated[Path, typer.Argument(metavar="FILE", help="A backup.")],
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Bring a backup back into a store that is empty or not there yet."""
    from dipmark.office.prove import restore as read_backup

    address = store_of(context)
    with progress_of("copying") as progress:
        read_backup(path, address, progress)
    put_json({"restored": address}) if as_json else say(f"{address} restored and verified.")
