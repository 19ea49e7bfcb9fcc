"""The commands `plan` and `parts`: the fortnight, and the stores."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dipmark.faces.cli.options import AsOf, By, Json, Note, office_of, put_json, say, when_of

if TYPE_CHECKING:
    from decimal import Decimal

    from dipmark.office.enter import Entered
    from dipmark.office.parts import What

Publish = Annotated[bool, typer.Option("--publish", help="Make it the plan that people go by.")]
Published = Annotated[bool, typer.Option("--published", help="The plan people go by, as it stands.")]
Why = Annotated[bool, typer.Option("--why", help="Say of each visit why it stands there.")]
Only = Annotated[str | None, typer.Option("--truck", metavar="TRUCK", help="Only this truck, and why.")]
Seconds = Annotated[float, typer.Option("--seconds", min=0.1, max=600, help="So long a better plan is looked for.")]
Feed = Annotated[Path | None, typer.Option("--calendar", metavar="FILE", help="Write the published plan as iCalendar.")]

Part = Annotated[str, typer.Argument(metavar="PART", help="The part, as the shelf calls it.")]
Amount = Annotated[str, typer.Argument(metavar="AMOUNT", help="How many, or how much of its unit.")]
Unit = Annotated[str | None, typer.Option("--unit", help="Of the amount; piece without it.")]
Place = Annotated[str | None, typer.Option("--shelf", metavar="PLACE", help="Where it lies.")]
UseBy = Annotated[str | None, typer.Option("--use-by", metavar="DATE", help="Last day of its shelf life.")]
Expected = Annotated[str | None, typer.Option("--expected", metavar="DATE", help="When it is to come.")]


def plan(
    context: typer.Context,
    publish: Publish = False,
    published: Published = False,
    why: Why = False,
    only: Only = None,
    seconds: Seconds = 6.0,
    calendar: Feed = None,
    note: Note = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """The fortnight: who does what when, what does not fit, and the smallest change that would let it."""
    from dipmark.faces.cli.render import console, put
    from dipmark.faces.cli.render_plan import plan_parts
    from dipmark.office import plan as office_plan
    from dipmark.office.feeds import plan_feed
    from dipmark.office.look import page_of
    from dipmark.views.workshop import part_of

    if publish and (published or as_of):
        raise typer.BadParameter("--publish goes with neither --published nor --as-of: a plan begins today")
    with office_of(context, by) as office:
        when = when_of(office, as_of)
        page = (
            office_plan.published(office, when.happened)
            if published
            else office_plan.suggested(office, when.happened, seconds)
        )
        if publish and page is not None:
            office_plan.publish(office, page.visits, when, words=note)
        feed = plan_feed(office, when.happened) if calendar is not None else b""
        if only is not None and page is not None:
            page = part_of(page, sees={page_of(office, only, when.happened).row.truck}.__contains__)
    if calendar is not None:
        calendar.write_bytes(feed)
    if as_json:
        put_json(page)
    elif page is None:
        say("No plan has been published yet: dipmark plan --publish")
    else:
        put(console(), *plan_parts(page, why=why or only is not None))
        if publish:
            say("Published.")


parts = typer.Typer()


@parts.callback(invoke_without_command=True)
def shelf(context: typer.Context, as_of: AsOf = None, by: By = None, as_json: Json = False) -> None:
    """The stores: what lies there, what to order by when, the kit of each visit; or note what happened on the shelf."""
    if context.invoked_subcommand is not None:
        return
    from dipmark.faces.cli.render import console, put
    from dipmark.faces.cli.render_plan import shelf_parts
    from dipmark.office.look import as_of_or_now
    from dipmark.office.parts import parts_page

    with office_of(context, by) as office:
        page = parts_page(office, as_of_or_now(office, as_of))
    if as_json:
        put_json(page)
        return
    put(console(), *shelf_parts(page))


@parts.command()
def count(
    context: typer.Context,
    part: Part,
    amount: Amount,
    unit: Unit = None,
    place: Place = None,
    use_by: UseBy = None,
    note: Note = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """So many lie there, counted."""
    _note(context, part, "counted", amount, unit, place, use_by, None, note, as_of, by, as_json)


@parts.command()
def receive(
    context: typer.Context,
    part: Part,
    amount: Amount,
    unit: Unit = None,
    place: Place = None,
    use_by: UseBy = None,
    note: Note = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """So many have come; the oldest order is filled first."""
    _note(context, part, "received", amount, unit, place, use_by, None, note, as_of, by, as_json)


@parts.command()
def issue(
    context: typer.Context,
    part: Part,
    amount: Amount,
    note: Note = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """So many went out for a truck."""
    _note(context, part, "issued", amount, None, None, None, None, note, as_of, by, as_json)


@parts.command()
def discard(
    context: typer.Context,
    part: Part,
    amount: Amount,
    note: Note = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """So many were thrown away."""
    _note(context, part, "thrown-away", amount, None, None, None, None, note, as_of, by, as_json)


@parts.command()
def order(
    context: typer.Context,
    part: Part,
    amount: Amount,
    unit: Unit = None,
    expected: Expected = None,
    note: Note = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """So many were ordered."""
    _note(context, part, "ordered", amount, unit, None, None, expected, note, as_of, by, as_json)


@parts.command()
def bought(
    context: typer.Context,
    part: Part,
    lead: Annotated[int, typer.Option("--days", min=0, max=3650, help="From the order to the shelf, as a rule.")],
    longest: Annotated[
        int | None,
        typer.Option("--longest", min=0, max=3650, help="One time in ten it takes longer than so many days."),
    ] = None,
    pack: Annotated[str | None, typer.Option("--pack", metavar="AMOUNT", help="It comes in so many at a time.")] = None,
    keeps: Annotated[int | None, typer.Option("--keeps", metavar="DAYS", min=1, help="How long it keeps.")] = None,
    level: Annotated[
        int | None, typer.Option("--level", metavar="PERCENT", min=50, max=99, help="So often it has to be there.")
    ] = None,
    supplier: Annotated[str | None, typer.Option("--from", metavar="NAME", help="Where it is ordered.")] = None,
    unit: Unit = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """How a part is bought and kept."""
    from dipmark.facts.stock import PartSet
    from dipmark.office.parts import set_part

    with office_of(context, by) as office:
        body = PartSet(
            part=part,
            lead_days=lead,
            lead_most=longest,
            pack=None if pack is None else _amount(pack),
            unit=unit,
            shelf_days=keeps,
            level=level,
            supplier=supplier,
        )
        done = set_part(office, body, when_of(office, as_of))
    _put(done, as_json)


def _note(
    context: typer.Context,
    part: str,
    what: What,
    amount: str,
    unit: str | None,
    place: str | None,
    use_by: str | None,
    expected: str | None,
    words: str | None,
    as_of: str | None,
    by: str | None,
    as_json: bool,
) -> None:
    from dipmark.derive.days import local_day
    from dipmark.facts.stock import Stock
    from dipmark.office.parts import note

    with office_of(context, by) as office:
        days = [None if one is None else local_day(office.instant(one), office.zone) for one in (use_by, expected)]
        told = Stock(
            part=part,
            what=what,
            quantity=_amount(amount),
            unit=unit,
            place=place,
            use_by=days[0],
            expected=days[1],
            note=words,
        )
        done = note(office, told, when_of(office, as_of))
    _put(done, as_json)


def _put(done: Entered, as_json: bool) -> None:
    if as_json:
        put_json({"accepted": [item.fact.id for item in done.accepted], "known": done.known, "doubtful": done.doubts})
        return
    say("Noted.")
    for doubt in done.doubts:
        say(f"Look at this: {doubt.message}")


def _amount(text: str) -> Decimal:
    from dipmark.adapters.importing.cells import Number, parse_number

    found = parse_number(text)
    if not isinstance(found, Number) or found.unit is not None:
        raise typer.BadParameter(f"{text}: a number, such as 4 or 2.5")
    return found.value
