"""Commands that write what somebody saw or did: read, fault, repair, stop, release, work."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import typer

from dipmark.faces.cli.options import (
    AsOf,
    By,
    Hours,
    Json,
    Note,
    Tests,
    Truck,
    office_of,
    put_entered,
    put_json,
    say,
    when_of,
    words,
)

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal

Serious = Literal["now", "stop", "repair-by", "watch"]

Shown = Annotated[str, typer.Argument(metavar="HOURS", help="What the hour meter shows.")]
Meter = Annotated[str | None, typer.Option("--meter", metavar="NAME", help="Which meter, on a truck with several.")]
Changed = Annotated[bool, typer.Option("--new-meter", help="The meter was changed; HOURS is what the new one shows.")]
Old = Annotated[str | None, typer.Option("--old", metavar="HOURS", help="With --new-meter: what the old showed last.")]

Corrects = Annotated[
    str | None,
    typer.Option("--corrects", metavar="ID", help="The fact whose hours were wrong: its id or the end of it."),
]
Because = Annotated[str | None, typer.Option("--why", metavar="WORDS", help="With --corrects: what was wrong.")]

Seen = Annotated[str, typer.Argument(metavar="WORDS", help="What was seen, heard, felt or smelt.")]
Check = Annotated[str | None, typer.Option("--check", metavar="ID", help="Which check it belongs to: rules show KIND.")]
Found = Annotated[str | None, typer.Option("--found", metavar="ID", help="Which of the check's symptoms.")]
How = Annotated[Serious | None, typer.Option("--serious", help="How serious; without it: stop.")]
Days = Annotated[int | None, typer.Option("--days", min=0, max=365, help="With repair-by: days to mend it.")]

Done = Annotated[str, typer.Argument(metavar="WORDS", help="What was done, and what was the cause.")]
Which = Annotated[
    list[str] | None,
    typer.Option("--fault", metavar="FAULT", help="Which open fault: its check, its words or its id; without it, all."),
]
Why = Annotated[str, typer.Argument(metavar="WORDS", help="Why.")]

Services = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="[SERVICE]...",
        help="Services done, such as 150h, or a legal examination, such as thorough-examination.",
        show_default=False,
    ),
]
LeftOut = Annotated[list[str] | None, typer.Option("--left-out", metavar="TASK", help="A task that was not done.")]
Minutes = Annotated[int | None, typer.Option("--minutes", min=0, help="Labour, in minutes.")]
Renewed = Annotated[
    list[str] | None,
    typer.Option("--renewed", metavar="WHAT", help="A part renewed, such as chain: what was read on the old one ends."),
]
Sheet = Annotated[bool, typer.Option("--sheet", help="Print what is to be done at one service; write nothing.")]
Begin = Annotated[bool, typer.Option("--begin", help="Put your lock on: you are working on it.")]
End = Annotated[bool, typer.Option("--end", help="Take your lock off.")]
Exception_ = Annotated[
    str | None,
    typer.Option("--owner-exception", metavar="WORDS", help="With --end: why the owner takes off another's lock."),
]


def read(
    context: typer.Context,
    name: Truck,
    hours: Shown,
    meter: Meter = None,
    new_meter: Changed = False,
    old: Old = None,
    corrects: Corrects = None,
    why: Because = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Note an hour meter reading, or put one right."""
    from dipmark.office.amend import correct_hours
    from dipmark.office.enter import hours_from, read_meter

    if old is not None and not new_meter:
        raise typer.BadParameter("--old goes with --new-meter")
    if (corrects is None) is not (why is None) or (corrects and (new_meter or meter)):
        raise typer.BadParameter("--corrects goes with --why, and with neither --meter nor --new-meter")
    with office_of(context, by) as office:
        value, before = hours_from(hours, "HOURS"), None if old is None else hours_from(old, "--old")
        when = when_of(office, as_of)
        if corrects and why:
            entered = correct_hours(office, name, corrects, value, why, when)
        else:
            entered = read_meter(office, name, value, when, meter, changed=new_meter, changed_from=before)
        put_entered(office, name, entered, as_of, as_json, f"Noted: {value:,f} h.")


def fault(
    context: typer.Context,
    name: Truck,
    text: Seen,
    check: Check = None,
    found: Found = None,
    serious: How = None,
    days: Days = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Report a fault. Without a word on how serious it is, the truck is out of service."""
    from dipmark.office.enter import report_fault

    with office_of(context, by) as office:
        when = when_of(office, as_of)
        entered = report_fault(office, name, text, when, check=check, symptom=found, seriousness=serious, days=days)
        put_entered(office, name, entered, as_of, as_json, "The fault is noted.")


def repair(
    context: typer.Context,
    name: Truck,
    text: Done,
    faults: Which = None,
    tests: Tests = None,
    renewed: Renewed = None,
    hours: Hours = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Record the repair of open faults. The truck stays out of service until it is released."""
    from dipmark.office.enter import repair as repair_faults

    with office_of(context, by) as office:
        when, shown = when_of(office, as_of), _hours(hours)
        done, new = words(tests), words(renewed)
        entered = repair_faults(office, name, words(faults), text, when, tests=done, hours=shown, renewed=new)
        put_entered(office, name, entered, as_of, as_json, "The repair is noted.")


def stop(
    context: typer.Context, name: Truck, reason: Why, as_of: AsOf = None, by: By = None, as_json: Json = False
) -> None:
    """Hang the out-of-service card: nobody drives the truck until it is released."""
    from dipmark.office.enter import stop as hang_card

    with office_of(context, by) as office:
        entered = hang_card(office, name, reason, when_of(office, as_of))
        put_entered(office, name, entered, as_of, as_json, "The card hangs.")


def release(
    context: typer.Context,
    name: Truck,
    tests: Tests = None,
    note: Note = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Release a truck: its cards and its mended faults. Refused while a fault that stops it is open."""
    from dipmark.office.enter import release as release_truck

    with office_of(context, by) as office:
        entered = release_truck(office, name, when_of(office, as_of), tests=words(tests), note=note)
        put_entered(office, name, entered, as_of, as_json, "The release is noted.")


def work(
    context: typer.Context,
    name: Truck,
    services: Services = None,
    hours: Hours = None,
    text: Note = None,
    left_out: LeftOut = None,
    minutes: Minutes = None,
    renewed: Renewed = None,
    begin: Begin = False,
    end: End = False,
    exception: Exception_ = None,
    sheet: Sheet = False,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Record services done, print the sheet of one, or put your lock on a truck and take it off."""
    from dipmark.office import enter

    if sheet:
        _sheet(context, name, words(services), as_of, as_json)
        return
    if sum((bool(services or renewed), begin, end)) != 1:
        raise typer.BadParameter("name the services done, or say --renewed, --begin or --end")
    if exception is not None and not end:
        raise typer.BadParameter("--owner-exception goes with --end")
    with office_of(context, by) as office:
        when, shown = when_of(office, as_of), _hours(hours)
        if begin:
            entered, said = enter.begin(office, name, text, when), f"Your lock is on truck {name}."
        elif end:
            entered, said = enter.end(office, name, when, exception=exception), f"The lock is off truck {name}."
        else:
            done, left = words(services), words(left_out)
            new = words(renewed)
            entered = enter.work(
                office, name, done, when, hours=shown, text=text, left_out=left, minutes=minutes, renewed=new
            )
            said = f"Noted: {', '.join((*done, *(f'{part} renewed' for part in new)))}."
        put_entered(office, name, entered, as_of, as_json, said)
        if begin and by is None:
            say("The lock carries no name, so anybody unnamed can take it off. --by NAME puts yours on it.", err=True)


def _sheet(context: typer.Context, name: str, services: Sequence[str], as_of: str | None, as_json: bool) -> None:
    from dipmark.faces.cli.render import console, put
    from dipmark.faces.cli.render_sheet import sheet_parts
    from dipmark.office.look import as_of_or_now
    from dipmark.office.plate import sheet_of

    if len(services) != 1:
        raise typer.BadParameter("--sheet prints one service, such as 150h")
    with office_of(context) as office:
        sheet = sheet_of(office, name, services[0], as_of_or_now(office, as_of))
    if as_json:
        put_json(sheet)
    else:
        put(console(), *sheet_parts(sheet))


def _hours(text: str | None) -> Decimal | None:
    from dipmark.office.enter import hours_from

    return None if text is None else hours_from(text, "--hours")
