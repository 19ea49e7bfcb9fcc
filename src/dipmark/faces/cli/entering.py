"""Commands that write what somebody saw or did: read, fault, repair, stop, release, work."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal, cast

import typer

from dipmark.faces.cli.options import (
    AsOf,
    By,
    Hours,
    Json,
    Tests,
    Truck,
    number_of,
    office_of,
    put_entered,
    when_of,
    words,
)

if TYPE_CHECKING:
    from decimal import Decimal


Serious = Literal["now", "stop", "repair-by", "watch"]
Meter = Annotated[str, typer.Option("--meter", metavar="NAME", help="Which meter, on a truck with several.")]


def read(
    context: typer.Context,
    name: Truck,
    hours: Annotated[str, typer.Argument(metavar="HOURS", help="What the hour meter shows.")],
    meter: Meter = "main",
    new_meter: Annotated[
        bool, typer.Option("--new-meter", help="The meter was changed; HOURS is what the new one shows.")
    ] = False,
    old: Annotated[
        str | None, typer.Option("--old", metavar="HOURS", help="With --new-meter: what the old one showed last.")
    ] = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Note an hour meter reading."""
    from dipmark.office.enter import read_meter

    with office_of(context, by, create=False) as office:
        value = cast("Decimal", number_of(hours, "HOURS"))
        when = when_of(office, as_of)
        before = number_of(old, "--old")
        entered = read_meter(office, name, value, when, meter, changed=new_meter, changed_from=before)
        put_entered(entered, as_json, f"Truck {name}: {value:f} h noted.")


def fault(
    context: typer.Context,
    name: Truck,
    text: Annotated[str, typer.Argument(metavar="WORDS", help="What was seen, heard, felt or smelt.")],
    check: Annotated[
        str | None, typer.Option("--check", metavar="ID", help="The check it belongs to: rules show KIND.")
    ] = None,
    found: Annotated[str | None, typer.Option("--found", metavar="ID", help="Which of the check's symptoms.")] = None,
    serious: Annotated[Serious | None, typer.Option("--serious", help="How serious; without it: stop.")] = None,
    days: Annotated[int | None, typer.Option("--days", min=0, max=365, help="With repair-by: days to mend it.")] = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Report a fault. Without a word on how serious it is, the truck is out of service."""
    from dipmark.office.enter import report_fault

    if serious == "repair-by" and days is None:
        raise typer.BadParameter("say within how many days: --days", param_hint="--serious")
    with office_of(context, by) as office:
        when = when_of(office, as_of)
        entered = report_fault(office, name, text, when, check=check, symptom=found, seriousness=serious, days=days)
        put_entered(entered, as_json, f"Truck {name}: fault noted.")


def repair(
    context: typer.Context,
    name: Truck,
    text: Annotated[str, typer.Argument(metavar="WORDS", help="What was done, and what was the cause.")],
    faults: Annotated[
        list[str] | None,
        typer.Option(
            "--fault", metavar="FAULT", help="Which open fault: its check, its words or its id; without it, all."
        ),
    ] = None,
    tests: Tests = None,
    hours: Hours = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Record the repair of open faults. The truck stays out of service until it is released."""
    from dipmark.office.enter import repair as repair_faults

    with office_of(context, by) as office:
        when, shown = when_of(office, as_of), number_of(hours, "--hours")
        entered = repair_faults(office, name, words(faults), text, when, tests=words(tests), hours=shown)
        put_entered(entered, as_json, f"Truck {name}: repair noted.")


def stop(
    context: typer.Context,
    name: Truck,
    reason: Annotated[str, typer.Argument(metavar="WORDS", help="Why.")],
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Hang the out-of-service card: nobody drives the truck until it is released."""
    from dipmark.office.enter import stop as hang_card

    with office_of(context, by) as office:
        entered = hang_card(office, name, reason, when_of(office, as_of))
        put_entered(entered, as_json, f"Truck {name} is out of service. Take the key, lock it away.")


def release(
    context: typer.Context,
    name: Truck,
    tests: Tests = None,
    note: Annotated[str | None, typer.Option("--note", metavar="WORDS", help="Anything to remember.")] = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Release a truck: its cards and its mended faults. Refused while a fault that stops it is open."""
    from dipmark.office.enter import release as release_truck

    with office_of(context, by) as office:
        entered = release_truck(office, name, when_of(office, as_of), tests=words(tests), note=note)
        put_entered(entered, as_json, f"Truck {name} is released. It still needs its walk-round.")


def work(
    context: typer.Context,
    name: Truck,
    services: Annotated[
        list[str] | None, typer.Argument(metavar="[SERVICE]...", help="Services done, such as 150h.")
    ] = None,
    hours: Hours = None,
    text: Annotated[str | None, typer.Option("--note", metavar="WORDS", help="What was found and done.")] = None,
    left_out: Annotated[
        list[str] | None, typer.Option("--left-out", metavar="TASK", help="A task that was not done.")
    ] = None,
    minutes: Annotated[int | None, typer.Option("--minutes", min=0, help="Labour, in minutes.")] = None,
    begin: Annotated[bool, typer.Option("--begin", help="Put your lock on: you are working on it.")] = False,
    end: Annotated[bool, typer.Option("--end", help="Take your lock off.")] = False,
    exception: Annotated[
        str | None,
        typer.Option("--owner-exception", metavar="WORDS", help="With --end: why the owner takes off another's lock."),
    ] = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Record services done, or put your lock on a truck and take it off."""
    from dipmark.adapters.importing.words import service_of
    from dipmark.office import enter

    if sum((bool(services), begin, end)) != 1:
        raise typer.BadParameter("name the services done, or say --begin or --end")
    with office_of(context, by) as office:
        when = when_of(office, as_of)
        if begin:
            put_entered(enter.begin(office, name, text, when), as_json, f"Your lock is on truck {name}.")
            return
        if end:
            put_entered(enter.end(office, name, when, exception=exception), as_json, f"The lock is off truck {name}.")
            return
        levels = [service_of(one) or one for one in words(services)]
        entered = enter.work(
            office,
            name,
            levels,
            when,
            hours=number_of(hours, "--hours"),
            text=text,
            left_out=words(left_out),
            minutes=minutes,
        )
        put_entered(entered, as_json, f"Truck {name}: {', '.join(levels)} noted.")
