"""Wheel nuts and bolts: when they are checked again, torque in stages, and what is never computed."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Final

from dipmark.derive.judging import NONSENSE, Given, Input, Judged, Measurement, judged, past
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.quantity import plain
from dipmark.facts.said import says
from dipmark.rules.limits import Subject

SINCE_FITTED: Final = says("{} since the wheel was fitted; the next check is due by {} h.")
SINCE_CHECKED: Final = says("{} since the nuts were checked; the next check is due by {} h.")
STAGES: Final = says("{} are {} {}, each once round all nuts, crosswise.")
CHECK_AGAIN: Final = says("Check again within {} h, and so after each refit.")
OWN_BOOK: Final = says("This truck's own book only.")
BOLT: Final = says("{} on a thread of {}, {}: {} N.m.")
SCATTER: Final = says("Thread and hand scatter it this far; a value of the book goes before it.")

BOOK_ONLY: Final = code(
    "torque-book-only", "A torque was to be computed for a part whose torque is its book value only."
)

BOOK: Final = ("wheel", "mast", "guard", "counterweight", "steering", "forks", "brakes")
"""Parts whose torque is never computed."""

OTHER: Final = "other"
FITTED: Final = "fitted"
CHECKED: Final = "checked"
THREADS: Final = ("as-received", "oiled", "rusty")


def torque(friction: Fraction, diameter: Fraction, force: Fraction) -> Fraction:
    """The torque that brings a bolt to a clamping force, N m.

    Args:
        friction: the factor K of the thread.
        diameter: of the thread, mm.
        force: clamping force, kN.

    *Source*: a calculator's page (seen): T = K D F.

    Example:
        >>> torque(Fraction("0.2"), Fraction(12), Fraction(40))
        Fraction(96, 1)
    """
    return friction * diameter * force


def judge_recheck(given: Given, subject: Subject) -> Judged:
    """Hours since the wheel was fitted, or since its nuts were last checked, against the hours to the next check.

    Args:
        given: ``since``, ``last``: fitted or checked.
        subject: the limits.

    *Edge*: at 50 and at 150 hours it is still in time.

    *Source*: manuals of makers (seen).
    """
    since, fitted = given.one("since"), given.words["last"] == FITTED
    limit = subject.limits["refitted" if fitted else "checked"]
    passed = [limit] if past(since, limit.exact, limit.unit, limit.edge) else []
    because = subject.say(SINCE_FITTED if fitted else SINCE_CHECKED, since, limit.value)
    return judged("nut-recheck", subject, since.in_("h"), "h", because, held=[limit], passed=passed)


def judge_stages(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The stages of the book's torque in the other unit, each once round all nuts; no limit exists.

    Args:
        given: ``stage``, two or more, rising, out of the truck's own book.
        subject: the hours to the first check.
    """
    stages = [read.value for read in given.all("stage")]
    falling = [(low, high) for low, high in pairwise(stages) if high.in_("N.m") <= low.in_("N.m")]
    if falling:
        hint = "Give the stages of the book in their order."
        found = [f"{high} after {low}" for low, high in falling]
        return tuple(Problem(NONSENSE, one, "stages that rise", hint, Where(column="stage")) for one in found)
    unit = "lbf.ft" if stages[0].unit == "N.m" else "N.m"
    value = " / ".join(f"{plain(stage.in_(unit), 1)}" for stage in stages)
    return Judged(
        subject="nut-stages",
        value=value,
        unit=unit,
        verdict=None,
        because=subject.say(STAGES, ", ".join(str(stage) for stage in stages), value, unit),
        notes=(
            subject.say(CHECK_AGAIN, subject.limits["refitted"].value),
            subject.say(OWN_BOOK),
        ),
    )


def judge_bolt(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The torque of a plain bolt from thread and clamping force, as a band; refused for what carries, turns or stops.

    Args:
        given: ``for``, ``diameter``, ``force``, ``thread``.
        subject: the factors of the thread and how far the result scatters.

    *Source*: a calculator's page (seen); scatter of about 30 %: common practice.
    """
    part = given.words["for"]
    if part != OTHER:
        hint = "Look it up in the truck's own book."
        return (Problem(BOOK_ONLY, f"a torque for {part}", "the book value only", hint, Where(column="for")),)
    factors, diameter, force = subject.rows["friction"], given.one("diameter"), given.one("force")
    friction = factors.column(given.words["thread"])[0]
    found, scatter = torque(friction, diameter.in_("mm"), force.in_("kN")), factors.column("scatter-percent")[0] / 100
    return Judged(
        subject="bolt-torque",
        value=plain(found, 1),
        unit="N.m",
        verdict=None,
        source=factors.source,
        because=subject.say(BOLT, force, diameter, subject.named(given.words["thread"]), plain(found, 1)),
        notes=(subject.say(SCATTER),),
        low=plain(found * (1 - scatter), 1),
        high=plain(found * (1 + scatter), 1),
    )


MEASUREMENTS: Final = (
    Measurement(
        name="nut-recheck",
        subject="nuts",
        text="Wheel nuts: hours to the next check",
        judge=judge_recheck,
        inputs=(
            Input("since", "hours since", "time", "h", least="0 h", most="20000 h"),
            Input("last", "what was done then", words=(FITTED, CHECKED)),
        ),
    ),
    Measurement(
        name="nut-stages",
        subject="nuts",
        text="Wheel nuts: torque in stages, from the book",
        judge=judge_stages,
        inputs=(
            Input("stage", "torque of a stage, from the book", "torque", many=True, over="0 N.m", most="5000 N.m"),
        ),
    ),
    Measurement(
        name="bolt-torque",
        subject="nuts",
        text="Plain bolt: torque from thread and clamping force",
        judge=judge_bolt,
        inputs=(
            Input("for", "what the bolt holds", words=(OTHER, *BOOK)),
            Input("diameter", "diameter of the thread", "length", over="0 mm", most="100 mm"),
            Input("force", "clamping force", "force", over="0 kN", most="2000 kN"),
            Input("thread", "how the thread is", words=THREADS),
        ),
    ),
)
