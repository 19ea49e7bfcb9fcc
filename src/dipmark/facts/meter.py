"""Hours read off a meter, and the change of a meter."""

from __future__ import annotations

from decimal import Decimal

from dipmark.facts.base import Body, Digest, Key, Text, Whole


class MeterRead(Body, frozen=True, tag="meter-read"):
    """Somebody read the hour meter.

    Args:
        hours: as shown, in hours; the last digit written is what the meter shows.
        meter: the meter's name on that truck.
        picture: digest of a photo of it.
        note: anything else.
    """

    hours: Decimal
    meter: Key = "main"
    picture: Digest | None = None
    note: Text | None = None


class MeterChanged(Body, frozen=True, tag="meter-changed"):
    """The meter was replaced or reset. True hours run on.

    Args:
        new: what the new meter showed when fitted, in hours.
        old: what the old one showed last, in hours; None where it could not be read.
        meter: the meter's name on that truck.
        digits: digits before the decimal point of the new one.
        note: why.
    """

    new: Decimal
    old: Decimal | None = None
    meter: Key = "main"
    digits: Whole | None = None
    note: Text | None = None
