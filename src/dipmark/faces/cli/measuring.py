"""Commands that measure: gauge without a record, measure, sample and topup into a truck's."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Annotated, Any, Final

import typer

from dipmark.faces.cli.options import (
    AsOf,
    By,
    Hours,
    Json,
    Note,
    Truck,
    office_of,
    own_rules_of,
    put_entered,
    put_json,
    when_of,
)

if TYPE_CHECKING:
    from collections.abc import Iterable
    from decimal import Decimal

    from dipmark.derive.judging import Input, Measurement
    from dipmark.office.measure import Gauged
    from dipmark.rules.model import Rules

RAW: Final = {"allow_interspersed_args": False, "ignore_unknown_options": True}
"""What follows the measurement is its own: `told` reads it."""

Said = dict[str, list[str]]

What = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="[WHAT] [--NAME VALUE]...",
        help="What is measured, then its values; without any: all that can be measured.",
        show_default=False,
    ),
]
Measured = Annotated[
    list[str],
    typer.Argument(metavar="WHAT [--NAME VALUE]...", help="What is measured, then its values: see dipmark gauge."),
]
Until = Annotated[
    str | None,
    typer.Option("--until", metavar="DATE", help="A competent person wants it renewed by this day."),
]
Instrument = Annotated[str | None, typer.Option("--instrument", metavar="WORDS", help="With what it was read.")]
Item = Annotated[str | None, typer.Option("--item", metavar="NAME", help="The item measured, such as forks-1.")]
Fluid = Annotated[str, typer.Argument(metavar="FLUID", help="Which fluid, such as 'engine oil'.")]
Results = Annotated[list[str], typer.Argument(metavar="NAME=VALUE...", help="Results with their units: iron=45ppm.")]
FluidHours = Annotated[str | None, typer.Option("--fluid-hours", metavar="HOURS", help="Hours on the fluid.")]
Laboratory = Annotated[str | None, typer.Option("--lab", metavar="NAME", help="Whose sheet it is.")]
Number = Annotated[str | None, typer.Option("--number", metavar="NUMBER", help="The number of the sheet.")]
Reported = Annotated[str | None, typer.Option("--reported", metavar="DATE", help="The day on the sheet.")]
Amount = Annotated[str, typer.Argument(metavar="AMOUNT", help="How much, such as 1.2l.")]


def gauge(context: typer.Context, what: What = None, as_json: Json = False) -> None:
    """Hold a reading against its limit, without a record; alone, list all that can be measured."""
    from dipmark.office.measure import gauge as judge
    from dipmark.office.measure import measurement_of

    if not what:
        _put_all(as_json)
        return
    measurement = measurement_of(what[0])
    if "--help" in what:
        _put_one(measurement)
        return
    said, own = told(what[1:], measurement, ("json",))
    rules = _rules(context)
    found = judge(rules, measurement.name, said)
    if as_json or "json" in own:
        put_json(_as_told(found, rules))
    else:
        _put_gauged(found, rules)


def measure(
    context: typer.Context,
    name: Truck,
    what: Measured,
    until: Until = None,
    instrument: Instrument = None,
    item: Item = None,
    hours: Hours = None,
    note: Note = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Measure something on a truck; options stand before the truck or, where the name is free, behind the values."""
    from dipmark.office.enter import hours_from
    from dipmark.office.measure import day_of_text, measurement_of
    from dipmark.office.measure import measure as write

    measurement = measurement_of(what[0])
    if "--help" in what:
        _put_one(measurement)
        return
    said, own = told(what[1:], measurement, ("until", "instrument", "item", "hours", "note", "as-of", "by", "json"))
    as_of, as_json, hours = own.get("as-of", as_of), as_json or "json" in own, own.get("hours", hours)
    until = own.get("until", until)
    with office_of(context, own.get("by", by)) as office:
        entered, found = write(
            office,
            name,
            measurement.name,
            said,
            when_of(office, as_of),
            until=None if until is None else day_of_text(office, until),
            instrument=own.get("instrument", instrument),
            item=own.get("item", item),
            hours=None if hours is None else hours_from(hours, "--hours"),
            note=own.get("note", note),
        )
        if not as_json:
            _put_gauged(found, office.rules)
        more = {"measured": _as_told(found, office.rules)}
        put_entered(office, name, entered, as_of, as_json, "The reading is noted.", more)


def sample(
    context: typer.Context,
    name: Truck,
    fluid: Fluid,
    results: Results,
    fluid_hours: FluidHours = None,
    laboratory: Laboratory = None,
    number: Number = None,
    reported: Reported = None,
    hours: Hours = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Note a laboratory's sheet: each result against its limit and the truck's earlier sheets."""
    from dipmark.faces.cli.render import console, put
    from dipmark.faces.cli.render_measures import sheet_parts
    from dipmark.office.measure import day_of_text
    from dipmark.office.measure import sample as write
    from dipmark.views.measures import sheet_rows

    with office_of(context, by) as office:
        entered, measures = write(
            office,
            name,
            fluid,
            results,
            when_of(office, as_of),
            fluid_hours=_hours(fluid_hours, "--fluid-hours"),
            laboratory=laboratory,
            number=number,
            reported=None if reported is None else day_of_text(office, reported),
            hours=_hours(hours, "--hours"),
        )
        rows = sheet_rows(measures, office.rules)
        if not as_json:
            put(console(), *sheet_parts(rows))
        put_entered(office, name, entered, as_of, as_json, "The sheet is noted.", {"results": rows})


def topup(
    context: typer.Context,
    name: Truck,
    fluid: Fluid,
    amount: Amount,
    hours: Hours = None,
    note: Note = None,
    as_of: AsOf = None,
    by: By = None,
    as_json: Json = False,
) -> None:
    """Note what was topped up; says what the truck uses in 100 h, and alarms where that has doubled.

    A battery is named like a truck: topup b-1 water 2.5l.
    """
    from dipmark.office.battery import note_charge
    from dipmark.office.items import names_item
    from dipmark.office.measure import top_up

    with office_of(context, by) as office:
        when = when_of(office, as_of)
        if names_item(office, name):
            if "water" not in fluid.casefold() or hours or note:
                raise typer.BadParameter("a battery is topped up with water, without --hours and --note")
            entered = note_charge(office, name, "", when, water=amount)
            put_entered(office, name, entered, as_of, as_json, "The top-up is noted.")
            return
        entered, use = top_up(office, name, fluid, amount, when, hours=_hours(hours, "--hours"), note=note)
        said = "The top-up is noted." if use is None else f"The top-up is noted. {use}"
        put_entered(office, name, entered, as_of, as_json, said, {"use": use})


def _hours(text: str | None, what: str) -> Decimal | None:
    from dipmark.office.enter import hours_from

    return None if text is None else hours_from(text, what)


def told(typed: Sequence[str], measurement: Measurement, common: Iterable[str]) -> tuple[Said, dict[str, str]]:
    """What was typed behind a measurement: its values, and options that every command takes.

    A value follows its name, as ``--now 35.9mm`` or ``--now=35.9mm``; several follow one name, and values without a
    name belong to the first that takes several. A number below zero is a value. Where a measurement has a value of the
    name of an option, the value is meant.

    Args:
        typed: the words.
        measurement: what is measured.
        common: names of options.

    Raises:
        typer.BadParameter: a name that means nothing here, or an option without its word.
    """
    said: Said = {}
    own: dict[str, str] = {}
    many = next((asked.name for asked in measurement.inputs if asked.many), None)
    name, options = many, {*common} - {asked.name for asked in measurement.inputs}
    for word in typed:
        if word.startswith("--") and len(word) > 2:
            name, equals, value = word[2:].partition("=")
            if name == "json" and name in options:
                own[name], name = "", many
            elif name in options:
                own[name] = value
            elif measurement.input(name) is None:
                raise typer.BadParameter(_unknown(name, measurement))
            else:
                said.setdefault(name, []).extend([value] if equals else [])
        elif name in options:
            own[name or ""] = f"{own[name or '']} {word}".strip()
        elif name is None:
            raise typer.BadParameter(_unknown(word, measurement))
        else:
            said.setdefault(name, []).append(word)
    if empty := [one for one, value in own.items() if not value and one != "json"]:
        raise typer.BadParameter(f"--{empty[0]} needs its word")
    once = {asked.name for asked in measurement.inputs if not asked.many}
    return {name: [" ".join(texts)] if name in once else texts for name, texts in said.items()}, own


def _unknown(word: str, measurement: Measurement) -> str:
    known = ", ".join(f"--{asked.name}" for asked in measurement.inputs)
    return f"{measurement.name} knows no {word}; it takes {known}"


def _rules(context: typer.Context) -> Rules:
    from dipmark.adapters.languages import in_language
    from dipmark.adapters.rulefiles import read_rules
    from dipmark.faces.cli.options import language_of

    rules, tag = read_rules(own_rules_of(context)), language_of(context)
    return rules if tag is None else in_language(rules, tag, own_rules_of(context))


def _as_told(found: Gauged, rules: Rules) -> Mapping[str, object]:
    from dipmark.views.measures import told as as_told

    return as_told(found.judged, found.subject, rules)


def _put_gauged(found: Gauged, rules: Rules) -> None:
    from dipmark.faces.cli.render import console, put
    from dipmark.faces.cli.render_measures import gauged_parts

    put(console(), *gauged_parts(found.judged, found.subject, rules))


def _put_all(as_json: bool) -> None:
    from dipmark.derive.measured import MEASUREMENTS
    from dipmark.faces.cli.render import console, put
    from dipmark.faces.cli.render_measures import measurement_parts

    if as_json:
        put_json([_described(one) for one in MEASUREMENTS.values()])
    else:
        put(console(), *measurement_parts(MEASUREMENTS.values()))


def _described(one: Measurement) -> dict[str, Any]:
    return {"subject": one.name, "text": one.text, "takes": [_option(asked) for asked in one.inputs]}


def _option(asked: Input) -> dict[str, Any]:
    return {
        "name": asked.name,
        "text": asked.text,
        "measures": asked.dimension or None,
        "words": asked.words,
        "needed": asked.needed,
        "several": asked.many,
    }


def _put_one(measurement: Measurement) -> None:
    from dipmark.faces.cli.render import console, put
    from dipmark.faces.cli.render_measures import inputs_parts

    put(console(), *inputs_parts(measurement))
