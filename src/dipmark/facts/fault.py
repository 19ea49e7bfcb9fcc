"""Faults, the card that takes a truck out of service, and its release."""

from __future__ import annotations

from dipmark.facts.base import Body, Digest, FactId, FaultRef, Key, Reading, Seriousness, Text, Whole


class Fault(Body, frozen=True, tag="fault"):
    """Something is not as it ought to be, seen outside a walk-round.

    Args:
        text: what was seen, heard, felt or smelt.
        seriousness: under the rules of that day; later rules only tighten it.
        affects_safety: True where it bears on safety; then it is never `repair-by` or `watch`.
        days: days to mend a `repair-by` fault.
        check: the check it belongs to.
        symptom: the symptom of that check.
        place: where on the truck.
        found_in: the work or the paper in the course of which it was found.
        meter: hours read.
        pictures: digests of photos.
    """

    text: Text
    seriousness: Seriousness
    affects_safety: bool = False
    days: Whole | None = None
    check: Key | None = None
    symptom: Key | None = None
    place: Key | None = None
    found_in: FactId | None = None
    meter: Reading | None = None
    pictures: tuple[Digest, ...] = ()


class OutOfService(Body, frozen=True, tag="out-of-service"):
    """The red card hangs on the hook: nobody drives it until it is released.

    Args:
        reason: why, in one line.
        faults: the faults it hangs for.
    """

    reason: Text
    faults: tuple[FaultRef, ...] = ()


class Released(Body, frozen=True, tag="released"):
    """The truck may work again.

    Args:
        clears: the cards and faults it clears, each by its reference; empty clears every card whose
            receipt came before this release was made.
        tests: what was tested before.
        note: anything else.
    """

    clears: tuple[FaultRef, ...] = ()
    tests: tuple[Key, ...] = ()
    note: Text | None = None
