"""Engine oil: a laboratory's sheet against limits and its own history, a drop on paper, how much is burnt."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from statistics import median
from typing import Final

import msgspec

from dipmark.derive.judging import MISSING, NONSENSE, Given, Input, Judged, Measurement, judged, past, worked_out
from dipmark.facts.base import RANK, Value
from dipmark.facts.measure import Sampled
from dipmark.facts.problems import Problem, Where
from dipmark.facts.quantity import Quantity, plain, quantity_of
from dipmark.facts.said import says
from dipmark.facts.units import UNITS, convert
from dipmark.rules.limits import Limit, Subject

ONE_SAMPLE: Final = says("One sample decides nothing: the next one shows where it goes.")
NO_LIMIT: Final = says("No limit is kept for it: those of a sheet are for engine oil.")
WRITE_NEW: Final = says("Write the value of the new oil, as {}: the limit is a change from it.")
PLANNING: Final = says("Hours left are for planning only; the limit decides.")
RESULT: Final = says("{}: {}.")
RESULT_AND_NEW: Final = says("{}: {}, new {}.")
NOTHING_PAST: Final = says("Nothing past its limit; {} of {} results have one.")
UNLIMITED: Final = says("no limit")
TWO_CHANGES: Final = says("It counts over two oil changes or more, from mark to mark; shorter than that it is a hint.")
TAKEN: Final = says("{} l in {} h is {} l/h.")
OF_FUEL: Final = says("That is {} % of the fuel.")
HINT: Final = says("A drop on paper is a hint: a laboratory's sheet says what it is.")
READ_LATER: Final = says("Read soot and coolant after six hours, fuel after a day.")
SPOT: Final = says("The spot is {}.")

ENGINE_OIL: Final = "engine oil"
"""The fluid that the limits of a sheet are for."""

ENOUGH: Final = 3
"""So many earlier samples make a usual rate; common practice, no source."""

RESULTS: Final = (
    ("fuel-dilution", "Fuel", "share", "%"),
    ("water", "Water", "share", "%"),
    ("glycol", "Glycol", "share", "ppm"),
    ("soot", "Soot", "share", "%"),
    ("viscosity-40", "Viscosity at 40 °C", "viscosity", "cSt"),
    ("viscosity-100", "Viscosity at 100 °C", "viscosity", "cSt"),
    ("base-number", "Base number", "acidity", "mg/g"),
    ("acid-number", "Acid number", "acidity", "mg/g"),
    ("flash-open", "Flash point, open cup", "temperature", "C"),
    ("flash-closed", "Flash point, closed cup", "temperature", "C"),
    ("iron", "Iron", "share", "ppm"),
    ("chromium", "Chromium", "share", "ppm"),
    ("copper", "Copper", "share", "ppm"),
    ("tin", "Tin", "share", "ppm"),
    ("aluminium", "Aluminium", "share", "ppm"),
    ("lead", "Lead", "share", "ppm"),
    ("boron", "Boron", "share", "ppm"),
    ("silicon", "Silicon", "share", "ppm"),
    ("sodium", "Sodium", "share", "ppm"),
    ("potassium", "Potassium", "share", "ppm"),
)
"""What a sheet has: name, name for people, what it measures, the unit meant where none is written."""

BOUNDS: Final = {
    "share": ("0 %", "100 %"),
    "viscosity": ("0.2 cSt", "100000 cSt"),
    "acidity": ("0 mg/g", "100 mg/g"),
    "temperature": ("-50 C", "400 C"),
}
"""What a result can be at all, by what it measures."""

NEW: Final = "-new"
"""Behind the name of a result: its value in the new oil."""

IN_NEW_OIL: Final = ("viscosity-40", "viscosity-100", "base-number", "acid-number", "boron", "silicon", "sodium")
"""What new oil holds already, so that its value when new is asked for."""

GOOD: Final = "uniform"
SPOTS: Final = (GOOD, "black-centre", "brown-ring", "halo", "jagged")
"""What a drop on paper can look like; all but the first have a limit of that name."""

SPREAD, FUEL_SPREAD = Fraction(6), Fraction(24)
"""Hours until soot and coolant show in a drop on paper, and until fuel does."""


class _Sheet(msgspec.Struct, frozen=True):
    """One sample's results by name, and the hours on its oil."""

    results: dict[str, Quantity]
    hours: Fraction | None = None

    def known(self, name: str, like: Quantity) -> Quantity | None:
        """A result of the same dimension; None where there is none."""
        one = self.results.get(name)
        return one if one and one.dimension == like.dimension else None


def _sheet(values: Iterable[Value], hours: Decimal | None) -> _Sheet:
    known = {one.quantity: quantity_of(one) for one in values if one.unit in UNITS}
    return _Sheet(known, None if hours is None else Fraction(hours))


def judge_sheet(
    results: Iterable[Value],
    fluid: str,
    history: Iterable[Sampled],
    subject: Subject,
    fluid_hours: Decimal | None = None,
) -> tuple[Judged, ...]:
    """A laboratory's sheet, result by result, against the limits and against the same truck's earlier sheets.

    Args:
        results: of this sheet; ``NAME-new`` beside ``NAME`` is the value of the new oil, and so is a sample at 0 hours.
        fluid: which; the limits are for engine oil, any other fluid has only its history.
        history: the truck's earlier sheets, oldest first, of any fluid.
        subject: the limits; one named after a result holds it.
        fluid_hours: hours on this oil.

    Returns:
        One for each result, under the result's name; `more` has ``per-100h``, the rise on this oil for each 100 h,
        ``usual``, the median of the earlier sheets' rises, ``of-usual``, this rise in % of that, and ``hours-left``
        to the limit at this rate.

    *Edge*: one sample decides nothing: past a limit that says more than `watch` it is `watch`, until the sheet before
    was past it too. A result in a unit that nobody knows is left out.

    *Source*: limits: the strictest of those seen, no uniform list exists. The rise is that between two points, the new
    oil and this sample; where the value when new is not known, what ought not to be in oil rises from nothing.
    """
    same = [_sheet(one.results, one.fluid_hours) for one in history if _name(one.fluid) == _name(fluid)]
    return _judged(_sheet(results, fluid_hours), same, subject, limited=_name(fluid) == ENGINE_OIL)


def _name(fluid: str) -> str:
    return " ".join(fluid.casefold().replace("-", " ").split())


def _judged(now: _Sheet, earlier: Sequence[_Sheet], subject: Subject, *, limited: bool) -> tuple[Judged, ...]:
    limits = tuple(subject.limits.values()) if limited else ()
    return tuple(
        _result(name, now, earlier, [one for one in limits if one.id in (name, f"{name}-low", f"{name}-high")], subject)
        for name in now.results
        if not name.endswith(NEW)
    )


def _result(name: str, now: _Sheet, earlier: Sequence[_Sheet], limits: Sequence[Limit], subject: Subject) -> Judged:
    """One result: against its limits, where it has some, and against its usual rise."""
    value = now.results[name]
    new = _when_new(name, value, (*earlier, now))
    held = [
        (worked_out(one, bound, value.unit), bound) for one in limits if (bound := _bound(one, value, new)) is not None
    ]
    before = next((found for one in reversed(earlier) if (found := one.known(name, value))), None)
    passed = [
        one if before and past(before, bound, value.unit, one.edge) else _watch(one)
        for one, bound in held
        if past(value, bound, value.unit, one.edge)
    ]
    course = _course(name, now, earlier, new, [bound for _, bound in held])
    notes = [] if earlier else [subject.say(ONE_SAMPLE)]
    if not limits:
        notes.append(subject.say(NO_LIMIT))
    elif not held and limits[0].unit == "%":
        notes.append(subject.say(WRITE_NEW, f"{name}{NEW}"))
    if "hours-left" in course:
        notes.append(subject.say(PLANNING))
    title = next((subject.say(text) for id, text, _, _ in RESULTS if id == name), name)
    because = subject.say(RESULT_AND_NEW, title, value, new) if new else subject.say(RESULT, title, value)
    more: dict[str, Decimal | str] = {key: plain(one, 3) for key, one in course.items()}
    if not held:
        shown = Judged(subject=name, value=plain(value.value), unit=value.unit, verdict=None, because=because)
        return msgspec.structs.replace(shown, notes=tuple(notes), more=more)
    rise = subject.limits["rise"]
    share = Quantity(course.get("of-usual", Fraction(0)), "%", Fraction(1))
    faster = [rise] if not passed and past(share, rise.exact, "%", rise.edge) else []
    shown = judged(
        name,
        subject,
        value.value,
        value.unit,
        because,
        held=[one for one, _ in held],
        passed=passed or faster,
        notes=notes,
        more=more,
    )
    return msgspec.structs.replace(shown, limit=None) if faster else shown


def _watch(limit: Limit) -> Limit:
    """The limit as one sample alone may say it."""
    return msgspec.structs.replace(limit, verdict="watch", days=None)


def _when_new(name: str, value: Quantity, sheets: Sequence[_Sheet]) -> Quantity | None:
    """The latest value of the new oil."""
    found = (
        sheet.known(f"{name}{NEW}", value) or (sheet.known(name, value) if sheet.hours == 0 else None)
        for sheet in reversed(sheets)
    )
    return next((one for one in found if one), None)


def _bound(limit: Limit, value: Quantity, new: Quantity | None) -> Fraction | None:
    """The limit in the unit of the value; None where it needs the value when new and that is not known."""
    if limit.unit in UNITS and UNITS[limit.unit].dimension == value.dimension:
        return convert(limit.value, limit.unit, value.unit)
    return new.in_(value.unit) * (1 + limit.exact / 100) if new and limit.unit == "%" else None


def _course(
    name: str, now: _Sheet, earlier: Sequence[_Sheet], new: Quantity | None, bounds: Sequence[Fraction]
) -> dict[str, Fraction]:
    """Where a result goes, on the line from the new oil to this sample.

    Args:
        name: of the result.
        now: this sheet.
        earlier: those before, of the same fluid.
        new: the value when new.
        bounds: the limits, in the unit of the value.

    Returns:
        As far as known: ``per-100h``; ``usual``, that of the earlier sheets; ``hours-left``; ``of-usual``, this
        rise in % of the usual one, where half of the way is gone and there are enough earlier sheets.
    """
    value = now.results[name]
    start = new.in_(value.unit) if new else Fraction(0) if value.dimension == "share" else None
    if start is None or not now.hours:
        return {}
    gain = value.value - start
    course = {"per-100h": gain / now.hours * 100}
    rises = [
        (found.in_(value.unit) - start) / one.hours * 100
        for one in earlier
        if one.hours and (found := one.known(name, value))
    ]
    if rises:
        course["usual"] = median(rises)
    way = min((bound - start for bound in bounds if (bound - start) * gain > 0), key=abs, default=None)
    if way and abs(gain) < abs(way):
        course["hours-left"] = (way - gain) / gain * now.hours
    if way and abs(gain) * 2 >= abs(way) and len(rises) >= ENOUGH and course["usual"] * gain > 0:
        course["of-usual"] = course["per-100h"] / course["usual"] * 100
    return course


def judge_oil_sheet(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """One laboratory sheet of engine oil without a record: the worst of its results.

    Args:
        given: results by their names, ``NAME-new`` and ``fluid-hours``.
        subject: the limits.

    *Edge*: each limit says on which side it stands; what is not on the sheet is not judged.

    *Source*: as with a sheet in the record; without one there is no history.
    """
    hours = given.maybe("fluid-hours")
    results = {name: given.one(name) for name in given.read if name != "fluid-hours"}
    each = _judged(_Sheet(results, hours.in_("h") if hours else None), (), subject, limited=True)
    if not each:
        known = ", ".join(name for name, *_ in RESULTS)
        return (Problem(MISSING, "no result", known, "Copy the results off the sheet."),)
    worst = max(each, key=_badness)
    held = [one.because for one in each if _badness(one) > 0]
    limited = sum(one.verdict is not None for one in each)
    because = " ".join(held) or subject.say(NOTHING_PAST, limited, len(each))
    notes = tuple(dict.fromkeys(note for one in each for note in one.notes))
    more = {one.subject: one.verdict or subject.say(UNLIMITED) for one in each}
    return msgspec.structs.replace(worst, subject="oil-sheet", because=because, notes=notes, more=dict(more))


def _badness(one: Judged) -> int:
    return -1 if one.verdict is None else 0 if one.verdict == "in" else 1 + RANK[one.verdict]


def judge_use(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """How much oil an engine takes in an hour, and in % of the fuel it burns.

    Args:
        given: ``topped-up``, ``filled``, ``drained``, ``hours`` and ``fuel``, what it burns in an hour.
        subject: limit ``use``.

    *Edge*: 0.3 % of the fuel still passes; without the fuel there is no limit.

    *Source*: a trade magazine (secondary): topped up and filled, less drained, over two oil changes or more.
    """
    topped, hours, fuel = given.one("topped-up"), given.one("hours").in_("h"), given.maybe("fuel")
    filled, drained = (one.in_("l") if (one := given.maybe(name)) else Fraction(0) for name in ("filled", "drained"))
    taken = topped.in_("l") + filled - drained
    if taken < 0:
        hint = "Measure again. Oil that rises by itself holds fuel or coolant: have it looked at before it runs."
        found = f"{plain(-taken, 3)} l more drained than filled"
        return (Problem(NONSENSE, found, "at most what was filled", hint, Where(column="drained")),)
    notes = [subject.say(TWO_CHANGES)]
    because = subject.say(TAKEN, plain(taken, 3), plain(hours, 1), plain(taken / hours, 4))
    if fuel is None:
        shown = Judged(subject="oil-use", value=plain(taken / hours), unit="l/h", verdict=None, because=because)
        return msgspec.structs.replace(shown, notes=tuple(notes))
    limit, burnt = subject.limits["use"], fuel.in_("l/h")
    most = limit.exact / 100 * burnt
    share = taken / hours / burnt * 100
    over = past(topped, most * hours - filled + drained, "l", limit.edge)
    return judged(
        "oil-use",
        subject,
        taken / hours,
        "l/h",
        f"{because} {subject.say(OF_FUEL, plain(share, 3))}",
        held=[worked_out(limit, most, "l/h")],
        passed=[worked_out(limit, most, "l/h")] if over else [],
        notes=notes,
        more={"percent-of-fuel": plain(share)},
    )


def judge_blotter(given: Given, subject: Subject) -> Judged:
    """What a drop of used oil looks like on filter paper.

    Args:
        given: ``spot``, and ``after``, how long after the drop it was read.
        subject: the limits, one for each kind of spot but the good one.

    *Edge*: read before six hours it has no verdict; an even spot is read again after a day, for fuel.

    *Source*: a trade magazine on lubrication (seen).
    """
    spot, after = given.words["spot"], given.maybe("after")
    limits = [subject.limits[one] for one in SPOTS if one != GOOD]
    notes = [subject.say(HINT)]
    if after is None or after.in_("h") < (FUEL_SPREAD if spot == GOOD else SPREAD):
        notes.append(subject.say(READ_LATER))
    because = subject.say(SPOT, subject.named(spot))
    if after is not None and after.in_("h") < SPREAD:
        return Judged(subject="blotter", value=spot, unit=None, verdict=None, because=because, notes=tuple(notes))
    passed = [one for one in limits if one.id == spot]
    verdict = judged("blotter", subject, None, None, because, held=limits, passed=passed, notes=notes)
    return msgspec.structs.replace(verdict, value=spot, limit=None)


def _asked(name: str, text: str, dimension: str, usual: str) -> Input:
    least, most = BOUNDS[dimension]
    return Input(name, text, dimension, usual, needed=False, kept=name.endswith(NEW), least=least, most=most)


MEASUREMENTS: Final = (
    Measurement(
        name="oil-sheet",
        subject="oil",
        text="Engine oil: a laboratory's sheet",
        judge=judge_oil_sheet,
        inputs=(
            *(_asked(*one) for one in RESULTS),
            *(_asked(name + NEW, f"{text}, new oil", *rest) for name, text, *rest in RESULTS if name in IN_NEW_OIL),
            Input("fluid-hours", "hours on the oil", "time", "h", needed=False, least="0 h", most="10000 h"),
        ),
    ),
    Measurement(
        name="oil-use",
        subject="oil",
        text="Engine oil: how much is used up",
        judge=judge_use,
        inputs=(
            Input("topped-up", "topped up in all", "volume", "l", least="0 l", most="1000 l"),
            Input("filled", "filled at the changes", "volume", "l", needed=False, least="0 l", most="1000 l"),
            Input("drained", "drained at the changes", "volume", "l", needed=False, least="0 l", most="1000 l"),
            Input("hours", "hours run", "time", "h", over="0 h", most="100000 h"),
            Input(
                "fuel", "fuel burnt in an hour", "flow", "l/h", kept=True, needed=False, over="0 l/h", most="500 l/h"
            ),
        ),
    ),
    Measurement(
        name="blotter",
        subject="oil",
        text="Engine oil: a drop on filter paper",
        judge=judge_blotter,
        inputs=(
            Input("spot", "what the spot looks like", words=SPOTS),
            Input("after", "how long after the drop", "time", "h", needed=False, least="0 h", most="1000 h"),
        ),
    ),
)
