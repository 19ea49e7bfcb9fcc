"""The entry point: wires the command line and the invented yard together."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated, Literal

import msgspec
import typer

from dipmark.faces.cli.app import app
from dipmark.faces.cli.ending import run as run_app
from dipmark.faces.cli.options import (
    AsOf,
    By,
    Json,
    counted,
    language_of,
    office_of,
    own_rules_of,
    progress_of,
    put_json,
    say,
    store_of,
    words,
)
from dipmark.office.sheet_names import Sheet

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
    from dipmark.demo import make_demo, make_sign_ins

    with office_of(context, by, create=True) as office, progress_of("inventing") as progress:
        instant = office.clock() if as_of is None else office.instant(as_of)
        count = make_demo(office, instant, seed=seed, progress=progress)
        signs = make_sign_ins(office)
    if as_json:
        put_json({"facts": count, "sign_ins": signs})
        return
    say(f"An invented yard of {count:,} facts. Now: dipmark show, or dipmark serve")
    for one in signs:
        say(f"To sign in as {one.what}: {one.who}, {one.secret}")


@app.command(rich_help_panel="Record")
def serve(
    context: typer.Context,
    host: Annotated[str, typer.Option("--host", help="Listen at this address of the machine.")] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", envvar="PORT", help="Listen at this port.", min=0, max=65535)] = 8080,
    tls_name: Annotated[
        list[str] | None,
        typer.Option("--tls-name", metavar="NAME", help="Serve https under this name, by the yard's own certificate."),
    ] = None,
    tls_folder: Annotated[
        Path | None, typer.Option("--tls-folder", metavar="FOLDER", help="Where the yard's certificates lie.")
    ] = None,
    proxy: Annotated[
        str | None, typer.Option("--proxy", metavar="ADDRESS", help="A proxy at this address ends https in front.")
    ] = None,
    processes: Annotated[int, typer.Option("--processes", help="How many; several need PostgreSQL.", min=1)] = 1,
) -> None:
    """Serve the yard to browsers and phones; prints its address, and a link for the first owner where there is none."""
    from dipmark.adapters.clock import system_clock
    from dipmark.adapters.tls import certificates
    from dipmark.faces.web.serve import Serving, listening, run_server
    from dipmark.office.devices import owners_link
    from dipmark.office.sign_in import has_owner

    store, rules = store_of(context), own_rules_of(context)
    serving = Serving(
        store=store,
        host=host,
        port=port,
        own_rules=str(rules) if rules else None,
        processes=processes,
        proxy=proxy,
        press="dipmark.faces.paper.press:press",
    )
    if tls_name:
        beside = Path("tls") if "://" in store else Path(store).absolute().parent / "tls"
        files = certificates(tls_folder or beside, tls_name, system_clock())
        told = {"server": str(files.server), "key": str(files.key), "authority": str(files.authority)}
        serving = msgspec.structs.replace(serving, **told)
    with office_of(context) as office:
        link = None if has_owner(office) else owners_link(office)
    listener = listening(serving)
    name = tls_name[0] if tls_name else f"[{host}]" if ":" in host else host
    address = f"{'https' if tls_name else 'http'}://{name}:{listener.getsockname()[1]}"
    say(f"The yard is at {address}")
    if link:
        say(f"Nobody owns it yet. Whoever opens this within two days does: {address}/first/{link}")
    say("Stop with Ctrl+C.")
    run_server(serving, listener)


Entry = Annotated[
    str | None, typer.Option("--fact", metavar="ID", help="Of a job sheet; without it the last work on each truck.")
]


@app.command("print", rich_help_panel="Look")
def print_sheets(
    context: typer.Context,
    sheet: Annotated[Sheet, typer.Argument(metavar="SHEET", help="Which sheet.")],
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="The PDF to write; it must be new.")],
    trucks: Annotated[list[str] | None, typer.Argument(metavar="[TRUCK]...", help="Without one: every truck.")] = None,
    paper: Annotated[Literal["a4", "letter"], typer.Option("--paper", help="Size of the paper.")] = "a4",
    language: Annotated[
        str | None, typer.Option("--language", metavar="TAG", help="In this language; without it in the yard's.")
    ] = None,
    day: Annotated[
        str | None, typer.Option("--day", metavar="DATE", help="Of a week or shift sheet: any day of it, not today.")
    ] = None,
    service: Annotated[
        str | None, typer.Option("--service", metavar="NAME", help="Of a service sheet; without it what presses most.")
    ] = None,
    fact: Entry = None,
    address: Annotated[
        str | None, typer.Option("--address", metavar="URL", help="On labels: where the yard is served.")
    ] = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Print sheets to a PDF: to tick, to hang up, to work by, to hand to an inspector."""
    from dipmark.faces.paper.press import press, write_new
    from dipmark.facts.base import FactId
    from dipmark.office.look import as_of_or_now
    from dipmark.office.print_sheets import Asked, sheets

    context.obj["language"] = language or language_of(context)
    with office_of(context, by) as office:
        when = as_of_or_now(office, as_of)
        asked = Asked(
            sheet=sheet,
            as_of=when,
            trucks=words(trucks),
            paper=paper,
            day=office.instant(day).date() if day else None,
            service=service,
            fact=FactId(fact) if fact else None,
            address=address,
        )
        docs = sheets(office, asked)
        data = press(docs, office.rules, paper, when)
    write_new(out, data)
    if as_json:
        put_json({"file": out, "sheets": len(docs), "bytes": len(data)})
        return
    say(f"{counted(len(docs), 'sheet')} in {out}.")


def run() -> None:
    """Run the command line. What is refused is said in a line or two, never in a traceback."""
    sys.exit(run_app(app))
