"""The command `walk`: the walk-round at a terminal, place by place, or from a file of answers."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, cast

import typer

from dipmark.faces.cli.options import AsOf, By, Json, Truck, ask, office_of, put_entered, say, when_of

if TYPE_CHECKING:
    from decimal import Decimal

    from dipmark.facts.walk_round import Answer, OpenFault
    from dipmark.office.walk import Filled, Sheet
    from dipmark.rules.model import Check, Symptom

Answers = Annotated[
    Path | None,
    typer.Option("--answers", metavar="FILE", help="Take the answers from a filled table; - is standard input."),
]
Blank = Annotated[Path | None, typer.Option("--blank", metavar="FILE", help="Write the table to fill in, and stop.")]
Full = Annotated[bool, typer.Option("--full", help="The full list instead of that of a shift.")]

Doubt = Callable[["Decimal"], str | None]


def walk(
    context: typer.Context,
    name: Truck,
    answers: Answers = None,
    blank: Blank = None,
    full: Full = False,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """The walk-round: asks place by place, in walking order. The verdict comes at the end."""
    from dipmark.office import walk as rounds

    with office_of(context, by) as office:
        when = when_of(office, as_of)
        asked = rounds.sheet(office, name, office.clock() if as_of is None else office.instant(as_of), full=full)
        if blank is not None:
            _write_blank(blank, rounds.blank_answers(asked), as_json)
            return
        if answers is not None:
            filled = _from_file(answers, asked)
        else:
            filled = _at_the_truck(asked, lambda hours: rounds.meter_doubt(office, asked, hours, when))
        entered = rounds.walk(
            office,
            asked,
            filled.answers,
            when,
            full=full,
            hours=filled.hours,
            open_faults=filled.open_faults,
            seconds=filled.seconds,
        )
        said = "The walk-round is noted. By this check only: a card on the wheel or a man under it, do not touch."
        put_entered(office, name, entered, as_of, as_json, said)


def _write_blank(path: Path, rows: list[tuple[str, ...]], as_json: bool) -> None:
    from dipmark.faces.cli.options import put_json, write_new

    with write_new(path, csv_like=True) as out:
        csv.writer(out).writerows(rows)
    if as_json:
        put_json({"blank": str(path), "checks": len(rows) - 1})
    else:
        say(f"{path} written, one line a check.")
        say("Fill in answer: ok, fault or unseen; of an open fault same, worse or gone.")


def _from_file(path: Path, asked: Sheet) -> Filled:
    from dipmark.facts.errors import NotFound
    from dipmark.office.walk import read_answers

    if str(path) == "-":
        return read_answers(Path("answers"), typer.get_binary_stream("stdin").read(), asked)
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise NotFound(f"{path} cannot be read: {fault.strerror}.") from fault
    return read_answers(path, data, asked)


def _at_the_truck(asked: Sheet, doubt: Doubt) -> Filled:
    """Ask; what is broken off leaves nothing behind."""
    from dipmark.facts.errors import Refused

    try:
        return _ask(asked, doubt)
    except (typer.Abort, KeyboardInterrupt):
        say("", err=True)
        raise Refused("The walk-round was broken off: nothing was written. Begin it again.") from None


def _ask(asked: Sheet, doubt: Doubt) -> Filled:
    """Ask at the terminal: open faults first, then the meter, blind, then place by place."""
    from dipmark.adapters.clock import stopwatch
    from dipmark.facts.walk_round import OpenFault
    from dipmark.office.walk import FATES, Filled

    watch = stopwatch()
    say(f"Truck {asked.truck.name}, {asked.kind.text}. Key out, brake on, forks down before you begin.", err=True)
    if asked.truck.locks or asked.truck.cards:
        say("  ! A card hangs or somebody is working on it. Look only: touch nothing, start nothing.", err=True)
    for caution in asked.cautions:
        say(f"  ! {caution}", err=True)
    seen: list[OpenFault] = []
    for fault in asked.faults:
        now = cast("Any", _choose(f"Open fault: {fault.text}.\n  same, worse or gone", FATES))
        seen.append(OpenFault(fault=fault.ref, now=now))
    hours = _meter(doubt)
    found: list[Answer] = []
    for stop in asked.stops:
        say(f"\n{stop.place.number}. {stop.place.text}", err=True)
        lesser = [check for check in stop.checks if not check.stop_worthy and check.asked is None]
        found += [_one(check, hours) for check in stop.checks if check not in lesser]
        found += _together(lesser)
    return Filled(tuple(found), hours, tuple(seen), watch())


def _meter(doubt: Doubt) -> Decimal | None:
    """The hours as they stand on the meter; what does not agree with the record is asked once more, and then kept."""
    hours = _hours("Hour meter, as it stands there; empty: it cannot be read")
    if hours is None:
        return None
    why = doubt(hours)
    if why is None:
        return hours
    say(f"  {why}", err=True)
    again = _hours("  Look at it once more, and write it again; empty: it stands there so")
    return hours if again is None else again


def _hours(question: str) -> Decimal | None:
    """Hours, asked until they can be read; None where nothing is typed."""
    from dipmark.facts.errors import Refused
    from dipmark.office.enter import hours_from

    while True:
        said = ask(question)
        try:
            return hours_from(said) if said else None
        except Refused as refusal:
            say(f"  {refusal}", err=True)


def _one(check: Check, hours: Decimal | None) -> Answer:
    """One check that can stop the truck or asks for a value, asked by itself."""
    from dipmark.office.walk import HOURS, answer

    of_meter = check.asked is not None and check.asked.quantity == HOURS
    if of_meter and hours is not None:
        return answer(check, "ok", value=hours)
    marks = ("fault", "unseen") if of_meter else ("ok", "fault", "unseen")
    mark = _choose(f"  {check.text}\n    ({check.normal})\n  {', '.join(marks[:-1])} or unseen", marks)
    if mark == "ok":
        return answer(check, "ok", value=_value(check))
    return _unseen(check) if mark == "unseen" else _fault(check)


def _value(check: Check) -> Decimal | None:
    """The value that a check asks for, asked until it can be read; None where nothing is typed."""
    from dipmark.facts.problems import Problem
    from dipmark.office.walk import HOURS, value_from

    while check.asked is not None and check.asked.quantity != HOURS:
        said = ask(f"    {check.asked.quantity.replace('-', ' ')} in {check.asked.unit}; empty: not measured")
        if not said:
            break
        value = value_from(check, said)
        if not isinstance(value, Problem):
            return value
        say(f"    {value.message}", err=True)
    return None


def _together(checks: list[Check]) -> list[Answer]:
    """The lesser checks of a place, together, each in sight."""
    from dipmark.office.walk import answer

    if not checks:
        return []
    for number, check in enumerate(checks, start=1):
        say(f"    {number} {check.text} ({check.normal})", err=True)
    while True:
        said = ask("  All of these ok? ok, or the numbers that are not").casefold()
        parts = said.replace(",", " ").split()
        bad = {int(part) for part in parts if part.isascii() and part.isdecimal()}
        if said == "ok" or (bad <= set(range(1, len(checks) + 1)) and len(bad) == len(parts) > 0):
            break
    return [_lesser(check) if number in bad else answer(check, "ok") for number, check in enumerate(checks, start=1)]


def _lesser(check: Check) -> Answer:
    mark = _choose(f"    {check.text}: fault or unseen", ("fault", "unseen"))
    return _unseen(check) if mark == "unseen" else _fault(check)


def _unseen(check: Check) -> Answer:
    from dipmark.office.walk import answer

    text = ""
    while not text:
        text = ask("    Why could it not be checked")
    return answer(check, "unseen", text=text)


def _fault(check: Check) -> Answer:
    from dipmark.office.walk import answer

    say(f"    {check.text}: what was found?", err=True)
    for number, one in enumerate(check.symptoms, start=1):
        say(f"      {number} {one.text}", err=True)
    choices = tuple(str(number) for number in range(len(check.symptoms) + 1))
    picked = int(_choose("    Its number; 0 for something else", choices))
    symptom: Symptom | None = check.symptoms[picked - 1] if picked else None
    text = ask("    In your own words; empty: nothing to add") or None
    put_right = None
    if symptom is not None and symptom.put_right:
        put_right = ask(f"    Put right on the spot? {symptom.put_right}; empty: no") or None
    return answer(
        check, "fault", symptom=symptom.id if symptom else None, text=text, put_right=put_right, value=_value(check)
    )


def _choose(question: str, answers: tuple[str, ...]) -> str:
    """Ask until one of the answers, or the beginning of just one, is given; no default, nothing is ticked blindly."""
    while True:
        said = ask(question).casefold()
        hits = [one for one in answers if one == said] or [one for one in answers if said and one.startswith(said)]
        if len(hits) == 1:
            return hits[0]
        say(f"  Write {', '.join(answers[:-1])} or {answers[-1]}.", err=True)
