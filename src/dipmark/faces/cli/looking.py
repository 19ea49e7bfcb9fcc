"""Commands that look: show, yard, truck, due, log."""

from __future__ import annotations

from typing import Annotated, Literal

import typer

from dipmark.faces.cli.options import AsOf, By, Json, Truck, office_of, progress_of, put_entered, put_json, when_of

All = Annotated[bool, typer.Option("--all", help="Also what is not due for long.")]
Plate = Annotated[
    list[str] | None,
    typer.Option("--plate", metavar="NAME=VALUE", help="Read on this truck, such as engine-oil='5.5 l'."),
]
Where = Annotated[Literal["plate", "manual", "counted"], typer.Option("--from", help="With --plate: read where.")]
FitIt = Annotated[str | None, typer.Option("--fit", metavar="ITEM", help="Hangs on it from now on.")]
ItemKind = Annotated[
    str | None, typer.Option("--kind", metavar="KIND", help="With --fit: what it is; it gets a book where it has none.")
]
TakeOff = Annotated[str | None, typer.Option("--take-off", metavar="ITEM", help="Hangs on it no longer.")]
Withdraw = Annotated[
    str | None, typer.Option("--withdraw", metavar="ID", help="A fact that never was: its id, or the end of it.")
]
Why = Annotated[str | None, typer.Option("--why", metavar="WORDS", help="With --withdraw: why it never was.")]


def yard(context: typer.Context, as_of: AsOf = None, by: By = None, as_json: Json = False) -> None:
    """The key board: every truck, its state and why, what is left."""
    from dipmark.faces.cli.render import console, put, yard_parts
    from dipmark.office.board import yard_board
    from dipmark.office.look import as_of_or_now
    from dipmark.views.due_soon import duties_words

    with office_of(context, by) as office, progress_of("deriving") as progress:
        rows, country = yard_board(office, as_of_or_now(office, as_of), progress), office.yard.country
    if as_json:
        put_json(rows)
        return
    out = console()
    put(out, *yard_parts(rows, out.width), f"\n{duties_words(office.rules, country)}")


def due(
    context: typer.Context, as_of: AsOf = None, by: By = None, as_json: Json = False, everything: All = False
) -> None:
    """What falls due, the most pressing first."""
    from dipmark.derive.days import local_day
    from dipmark.faces.cli.render import ask_parts, console, due_parts, put
    from dipmark.office.look import as_of_or_now, due_list, to_read
    from dipmark.views.due_soon import duties_words

    with office_of(context, by) as office, progress_of("deriving") as progress:
        instant = as_of_or_now(office, as_of)
        rows, zone, country = due_list(office, instant, progress), office.zone, office.yard.country
        asks = to_read(office, instant)
    if as_json:
        put_json(rows)
        return
    shown = [row for row in rows if everything or row.state != "later"]
    law = duties_words(office.rules, country)
    put(console(), *due_parts(shown, local_day(instant, zone)), *ask_parts(asks), f"\n{law}")


def truck(
    context: typer.Context,
    name: Truck,
    plate: Plate = None,
    source: Where = "plate",
    fitted: FitIt = None,
    kind: ItemKind = None,
    off: TakeOff = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """One truck, or an item that hangs on trucks: how it stands and what falls due; or note what stands on a plate."""
    from dipmark.derive.days import local_day
    from dipmark.faces.cli.render import console, put, truck_parts
    from dipmark.faces.cli.render_items import item_parts
    from dipmark.faces.cli.render_measures import measures_parts
    from dipmark.office.items import fit, item_of, names_item, take_off
    from dipmark.office.look import as_of_or_now, page_of
    from dipmark.office.plate import read_plate

    if sum(map(bool, (plate, fitted, off))) > 1:
        raise typer.BadParameter("one of --plate, --fit, --take-off")
    if kind and not fitted:
        raise typer.BadParameter("--kind goes with --fit")
    with office_of(context, by) as office:
        if not (fitted or off or plate) and names_item(office, name):
            item = item_of(office, name, as_of_or_now(office, as_of))
            put_json(item) if as_json else put(console(), *item_parts(item))
            return
        if fitted or off:
            when = when_of(office, as_of)
            entered = fit(office, name, fitted, when, what=kind) if fitted else take_off(office, name, off or "", when)
            put_entered(office, name, entered, as_of, as_json, "Noted.")
            return
        if plate:
            entered = read_plate(office, name, plate, source, when_of(office, as_of))
            put_entered(office, name, entered, as_of, as_json, "Noted; service sheets of this truck print it.")
            return
        instant = as_of_or_now(office, as_of)
        page, today = page_of(office, name, instant), local_day(instant, office.zone)
    if as_json:
        put_json(page)
        return
    put(console(), *truck_parts(page, today, measures_parts(page.measures, page.uses)))


def log(
    context: typer.Context,
    name: Truck,
    withdraw: Withdraw = None,
    why: Why = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """The logbook of a truck: every fact, with both times and its corrections; or withdraw one that never was."""
    from dipmark.faces.cli.render import console, log_parts, put
    from dipmark.office.amend import withdraw as withdraw_fact
    from dipmark.office.look import as_of_or_now, log_of

    if (withdraw is None) is not (why is None):
        raise typer.BadParameter("--withdraw goes with --why")
    with office_of(context, by) as office:
        if withdraw and why:
            entered = withdraw_fact(office, name, withdraw, why, when_of(office, as_of))
            put_entered(office, name, entered, as_of, as_json, "Withdrawn; the log shows it, and it counts no more.")
            return
        rows = log_of(office, name, as_of_or_now(office, as_of))
    if as_json:
        put_json(rows)
        return
    put(console(), *log_parts(rows))


def show(context: typer.Context, as_of: AsOf = None, by: By = None, as_json: Json = False) -> None:
    """The whole yard on one sheet: key board, what is due, the code of every book."""
    from dipmark.derive.days import local_day
    from dipmark.faces.cli.render import codes_parts, console, due_parts, heading, put, yard_parts
    from dipmark.office.board import board_and_due
    from dipmark.office.look import as_of_or_now
    from dipmark.office.prove import codes
    from dipmark.views.due_soon import duties_words
    from dipmark.views.words import CAUTION, moment

    with office_of(context, by) as office, progress_of("deriving") as progress:
        instant = as_of_or_now(office, as_of)
        board, dues = board_and_due(office, instant, progress)
        settings, zone, proof = office.yard, office.zone, codes(office)
    if as_json:
        put_json({"yard": board, "due": dues, "codes": proof})
        return
    out = console()
    out_of = [row for row in dues if row.state != "later"]
    put(
        out,
        heading(f"{settings.name or 'The yard'}, {moment(instant, zone)} ({settings.zone})"),
        *yard_parts(board, out.width),
        *due_parts(out_of, local_day(instant, zone)),
        f"\n{duties_words(office.rules, settings.country)}",
        heading("Codes of the books: keep them, to prove later that nothing was cut or rewritten"),
        codes_parts(proof),
        f"\n{CAUTION}",
    )
