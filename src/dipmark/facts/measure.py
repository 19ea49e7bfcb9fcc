"""Values measured, samples sent away, fluids topped up."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from dipmark.facts.base import Body, BookId, Digest, Key, Part, Reading, Seriousness, Text, Value


class Chosen(Part, frozen=True):
    """What was chosen among a few words, such as the scale of a hydrometer.

    Args:
        quantity: what.
        word: which.
        place: where on the truck.
    """

    quantity: Key
    word: Key
    place: Key | None = None


class Measured(Body, frozen=True, tag="measured"):
    """Values read off instruments at one subject.

    Args:
        subject: what was measured, such as ``chain`` or ``fork-heel``.
        values: the readings, each with its place.
        conditions: what they depend on: new length, temperature, load.
        chosen: conditions that are words: the scale of a hydrometer, what kind of coolant.
        instrument: with what.
        item: the item measured, where it is not the book's own thing.
        check: the check that asked for it.
        seriousness: of what was read, under the rules of that day; later rules only tighten it.
        until: the day by which a competent person wants it renewed or measured again; never set by a program.
        meter: hours read.
        picture: digest of a photo.
        note: anything else.
    """

    subject: Key
    values: tuple[Value, ...]
    conditions: tuple[Value, ...] = ()
    chosen: tuple[Chosen, ...] = ()
    instrument: Key | None = None
    item: BookId | None = None
    check: Key | None = None
    seriousness: Seriousness | None = None
    until: date | None = None
    meter: Reading | None = None
    picture: Digest | None = None
    note: Text | None = None


class Sampled(Body, frozen=True, tag="sampled"):
    """A laboratory's sheet of a fluid.

    Args:
        fluid: which.
        results: one value each.
        laboratory: whose sheet.
        number: its number.
        reported: the day on the sheet; the fact itself happened when the sample was drawn.
        fluid_hours: hours on the fluid, in h.
        meter: hours read.
    """

    fluid: Key
    results: tuple[Value, ...]
    laboratory: Key | None = None
    number: Key | None = None
    reported: date | None = None
    fluid_hours: Decimal | None = None
    meter: Reading | None = None


class ToppedUp(Body, frozen=True, tag="topped-up"):
    """A fluid was topped up, by so much.

    Args:
        fluid: which.
        amount: how much, in `unit`.
        unit: as in `facts.units`.
        check: the check that asked for it.
        meter: hours read.
        note: anything else.
    """

    fluid: Key
    amount: Decimal
    unit: Key
    check: Key | None = None
    meter: Reading | None = None
    note: Text | None = None
