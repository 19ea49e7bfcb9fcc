"""Papers: examination reports, job sheets, bulletins, certificates."""

from __future__ import annotations

from datetime import date
from typing import Literal

from dipmark.facts.base import Body, Digest, FaultRef, Key, Part, PersonKey, Reading, Text, Whole
from dipmark.facts.work import Money, PartUsed

PaperKind = Literal["examination", "job-sheet", "bulletin", "certificate", "warranty", "insurance", "manual", "other"]


class Line(Part, frozen=True):
    """A line of a paper: it closes one thing, or stays unanswered.

    Args:
        text: as written.
        fault: the fault it closes or opens.
        service: the service it proves.
        duty: the legal duty it proves.
        until: the date it sets.
        answered: True once somebody has dealt with it.
    """

    text: Text
    fault: FaultRef | None = None
    service: Key | None = None
    duty: Key | None = None
    until: date | None = None
    answered: bool = False


class Serials(Part, frozen=True):
    """A range of serial numbers that a bulletin speaks of, both ends included; it is read by a person.

    Args:
        first: the lowest.
        last: the highest; None where it is open.
    """

    first: Key
    last: Key | None = None


class Document(Body, frozen=True, tag="document"):
    """A paper about the truck, the item or the yard.

    Args:
        what: its kind.
        title: as printed on it.
        number: its number.
        issuer: the firm or examiner.
        person: who signed, where known in the register.
        valid_from: the first day it holds.
        valid_until: the last day it holds.
        fit: the examiner's word: True fit, False not, None says nothing.
        lines: what it says, line by line.
        serials: the serial numbers a bulletin or recall speaks of.
        parts: parts and fluids as billed.
        minutes: labour as billed, in minutes.
        cost: what it asks for.
        meter: hours on it.
        pages: digests of its pictures.
        note: anything else.
    """

    what: PaperKind
    title: Text
    number: Key | None = None
    issuer: Key | None = None
    person: PersonKey | None = None
    valid_from: date | None = None
    valid_until: date | None = None
    fit: bool | None = None
    lines: tuple[Line, ...] = ()
    serials: tuple[Serials, ...] = ()
    parts: tuple[PartUsed, ...] = ()
    minutes: Whole | None = None
    cost: Money | None = None
    meter: Reading | None = None
    pages: tuple[Digest, ...] = ()
    note: Text | None = None
