"""The commands `rules show` and `rules lint`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from dipmark.faces.cli.options import Json, counted, own_rules_of, put_json, say

rules = typer.Typer(no_args_is_help=True, help="The rules: what each kind of truck asks for.")


@rules.command()
def show(
    context: typer.Context,
    kind: Annotated[
        str | None, typer.Argument(metavar="KIND", help="A kind of truck; without it, which there are.")
    ] = None,
    as_json: Json = False,
) -> None:
    """The rules of a kind of truck, with their sources."""
    from dipmark.adapters.rulefiles import read_rules
    from dipmark.facts.errors import NotFound
    from dipmark.rules.model import KIND_KEYS

    found = read_rules(own_rules_of(context))
    if kind is None:
        listed = [{"kind": key, "rules": key in found.kinds} for key in KIND_KEYS]
        if as_json:
            put_json(listed)
            return
        for key in KIND_KEYS:
            say(f"{key:<28}" + (found.kinds[key].text if key in found.kinds else "no rules yet"))
        return
    one = found.kind(kind)
    if one is None:
        raise NotFound(f"There are no rules for {kind!r}. There are: {', '.join(found.kinds)}.")
    if as_json:
        put_json(one)
        return
    from dipmark.faces.cli.render import console, put
    from dipmark.faces.cli.render_rules import rules_parts

    put(console(), *rules_parts(one, found))


@rules.command()
def lint(
    context: typer.Context,
    folder: Annotated[
        Path | None, typer.Argument(metavar="FOLDER", help="The yard's own rules; without it, those in use.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Everything wrong in the rules, all at once, with file and line."""
    from dipmark.adapters.rulefiles import read_problems

    problems = read_problems(folder or own_rules_of(context))
    if as_json:
        put_json(problems)
    else:
        for problem in problems:
            say(str(problem), err=True)
        say(counted(len(problems), "problem") + "." if problems else "Clean.")
    if any(problem.hard for problem in problems):
        raise typer.Exit(1)
