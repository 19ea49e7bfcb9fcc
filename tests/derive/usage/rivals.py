"""What the calibration is held against: three plain rates, and an oracle that knows the generator's true mean."""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy.special import gammaincc

from derive.usage.made import FIRST, WINDOW, Floats, Ints, Yard
from dipmark.derive.usage.ahead import CHANCES
from dipmark.derive.usage.calendar import number_of
from dipmark.derive.usage.fit import Readings
from dipmark.derive.usage.scores import pinball

ORIGIN: Final = number_of(FIRST)
MONTH: Final = 30.0
CUTS: Final = (150.0, 120.0, 90.0, 60.0)
"""So many days before the forecast, and once one horizon and a third before it, the rivals learn their bands."""

ZERO: Final = 100.0
"""Hours on every meter when the year begins."""


def until(readings: Readings, cut: Floats) -> Readings:
    """The readings of each truck up to an instant of its own, in days since the first."""
    truck = readings.truck
    keep = readings.moment <= cut[truck] + ORIGIN
    start = np.concatenate([[0], np.cumsum(np.bincount(truck[keep], minlength=len(cut)))])
    return Readings(start, readings.row, readings.moment[keep], readings.hours[keep])


def rates(readings: Readings, cut: Floats) -> dict[str, Floats]:
    """Hours a day: since ever, in the last month, between the last two readings."""
    first, last, truck = readings.start[:-1], readings.start[1:] - 1, readings.truck
    early = readings.moment <= (cut + ORIGIN - MONTH)[truck]
    month = np.maximum(first, np.minimum(first + np.bincount(truck[early], minlength=len(cut)) - 1, last - 1))
    ever = _rate(readings, first, last)
    two = _rate(readings, np.maximum(last - 1, first), last)
    found = {"ever": ever, "month": _rate(readings, month, last), "two": two}
    return {name: np.where(rate < 0.1 * ever, ever, rate) for name, rate in found.items()}


def _rate(readings: Readings, here: Ints, there: Ints) -> Floats:
    days = np.maximum(readings.moment[there] - readings.moment[here], 1e-9)
    rate: Floats = (readings.hours[there] - readings.hours[here]) / days
    return rate


def last_of(readings: Readings) -> tuple[Floats, Floats]:
    """Moment, in days since the first, and hours of the last readings."""
    last = readings.start[1:] - 1
    return readings.moment[last] - ORIGIN, readings.hours[last]


def marks(readings: Readings, cut: Floats, ahead: float) -> Floats:
    """Marks that trucks will reach about so many days after the cut, as far as their past tells."""
    moment, hours = last_of(readings)
    return hours + rates(readings, cut)["ever"] * (cut - moment + ahead)


def rivals(made: Yard, readings: Readings, cut: Floats, ahead: float) -> dict[str, list[Floats]]:
    """The 10, 50 and 90 % times of each plain rate, its band that of its own errors at earlier cuts."""
    ratios: dict[str, list[Floats]] = {"ever": [], "month": [], "two": []}
    for back in (*CUTS, 1.3 * ahead):
        past = until(readings, cut - back)
        mark = marks(past, cut - back, ahead)
        moment, hours = last_of(past)
        came = made.passes(mark - ZERO) - moment
        for name, rate in rates(past, cut - back).items():
            ratios[name].append(came * rate / (mark - hours))
    now = until(readings, cut)
    mark = marks(now, cut, ahead)
    moment, hours = last_of(now)
    bands = {name: np.quantile(np.concatenate(all_), CHANCES) for name, all_ in ratios.items()}
    told = rates(now, cut)
    return {name: [moment + part * (mark - hours) / told[name] for part in band] for name, band in bands.items()}


def oracle(made: Yard, readings: Readings, mark: Floats) -> list[Floats]:
    """The 10, 50 and 90 % times of one who knows the true mean of every day, past and to come, and the last reading."""
    moment, hours = last_of(readings)
    begin, length = np.array(WINDOW)[made.shifts].T
    found = np.empty((len(CHANCES), len(mark)))
    for truck in range(len(mark)):
        day = int(moment[truck])
        left = 1 - np.clip((moment[truck] - day - begin[truck]) / length[truck], 0, 1)
        mean, square = made.mean[truck, day:].copy(), made.mean[truck, day:] ** 2 / 3
        mean[0], square[0] = mean[0] * left, square[0] * left**2
        run, spread = np.cumsum(mean) + 1e-9, np.cumsum(square) + 1e-12
        chance = gammaincc(run**2 / spread, (mark[truck] - hours[truck]) * run / spread)
        ends = day + begin[truck] + length[truck] + np.arange(len(mean))
        found[:, truck] = np.interp(CHANCES, np.append(0.0, chance), np.append(moment[truck], ends))
    return list(found)


def loss(foretold: list[Floats], came: Floats) -> float:
    """Mean pinball loss of the 10, 50 and 90 % times, in days."""
    each = [pinball(one, came, chance) for one, chance in zip(foretold, CHANCES, strict=True)]
    return float(np.mean(each))
