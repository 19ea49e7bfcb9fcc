"""Working time that has run: the sum of what the days weigh until an instant, and the instant of a given sum."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from dipmark.derive.usage.calendar import Days, Floats, Ints, season_at

TINY: Final = 1e-9
"""Less working time than this is none."""


class Clock(NamedTuple):
    """The working time of one or more calendars.

    Args:
        first: the first day, in days since 1970.
        sums: by calendar and midnight three sums since the first: of what the days weigh, and of that times the cosine
            and times the sine of the time of the year.
    """

    first: int
    sums: Floats

    @property
    def daily(self) -> Floats:
        """What a day weighs on which an hour of working time runs, in the mean of all these hours, by calendar."""
        weight = np.diff(self.sums[:, :, 0], axis=1)
        mean: Floats = np.maximum((weight**2).sum(axis=1) / np.maximum(weight.sum(axis=1), TINY), TINY)
        return mean

    def read(self, row: Ints, moment: Floats) -> Floats:
        """The three sums at instants, three columns.

        Args:
            row: the calendar of each.
            moment: by the yard's clock, in days since 1970.

        *Edge*: before the first day and after the last nothing runs.
        """
        days = self.sums.shape[1]
        place = np.clip(moment - self.first, 0, days - 1)
        whole = np.minimum(place.astype(np.int64), days - 2)
        flat = self.sums.reshape(-1, 3)
        index = row * days + whole
        before = flat[index]
        sums: Floats = before + (flat[index + 1] - before) * (place - whole)[:, None]
        return sums

    def when(self, row: Ints, wave: Floats, target: Floats) -> Floats:
        """The instants at which sums with a season of their own have run up to a target, in days since 1970.

        Args:
            row: the calendar of each.
            wave: how much of each of the three sums counts, three columns; together they never fall.
            target: what has to be run.

        Returns:
            Infinity where that lies after the last day.
        """
        days = self.sums.shape[1]
        flat = self.sums.reshape(-1, 3)
        base = row * days
        low, high = np.zeros(len(row), np.int64), np.full(len(row), days - 1)
        for _ in range(int(days - 1).bit_length()):
            middle = (low + high) // 2
            reached = np.einsum("ij,ij->i", flat[base + middle], wave) >= target
            high = np.where(reached, middle, high)
            low = np.where(reached, low, middle)
        start = np.einsum("ij,ij->i", flat[base + low], wave)
        end = np.einsum("ij,ij->i", flat[base + high], wave)
        share = np.clip((target - start) / np.where(end > start, end - start, 1.0), 0.0, 1.0)
        return np.where(end >= target, self.first + low + share, np.inf)


def clock_of(days: Days, factors: Floats) -> Clock:
    """The working time of days.

    Args:
        days: of one or more calendars.
        factors: what a planned hour is worth on a Monday to Sunday and on a closed day.
    """
    weight = days.planned * factors[days.kind]
    cosine, sine = season_at(days.first + 0.5 + np.arange(weight.shape[1], dtype=np.float64))
    parts = np.stack([weight, weight * cosine, weight * sine], axis=2)
    return Clock(days.first, np.concatenate([np.zeros((len(weight), 1, 3)), np.cumsum(parts, axis=1)], axis=1))
