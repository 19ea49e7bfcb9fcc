"""Fork arms in service: how thick they still are, how far they have opened, bent or sunk, and whether they crack."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

import msgspec

from dipmark.derive.judging import (
    NONSENSE,
    Given,
    Input,
    Judged,
    Measurement,
    Read,
    judged,
    past,
    worked_out,
)
from dipmark.facts.problems import Problem, Where
from dipmark.facts.quantity import Quantity, plain
from dipmark.facts.said import says
from dipmark.rules.limits import Limit, Subject

LEFT: Final = says("{} is {} % of {} when new.")
STRENGTH: Final = says("By its thickness {} % of the strength is left: for the mechanic, not a permission to load.")
ANGLE: Final = says("{} is {} off {} deg when new.")
AS_RIGHT: Final = says("Its angle when new is not known: taken as a right angle.")
BOW: Final = says("A bow of {} on {} is {} %.")
TIPS: Final = says("The tips stand {} apart, {} % of a blade of {}.")
FOUND: Final = says("Found at heel, hooks and blade: {}.")
NONE_SEEN: Final = says("None seen is not none there: heel and hooks are tested for cracks at the examination.")

RIGHT: Final = Fraction(90)
"""The angle of a fork when new where nobody has given it, degrees."""

NOTHING: Final = "nothing"
"""What is said where no crack was found."""


def strength(now: Fraction, new: Fraction) -> Fraction:
    """What is left of a fork's strength in bending, %: it goes with the square of its thickness.

    Args:
        now: thickness now.
        new: thickness when new, in the same unit.

    *Source*: strength of materials; 10 % worn is near 80 %: TM 10-3930-671-24, p. 314 (seen).

    Example:
        >>> strength(Fraction(36), Fraction(40))
        Fraction(81, 1)
    """
    return (now / new) ** 2 * 100


def judge_heel(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The thickness of the heel in % of its thickness when new; the worst place counts.

    Args:
        given: ``now`` in one place or several, ``new``.
        subject: the limits.

    *Edge*: 90.0 % is out, rounded to the step of the reading towards the safe side.

    *Source*: ISO 5057:1993 and ANSI/ITSDF B56.1 as restated (secondary); the edge is a project rule.
    """
    return _thickness("fork-heel", given, subject, subject.limits["heel"])


def judge_shank(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The thickness of shank or blade in % of its thickness when new; the worst place counts.

    Args:
        given: ``now`` in one place or several, ``new``.
        subject: the limits.

    *Edge*: 90.0 % is out, rounded to the step of the reading towards the safe side.
    """
    return _thickness("fork-shank", given, subject, subject.limits["shank"])


def _thickness(name: str, given: Given, subject: Subject, limit: Limit) -> Judged | tuple[Problem, ...]:
    new, read = given.one("new"), given.all("now")
    thicker = [one for one in read if one.value.in_("mm") > new.in_("mm")]
    if thicker:
        hint = "Measure both again; the thickness when new is read on the unworn shank."
        expected = f"at most {new}, as when new"
        return tuple(Problem(NONSENSE, f"now {one.value}", expected, hint, Where(column="now")) for one in thicker)
    bound = new.in_("mm") * limit.exact / 100
    out = [one for one in read if past(one.value, bound, "mm", limit.edge)]
    worst = min(out or read, key=lambda one: one.value.in_("mm"))
    thick = worst.value.in_("mm")
    left, strong = thick / new.in_("mm") * 100, plain(strength(thick, new.in_("mm")), 3)
    because = subject.say(LEFT, _placed(worst), plain(left, 3), new)
    note = subject.say(STRENGTH, strong)
    passed = [limit] if out else []
    return judged(
        name, subject, left, "%", because, held=[limit], passed=passed, notes=[note], more={"strength": strong}
    )


def judge_angle(given: Given, subject: Subject) -> Judged:
    """How far the angle between blade and shank has gone from that when new, open or closed.

    Args:
        given: ``now`` in one place or several, ``new`` where it was not a right angle.
        subject: the limits.

    *Edge*: 3 degrees exactly still pass.

    *Source*: ISO 5057:1993 and ANSI/ITSDF B56.1 as restated (secondary).
    """
    new, limit = given.maybe("new"), subject.limits["angle"]
    right = new.in_("deg") if new else RIGHT
    worst = max(given.all("now"), key=lambda one: abs(one.value.in_("deg") - right))
    off = msgspec.structs.replace(worst.value, value=abs(worst.value.in_("deg") - right))
    because = subject.say(ANGLE, _placed(worst), off, plain(right))
    notes = [] if new else [subject.say(AS_RIGHT)]
    passed = [limit] if past(off, limit.exact, limit.unit, limit.edge) else []
    return judged("fork-angle", subject, off.value, "deg", because, held=[limit], passed=passed, notes=notes)


def judge_straightness(given: Given, subject: Subject) -> Judged:
    """How far blade or shank is bowed, in % of the length that was looked at; the worst place counts.

    Args:
        given: ``bow`` in one place or several, ``length``.
        subject: the limits.

    *Edge*: 0.5 % exactly, 5 mm on a metre, still passes.

    *Source*: ISO 5057:1993 and ANSI/ITSDF B56.1 as restated (secondary).
    """
    length, limit = given.one("length"), subject.limits["straightness"]
    worst = max(given.all("bow"), key=lambda one: one.value.in_("mm"))
    bent = worst.value.in_("mm") / length.in_("mm") * 100
    passed = [limit] if past(worst.value, length.in_("mm") * limit.exact / 100, "mm", limit.edge) else []
    because = subject.say(BOW, _placed(worst), length, plain(bent, 3))
    return judged("fork-straightness", subject, bent, "%", because, held=[limit], passed=passed)


def judge_tips(given: Given, subject: Subject) -> Judged:
    """How far the tips of a pair stand apart in height, in % of the blade.

    Args:
        given: ``difference`` between the two heights, ``blade``.
        subject: the limits.

    *Edge*: 3 % exactly still passes; from 6 mm, 6 mm itself among them, the setting is watched.

    *Source*: TM 10-3930-671-24, p. 314: 3 % of the blade (seen); TM 10-3930-671-10: 6 mm (seen), a setting.
    """
    apart, blade = given.one("difference"), given.one("blade").in_("mm")
    limit, setting = subject.limits["tips"], subject.limits["tips-set"]
    watched = worked_out(setting, setting.exact / blade * 100, "%")
    bounds = ((limit, blade * limit.exact / 100), (watched, setting.exact))
    passed = [one for one, bound in bounds if past(apart, bound, "mm", one.edge)]
    share = apart.in_("mm") / blade * 100
    because = subject.say(TIPS, apart, plain(share, 3), given.one("blade"))
    return judged("fork-tips", subject, share, "%", because, held=[limit, watched], passed=passed)


def judge_cracks(given: Given, subject: Subject) -> Judged:
    """A crack, or a trace of welding or heat, takes the forks out at once.

    Args:
        given: ``found``.
        subject: the limits.

    *Edge*: one is too many.

    *Source*: ISO 5057:1993 and ANSI/ITSDF B56.1 as restated (secondary).
    """
    found, limit = given.words["found"], subject.limits["cracks"]
    count = Quantity(Fraction(found != NOTHING), "count", Fraction(1))
    passed = [limit] if past(count, limit.exact, limit.unit, limit.edge) else []
    because = subject.say(FOUND, subject.named(found))
    notes = () if passed else (subject.say(NONE_SEEN),)
    seen = judged("fork-cracks", subject, None, None, because, held=[limit], passed=passed, notes=notes)
    return msgspec.structs.replace(seen, limit=None)


def _placed(read: Read) -> str:
    return f"{read.value} ({read.place})" if read.place else f"{read.value}"


_NEW: Final = Input("new", "thickness when new, on the unworn shank", "length", kept=True, over="0 mm", most="300 mm")

MEASUREMENTS: Final = (
    Measurement(
        name="fork-heel",
        subject="forks",
        text="Fork: thickness of the heel",
        judge=judge_heel,
        inputs=(_NEW, Input("now", "thickness of the heel now", "length", many=True, over="0 mm", most="300 mm")),
    ),
    Measurement(
        name="fork-shank",
        subject="forks",
        text="Fork: thickness of shank or blade",
        judge=judge_shank,
        inputs=(
            _NEW,
            Input("now", "thickness now, where it is least", "length", many=True, over="0 mm", most="300 mm"),
        ),
    ),
    Measurement(
        name="fork-angle",
        subject="forks",
        text="Fork: angle between blade and shank",
        judge=judge_angle,
        inputs=(
            Input("now", "angle now", "angle", "deg", many=True, least="60 deg", most="120 deg"),
            Input("new", "angle when new", "angle", "deg", kept=True, needed=False, least="80 deg", most="100 deg"),
        ),
    ),
    Measurement(
        name="fork-straightness",
        subject="forks",
        text="Fork: straightness of blade or shank",
        judge=judge_straightness,
        inputs=(
            Input(
                "length", "length that the straight edge covers", "length", kept=True, least="100 mm", most="5000 mm"
            ),
            Input(
                "bow", "gap under the straight edge at its deepest", "length", many=True, least="0 mm", most="100 mm"
            ),
        ),
    ),
    Measurement(
        name="fork-tips",
        subject="forks",
        text="Fork: difference in height of the tips",
        judge=judge_tips,
        inputs=(
            Input("blade", "length of the blade", "length", kept=True, least="300 mm", most="5000 mm"),
            Input("difference", "how far the tips stand apart in height", "length", least="0 mm", most="300 mm"),
        ),
    ),
    Measurement(
        name="fork-cracks",
        subject="forks",
        text="Fork: cracks, welds and traces of heat",
        judge=judge_cracks,
        inputs=(Input("found", "what was found at heel, hooks and blade", words=(NOTHING, "crack", "weld", "heat")),),
    ),
)
