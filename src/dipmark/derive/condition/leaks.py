"""Leaks: their class, what they come to in an hour and a year, and how long until a reservoir is empty."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Final

import msgspec

from dipmark.derive.judging import MISSING, Given, Input, Judged, Measurement, judged, past, strictest
from dipmark.facts.problems import Problem, Where
from dipmark.facts.quantity import Quantity, plain
from dipmark.facts.said import says
from dipmark.rules.limits import Limit, Subject

LEAKS: Final = says("{}: {}, class {}.")
CLASS: Final = says("class {}")
RECKONED: Final = says("Reckoned with {} ml to the drop.")
TO_EMPTY: Final = says("Hours to empty: for ordering only, a leak grows.")

FUELS: Final = ("petrol", "diesel", "lpg")
OILS: Final = ("engine-oil", "hydraulic-oil", "transmission-oil", "axle-oil", "grease")
BRAKE: Final = "brake-fluid"
ACID: Final = "battery-acid"
FLUIDS: Final = (*FUELS, *OILS, "coolant", BRAKE, ACID)

ELSEWHERE: Final = "elsewhere"
PARTS: Final = (ELSEWHERE, "brakes", "steering", "pressure-hose")

SEEN: Final = ("dry", "wet", "drops", "falling")
"""What is seen, by class: none, I wet, II drops that hang, III drops that fall."""

CLASSES: Final = (says("none"), "I", "II", "III")

ASK: Final = says("Find where it comes from: brakes, steering and pressure hoses are out whatever the class.")


def flow(drops: Fraction, per_ml: Fraction) -> Fraction:
    """What so many drops a minute come to, ml/h.

    Args:
        drops: a minute.
        per_ml: drops to the millilitre.

    Example:
        >>> flow(Fraction(10), Fraction(20))
        Fraction(30, 1)
    """
    return drops * 60 / per_ml


def judge_leak(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The class of a leak against what it leaks and where it leaks from.

    Args:
        given: ``fluid``; ``seen`` or ``drops-per-minute``; ``part``, ``drops-per-ml``, ``left`` above the minimum mark.
        subject: the limits, and the size of a drop.

    *Edge*: drops that fall are class III, however few; fuel has no class, brakes, steering and pressure hoses none
    that passes.

    *Source*: army operator's manuals (seen); 29 CFR 1910.178(p)(4) for fuel (seen).
    """
    falling = given.maybe("drops-per-minute")
    drops = falling.value if falling else Fraction(0)
    if not drops and "seen" not in given.words:
        hint = "Wipe it dry, run it, look again."
        return (Problem(MISSING, "not what is seen", ", ".join(SEEN), hint, Where(column="seen")),)
    level = 3 if drops else SEEN.index(given.words["seen"])
    held = _held(given, subject)
    worth = Quantity(Fraction(level), "count", Fraction(1))
    passed = [limit for limit in held if past(worth, limit.exact, "count", limit.edge)]
    fluid, named = subject.named(given.words["fluid"]), subject.say(CLASSES[level])
    because = subject.say(LEAKS, fluid, subject.say(SEEN[level]), named)
    unknown = level and held[0].id == "falling" and "part" not in given.words
    notes = [subject.say(ASK)] if unknown else []
    found = judged("leak", subject, None, None, because, held=held, passed=passed, notes=notes)
    bound = (strictest(passed) or held[0]).value
    shown = subject.say(CLASS, bound) if bound else subject.say(SEEN[0])
    found = msgspec.structs.replace(found, limit=shown, more={"class": named})
    return _poured(found, drops, given, subject) if drops else found


def _held(given: Given, subject: Subject) -> list[Limit]:
    """The limits that a leak of this fluid from this part is held against."""
    fluid, limits = given.words["fluid"], subject.limits
    if fluid in FUELS:
        return [limits["fuel"]]
    if fluid == BRAKE or given.words.get("part", ELSEWHERE) != ELSEWHERE:
        return [limits["holds"]]
    return [limits["acid"]] if fluid == ACID else [limits["falling"], limits["wet"]]


def _poured(found: Judged, drops: Fraction, given: Given, subject: Subject) -> Judged:
    """The same with what it comes to; where nobody counted the drops of a millilitre, with its lowest and highest."""
    sizes, told, left = subject.rows["drops"], given.maybe("drops-per-ml"), given.maybe("left")
    per_ml = told.value if told else sizes.column("usual")[0]
    rate = flow(drops, per_ml)
    more: dict[str, Decimal | str] = {
        "ml-per-drop": plain(1 / per_ml),
        "l-per-day": plain(rate * 24 / 1000),
        "l-per-year": plain(rate * 24 * 365 / 1000),
    }
    notes = [subject.say(RECKONED, plain(1 / per_ml, 4))]
    if left:
        more["hours-to-empty"] = plain(left.in_("ml") / rate, 2)
        notes.append(subject.say(TO_EMPTY))
    return msgspec.structs.replace(
        found,
        value=plain(rate),
        unit="ml/h",
        low=None if told else plain(flow(drops, sizes.column("most")[0])),
        high=None if told else plain(flow(drops, sizes.column("fewest")[0])),
        notes=(*found.notes, *notes),
        more={**found.more, **more},
    )


MEASUREMENTS: Final = (
    Measurement(
        name="leak",
        subject="leaks",
        text="Leak: class, and what it comes to",
        judge=judge_leak,
        inputs=(
            Input("fluid", "what leaks", words=FLUIDS),
            Input("part", "where it leaks from", needed=False, words=PARTS),
            Input("seen", "what is seen", needed=False, words=SEEN),
            Input(
                "drops-per-minute",
                "drops that fall in a minute",
                "count",
                "count",
                needed=False,
                least="0 count",
                most="600 count",
            ),
            Input(
                "drops-per-ml",
                "drops to the millilitre, counted",
                "count",
                "count",
                needed=False,
                least="5 count",
                most="60 count",
            ),
            Input("left", "what is left above the minimum mark", "volume", needed=False, over="0 l", most="1000 l"),
        ),
    ),
)
