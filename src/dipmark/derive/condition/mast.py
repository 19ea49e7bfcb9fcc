"""Drift of lift and tilt with the rated load: a mechanic's test that says something only under its conditions."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

import msgspec

from dipmark.derive.judging import Given, Input, Judged, Measurement, judged, past, worked_out
from dipmark.facts.quantity import plain
from dipmark.facts.said import says
from dipmark.rules.limits import Subject

SANK: Final = says("{} in {}.")
AT: Final = says("{} at the {}")
ROD: Final = says("{} of the rod")
COUNTS: Final = says("That counts as {} mm in {} minutes.")
TOO_LONG: Final = says("Longer than {} minutes: measure again over that time.")
HOT: Final = says("Hot oil leaks more: let it cool to the test's temperature, and measure again.")
TOO_SHORT: Final = says("Too short a test to pass on: drift slows, and a short test is never scaled up.")
LIGHT: Final = says("With less than the rated load a mast that holds is not proved to hold.")
COLD: Final = says("Cold oil leaks less: warm it, and test again.")

FORK: Final = "fork"
INNER: Final = "inner-mast"


def judge_lift(given: Given, subject: Subject) -> Judged:
    """How far the fork sinks in ten minutes with the rated load; what is read at the inner mast counts double.

    Args:
        given: ``drop``, ``time``, ``where`` it was read, ``load``, ``oil``, and the ``book``'s figure.
        subject: the limit and the conditions of the test.

    *Edge*: 100 mm exactly still pass. A test of 5 to 10 minutes is scaled up, for drift slows and the result is on the
    safe side; a shorter or a longer one is not. Short of its conditions a test can fail a mast and cannot pass one.

    *Source*: service manuals (seen); what a short or an unloaded test says is a project rule.
    """
    ratio = subject.rows["ratio"].column("fork")[0] if given.words["where"] == INNER else Fraction(1)
    drop = subject.say(AT, given.one("drop"), subject.named(given.words["where"]))
    return _judge("lift-drift", "lift", given, subject, ratio, drop)


def judge_tilt(given: Given, subject: Subject) -> Judged:
    """How far the rod of a tilt cylinder moves in ten minutes with the rated load.

    Args:
        given: ``drop``, ``time``, ``load``, ``oil``, and the ``book``'s figure.
        subject: the limit and the conditions of the test.

    *Edge*: 35.5 mm exactly still pass. Time, load and oil as for the lift.

    *Source*: service manuals (seen).
    """
    return _judge("tilt-drift", "tilt", given, subject, Fraction(1), subject.say(ROD, given.one("drop")))


def _judge(name: str, limit_id: str, given: Given, subject: Subject, ratio: Fraction, sunk: str) -> Judged:
    drop, minutes, book = given.one("drop"), given.one("time").in_("min"), given.maybe("book")
    limit = subject.limits[limit_id]
    test = subject.rows["test"]
    whole = test.column("minutes")[0]
    scale = whole / minutes if test.column("shortest")[0] <= minutes < whole else Fraction(1)
    bound = min(limit.exact, book.in_("mm")) if book else limit.exact
    held = [worked_out(limit, bound, "mm")]
    passed = held if past(drop, bound / ratio / scale, limit.unit, limit.edge) else []
    value = drop.in_("mm") * ratio * scale
    because = subject.say(SANK, sunk, given.one("time"))
    if ratio * scale != 1:
        because = f"{because} {subject.say(COUNTS, plain(value, 2), plain(whole))}"
    lacking, notes = _short_of(given, subject), []
    if minutes > whole and passed:
        notes.append(subject.say(TOO_LONG, plain(whole)))
    if given.one("oil").in_("C") > subject.rows["oil"].column("to")[0] and passed:
        notes.append(subject.say(HOT))
    found = judged(name, subject, value, "mm", because, held=held, passed=passed, notes=(*notes, *lacking))
    return found if passed or not lacking else msgspec.structs.replace(found, verdict=None)


def _short_of(given: Given, subject: Subject) -> list[str]:
    """Conditions for want of which a test cannot pass a mast."""
    test, oil = subject.rows["test"], subject.rows["oil"]
    notes = []
    if given.one("time").in_("min") < test.column("shortest")[0]:
        notes.append(subject.say(TOO_SHORT))
    if given.one("load").in_("%") < test.column("load")[0]:
        notes.append(subject.say(LIGHT))
    if given.one("oil").in_("C") < oil.column("from")[0]:
        notes.append(subject.say(COLD))
    return notes


def _inputs(drop: str, *more: Input) -> tuple[Input, ...]:
    return (
        Input("drop", drop, "length", least="0 mm", most="3000 mm"),
        Input("time", "length of the test", "time", over="0 min", most="240 min"),
        *more,
        Input("load", "load in % of the rated load", "share", "%", least="0 %", most="125 %"),
        Input("oil", "temperature of the hydraulic oil", "temperature", least="-40 C", most="130 C"),
        Input(
            "book", "what the truck's own book allows", "length", kept=True, needed=False, over="0 mm", most="1000 mm"
        ),
    )


MEASUREMENTS: Final = (
    Measurement(
        name="lift-drift",
        subject="mast",
        text="Mast: how far the forks sink with the rated load",
        judge=judge_lift,
        inputs=_inputs("how far it sank", Input("where", "where it was read", words=(FORK, INNER))),
    ),
    Measurement(
        name="tilt-drift",
        subject="mast",
        text="Mast: how far a tilt cylinder moves with the rated load",
        judge=judge_tilt,
        inputs=_inputs("how far the rod moved"),
    ),
)
