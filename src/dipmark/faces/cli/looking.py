"""Commands that look: show, yard, truck, due, log."""

from __future__ import annotations

from typing import Annotated

import typer

from dipmark.faces.cli.options import AsOf, By, Json, Truck, office_of, progress_of, put_json


def yard(context: typer.Context, as_of: AsOf = None, by: By = None, as_json: Json = False) -> None:
    """The key board: every truck, its state and why, what is left."""
    from dipmark.faces.cli.render import console, yard_table
    from dipmark.office.look import as_of_or_now, yard_board

    with office_of(context, by) as office, progress_of("deriving") as progress:
        rows = yard_board(office, as_of_or_now(office, as_of), progress)
        if as_json:
            put_json(rows)
            return
        console().print(yard_table(rows))
        typer.echo(_duties(office.yard.country))


def due(
    context: typer.Context,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
    everything: Annotated[bool, typer.Option("--all", help="Also what is not due for long.")] = False,
) -> None:
    """What falls due, the most pressing first."""
    from dipmark.faces.cli.render import console, due_table
    from dipmark.office.look import as_of_or_now, due_list

    with office_of(context, by) as office, progress_of("deriving") as progress:
        rows = due_list(office, as_of_or_now(office, as_of), progress)
        if as_json:
            put_json(rows)
            return
        console().print(due_table([row for row in rows if everything or row.state != "later"]))
        typer.echo(_duties(office.yard.country))


def truck(context: typer.Context, name: Truck, as_of: AsOf = None, by: By = None, as_json: Json = False) -> None:
    """One truck: its state with reasons, open faults, meters, what falls due."""
    from dipmark.faces.cli.render import console, put_truck
    from dipmark.office.look import as_of_or_now, page_of

    with office_of(context, by) as office:
        page = page_of(office, name, as_of_or_now(office, as_of))
        if as_json:
            put_json(page)
        else:
            put_truck(console(), page)


def log(context: typer.Context, name: Truck, as_of: AsOf = None, by: By = None, as_json: Json = False) -> None:
    """The logbook of a truck: every fact, with both times and its corrections."""
    from dipmark.faces.cli.render import console, put_log
    from dipmark.office.look import as_of_or_now, log_of

    with office_of(context, by) as office:
        rows = log_of(office, name, as_of_or_now(office, as_of))
        if as_json:
            put_json(rows)
        else:
            put_log(console(), rows)


def show(context: typer.Context, as_of: AsOf = None, by: By = None, as_json: Json = False) -> None:
    """The whole yard on one sheet: key board, what is due, the code of every book."""
    from dipmark.faces.cli.render import console, due_table, yard_table
    from dipmark.office.look import as_of_or_now, due_list, yard_board
    from dipmark.office.prove import codes
    from dipmark.views.words import CAUTION, moment

    with office_of(context, by) as office, progress_of("deriving") as progress:
        instant = as_of_or_now(office, as_of)
        board, dues = yard_board(office, instant, progress), due_list(office, instant, progress)
        if as_json:
            put_json({"yard": board, "due": dues, "codes": codes(office)})
            return
        out = console()
        out.print(
            f"{office.yard.name or 'The yard'}, {moment(instant, office.zone)} ({office.yard.zone})", style="bold"
        )
        out.print(yard_table(board))
        out.print("Due soon", style="bold")
        out.print(due_table([row for row in dues if row.state != "later"]))
        out.print("Codes of the books, to prove later that nothing was cut or rewritten", style="bold")
        out.print("\n".join(f"  {book:<16} {code}" for book, code in codes(office).items()), markup=False)
        typer.echo(_duties(office.yard.country))
        typer.echo(CAUTION)


def _duties(country: str | None) -> str:
    if country is None:
        return "No country is set for this yard, so no legal duty is counted here: take --country sets it."
    return f"Country {country}: legal duties are not counted yet; keep to the law of the place."
