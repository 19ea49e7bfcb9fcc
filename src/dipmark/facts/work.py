"""Work done on a truck, and the personal lock of the one who does it."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from dipmark.facts.base import Body, Digest, FactId, FaultRef, Key, Part, Reading, Text, Value, Whole


class PartUsed(Part, frozen=True):
    """A part or fluid that went into the truck.

    Args:
        part: which.
        quantity: how many or how much, in `unit`.
        unit: piece where None.
        serial: its serial number.
    """

    part: Key
    quantity: Decimal = Decimal(1)
    unit: Key | None = None
    serial: Key | None = None


class Tested(Part, frozen=True):
    """A test after work, such as ``road-test`` or ``brake-test``.

    Args:
        test: which.
        passed: True where it held.
        text: how it was done, and what was seen.
    """

    test: Key
    passed: bool
    text: Text | None = None


class Money(Part, frozen=True):
    """An amount of money.

    Args:
        amount: in whole units of the currency.
        currency: as in ISO 4217, such as ``EUR``.
    """

    amount: Decimal
    currency: Key


class Worked(Body, frozen=True, tag="worked"):
    """A service or a repair was done.

    Args:
        services: levels done, such as ``150h``.
        tasks: single tasks done, by id.
        left_out: tasks of those services that were not done.
        mends: the faults it mends.
        text: what was done and what was the cause.
        meter: hours read.
        parts: what went in.
        values: what was measured.
        tests: what was tested.
        minutes: labour, in minutes.
        cost: what it cost.
        firm: the outside firm that did it.
        document: the paper that says so, such as the outside firm's job sheet.
        pictures: digests of photos.
    """

    services: tuple[Key, ...] = ()
    tasks: tuple[Key, ...] = ()
    left_out: tuple[Key, ...] = ()
    mends: tuple[FaultRef, ...] = ()
    text: Text | None = None
    meter: Reading | None = None
    parts: tuple[PartUsed, ...] = ()
    values: tuple[Value, ...] = ()
    tests: tuple[Tested, ...] = ()
    minutes: Whole | None = None
    cost: Money | None = None
    firm: Key | None = None
    document: FactId | None = None
    pictures: tuple[Digest, ...] = ()


class WorkBegun(Body, frozen=True, tag="work-begun"):
    """Somebody is working on the truck: his lock, which only he takes off.

    Args:
        text: at what.
        place: where the truck stands.
    """

    text: Text | None = None
    place: Key | None = None


class WorkEnded(Body, frozen=True, tag="work-ended"):
    """The lock is off again.

    Args:
        begun: the fact that put it on.
        left: whether everybody and every tool is clear of the truck.
        owners_exception: why the owner took off another man's lock, in writing.
    """

    begun: FactId
    left: Literal["clear", "not-clear"] = "clear"
    owners_exception: Text | None = None
