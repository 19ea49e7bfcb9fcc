"""Grease by weight: strokes of a gun to grams, and what a bearing holds. Guides without limit."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from dipmark.derive.judging import Given, Input, Judged, Measurement
from dipmark.facts.quantity import plain
from dipmark.facts.said import says
from dipmark.rules.limits import Subject

RANGE: Final = says("{} to {}")
STROKES: Final = says("{} strokes are {} g.")
TAKES: Final = says("A bearing of {} by {} takes {} g, about {} strokes.")

GUNS: Final = ("lever", "pistol")

WEIGH: Final = says("Guns differ: weigh ten strokes of your own.")


def fill(outside: Fraction, width: Fraction, share: Fraction) -> Fraction:
    """The grease that a bearing takes, g.

    Args:
        outside: outside diameter, mm.
        width: mm.
        share: g for each mm².

    *Source*: a page on the grease of bearings (seen): 0.005 D B.

    Example:
        >>> fill(Fraction(62), Fraction(16), Fraction("0.005"))
        Fraction(124, 25)
    """
    return share * outside * width


def _stroke(given: Given, subject: Subject) -> tuple[Fraction, Fraction]:
    """The least and the most that a stroke gives, g; one figure where the gun is known."""
    strokes, weighed, gun = subject.rows["stroke"], given.maybe("per-stroke"), given.words.get("gun")
    if weighed:
        return weighed.in_("g"), weighed.in_("g")
    low, high = (gun, gun) if gun else ("least", "most")
    return strokes.column(low)[0], strokes.column(high)[0]


def judge_strokes(given: Given, subject: Subject) -> Judged:
    """What so many strokes of a gun come to, g: a band where the gun was not weighed; no limit exists.

    Args:
        given: ``strokes``; ``per-stroke`` as weighed, or the kind of ``gun``.
        subject: what a stroke of common guns gives.

    *Source*: two pages on greasing by weight (secondary).
    """
    strokes, (low, high) = given.one("strokes").value, _stroke(given, subject)
    known = low == high
    least, most = plain(strokes * low, 2), plain(strokes * high, 2)
    amount = least if known else subject.say(RANGE, least, most)
    return Judged(
        subject="grease",
        value=plain(strokes * low) if known else None,
        unit="g",
        verdict=None,
        source=subject.rows["stroke"].source,
        because=subject.say(STROKES, plain(strokes), amount),
        notes=() if "per-stroke" in given.read else (subject.say(WEIGH),),
        low=None if known else plain(strokes * low),
        high=None if known else plain(strokes * high),
    )


def judge_fill(given: Given, subject: Subject) -> Judged:
    """What a bearing takes, g, and about how many strokes of the gun that is; no limit exists.

    Args:
        given: ``outside`` diameter, ``width``; ``per-stroke`` as weighed, or the kind of ``gun``.
        subject: grams for each square millimetre.

    *Source*: a page on the grease of bearings (seen).
    """
    outside, width, rule = given.one("outside"), given.one("width"), subject.rows["fill"]
    grams = fill(outside.in_("mm"), width.in_("mm"), rule.column("g-per-mm2")[0])
    low, high = _stroke(given, subject)
    few, many = plain(grams / high, 1), plain(grams / low, 1)
    about = f"{few}" if few == many else subject.say(RANGE, few, many)
    return Judged(
        subject="bearing-fill",
        value=plain(grams),
        unit="g",
        verdict=None,
        source=rule.source,
        because=subject.say(TAKES, outside, width, plain(grams, 2), about),
        notes=() if "per-stroke" in given.read else (subject.say(WEIGH),),
        more={"strokes": about},
    )


_STROKE: Final = (
    Input("per-stroke", "grease of one stroke, weighed", "mass", kept=True, needed=False, over="0 g", most="50 g"),
    Input("gun", "kind of gun", kept=True, needed=False, words=GUNS),
)

MEASUREMENTS: Final = (
    Measurement(
        name="grease",
        subject="grease",
        text="Grease: strokes to grams",
        judge=judge_strokes,
        inputs=(Input("strokes", "strokes", "count", "count", over="0 count", most="1000 count"), *_STROKE),
    ),
    Measurement(
        name="bearing-fill",
        subject="grease",
        text="Grease: what a bearing takes",
        judge=judge_fill,
        inputs=(
            Input("outside", "outside diameter of the bearing", "length", over="0 mm", most="1000 mm"),
            Input("width", "width of the bearing", "length", over="0 mm", most="500 mm"),
            *_STROKE,
        ),
    ),
)
