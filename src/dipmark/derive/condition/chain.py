"""The lift chain: how far it has grown over so many pitches, how high its plates still stand, what size it is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from dipmark.derive.judging import MISSING, NONSENSE, Given, Input, Judged, Measurement, Read, judged, past
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.quantity import plain
from dipmark.facts.said import says
from dipmark.rules.limits import Limit, Subject

GROWN: Final = says("{} over {} pitches{}: grown by {} % since new.")
PLATE: Final = says("A plate of {} is {} % lower than new.")
MORE_PLACES: Final = says("Measure in at least {} places where it runs over the sheave.")
SHORT_MADE: Final = says("Some chains are made short: where the length when new is not known, 3 % may be 3.75 %.")
MEASURE_PITCH: Final = says("What LH and LL say of the pitch is from memory: measure one.")

DESIGNATION: Final = code("chain-designation", "The designation of a chain cannot be read.")

PLACES: Final = 3
"""A chain is measured in at least so many places, for it wears where it runs over the sheave."""

SHORT: Final = -2
LONG: Final = 20
"""Growth, %, outside which the pitches were counted wrongly or the unit is not the one meant (common practice)."""

INCH: Final = Fraction("25.4")
_LEAF: Final = re.compile(r"(?:BL|AL)(\d{1,2})\d\d")
_ISO: Final = re.compile(r"L[HL](\d\d)\d\d")


def pitch_of(designation: str) -> Fraction | None:
    """The pitch that a designation names, mm; None where it names none.

    Args:
        designation: such as ``BL523`` or ``LH1023``.

    *Source*: ASME B29.8-2002: the leading digits are the pitch in eighths of an inch (seen); ISO 4347, where LH08 is
    half an inch: sixteenths (from memory).

    Example:
        >>> pitch_of("BL523"), pitch_of("LH1644")
        (Fraction(127, 8), Fraction(127, 5))
    """
    written = designation.upper().replace(" ", "").replace("-", "")
    if (leaf := _LEAF.fullmatch(written)) and int(leaf[1]):
        return int(leaf[1]) * INCH / 8
    if (iso := _ISO.fullmatch(written)) and int(iso[1]):
        return int(iso[1]) * INCH / 16
    return None


def elongation(length: Fraction, new: Fraction) -> Fraction:
    """How far a chain has grown, %.

    Args:
        length: over so many pitches, now.
        new: over as many pitches when it was new, in the same unit.

    *Source*: leaf chain makers' practice (seen): (L - N p) / (N p).

    Example:
        >>> str(plain(elongation(Fraction("322.0"), 20 * Fraction("15.875")), 2))
        '1.42'
    """
    return (length - new) / new * 100


def judge_chain(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The length over so many pitches against the limits of growth; the worst place counts, and all strands with it.

    Args:
        given: ``length`` in one place or several, ``pitches``, and ``pitch``, ``designation`` or ``new-length``.
        subject: the limits.

    *Edge*: the length at 3 % itself is out, rounded to the step of the reading towards the safe side; so is a reading
    that reaches it only with the instrument's error.

    *Source*: chain makers' practice and TM 10-3930-671-24, p. 739 (seen); at least three places: industry guidance
    (secondary).
    """
    new = _when_new(given)
    if isinstance(new, Problem):
        return (new,)
    held, error = [subject.limits["watched"], subject.limits["worn"]], given.maybe("error")

    def passed(read: Read) -> list[Limit]:
        return [one for one in held if past(read.value, new * (1 + one.exact / 100), "mm", one.edge, error)]

    worst = max(given.all("length"), key=lambda read: (len(passed(read)), read.value.in_("mm")))
    far = [read for read in given.all("length") if not SHORT < elongation(read.value.in_("mm"), new) < LONG]
    if far:
        found = f"{far[0].value} where {plain(new, 3)} mm is new"
        hint = "Count the pitches again: pins less one; look at pitch and unit."
        return (Problem(NONSENSE, found, f"{SHORT} to {LONG} % of growth", hint, Where(column="length")),)
    grown = elongation(worst.value.in_("mm"), new)
    where = f" ({worst.place})" if worst.place else ""
    pitches, notes = plain(given.one("pitches").value), list(_chain_notes(given, subject))
    because = subject.say(GROWN, worst.value, pitches, where, plain(grown, 3))
    return judged("chain", subject, grown, "%", because, held=held, passed=passed(worst), notes=notes)


def _when_new(given: Given) -> Fraction | Problem:
    """The length of so many pitches when new, mm: as measured, else by the designation, else by the pitch."""
    measured, pitch, pitches = given.maybe("new-length"), given.maybe("pitch"), given.one("pitches").value
    name = given.words.get("designation")
    named = pitch_of(name) if name else None
    if pitches.denominator != 1:
        where = Where(column="pitches")
        return Problem(NONSENSE, f"{plain(pitches)} pitches", "a whole number", "Count the pins, less one.", where)
    if name and named is None:
        expected, hint = "a designation such as BL523 or LH1023", "Read it off the outer plate, or give the pitch."
        return Problem(DESIGNATION, ascii(name)[:60], expected, hint, Where(column="designation"))
    if named and pitch and abs(pitch.in_("mm") - named) > pitch.to("mm").resolution:
        found, expected = f"a pitch of {pitch} with {name}", f"{plain(named)} mm"
        return Problem(DESIGNATION, found, expected, "Read the plate again, or measure a pitch.", Where(column="pitch"))
    if measured:
        return measured.in_("mm")
    if named:
        return named * pitches
    if pitch:
        return pitch.in_("mm") * pitches
    hint = "Read it off the chain, or measure over new pitches."
    return Problem(MISSING, "no pitch", "pitch, designation or new-length", hint, Where(column="pitch"))


def _chain_notes(given: Given, subject: Subject) -> Iterator[str]:
    if len(given.all("length")) < PLACES:
        yield subject.say(MORE_PLACES, PLACES)
    if "new-length" not in given.read:
        yield subject.say(SHORT_MADE)
        if given.words.get("designation", "").upper().startswith("L"):
            yield subject.say(MEASURE_PITCH)


def judge_plate(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The height of the worn plates against their height when new.

    Args:
        given: ``now`` and ``new``.
        subject: the limits.

    *Edge*: 5 % exactly still passes.

    *Source*: a chain maker's page (seen).
    """
    new, now, limit = given.one("new").in_("mm"), given.one("now"), subject.limits["plate"]
    if now.in_("mm") > new:
        found, hint = f"{now}, more than when new", "Measure again beside the pin, and a plate that does not wear."
        return (Problem(NONSENSE, found, f"at most {given.one('new')}", hint, Where(column="now")),)
    worn = (new - now.in_("mm")) / new * 100
    passed = [limit] if past(now, new * (1 - limit.exact / 100), "mm", "below") else []
    because = subject.say(PLATE, now, plain(worn, 3))
    return judged("chain-plate", subject, worn, "%", because, held=[limit], passed=passed)


MEASUREMENTS: Final = (
    Measurement(
        name="chain",
        subject="chain",
        text="Lift chain: length over so many pitches",
        judge=judge_chain,
        inputs=(
            Input("length", "length over the pitches, pin to pin", "length", many=True, over="0 mm", most="5000 mm"),
            Input("pitches", "how many pitches", "count", "count", kept=True, least="1 count", most="200 count"),
            Input("pitch", "pitch when new", "length", kept=True, needed=False, over="0 mm", most="200 mm"),
            Input("designation", "what stands on the chain, such as BL523", kept=True, needed=False),
            Input("new-length", "as many pitches when new", "length", kept=True, needed=False, over="0 mm"),
            Input("error", "error of the instrument", "length", kept=True, needed=False, least="0 mm", most="50 mm"),
        ),
    ),
    Measurement(
        name="chain-plate",
        subject="chain",
        text="Lift chain: height of the worn plates",
        judge=judge_plate,
        inputs=(
            Input("now", "height of the plate now", "length", over="0 mm", most="200 mm"),
            Input("new", "height of the plate when new", "length", kept=True, over="0 mm", most="200 mm"),
        ),
    ),
)
