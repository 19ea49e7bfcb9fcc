"""The entry point: wires the command line and the invented yard together."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from dipmark.faces.cli.app import app
from dipmark.faces.cli.ending import run as run_app
from dipmark.faces.cli.options import AsOf, By, Json, office_of, progress_of, put_json, say

__all__ = ["app", "run"]


@app.command(rich_help_panel="Record")
def demo(
    context: typer.Context,
    seed: Annotated[int, typer.Option("--seed", help="Another number makes another yard.")] = 20261,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Fill an empty store with an invented yard: fourteen trucks, two years, every kind of trouble."""
    from dipmark.demo import make_demo

    with office_of(context, by, create=True) as office, progress_of("inventing") as progress:
        instant = office.clock() if as_of is None else office.instant(as_of)
        count = make_demo(office, instant, seed=seed, progress=progress)
    if as_json:
        put_json({"facts": count})
    else:
        say(f"An invented yard of {count:,} facts. Now: dipmark show")


def run() -> None:
    """Run the command line. What is refused is said in a line or two, never in a traceback."""
    sys.exit(run_app(app))
