"""The check of a truck before start, running, after the shift."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from dipmark.facts.base import Body, Digest, FaultRef, Key, Part, Reading, Seriousness, Text, Whole

Mark = Literal["ok", "fault", "unseen"]
"""OK · fault · could not check."""


class Answer(Part, frozen=True):
    """What was found at one check.

    Args:
        check: the check's id in the rules of that day.
        mark: OK, fault, or could not check.
        symptom: id of what was found, where the rules name it.
        seriousness: of the fault under the rules of that day; later rules only tighten it.
        affects_safety: True where the fault bears on safety.
        days: days to mend a `repair-by` fault.
        text: what was seen, or why it could not be checked.
        put_right: what the driver did on the spot.
        amount: how much he put in, in `amount_unit`.
        amount_unit: the unit of `amount`.
        value: the value the check asked for, in `unit`.
        unit: the unit of `value`.
        picture: digest of a photo.
    """

    check: Key
    mark: Mark = "ok"
    symptom: Key | None = None
    seriousness: Seriousness | None = None
    affects_safety: bool = False
    days: Whole | None = None
    text: Text | None = None
    put_right: Text | None = None
    amount: Decimal | None = None
    amount_unit: Key | None = None
    value: Decimal | None = None
    unit: Key | None = None
    picture: Digest | None = None


class OpenFault(Part, frozen=True):
    """What has become of a fault that was open when the walk-round began.

    Args:
        fault: which.
        now: the same, worse, or gone.
        text: what was seen.
    """

    fault: FaultRef
    now: Literal["same", "worse", "gone"]
    text: Text | None = None


class WalkRound(Body, frozen=True, tag="walk-round"):
    """Somebody walked round the truck and checked it.

    Args:
        rules: digest of the rules the list was made from.
        sheet: the short list of a shift, the full one, the one after a hit, at a take-over between drivers, after the
            shift.
        answers: one for each check asked.
        open_faults: what became of the faults that were open.
        meter: hours read.
        seconds: how long it took.
        letter: the letter read off the small plate of one place.
        verdict: what the device said at the end.
        yard_verdict: what the yard made of the same answers when they came in; None where it was not asked.
        doubts: what did not agree then: the verdicts, the letter, the hours, a picture, the device's clock.
        paper: True where it came from a paper sheet.
        pages: digests of the pictures of that sheet.
    """

    answers: tuple[Answer, ...] = ()
    rules: Digest | None = None
    sheet: Literal["shift", "full", "after-hit", "take-over", "after-shift"] = "shift"
    open_faults: tuple[OpenFault, ...] = ()
    meter: Reading | None = None
    seconds: Whole | None = None
    letter: Key | None = None
    verdict: Key | None = None
    yard_verdict: Key | None = None
    doubts: tuple[Text, ...] = ()
    paper: bool = False
    pages: tuple[Digest, ...] = ()
