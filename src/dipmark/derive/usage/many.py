"""The readings of many trucks side by side, and what they teach of their kind."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, tzinfo

import msgspec
import numpy as np

from dipmark.derive.meter import MeterLife
from dipmark.derive.past import Counting
from dipmark.derive.usage.calendar import Calendar, day_of, days_of, laid_up
from dipmark.derive.usage.fit import Readings
from dipmark.derive.usage.learn import prior_of
from dipmark.derive.usage.prior import Prior
from dipmark.derive.usage.usage import moment_of_reading


def learnt_from(
    trucks: Sequence[tuple[MeterLife, Counting]], calendar: Calendar, as_of: datetime, zone: tzinfo
) -> Prior:
    """What the trucks of one kind have in common.

    Args:
        trucks: the first hour meter of each, and its record.
        calendar: of the yard.
        as_of: the instant.
        zone: the yard's.

    *Edge*: a truck without a good reading teaches nothing.
    """
    read = [(life, counting) for life, counting in trucks if life.good]
    if not read:
        return Prior()
    moments = np.array([moment_of_reading(one, zone) for life, _ in read for one in life.good])
    hours = np.array([float(one.hours) for life, _ in read for one in life.good])
    start = np.cumsum([0, *(len(life.good) for life, _ in read)])
    calendars = [msgspec.structs.replace(calendar, laid=laid_up(counting, zone)) for _, counting in read]
    days = days_of(calendars, day_of(float(moments.min())), as_of.astimezone(zone).date())
    return prior_of(Readings(start, np.arange(len(read)), moments, hours), days, Prior())
