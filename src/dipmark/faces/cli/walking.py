"""The command `walk`: the walk-round at a terminal, place by place, or from a file of answers."""

from __future__ import annotations

import csv
import time
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, cast

import typer

from dipmark.faces.cli.options import AsOf, By, Json, Truck, number_of, office_of, put_entered, when_of

if TYPE_CHECKING:
    from dipmark.facts.walk_round import Answer, OpenFault
    from dipmark.office.walk import Filled, Sheet
    from dipmark.rules.model import Check, Symptom


def walk(
    context: typer.Context,
    name: Truck,
    answers: Annotated[
        Path | None,
        typer.Option("--answers", metavar="FILE", help="Take the answers from a filled table; - is standard input."),
    ] = None,
    blank: Annotated[
        Path | None, typer.Option("--blank", metavar="FILE", help="Write the table to fill in, and stop.")
    ] = None,
    full: Annotated[bool, typer.Option("--full", help="The full list instead of that of a shift.")] = False,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """The walk-round: asks place by place, in walking order. The verdict comes at the end."""
    from dipmark.office.look import page_of
    from dipmark.office.walk import blank_answers, sheet
    from dipmark.office.walk import walk as write_walk

    with office_of(context, by) as office:
        when = when_of(office, as_of)
        asked = sheet(office, name, when.happened, full=full)
        if blank is not None:
            _write_blank(blank, blank_answers(asked))
            typer.echo(
                f"{blank}: one line a check. Fill in answer: ok, fault or unseen; of an open fault same, worse or gone."
            )
            return
        filled = _from_file(answers, asked) if answers is not None else _ask(asked)
        entered = write_walk(
            office,
            asked,
            filled.answers,
            when,
            full=full,
            hours=filled.hours,
            open_faults=filled.open_faults,
            seconds=filled.seconds,
        )
        page = page_of(office, name, when.happened if as_of else office.clock())
        if as_json:
            put_entered(entered, as_json, "")
            return
        typer.echo(f"Truck {page.row.truck}: {page.row.words}.")
        for reason in page.row.reasons:
            typer.echo(f"  {reason.text}")
        if page.row.state == "out-of-service":
            typer.echo("  Take the key out, lock it away, tell the lead hand.")
        put_entered(
            entered, as_json, "Written. By this check only; a card on the wheel or a man under it: do not touch."
        )


def _write_blank(path: Path, rows: list[tuple[str, ...]]) -> None:
    with path.open("x", encoding="utf-8-sig", newline="") as out:
        csv.writer(out).writerows(rows)


def _from_file(path: Path, asked: Sheet) -> Filled:
    from dipmark.facts.errors import NotFound
    from dipmark.office.walk import read_answers

    if str(path) == "-":
        return read_answers(Path("answers.csv"), typer.get_binary_stream("stdin").read(), asked)
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise NotFound(f"{path} cannot be read: {fault.strerror}.") from fault
    return read_answers(path, data, asked)


def _ask(asked: Sheet) -> Filled:
    """Ask at the terminal, open faults first, then the meter, then place by place."""
    from dipmark.facts.base import FaultRef
    from dipmark.facts.walk_round import OpenFault
    from dipmark.office.walk import Filled

    begun = time.monotonic()
    typer.echo(f"Truck {asked.truck.name}, {asked.kind.text}. Key out, brake on, forks down before you begin.")
    for caution in asked.cautions:
        typer.echo(f"  ! {caution}")
    seen: list[OpenFault] = []
    for fault in asked.faults:
        now = _choose(f"Open: {fault.text}. same, worse or gone?", ("same", "worse", "gone"))
        seen.append(OpenFault(fault=FaultRef(fault.ref), now=cast("OpenFault", now)))  # type: ignore[arg-type]
    hours = number_of(typer.prompt("Hour meter, as it stands there").strip(), "hour meter")
    found: list[Answer] = []
    for stop in asked.stops:
        typer.secho(f"{stop.place.number}. {stop.place.text}", bold=True)
        lesser = [check for check in stop.checks if not check.stop_worthy and check.asked is None]
        found += [_one(check, hours) for check in stop.checks if check not in lesser]
        found += _together(lesser)
    return Filled(tuple(found), hours, tuple(seen), int(time.monotonic() - begun))


def _one(check: Check, hours: object) -> Answer:
    """One check that can stop the truck, asked by itself."""
    from dipmark.office.walk import HOURS, answer

    if check.asked is not None and check.asked.quantity == HOURS:
        return answer(check, "ok", value=hours)  # type: ignore[arg-type]
    mark = _choose(f"  {check.text} ({check.normal}): ok, fault or unseen?", ("ok", "fault", "unseen"))
    if mark == "ok":
        value = (
            number_of(typer.prompt(f"    {check.asked.quantity} in {check.asked.unit}"), check.id)
            if check.asked
            else None
        )
        return answer(check, "ok", value=value)
    if mark == "unseen":
        return answer(check, "unseen", text=typer.prompt("    Why could it not be checked"))
    return _fault(check)


def _together(checks: list[Check]) -> list[Answer]:
    """The lesser checks of a place, together, each in sight."""
    from dipmark.office.walk import answer

    if not checks:
        return []
    for number, check in enumerate(checks, start=1):
        typer.echo(f"    {number} {check.text} ({check.normal})")
    said = typer.prompt("  All of these ok? ok, or the numbers that are not").strip().casefold()
    bad = set() if said == "ok" else {int(part) for part in said.replace(",", " ").split() if part.isdecimal()}
    if said != "ok" and not bad & set(range(1, len(checks) + 1)):
        return _together(checks)
    return [_fault(check) if number in bad else answer(check, "ok") for number, check in enumerate(checks, start=1)]


def _fault(check: Check) -> Answer:
    from dipmark.office.walk import answer

    typer.echo(f"    {check.text}: what was found?")
    for number, one in enumerate(check.symptoms, start=1):
        typer.echo(f"      {number} {one.text}")
    choices = tuple(str(number) for number in range(len(check.symptoms) + 1))
    picked = int(_choose("    Number, 0 for something else", choices))
    symptom: Symptom | None = check.symptoms[picked - 1] if picked else None
    text = typer.prompt("    In your words", default="", show_default=False).strip() or None
    put_right = None
    if symptom is not None and symptom.put_right:
        put_right = (
            typer.prompt(
                f"    Put right on the spot? {symptom.put_right} (empty: no)", default="", show_default=False
            ).strip()
            or None
        )
    return answer(check, "fault", symptom=symptom.id if symptom else None, text=text, put_right=put_right)


def _choose(question: str, answers: tuple[str, ...]) -> str:
    """Ask until one of the answers, or the beginning of just one, is given; no default, nothing is ticked blindly."""
    while True:
        said = typer.prompt(question).strip().casefold()
        hits = [one for one in answers if one == said] or [one for one in answers if said and one.startswith(said)]
        if len(hits) == 1:
            return hits[0]
