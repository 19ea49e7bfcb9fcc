"""The lead-acid battery: gravity and voltage to charge, where it freezes, cells apart, what to return, what is due."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Final

from msgspec.structs import replace

from dipmark.derive.judging import MISSING, NONSENSE, Given, Input, Judged, Measurement, judged, past, worked_out
from dipmark.facts.problems import Problem, Where
from dipmark.facts.quantity import Quantity, plain
from dipmark.facts.said import says
from dipmark.facts.units import convert
from dipmark.rules.limits import Subject

GRAVITY: Final = says("{} at {} is {} at {}: {} % on the scale {}, freezes at {} C.")
AT_REST: Final = says("{} over {} cells at rest: {} V a cell, {} % charged.")
LOADED: Final = says("{} over {} cells under load: {} V a cell.")
ONE_READING: Final = says("One reading decides nothing: charge, rest, measure again. Beware of fresh water in a cell.")
CELLS: Final = says("{} cells from {} to {}: {} apart.")
RETURN: Final = says("{} of {} is {} Ah: return {} Ah.")
FELL: Final = says("The gravity fell by {} thousandths: {} Ah drawn.")
OTHER_SIZE: Final = says(
    "Holds for the handbook's battery; for another size find its own figure by a measured discharge."
)
LASTED: Final = says("It lasted {} of {} h: {} % of its capacity.")
HEAT: Final = says("The electrolyte is at {}.")
WATERED: Final = says("{} charges since it was watered, at most {}.")
STORED: Final = says("{} days since it was charged, at most {}.")
EQUALISED_DAYS: Final = says("{} days since it was equalised, at most {}.")
EQUALISED_CHARGES: Final = says("{} charges since it was equalised, at most {}.")

CELL: Final = Fraction("0.84")
"""Voltage of a rested cell less its gravity (traction battery makers, seen)."""

RETURNED: Final = Fraction("1.1")
"""Charge to return for each Ah drawn (a traction battery maker's page, seen)."""

MOST_VOLTS: Final = Fraction("2.7")
"""Volts that no cell exceeds, not even on charge (common practice)."""

STARTER_CELLS: Final = 6
SCALES: Final = ("council", "army", "metric")
FREEZING: Final = ("freezing", "freezing-course")


def correction(at: Quantity, scale: str) -> Fraction:
    """What to add to a gravity so that it stands at the temperature of its scale, sg.

    Args:
        at: temperature of the electrolyte.
        scale: one of `SCALES`: council and army stand at 80 °F, metric at 20 °C.

    *Source*: TM 5-4210-230-14&P-1, p. 457: 0.004 for each 10 °F (seen); makers' manuals: 0.0007 for each °C (seen).

    Example:
        >>> Fraction("1.250") + correction(Quantity(Fraction(20), "F", Fraction(1)), "council") == Fraction("1.226")
        True
    """
    if scale == "metric":
        return Fraction("0.0007") * (at.in_("C") - 20)
    return Fraction("0.0004") * (at.in_("F") - 80)


def freezes(gravity: Fraction, subject: Subject) -> Fraction:
    """Where the electrolyte freezes, °F: by the warmer of the two tables, each straight between its rows.

    Args:
        gravity: at 80 °F.
        subject: the tables.

    *Edge*: weaker than a table's first row counts as that row, stronger than its last as the last.

    *Source*: TM 5-3820-256-24-4 and army course OD1002 (seen); a copy with colder figures is left out.
    """
    return max(subject.rows[one].between(gravity, "gravity sg", "freezes F") for one in FREEZING)


def frozen_at(temperature: Fraction, subject: Subject) -> Fraction | None:
    """The gravity, at 80 °F, up to which the electrolyte is frozen; None where even water is not.

    Args:
        temperature: of the electrolyte, °F.
        subject: the tables.
    """
    tables = [subject.rows[one] for one in FREEZING if temperature <= max(subject.rows[one].column("freezes F"))]
    return max((one.between(temperature, "freezes F", "gravity sg") for one in tables), default=None)


def judge_gravity(given: Given, subject: Subject) -> Judged:
    """The gravity at the temperature of its scale, the charge that it stands for, and whether it may be frozen.

    Args:
        given: ``reading``, ``at``, ``scale``.
        subject: scales, tables and limits.

    *Edge*: as strong as what freezes at this temperature is frozen; exactly the charge of the limit still passes.
    """
    reading, at, scale = given.one("reading"), given.one("at"), given.words["scale"]
    table, shift = subject.rows[scale], correction(at, scale)
    gravity, at_80 = reading.in_("sg") + shift, reading.in_("sg") + correction(at, "council")
    charge = table.between(gravity, "gravity sg", "charge %")
    low = subject.limits["deep" if scale == "metric" else "low"]
    bounds = [(low, table.between(low.exact, "charge %", "gravity sg") - shift)]
    if (weak := frozen_at(at.in_("F"), subject)) is not None:
        bounds.append((subject.limits["frozen"], weak - at_80 + reading.in_("sg")))
    held = {one.id: worked_out(one, bound + shift, "sg") for one, bound in bounds}
    passed = [held[one.id] for one, bound in bounds if past(reading, bound, "sg", one.edge)]
    point = plain(convert(freezes(at_80, subject), "F", "C"), 1)
    warm = "20 C" if scale == "metric" else "80 F"
    because = subject.say(GRAVITY, reading, at, plain(gravity, 4), warm, plain(charge, 1), subject.named(scale), point)
    more: dict[str, Decimal | str] = {"charge": plain(charge, 1), "freezes": point}
    return judged("battery-sg", subject, gravity, "sg", because, held=list(held.values()), passed=passed, more=more)


def judge_voltage(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The charge of a rested battery by its voltage.

    Args:
        given: ``volts``, ``kind``, and ``cells``, which only a starter battery may leave out.
        subject: scales and limits.

    *Edge*: exactly the charge of the limit still passes.

    *Source*: starter battery: the council's table (secondary); traction battery: gravity + 0.84 V a cell (seen).
    """
    volts, kind, cells = given.one("volts"), given.words["kind"], given.maybe("cells")
    if cells is None and kind == "traction":
        return (Problem(MISSING, "no cells", "how many cells in series", "Count them.", Where(column="cells")),)
    count = Fraction(STARTER_CELLS) if cells is None else cells.value
    each = volts.in_("V") / count
    if each > MOST_VOLTS:
        return (_too_many_volts(volts, each),)
    more: dict[str, Decimal | str] = {"cell": plain(each, 3)}
    if kind == "traction":
        table, column, one, limit = subject.rows["metric"], "gravity sg", each - CELL, subject.limits["deep"]
        more["gravity"] = plain(one, 3)
        bound = (table.between(limit.exact, "charge %", column) + CELL) * count
    else:
        table, column, one, limit = subject.rows["council"], "volts V", each * STARTER_CELLS, subject.limits["low"]
        bound = table.between(limit.exact, "charge %", column) / STARTER_CELLS * count
    charge = table.between(one, column, "charge %")
    passed = [limit] if past(volts, bound, "V", limit.edge) else []
    because = subject.say(AT_REST, volts, plain(count), plain(each, 3), plain(charge, 1))
    return judged("battery-voltage", subject, charge, "%", because, held=[limit], passed=passed, more=more)


def judge_load(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The voltage of a traction battery's cell under load.

    Args:
        given: ``volts`` and ``cells``.
        subject: the limits.

    *Edge*: exactly 1.70 V a cell still passes.
    """
    volts, cells, limit = given.one("volts"), given.one("cells").value, subject.limits["flat"]
    each = volts.in_("V") / cells
    if each > MOST_VOLTS:
        return (_too_many_volts(volts, each),)
    passed = [limit] if past(volts, limit.exact * cells, "V", limit.edge) else []
    because = subject.say(LOADED, volts, plain(cells), plain(each, 3))
    return judged("battery-load", subject, each, "V", because, held=[limit], passed=passed)


def _too_many_volts(volts: Quantity, each: Fraction) -> Problem:
    found, expected = f"{volts}, {plain(each, 2)} V a cell", f"at most {plain(MOST_VOLTS)} V a cell"
    return Problem(NONSENSE, found, expected, "Count the cells again; read the voltage again.", Where(column="volts"))


def judge_cells(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """How far the cells of a charged battery lie apart.

    Args:
        given: ``cell`` for each, and ``again`` where it was measured again after charge and rest.
        subject: the limits.

    *Edge*: 0.025 exactly still passes, 0.050 does not. One reading decides nothing: until the cells were measured
    again, what is past a limit is watched.

    *Source*: TM 9-6140-200-14, para 4-7; a trade school and makers' manuals (seen); one reading: common practice.
    """
    cells = sorted(given.all("cell"), key=lambda read: read.value.in_("sg"))
    if len(cells) < 2:
        return (Problem(MISSING, "one cell", "every cell of the battery", "Measure them all.", Where(column="cell")),)
    weak, strong = cells[0].value.to("sg"), cells[-1].value.to("sg")
    spread = Quantity(strong.value - weak.value, "sg", max(weak.resolution, strong.resolution))
    held = [subject.limits["replace"], subject.limits["uneven"]]
    passed = [one for one in held if past(spread, one.exact, one.unit, one.edge)]
    notes = []
    if passed and "again" not in given.words:
        passed = [replace(one, verdict="watch", days=None) for one in passed]
        notes.append(subject.say(ONE_READING))
    because = subject.say(CELLS, len(cells), weak, strong, plain(spread.value, 3))
    return judged("cells", subject, spread.value, "sg", because, held=held, passed=passed, notes=notes)


def judge_charge(given: Given, subject: Subject) -> Judged:
    """The charge to return after so much was drawn.

    Args:
        given: ``capacity`` and ``drawn``, in %.
        subject: the limits.

    *Edge*: 80 % drawn still passes.

    *Source*: a traction battery maker's page (seen): 1.1 times what was drawn.
    """
    capacity, drawn, limit = given.one("capacity"), given.one("drawn"), subject.limits["drawn"]
    taken = capacity.in_("Ah") * drawn.in_("%") / 100
    most = worked_out(limit, RETURNED * capacity.in_("Ah") * limit.exact / 100, "Ah")
    passed = [most] if past(drawn, limit.exact, "%", limit.edge) else []
    because = subject.say(RETURN, drawn, capacity, plain(taken, 1), plain(RETURNED * taken, 1))
    return judged("battery-charge", subject, RETURNED * taken, "Ah", because, held=[most], passed=passed)


def judge_drawn(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The charge that was drawn, by how far the gravity fell.

    Args:
        given: ``before`` and ``after``.
        subject: the thousandths that an Ah takes.

    *Source*: NAVEDTRA 14113 (seen): 1.5 thousandths for each Ah of its battery.
    """
    before, after, fall = given.one("before"), given.one("after"), subject.rows["fall"]
    fallen = (before.in_("sg") - after.in_("sg")) * 1000
    if fallen < 0:
        found, hint = f"{after} after {before}", "Measure again; it was charged or read too soon after water."
        return (Problem(NONSENSE, found, f"at most {before}", hint, Where(column="after")),)
    drawn = fallen / fall.column("thousandths each Ah")[0]
    return Judged(
        subject="battery-drawn",
        value=plain(drawn),
        unit="Ah",
        verdict=None,
        source=fall.source,
        because=subject.say(FELL, plain(fallen), plain(drawn, 1)),
        notes=(subject.say(OTHER_SIZE),),
    )


def judge_capacity(given: Given, subject: Subject) -> Judged:
    """What is left of the capacity, by a discharge to the end.

    Args:
        given: ``hours`` it lasted, ``rated`` hours at this current.
        subject: the limits.

    *Edge*: 80 % and 90 % exactly still pass.

    *Source*: NAVEDTRA 14113 (seen): hours lasted by hours rated; limits: a battery firm's page (secondary).
    """
    hours, rated = given.one("hours"), given.one("rated").in_("h")
    share = hours.in_("h") / rated * 100
    held = [subject.limits["worn-out"], subject.limits["ageing"]]
    passed = [one for one in held if past(hours, rated * one.exact / 100, "h", one.edge)]
    because = subject.say(LASTED, hours, plain(rated), plain(share, 1))
    return judged("battery-capacity", subject, share, "%", because, held=held, passed=passed)


def judge_heat(given: Given, subject: Subject) -> Judged:
    """How warm the electrolyte is.

    Args:
        given: ``at``.
        subject: the limits.

    *Edge*: 115 °F (46 °C) exactly still passes.
    """
    at, limit = given.one("at"), subject.limits["hot"]
    held = worked_out(limit, convert(limit.exact, limit.unit, at.unit), at.unit)
    passed = [held] if past(at, limit.exact, limit.unit, limit.edge) else []
    because = subject.say(HEAT, at)
    return judged("battery-heat", subject, at.value, at.unit, because, held=[held], passed=passed)


def judge_water(given: Given, subject: Subject) -> Judged:
    """How many charges since it was watered.

    Args:
        given: ``charges`` and ``age``: new or old.
        subject: the limits.

    *Edge*: with the tenth charge, of an old battery the fifth, it is due.
    """
    return _counted("battery-water", "charges", WATERED, given, subject, f"water-{given.words['age']}")


def judge_store(given: Given, subject: Subject) -> Judged:
    """How many days a battery in store was not charged.

    Args:
        given: ``days``.
        subject: the limits.

    *Edge*: after 30 days it is due.
    """
    return _counted("battery-store", "days", STORED, given, subject, "stored")


def judge_equalise(given: Given, subject: Subject) -> Judged:
    """How many charges and days since it was equalised; whichever comes first.

    Args:
        given: ``charges`` and ``days``.
        subject: the limits.

    *Edge*: with the tenth charge or after 30 days it is due.
    """
    days = _counted("battery-equalise", "days", EQUALISED_DAYS, given, subject, "equalise-days")
    charges = _counted("battery-equalise", "charges", EQUALISED_CHARGES, given, subject, "equalise-charges")
    return days if days.verdict != "in" else charges


def _counted(name: str, what: str, says: str, given: Given, subject: Subject, limit: str) -> Judged:
    value, held = given.one(what), subject.limits[limit]
    passed = [held] if past(value, held.exact, held.unit, held.edge) else []
    because = subject.say(says, plain(value.value), held.value)
    return judged(name, subject, value.value, held.unit, because, held=[held], passed=passed)


def _gravity(name: str, text: str, *, many: bool = False) -> Input:
    return Input(name, text, "gravity", "sg", many=many, least="1.000 sg", most="1.400 sg")


def _count(name: str, text: str, *, kept: bool = False, needed: bool = True, least: str = "0 count") -> Input:
    return Input(name, text, "count", "count", kept=kept, needed=needed, least=least, most="1000 count")


_AT: Final = Input("at", "temperature of the electrolyte", "temperature", least="-60 C", most="80 C")
_VOLTS: Final = Input("volts", "voltage of the whole battery", "voltage", "V", over="0 V", most="1000 V")
_CELLS: Final = _count("cells", "cells in series", kept=True, least="1 count")

MEASUREMENTS: Final = tuple(
    Measurement(name=name, subject="battery", text=text, judge=judge, inputs=inputs, of="item")
    for name, text, judge, inputs in (
        (
            "battery-sg",
            "Battery: gravity brought to the temperature of its scale",
            judge_gravity,
            (
                _gravity("reading", "gravity as read"),
                _AT,
                Input("scale", "scale: council or army (starter), metric (traction)", words=SCALES, kept=True),
            ),
        ),
        (
            "battery-voltage",
            "Battery: voltage at rest",
            judge_voltage,
            (
                _VOLTS,
                Input("kind", "starter or traction", words=("starter", "traction"), kept=True),
                _count("cells", "cells in series; 6 for a starter battery", kept=True, needed=False, least="1 count"),
            ),
        ),
        ("battery-load", "Traction battery: voltage under load", judge_load, (_VOLTS, _CELLS)),
        (
            "cells",
            "Battery: gravity of every cell of a charged battery",
            judge_cells,
            (
                _gravity("cell", "gravity of each cell", many=True),
                Input("again", "yes: measured again after charge and rest", words=("yes",), needed=False),
            ),
        ),
        (
            "battery-charge",
            "Traction battery: charge to return",
            judge_charge,
            (
                Input("capacity", "rated capacity", "charge", "Ah", kept=True, over="0 Ah", most="10000 Ah"),
                Input("drawn", "share of it that was drawn", "share", "%", least="0 %", most="100 %"),
            ),
        ),
        (
            "battery-drawn",
            "Battery: charge drawn, by its gravity",
            judge_drawn,
            (_gravity("before", "gravity before"), _gravity("after", "gravity after")),
        ),
        (
            "battery-capacity",
            "Battery: capacity by a discharge to the end",
            judge_capacity,
            (
                Input("hours", "how long it lasted", "time", "h", over="0 h", most="1000 h"),
                Input("rated", "how long it lasts when new at this current", "time", "h", kept=True, over="0 h"),
            ),
        ),
        ("battery-heat", "Battery: temperature of the electrolyte", judge_heat, (_AT,)),
        (
            "battery-water",
            "Traction battery: charges since it was watered",
            judge_water,
            (
                _count("charges", "charges since it was watered"),
                Input("age", "new or old", words=("new", "old"), kept=True),
            ),
        ),
        (
            "battery-equalise",
            "Traction battery: charges and days since it was equalised",
            judge_equalise,
            (_count("charges", "charges since then"), _count("days", "days since then")),
        ),
        ("battery-store", "Battery in store: days since it was charged", judge_store, (_count("days", "days"),)),
    )
)
