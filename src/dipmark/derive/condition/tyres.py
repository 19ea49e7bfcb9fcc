"""Tyres: pressure at a temperature, what they lose in a week, wear of solid ones, damage of foam-filled ones."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from dipmark.derive.judging import (
    MISSING,
    NONSENSE,
    Given,
    Input,
    Judged,
    Measurement,
    judged,
    past,
    worked_out,
)
from dipmark.facts.problems import Problem, Where
from dipmark.facts.quantity import Quantity, plain
from dipmark.facts.said import says
from dipmark.facts.units import convert
from dipmark.rules.limits import Subject

SHARE: Final = says("{} is {} % of the asked {}.")
WOULD_READ: Final = says("At {} it would read {} {}.")
COLD: Final = says("At {} the asked {} reads {}: the cold explains the loss and passes nothing.")
LOSS: Final = says("{}, then {} after {} days: {} kPa a week, as read.")
LOSS_CORRECTED: Final = says("{}, then {} after {} days: {} kPa a week, at one temperature.")
LESS: Final = says("{} is {} mm less than {} when new.")
ABOVE_LINE: Final = says("{} of rubber left above the line.")
DAMAGED: Final = says("The {} measures {}.")

KELVIN: Final = Fraction("273.15")
"""0 C above absolute zero."""

WEEK: Final = 7
"""Days."""

UNCORRECTED: Final = says("Not brought to one temperature: the temperature now is not known.")


def pressure_at(pressure: Fraction, at: Fraction, to: Fraction, air: Fraction) -> Fraction:
    """What a gauge on a tyre reads at another temperature, kPa: the air inside follows the absolute temperature.

    Args:
        pressure: read at `at`, above that of the air outside, kPa.
        at: C, over absolute zero.
        to: C, over absolute zero.
        air: pressure of the air outside, kPa.

    *Source*: gas law at one volume; checked against a printed table for 20 psi at 70 F (seen).

    Example:
        >>> round(pressure_at(Fraction(700), Fraction(20), Fraction(-10), Fraction("101.325")), 1)
        Fraction(618, 1)
    """
    return (pressure + air) * (to + KELVIN) / (at + KELVIN) - air


def judge_pressure(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The pressure against what is asked, cold; the softest tyre counts.

    The temperature may tighten the verdict or explain a loss. It never passes a tyre that reads soft.

    Args:
        given: ``now`` in one place or several, ``asked``, ``asked-at`` and ``now-at`` where they are known.
        subject: the limits.

    *Edge*: 80 % of what is asked is out already; all that is asked still passes.

    *Source*: 29 CFR 1910.177(f) (seen); that the asked pressure is a minimum, cold, is a project rule.
    """
    if (undated := _undated(given, "asked-at")) is not None:
        return (undated,)
    asked, air, read = given.one("asked"), subject.rows["air"].column("kPa")[0], given.all("now")
    then, today = given.maybe("asked-at"), given.maybe("now-at")
    at, to = (then.in_("C"), today.in_("C")) if then and today else (Fraction(0), Fraction(0))
    limits = [subject.limits["flat"], subject.limits["low"]]
    shares = {one.id: asked.in_("kPa") * one.exact / 100 for one in limits}
    bounds = {id: max(share, pressure_at(share, at, to, air)) for id, share in shares.items()}
    soft = [(one, limit) for one in read for limit in limits if past(one.value, bounds[limit.id], "kPa", limit.edge)]
    worst = min([one for one, _ in soft] or read, key=lambda one: one.value.in_("kPa"))
    value = convert(pressure_at(worst.value.in_("kPa"), to, at, air), "kPa", asked.unit)
    read_at = f"{worst.value} ({worst.place})" if worst.place else worst.value
    percent = plain(worst.value.in_("kPa") / asked.in_("kPa") * 100, 1)
    because, notes, more = subject.say(SHARE, read_at, percent, asked), [], {}
    if then and today:
        more["expected"] = plain(convert(pressure_at(asked.in_("kPa"), at, to, air), "kPa", asked.unit))
        because = f"{because} {subject.say(WOULD_READ, then, plain(value, 1), asked.unit)}"
        if soft and value >= asked.value:
            told = f"{plain(Fraction(more['expected']), 1)} {asked.unit}"
            notes.append(subject.say(COLD, today, asked, told))
    elif then:
        notes.append(subject.say(UNCORRECTED))
    return judged(
        "tyre-pressure",
        subject,
        value,
        asked.unit,
        because,
        held=(held := [worked_out(one, convert(shares[one.id], "kPa", asked.unit), asked.unit) for one in limits]),
        passed=[one for one in held if any(limit.id == one.id for _, limit in soft)],
        notes=notes,
        more=more,
    )


def judge_loss(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """How much a tyre loses in a week, both readings at one temperature.

    Args:
        given: ``before``, ``now``, ``days`` between them, ``before-at`` and ``now-at`` where they are known.
        subject: the limits.

    *Edge*: 28 kPa a week is watched already.

    *Source*: a road truck's manual (secondary).
    """
    if (undated := _undated(given, "before-at")) is not None:
        return (undated,)
    before, now, days = given.one("before"), given.one("now"), given.one("days").value
    air, limit = subject.rows["air"].column("kPa")[0], subject.limits["loss"]
    then, today = given.maybe("before-at"), given.maybe("now-at")
    at, to = (then.in_("C"), today.in_("C")) if then and today else (Fraction(0), Fraction(0))
    lost = before.in_("kPa") - pressure_at(now.in_("kPa"), to, at, air)
    week, read = lost * WEEK / days, Quantity(lost, "kPa", now.to("kPa").resolution)
    passed = [limit] if past(read, limit.exact * days / WEEK, limit.unit, limit.edge) else []
    how = LOSS_CORRECTED if then and today else LOSS
    because = subject.say(how, before, now, plain(days), plain(week, 2))
    notes = [subject.say(UNCORRECTED)] if then and not today else []
    return judged("tyre-loss", subject, week, "kPa", because, held=[limit], passed=passed, notes=notes)


def _undated(given: Given, before: str) -> Problem | None:
    """A temperature now without the one it is compared with."""
    if given.maybe("now-at") is None or given.maybe(before) is not None:
        return None
    hint = "Give both temperatures or neither."
    return Problem(MISSING, f"now-at without {before}", f"{before}, the temperature then", hint, Where(column=before))


def judge_cushion(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """How much of the outside diameter of a cushion tyre is worn off; the worst place counts.

    Args:
        given: ``now`` in one place or several, ``new``.
        subject: the limits.

    *Edge*: 1 1/2 in is out already, rounded to the step of the reading towards the safe side.

    *Source*: a maker's page (seen): new diameters of 14, 18, 21, 22 and 28 in less 1 1/2 in.
    """
    new, limit = given.one("new"), subject.limits["cushion"]
    larger = [one for one in given.all("now") if one.value.in_("in") > new.in_("in")]
    if larger:
        expected, hint = f"at most {new}, as when new", "Measure it again; read the size when new off the tyre."
        return tuple(Problem(NONSENSE, f"now {one.value}", expected, hint, Where(column="now")) for one in larger)
    worn = {one: _worn(new, one.value) for one in given.all("now")}
    out = [one for one in worn if past(worn[one], limit.exact, limit.unit, limit.edge)]
    worst = max(out or worn, key=lambda one: worn[one].in_("in"))
    held, off = [worked_out(limit, convert(limit.exact, limit.unit, "mm"), "mm")], worn[worst].in_("mm")
    because = subject.say(LESS, worst.value, plain(off, 2), new)
    return judged("cushion-tyre", subject, off, "mm", because, held=held, passed=held if out else [])


def _worn(new: Quantity, now: Quantity) -> Quantity:
    """What is worn off, in the step of the reading."""
    return Quantity(new.in_(now.unit) - now.value, now.unit, now.resolution)


def judge_line(given: Given, subject: Subject) -> Judged:
    """How much rubber a solid tyre has left above its wear line, or above its lettering; the worst place counts.

    Args:
        given: ``left`` in one place or several; below 0 where it is worn below the line.
        subject: the limits.

    *Edge*: at the line it is renewed by a date; below it the tyre is out.

    *Source*: AS 2359.2-2013, clause 1.5.1, as restated (secondary); below the line: common practice.
    """
    held, read = [subject.limits["below-line"], subject.limits["line"]], given.all("left")
    passed = [one for one in held if any(past(left.value, one.exact, one.unit, one.edge) for left in read)]
    worst = min(read, key=lambda one: one.value.in_("mm"))
    because = subject.say(ABOVE_LINE, worst.value)
    return judged("tyre-line", subject, worst.value.in_("mm"), "mm", because, held=held, passed=passed)


DAMAGE: Final = (says("cut"), says("tear"), says("hole"))
"""What a foam-filled tyre can have: limits and inputs of one name."""


def judge_foam(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """Damage of a foam-filled tyre against the largest it may have; what is worst for its limit counts.

    Args:
        given: ``cut``, ``tear`` and ``hole``, at least one of them.
        subject: the limits.

    *Edge*: the limits themselves, 75 and 25 mm, still pass.

    *Source*: manuals of makers (seen).
    """
    found = {subject.limits[name]: given.one(name) for name in DAMAGE if name in given.read}
    if not found:
        hint = "Measure what is there; 0 mm where there is none."
        return (Problem(MISSING, "no damage measured", ", ".join(DAMAGE), hint, Where(column=DAMAGE[0])),)
    held = sorted(found, key=lambda limit: found[limit].in_(limit.unit) / limit.exact, reverse=True)
    passed = [limit for limit in held if past(found[limit], limit.exact, limit.unit, limit.edge)]
    because = subject.say(DAMAGED, subject.say(held[0].id), found[held[0]])
    return judged("tyre-foam", subject, found[held[0]].in_("mm"), "mm", because, held=held, passed=passed)


def _pressure(name: str, text: str, *, many: bool = False, kept: bool = False) -> Input:
    return Input(name, text, "pressure", many=many, kept=kept, least="0 kPa", most="1500 kPa")


def _temperature(name: str, text: str, *, kept: bool = False) -> Input:
    return Input(name, text, "temperature", kept=kept, needed=False, least="-60 C", most="90 C")


MEASUREMENTS: Final = (
    Measurement(
        name="tyre-pressure",
        subject="tyres",
        text="Tyre: pressure, cold",
        judge=judge_pressure,
        inputs=(
            Input("asked", "pressure that the plate asks", "pressure", kept=True, least="50 kPa", most="1500 kPa"),
            _temperature("asked-at", "temperature for which it is asked", kept=True),
            _pressure("now", "pressure now", many=True),
            _temperature("now-at", "temperature of the tyre now"),
        ),
    ),
    Measurement(
        name="tyre-loss",
        subject="tyres",
        text="Tyre: what it loses in a week",
        judge=judge_loss,
        inputs=(
            _pressure("before", "pressure at the first reading"),
            _temperature("before-at", "temperature at the first reading"),
            _pressure("now", "pressure now"),
            _temperature("now-at", "temperature of the tyre now"),
            Input("days", "days between the readings", "count", "count", least="1 count", most="366 count"),
        ),
    ),
    Measurement(
        name="cushion-tyre",
        subject="tyres",
        text="Cushion tyre: outside diameter",
        judge=judge_cushion,
        inputs=(
            Input("new", "outside diameter when new", "length", kept=True, least="100 mm", most="2000 mm"),
            Input("now", "outside diameter now", "length", many=True, over="0 mm", most="2000 mm"),
        ),
    ),
    Measurement(
        name="tyre-line",
        subject="tyres",
        text="Solid tyre: rubber above the wear line",
        judge=judge_line,
        inputs=(Input("left", "rubber left above the line", "length", many=True, least="-50 mm", most="300 mm"),),
    ),
    Measurement(
        name="tyre-foam",
        subject="tyres",
        text="Foam-filled tyre: damage",
        judge=judge_foam,
        inputs=(
            Input("cut", "smooth cuts through the cords, all together", "length", needed=False, least="0 mm"),
            Input("tear", "the longest tear", "length", needed=False, least="0 mm"),
            Input("hole", "the largest hole", "length", needed=False, least="0 mm"),
        ),
    ),
)
