"""How thick an oil is: its index, its viscosity at another temperature, its grade, how much fuel has thinned it."""

from __future__ import annotations

import re
from bisect import bisect_right
from decimal import Decimal
from fractions import Fraction
from operator import itemgetter
from typing import Final

import msgspec

from dipmark.derive.judging import NONSENSE, Given, Input, Judged, Measurement, judged, past, worked_out
from dipmark.derive.logarithms import exp, ln, log10, ten_to
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.quantity import Quantity, plain
from dipmark.facts.said import says
from dipmark.rules.limits import Rows, Subject

INDEX: Final = says("{} at 40 °C and {} at 100 °C make a viscosity index of {}.")
ESTIMATE: Final = says(
    "Outside the two temperatures it is an estimate: wax thickens in the cold, light parts boil off in heat."
)
ON_LINE: Final = says("At {} the line through both points gives {} cSt.")
FITS: Final = says("{} at 100 °C fits grade {}.")
FITS_NONE: Final = says("{} at 100 °C fits no grade.")
AND: Final = says("and")
OVERLAP: Final = says("Grades overlap here: the can says which it is, not the viscosity.")
MAY_HOLD: Final = says("A used oil in its grade may still hold fuel and soot: the one thins, the other thickens.")
HIDDEN: Final = says("Soot and old age thicken the oil and hide fuel: a laboratory measures it itself.")
THICKER: Final = says("{} is thicker than the new oil's {}: fuel cannot be told from it.")
DILUTED: Final = says("{}, new {}: between {} and {} % of fuel.")

GRADE: Final = code("oil-grade", "The grade of an oil is none of those in the table.")
POINTS: Final = code("viscosity-points", "The two viscosities given do not make a line over temperature.")

KELVIN: Final = Fraction("273.15")
ROUNDS: Final = 60
"""More than enough: each brings the thin end of the line nearer by a factor of three."""

HUNDREDTH: Final = Fraction(1, 100)
"""The step in which a share of fuel is held against its limit, %."""

_GRADE: Final = re.compile(r"(?:SAE )?(?:(?P<winter>\d{1,2})W-?)?(?P<grade>\d{1,2})?")


def references(at100: Fraction, table: Rows) -> tuple[Fraction, Fraction]:
    """The viscosities at 40 °C of the two oils that an oil of that viscosity at 100 °C is compared with, cSt.

    Args:
        at100: viscosity at 100 °C, cSt, 2 or more.
        table: columns ``at100``, ``L`` and ``H``.

    Returns:
        L, that of the oil of index 0, and H, that of the oil of index 100.

    *Edge*: 70 cSt itself is still looked up.

    *Source*: ASTM D2270: between rows in proportion; above 70 cSt the two formulas (seen).
    """
    if at100 > 70:
        return (
            Fraction("0.8353") * at100**2 + Fraction("14.67") * at100 - 216,
            Fraction("0.1684") * at100**2 + Fraction("11.85") * at100 - 97,
        )
    known = table.column("at100")
    row = min(bisect_right(known, at100), len(known) - 1)
    part = (at100 - known[row - 1]) / (known[row] - known[row - 1])
    low, high = ((one[row - 1] + part * (one[row] - one[row - 1])) for one in map(table.column, ("L", "H")))
    return low, high


def viscosity_index(at40: Fraction, at100: Fraction, table: Rows) -> Fraction:
    """How little an oil thins when it warms; not rounded.

    Args:
        at40: viscosity at 40 °C, cSt.
        at100: viscosity at 100 °C, cSt, 2 or more.
        table: columns ``at100``, ``L`` and ``H``.

    *Edge*: at H itself both procedures give 100.

    *Source*: ASTM D2270, procedures A and B (seen).
    """
    low, high = references(at100, table)
    if at40 >= high:
        return (low - at40) / (low - high) * 100
    return (ten_to((log10(high) - log10(at40)) / log10(at100)) - 1) / Fraction("0.00715") + 100


def judge_index(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The viscosity index, to a whole number; no limit exists.

    Args:
        given: ``at40`` and ``at100``.
        subject: the table of the two oils compared with.

    *Edge*: a half goes to the even number; below 2 cSt at 100 °C the index is not defined.

    *Source*: ASTM D2270 (seen).
    """
    at40, at100 = given.one("at40"), given.one("at100")
    if at40.in_("cSt") <= at100.in_("cSt"):
        found, expected = f"{at40} at 40 °C, {at100} at 100 °C", "an oil that is thinner when hot"
        return (Problem(POINTS, found, expected, "Look whether the two are swapped.", Where(column="at40")),)
    table = subject.rows["index"]
    low, high = references(at100.in_("cSt"), table)
    index = round(viscosity_index(at40.in_("cSt"), at100.in_("cSt"), table))
    return Judged(
        subject="viscosity-index",
        value=Decimal(index),
        unit=None,
        verdict=None,
        source=table.source,
        because=subject.say(INDEX, at40, at100, index),
        more={"L": plain(low), "H": plain(high)},
    )


def _thin(viscosity: Fraction) -> Fraction:
    """What D341 adds to an oil; beyond 2 cSt less than a thousandth, beyond 3 nothing that shows."""
    return exp(Fraction("-1.47") - Fraction("1.84") * viscosity - Fraction("0.51") * viscosity**2)


def straightened(viscosity: Fraction) -> Fraction:
    """The double logarithm that makes a straight line over the logarithm of the temperature.

    Args:
        viscosity: in cSt, 0.21 or more.

    *Edge*: the part for thin liquids is kept above 2 cSt too, so that the line has no step there.

    *Source*: ASTM D341 (seen).
    """
    return log10(log10(viscosity + Fraction("0.7") + _thin(viscosity)))


def viscosity_at(line: Fraction) -> Fraction:
    """The viscosity that belongs to a double logarithm, cSt: `straightened` backwards.

    Args:
        line: what `straightened` gives for 0.21 to 20,000,000 cSt.

    *Source*: ASTM D341 (seen), solved by repetition, not by its formula of approximation.
    """
    whole = ten_to(ten_to(line)) - Fraction("0.7")
    viscosity = whole
    for _ in range(ROUNDS):
        viscosity = whole - _thin(viscosity)
    return viscosity


def judge_viscosity(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The viscosity at a temperature, from those at two others; no limit exists.

    Args:
        given: ``point`` twice, each with its temperature, and ``at``.
        subject: the range that the line is made for.

    *Edge*: outside the two temperatures it is an estimate and says so.

    *Source*: ASTM D341: the line through two points (seen).
    """
    points, where = given.all("point"), Where(column="point")
    ends = sorted(((at.in_("C"), point.value) for point in points if (at := point.at)), key=itemgetter(0))
    if len(ends) != 2 or ends[0][0] == ends[1][0] or ends[0][1].in_("cSt") <= ends[1][1].in_("cSt"):
        found = " and ".join(f"{value} at {plain(at)} °C" for at, value in ends) or "no point"
        hint = "Write each as 32@40C; look whether two are swapped."
        return (Problem(POINTS, found, "two viscosities, the thinner one at the higher temperature", hint, where),)
    (cold, thick), (hot, thin) = ((log10(at + KELVIN), straightened(value.in_("cSt"))) for at, value in ends)
    at = given.one("at")
    slope = (thick - thin) / (hot - cold)
    line = thick - slope * (log10(at.in_("C") + KELVIN) - cold)
    table = subject.rows["line"]
    least, most = (table.column(name)[0] for name in table.columns)
    if not straightened(least) <= line <= straightened(most):
        expected = f"a temperature at which it has {plain(least)} to {plain(most)} cSt"
        return (Problem(NONSENSE, f"at {at}", expected, "Stay nearer to the two points.", Where(column="at")),)
    value = viscosity_at(line)
    inside = ends[0][0] <= at.in_("C") <= ends[1][0]
    return Judged(
        subject="viscosity",
        value=plain(value),
        unit="cSt",
        verdict=None,
        source=table.source,
        because=subject.say(ON_LINE, at, plain(value, 2)),
        notes=() if inside else (subject.say(ESTIMATE),),
        more={"A": plain(thick + slope * cold), "B": plain(slope)},
    )


def bounds(grade: str, subject: Subject) -> tuple[Fraction, Fraction | None] | None:
    """Between which viscosities at 100 °C an oil of that grade stands, cSt; None where there is no such grade.

    Args:
        grade: such as ``15W-40``, ``40`` or ``10W``.
        subject: the tables ``winter`` and ``grades``.

    Returns:
        From and to under; a winter grade alone has no upper end.

    *Edge*: the lower end belongs to the grade, the upper one to the next.

    *Source*: SAE J300 (seen).
    """
    found = _GRADE.fullmatch(grade.upper())
    if found is None or not (found["winter"] or found["grade"]):
        return None
    least, under = Fraction(0), None
    for word, name in (("winter", "winter"), ("grade", "grades")):
        if found[word]:
            table = subject.rows[name]
            if Decimal(found[word]) not in (row[0] for row in table.rows):
                return None
            row = table.column("grade").index(Fraction(found[word]))
            least = max(least, table.column("from cSt")[row])
            under = table.column("under cSt")[row] if word == "grade" else None
    return least, under


def judge_grade(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """Which grades a viscosity at 100 °C fits; with the oil's own grade, whether it is still in it.

    Args:
        given: ``at100`` and, where known, ``grade``.
        subject: the table of grades; limit ``grade``.

    *Edge*: 12.5 cSt is a 40, 16.3 cSt is no longer one.

    *Source*: SAE J300 (seen); grades 8 to 20 overlap.
    """
    at100, table, own = given.one("at100"), subject.rows["grades"], given.words.get("grade")
    fits = [
        f"{plain(grade)}"
        for grade, least, under in zip(*map(table.column, ("grade", "from cSt", "under cSt")), strict=True)
        if not past(at100, least, "cSt", "below") and not past(at100, under, "cSt", "at-or-above")
    ]
    because = subject.say(FITS if fits else FITS_NONE, at100, f" {subject.say(AND)} ".join(fits))
    notes = [subject.say(OVERLAP)] if len(fits) > 1 else []
    more = {"grades": ", ".join(fits)}
    if own is None:
        return Judged(
            subject="oil-grade",
            value=plain(at100.in_("cSt")),
            unit="cSt",
            verdict=None,
            source=table.source,
            because=because,
            notes=tuple(notes),
            more={**more},
        )
    ends = bounds(own, subject)
    if ends is None:
        known = ", ".join([f"{row[0]}W" for row in subject.rows["winter"].rows] + [f"{row[0]}" for row in table.rows])
        hint = "Write it as 15W-40, 40 or 10W, as on the can."
        return (Problem(GRADE, ascii(own)[:60], f"one of or two of {known}", hint, Where(column="grade")),)
    limit = subject.limits["grade"]
    held = [worked_out(limit, ends[0], "cSt")]
    if ends[1] is not None:
        held.append(msgspec.structs.replace(worked_out(limit, ends[1], "cSt"), edge="at-or-above"))
    passed = [one for one in held if past(at100, one.exact, "cSt", one.edge)]
    notes.append(subject.say(MAY_HOLD))
    return judged(
        "oil-grade", subject, at100.in_("cSt"), "cSt", because, held=held, passed=passed, notes=notes, more=more
    )


def blending_number(viscosity: Fraction) -> Fraction:
    """The number that adds up by shares when two oils are blended.

    Args:
        viscosity: in cSt, more than 0.2.

    *Source*: Refutas (seen); one page prints 12.492 for 2.234 cSt, which is 12.490.
    """
    return Fraction("14.534") * ln(ln(viscosity + Fraction("0.8"))) + Fraction("10.975")


def fuel_share(new: Fraction, used: Fraction, fuel: Fraction) -> dict[str, Fraction]:
    """How much fuel makes an oil as thin as it is, %, by each of three rules.

    Args:
        new: viscosity of the new oil, cSt.
        used: of the used oil, at the same temperature.
        fuel: of the fuel, at the same temperature.

    *Source*: Walther and Refutas (seen), the logarithmic rule (Energies 2024, 17(2), 444, seen).
    """

    def walther(viscosity: Fraction) -> Fraction:
        return log10(log10(viscosity + Fraction("0.7")))

    rules = {"walther": walther, "refutas": blending_number, "logarithmic": ln}
    return {name: (rule(new) - rule(used)) / (rule(new) - rule(fuel)) * 100 for name, rule in rules.items()}


def judge_dilution(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """How much fuel may be in an oil that has thinned: a band, never one figure.

    Args:
        given: ``new``, ``used`` and ``fuel``, all at one temperature.
        subject: limit ``fuel``.

    *Edge*: the upper end of the band counts, at the limit itself too. An oil that has thickened has no verdict.

    *Source*: the least and the most of three rules; a published chart (160, 137 and 3.0 cSt: 3 %) lies between them.
    """
    new, used, fuel = (given.one(name) for name in ("new", "used", "fuel"))
    if not fuel.in_("cSt") < min(new.in_("cSt"), used.in_("cSt")):
        hint = "All three at one temperature; look whether two are swapped."
        expected = f"less than the oil: new {new}, used {used}"
        return (Problem(POINTS, f"fuel {fuel}", expected, hint, Where(column="fuel")),)
    hidden = subject.say(HIDDEN)
    limit = subject.limits["fuel"]
    if used.in_("cSt") > new.in_("cSt"):
        because = subject.say(THICKER, used, new)
        return Judged(
            subject="dilution",
            value=None,
            unit="%",
            verdict=None,
            source=limit.source,
            because=because,
            notes=(hidden,),
        )
    shares = fuel_share(*(one.in_("cSt") for one in (new, used, fuel)))
    low, high = min(shares.values()), max(shares.values())
    because = subject.say(DILUTED, used, new, plain(low, 1), plain(high, 1))
    passed = [limit] if past(Quantity(high, "%", HUNDREDTH), limit.exact, "%", limit.edge) else []
    more = {name: plain(share) for name, share in shares.items()}
    verdict = judged("dilution", subject, None, "%", because, held=[limit], passed=passed, notes=[hidden], more=more)
    return msgspec.structs.replace(verdict, low=plain(low), high=plain(high))


MEASUREMENTS: Final = (
    Measurement(
        name="viscosity-index",
        subject="viscosity",
        text="Oil: viscosity index",
        judge=judge_index,
        inputs=(
            Input("at40", "viscosity at 40 °C", "viscosity", "cSt", least="2 cSt", most="1000000 cSt"),
            Input("at100", "viscosity at 100 °C", "viscosity", "cSt", least="2 cSt", most="100000 cSt"),
        ),
    ),
    Measurement(
        name="viscosity",
        subject="viscosity",
        text="Oil: viscosity at another temperature",
        judge=judge_viscosity,
        inputs=(
            Input(
                "point",
                "viscosity with its temperature, given twice",
                "viscosity",
                "cSt",
                at="temperature",
                many=True,
                least="0.21 cSt",
                most="20000000 cSt",
            ),
            Input("at", "temperature asked for", "temperature", least="-80 C", most="350 C"),
        ),
    ),
    Measurement(
        name="oil-grade",
        subject="viscosity",
        text="Oil: grade from the viscosity at 100 °C",
        judge=judge_grade,
        inputs=(
            Input("at100", "viscosity at 100 °C", "viscosity", "cSt", least="1 cSt", most="1000 cSt"),
            Input("grade", "grade on the can, such as 15W-40", kept=True, needed=False),
        ),
    ),
    Measurement(
        name="dilution",
        subject="viscosity",
        text="Engine oil: fuel in it, from its viscosity",
        judge=judge_dilution,
        inputs=(
            Input("new", "viscosity of the new oil", "viscosity", "cSt", kept=True, least="0.5 cSt", most="100000 cSt"),
            Input(
                "used",
                "of the used oil, at the same temperature",
                "viscosity",
                "cSt",
                least="0.5 cSt",
                most="100000 cSt",
            ),
            Input(
                "fuel",
                "of the fuel, at the same temperature",
                "viscosity",
                "cSt",
                kept=True,
                least="0.5 cSt",
                most="1000 cSt",
            ),
        ),
    ),
)
