"""Brakes: stopping, holding on a slope, effort. What a standard asks of a new truck is no limit of wear."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import atan, degrees
from typing import Final

from dipmark.derive.judging import Given, Input, Judged, Measurement, judged, past
from dipmark.facts.quantity import plain
from dipmark.facts.said import says
from dipmark.rules.limits import Subject

STOPPED: Final = says("{} to standstill in {} is {} m/s2, {} % of free fall.")
DEVELOPED: Final = says("{} between {} and {} % of {} is {} m/s2.")
STANDS: Final = says("From {} at a drag of {} a truck stands after {} m.")
TRAVELS: Final = says("{} in {} is {} km/h.")
HOLDS: Final = says("The parking brake holds on {}, {} deg.")
SLIPS: Final = says("The parking brake does not hold on {}, {} deg.")
OTHER_SLOPE: Final = says("That does not say whether it holds on {} %: try it there, or on the yard's steepest slope.")
EFFORT: Final = says("The {} asks for {}; one of a newly made truck may ask for {} N.")

PER_SECOND: Final = Fraction(36, 10)
"""km/h in a metre a second."""

CONTROLS: Final = ("pedal", "dead-man-pedal", "hand-lever", "handgrip", "tiller")
HELD: Final = ("yes", "no")

NO_LIMIT: Final = says("No limit of wear is published: compare it with the truck's own book and its own earlier tests.")


def slowed(speed: Fraction, distance: Fraction) -> Fraction:
    """The even deceleration that stops a truck within a distance, m/s2.

    Args:
        speed: at the start, km/h.
        distance: to standstill, m.

    *Source*: mechanics: d = v²/(2 s).

    Example:
        >>> round(float(slowed(20 * Fraction("1.609344"), 30 * Fraction("0.3048"))), 2)
        4.37
    """
    return (speed / PER_SECOND) ** 2 / (2 * distance)


def full(speed: Fraction, distance: Fraction, to: Fraction, start: Fraction) -> Fraction:
    """The mean fully developed deceleration, m/s2.

    Args:
        speed: before braking, km/h.
        distance: covered between the two shares of it, m.
        to: the lower share, %.
        start: the upper share, %.

    *Source*: UN Regulation No. 13 (seen): (vb² - ve²) / (25.92 (se - sb)).

    Example:
        >>> round(float(full(Fraction(20), Fraction(4), Fraction(10), Fraction(80))), 2)
        2.43
    """
    return speed**2 * (start**2 - to**2) / 100**2 / (2 * PER_SECOND**2 * distance)


def slope(grade: Fraction) -> Decimal:
    """A slope in degrees, for showing only; nothing is compared with it.

    Args:
        grade: rise in % of the way on the flat.

    Example:
        >>> slope(Fraction(20)), slope(Fraction(15))
        (Decimal('11.31'), Decimal('8.53'))
    """
    return plain(Fraction(degrees(atan(grade / 100))), 2)


def _unjudged(
    measurement: str,
    subject: Subject,
    value: Fraction,
    unit: str,
    because: str,
    source: str | None = None,
    **more: Decimal,
) -> Judged:
    return Judged(
        subject=measurement,
        value=plain(value),
        unit=unit,
        verdict=None,
        source=source,
        because=because,
        notes=(subject.say(NO_LIMIT),),
        more={name.replace("_", "-"): value for name, value in more.items()},
    )


def judge_stop(given: Given, subject: Subject) -> Judged:
    """The even deceleration of a stop from a speed within a distance; no limit exists.

    Args:
        given: ``speed`` at the start, ``distance`` from the touch of the pedal to standstill.
        subject: the acceleration of free fall.
    """
    speed, distance = given.one("speed"), given.one("distance")
    found = slowed(speed.in_("km/h"), distance.in_("m"))
    share = plain(found / subject.rows["gravity"].column("m/s2")[0] * 100, 2)
    because = subject.say(STOPPED, speed, distance, plain(found, 3), share)
    return _unjudged("brake-stop", subject, found, "m/s2", because, free_fall_percent=share)


def judge_full(given: Given, subject: Subject) -> Judged:
    """The mean fully developed deceleration, between 80 % and 10 % of the speed at the start; no limit exists.

    Args:
        given: ``speed`` at the start, ``distance`` covered between the two shares of it.
        subject: the two shares.
    """
    speed, distance, shares = given.one("speed"), given.one("distance"), subject.rows["full"]
    low, high = shares.column("to")[0], shares.column("from")[0]
    found = full(speed.in_("km/h"), distance.in_("m"), low, high)
    because = subject.say(DEVELOPED, distance, plain(high), plain(low), speed, plain(found, 3))
    return _unjudged("brake-full", subject, found, "m/s2", because, shares.source)


def judge_distance(given: Given, subject: Subject) -> Judged:
    """The way to standstill from a speed, at a drag in % of the truck's weight; no limit exists.

    Args:
        given: ``speed``, ``drag``, and ``reaction`` where the time before the brake acts counts too.
        subject: the acceleration of free fall.
    """
    speed, drag, reaction = given.one("speed"), given.one("drag"), given.maybe("reaction")
    pace = speed.in_("km/h") / PER_SECOND
    before = pace * reaction.in_("s") if reaction else Fraction(0)
    way = before + pace**2 / (2 * drag.in_("%") / 100 * subject.rows["gravity"].column("m/s2")[0])
    because = subject.say(STANDS, speed, drag, plain(way, 2))
    return _unjudged("brake-distance", subject, way, "m", because)


def judge_speed(given: Given, subject: Subject) -> Judged:
    """A speed from the time over a measured length; no limit exists.

    Args:
        given: ``length``, ``time``.
        subject: the words it is said in.
    """
    length, time = given.one("length"), given.one("time")
    speed = length.in_("m") / time.in_("s") * PER_SECOND
    return _unjudged("travel-speed", subject, speed, "km/h", subject.say(TRAVELS, length, time, plain(speed, 2)))


def judge_hold(given: Given, subject: Subject) -> Judged:
    """Whether the parking brake holds the rated load on the slope that it has to hold.

    Holding on a gentler slope and slipping on a steeper one decide nothing.

    Args:
        given: ``grade`` of the slope, ``held``.
        subject: the limit.

    *Edge*: to slip at 15 % is out; to hold at 15 % passes.

    *Source*: TM 10-3930-671-24 (seen).
    """
    grade, held, limit = given.one("grade"), given.words["held"] == "yes", subject.limits["hold"]
    gentle = past(grade, limit.exact, limit.unit, limit.edge)
    steep = grade.in_(limit.unit) > limit.exact
    because = subject.say(HOLDS if held else SLIPS, grade, slope(grade.in_("%")))
    if (held and gentle) or (not held and steep):
        return Judged(
            subject="brake-hold",
            value=plain(grade.in_("%")),
            unit="%",
            verdict=None,
            because=because,
            notes=(subject.say(OTHER_SLOPE, limit.value),),
        )
    return judged("brake-hold", subject, grade.in_("%"), "%", because, held=[limit], passed=[] if held else [limit])


def judge_effort(given: Given, subject: Subject) -> Judged:
    """The effort that a brake asks for; the standard's figure is for newly made trucks and no limit of wear.

    Args:
        given: ``force``, ``control``.
        subject: the standard's figures.

    *Source*: ISO 6292:2020, 4.5 (seen).
    """
    force, control = given.one("force"), given.words["control"]
    effort = subject.rows["effort"]
    most = effort.column(control)[0]
    because = subject.say(EFFORT, subject.named(control), force, plain(most))
    return _unjudged("brake-effort", subject, force.in_("N"), "N", because, effort.source, when_newly_made=plain(most))


_SPEED: Final = Input("speed", "speed at the start", "speed", over="0 km/h", most="60 km/h")
_WAY: Final = Input("distance", "distance to standstill", "length", over="0 m", most="200 m")

MEASUREMENTS: Final = (
    Measurement(
        name="brake-stop",
        subject="brakes",
        text="Brakes: deceleration from a stopping distance",
        judge=judge_stop,
        inputs=(_SPEED, _WAY),
    ),
    Measurement(
        name="brake-full",
        subject="brakes",
        text="Brakes: mean fully developed deceleration",
        judge=judge_full,
        inputs=(
            _SPEED,
            Input("distance", "way between 80 % and 10 % of the speed", "length", over="0 m", most="200 m"),
        ),
    ),
    Measurement(
        name="brake-distance",
        subject="brakes",
        text="Brakes: stopping distance from a drag",
        judge=judge_distance,
        inputs=(
            _SPEED,
            Input("drag", "drag in % of the weight", "share", "%", over="0 %", most="100 %"),
            Input("reaction", "time before the brake acts", "time", needed=False, least="0 s", most="10 s"),
        ),
    ),
    Measurement(
        name="travel-speed",
        subject="brakes",
        text="Speed over a measured length",
        judge=judge_speed,
        inputs=(
            Input("length", "length", "length", over="0 m", most="1000 m"),
            Input("time", "time over it", "time", over="0 s", most="600 s"),
        ),
    ),
    Measurement(
        name="brake-hold",
        subject="brakes",
        text="Parking brake: holding on a slope, rated load",
        judge=judge_hold,
        inputs=(
            Input("grade", "slope, rise in % of the way on the flat", "share", "%", over="0 %", most="50 %"),
            Input("held", "whether it held", words=HELD),
        ),
    ),
    Measurement(
        name="brake-effort",
        subject="brakes",
        text="Brakes: effort on pedal or lever",
        judge=judge_effort,
        inputs=(
            Input("force", "force on it", "force", over="0 N", most="2000 N"),
            Input("control", "what is pressed or pulled", words=CONTROLS),
        ),
    ),
)
