"""The commands `rules show`, `rules lint` and `rules new`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dipmark.faces.cli.options import Json, counted, language_of, own_rules_of, put_json, say

if TYPE_CHECKING:
    from dipmark.rules.model import Rules

rules = typer.Typer(no_args_is_help=True, help="The rules: what each kind of truck asks for.")


@rules.command()
def show(
    context: typer.Context,
    kind: Annotated[
        str | None,
        typer.Argument(metavar="KIND", help="A kind of truck, `duties` or `symptoms`; without it, which there are."),
    ] = None,
    language: Annotated[
        str | None,
        typer.Option("--language", metavar="TAG", help="Its texts in another language, such as es or en-US."),
    ] = None,
    as_json: Json = False,
) -> None:
    """The rules of a kind of truck with their sources; what the law asks for; what may be wrong, and what now."""
    from dipmark.adapters.rulefiles import read_rules
    from dipmark.facts.errors import NotFound
    from dipmark.rules.model import KIND_KEYS

    found = read_rules(own_rules_of(context))
    if (tag := language or language_of(context)) is not None:
        from dipmark.adapters.languages import in_language

        found = in_language(found, tag, own_rules_of(context))
    if kind is None:
        listed = [{"kind": key, "rules": key in found.kinds} for key in KIND_KEYS]
        if as_json:
            put_json(listed)
            return
        for key in KIND_KEYS:
            say(f"{key:<28}" + (found.kinds[key].text if key in found.kinds else "no rules yet"))
        say(f"{'duties':<28}what the law asks for, by country: {', '.join(found.duties)}")
        say(f"{'symptoms':<28}something is wrong: what now, system by system")
        return
    if kind in ("duties", "symptoms"):
        _show_other(kind, found, as_json=as_json)
        return
    one = found.kind(kind)
    if one is None:
        raise NotFound(f"There are no rules for {kind!r}. There are: {', '.join(found.kinds)}, duties, symptoms.")
    if as_json:
        put_json(one)
        return
    from dipmark.faces.cli.render import console, put
    from dipmark.faces.cli.render_rules import rules_parts

    put(console(), *rules_parts(one, found))


def _show_other(what: str, rules: Rules, *, as_json: bool) -> None:
    from dipmark.faces.cli.render import console, put
    from dipmark.faces.cli.render_rules import duties_parts, wrong_parts
    from dipmark.views.wrong import all_wrong

    systems = all_wrong(rules)
    if as_json:
        put_json(rules.duties if what == "duties" else systems)
    else:
        put(console(), *(duties_parts(rules) if what == "duties" else wrong_parts(systems, rules)))


@rules.command()
def lint(
    context: typer.Context,
    folder: Annotated[
        Path | None, typer.Argument(metavar="FOLDER", help="The yard's own rules; without it, those in use.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Everything wrong in the rules, all at once, with file and line."""
    from dipmark.adapters.languages import language_problems
    from dipmark.adapters.rulefiles import read_problems, read_rules
    from dipmark.office.said import said

    own = folder or own_rules_of(context)
    problems = read_problems(own)
    if not any(problem.hard for problem in problems):
        problems = (*problems, *language_problems(read_rules(own), said(), own))
    if as_json:
        put_json(problems)
    else:
        for problem in problems:
            say(str(problem), err=True)
        say(counted(len(problems), "problem") + "." if problems else "Clean.")
    if any(problem.hard for problem in problems):
        raise typer.Exit(1)


@rules.command()
def new(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(metavar="FILE.xlsx", help="The workbook to write, or the filled one.")],
    start: Annotated[
        str | None,
        typer.Option("--from", metavar="KIND", help="Write it, with what holds for this kind of truck today."),
    ] = None,
    into: Annotated[
        Path | None,
        typer.Option("--into", metavar="FOLDER", help="Read it back, and write the yard's own rules there."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Rules for a new truck from its manual: first a workbook to fill, then its rules; with a fault none at all."""
    if into is None and start is not None:
        _write_blank(context, file, start)
        return
    if into is None or start is not None:
        raise typer.BadParameter("give --from KIND to write the workbook, or --into FOLDER to read it back")
    from dipmark.office.new_rules import rules_from

    made = rules_from(file, into)
    if as_json:
        put_json(made)
        return
    say(f"{made.path}: own rules for {made.kind}, {counted(made.changed, 'change')}.")
    for problem in made.odd:
        say(f"Look at this: {problem}", err=True)
    say(f"In use with --rules {into}. See it: dipmark --rules {into} rules show {made.kind}")


def _write_blank(context: typer.Context, file: Path, kind: str) -> None:
    from dipmark.adapters.rulefiles import read_rules
    from dipmark.facts.errors import Refused
    from dipmark.office.new_rules import blank_workbook

    data = blank_workbook(read_rules(own_rules_of(context)), kind)
    try:
        with file.open("xb") as out:
            out.write(data)
    except FileExistsError as fault:
        raise Refused(f"{file} is there already; it is not written over. Name another file.") from fault
    say(f"{file}: fill it, then read it back with: dipmark rules new {file} --into FOLDER")
