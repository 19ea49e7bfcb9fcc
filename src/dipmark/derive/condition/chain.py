"""The lift chain: how far it has grown over so many pitches, how high its plates still stand, what size it is."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from dipmark.derive.judging import MISSING, Given, Input, Judged, Measurement, judged, past
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.quantity import plain
from dipmark.rules.limits import Subject

DESIGNATION: Final = code("chain-designation", "The designation of a chain cannot be read.")

PLACES: Final = 3
"""A chain is measured in at least so many places, for it wears where it runs over the sheave."""

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
        >>> float(elongation(Fraction("322.0"), 20 * Fraction("15.875"))).__round__(2)
        1.42
    """
    return (length - new) / new * 100


def judge_chain(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """The length over so many pitches against the limits of growth; the worst place counts, and all strands with it.

    Args:
        given: ``length`` in one place or several, ``pitches``, and ``pitch``, ``designation`` or ``new-length``.
        subject: the limits.

    *Edge*: the length at 3 % itself is out, rounded to the step of the reading towards the safe side; so is a reading
    that reaches it only with the instrument's error.
    """
    pitches, measured, error = given.one("pitches").value, given.maybe("new-length"), given.maybe("error")
    pitch = given.maybe("pitch")
    named = pitch_of(given.words["designation"]) if "designation" in given.words else None
    if "designation" in given.words and named is None:
        found, expected = ascii(given.words["designation"])[:60], "a designation such as BL523 or LH1023"
        hint = "Read it off the outer plate, or give the pitch."
        return (Problem(DESIGNATION, found, expected, hint, Where(column="designation")),)
    one = pitch.in_("mm") if pitch else named
    if measured is None and one is None:
        hint = "Read it off the chain, or measure over new pitches."
        return (Problem(MISSING, "no pitch", "pitch, designation or new-length", hint, Where(column="pitch")),)
    new = measured.in_("mm") if measured else (one or Fraction(0)) * pitches
    worst = max(given.all("length"), key=lambda read: read.value.in_("mm"))
    grown = elongation(worst.value.in_("mm"), new)
    held = [limit for limit in subject.limits.values() if limit.id in ("worn", "watched")]
    passed = [one for one in held if past(worst.value, new * (1 + one.exact / 100), "mm", one.edge, error)]
    few = f"Measure in at least {PLACES} places where it runs over the sheave."
    notes = [] if len(given.all("length")) >= PLACES else [few]
    if measured is None:
        notes.append("Some chains are made short: where the length when new is not known, 3 % may be 3.75 %.")
    where = f" ({worst.place})" if worst.place else ""
    because = f"{worst.value} over {plain(pitches)} pitches{where} is {plain(grown, 3)} % longer than new."
    return judged("chain", subject, grown, "%", because, held=held, passed=passed, notes=notes)


def judge_plate(given: Given, subject: Subject) -> Judged:
    """The height of the worn plates against their height when new.

    Args:
        given: ``now`` and ``new``.
        subject: the limits.

    *Edge*: 5 % exactly still passes.
    """
    new, now, limit = given.one("new").in_("mm"), given.one("now"), subject.limits["plate"]
    worn = (new - now.in_("mm")) / new * 100
    passed = [limit] if past(now, new * (1 - limit.exact / 100), "mm", "below") else []
    because = f"A plate of {now} is {plain(worn, 3)} % lower than new."
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
