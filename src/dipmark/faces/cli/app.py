"""The command line: one place that lists every command."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from dipmark.faces.cli import entering, keeping, lessons, looking, measuring, planning, ruling, walking

app = typer.Typer(
    name="dipmark",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    help="Keeps lift trucks between their marks: the check, the service at its hour, the record that proves it.",
)


@app.callback()
def start(
    context: typer.Context,
    store: Annotated[
        str | None,
        typer.Option(
            "--store",
            envvar="DIPMARK_STORE",
            metavar="PATH_OR_ADDRESS",
            help="The yard's record: a file, or a PostgreSQL address.",
        ),
    ] = None,
    rules: Annotated[
        Path | None,
        typer.Option("--rules", envvar="DIPMARK_RULES", metavar="FOLDER", help="The yard's own rules, laid over ours."),
    ] = None,
    language: Annotated[
        str | None,
        typer.Option(
            "--language",
            envvar="DIPMARK_LANGUAGE",
            metavar="TAG",
            help="Rules and states in this language, such as es or en-US; without it in the yard's.",
        ),
    ] = None,
) -> None:
    """Keep what every command needs."""
    context.obj = {"store": store, "rules": rules, "language": language}


for group, command in (
    ("Look", looking.show),
    ("Look", looking.yard),
    ("Look", looking.truck),
    ("Look", looking.due),
    ("Look", looking.log),
    ("Look", planning.plan),
    ("Write", walking.walk),
    ("Write", entering.read),
    ("Write", entering.fault),
    ("Write", entering.stop),
    ("Write", entering.repair),
    ("Write", entering.release),
    ("Write", entering.work),
    ("Write", measuring.sample),
    ("Write", measuring.topup),
    ("Record", keeping.take),
    ("Record", keeping.give),
    ("Record", keeping.verify),
    ("Record", keeping.backup),
    ("Record", keeping.restore),
):
    app.command(rich_help_panel=group)(command)
for group, raw in (("Look", measuring.gauge), ("Write", measuring.measure)):
    app.command(rich_help_panel=group, context_settings=measuring.RAW)(raw)
app.add_typer(planning.parts, name="parts", rich_help_panel="Look")
app.add_typer(lessons.lessons, name="lessons", rich_help_panel="Look")
app.add_typer(ruling.rules, name="rules", rich_help_panel="Record")
