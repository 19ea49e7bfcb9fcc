"""What lies ahead of many trucks: how far hours will have run by an instant, and when a mark is reached."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from dipmark.derive.usage.calendar import Floats, Ints
from dipmark.derive.usage.clock import TINY, Clock
from dipmark.derive.usage.fit import Fitted
from dipmark.derive.usage.passage import shape_at
from dipmark.derive.usage.prior import Prior

CHANCES: Final = (0.1, 0.5, 0.9)
"""Not before, about, by: one time in ten earlier than the first, one in ten later than the last. Project rule."""


class Ran(NamedTuple):
    """What will have run since the last reading, one element a truck.

    Args:
        hours: the mean.
        events: of the gamma process, as its shape.
        known: one over the squared relative doubt of the rate over that time.
    """

    hours: Floats
    events: Floats
    known: Floats


def ran_until(fitted: Fitted, row: Ints, clock: Clock, prior: Prior, moment: Floats) -> Ran:
    """What will have run from the last reading to an instant, and how sure the rate is over that time.

    The rate is in doubt as the readings leave it, its season with it; as a last reading of a whole day leaves it open
    when that was; and the more the farther ahead: a memory fades where the rate wanders, and it wanders on.

    Args:
        fitted: how the trucks run.
        row: the calendar of each.
        clock: of the calendars.
        prior: of the kind.
        moment: by the yard's clock, in days since 1970.
    """
    sums, run, parts = _parts(fitted, row, clock, moment)
    doubt = np.einsum("ni,nij,nj->n", parts, fitted.doubt, parts)
    days = np.maximum(moment - fitted.moment, 0.0)
    wander = days / (prior.even * prior.memory**2)
    when = (fitted.span / np.maximum(np.maximum(days, fitted.span / 2), TINY)) ** 2 / 12
    events = np.maximum(prior.even / clock.daily[row] * sums[:, 0], TINY)
    return Ran(fitted.level * run, events, 1.0 / (doubt + wander + when))


def once_read(fitted: Fitted, row: Ints, clock: Clock, prior: Prior, moment: Floats) -> Fitted:
    """How the trucks are expected to run once each has been read at an instant: as thought, but surer.

    Args:
        fitted: how the trucks run.
        row: the calendar of each.
        clock: of the calendars.
        prior: of the kind.
        moment: of the reading, by the yard's clock, in days since 1970; not before the last one.
    """
    sums, run, parts = _parts(fitted, row, clock, moment)
    events = prior.even / clock.daily[row] * sums[:, 0]
    told = np.linalg.inv(fitted.doubt) + events[:, None, None] * np.einsum("ni,nj->nij", parts, parts)
    hours = fitted.hours + fitted.level * run
    return fitted._replace(doubt=np.linalg.inv(told), moment=moment, hours=hours, span=np.zeros(len(run)))


def _parts(fitted: Fitted, row: Ints, clock: Clock, moment: Floats) -> tuple[Floats, Floats, Floats]:
    """The three sums since the last reading, the working time they make, and the share of each in it."""
    sums = clock.read(row, moment) - clock.read(row, fitted.moment)
    run = np.maximum(np.einsum("ij,ij->i", sums, fitted.wave), TINY)
    return sums, run, np.column_stack([np.ones(len(run)), sums[:, 1] / run, sums[:, 2] / run])


def passes(
    fitted: Fitted, row: Ints, clock: Clock, prior: Prior, mark: Floats, chances: tuple[float, ...] = CHANCES
) -> tuple[Floats, ...]:
    """The instants by which each truck has reached its mark with given probabilities, in days since 1970.

    Args:
        fitted: how the trucks run.
        row: the calendar of each.
        clock: of the calendars, as far as one cares to look.
        prior: of the kind.
        mark: true hours.
        chances: the probabilities.

    Returns:
        One array a chance; infinity where the clock ends before; the last reading where the mark lay behind it.
    """
    base = np.einsum("ij,ij->i", clock.read(row, fitted.moment), fitted.wave)
    left = np.maximum(mark - fitted.hours, 0.0) / fitted.level
    end = float(clock.first + clock.sums.shape[1] - 1)
    middle = np.minimum(clock.when(row, fitted.wave, base + left), end)
    ran = ran_until(fitted, row, clock, prior, middle)
    even = ran.events * fitted.level / ran.hours
    found = []
    for chance in chances:
        moment = clock.when(row, fitted.wave, base + shape_at(chance, left * even, ran.known) / even)
        found.append(np.where(left > 0, moment, fitted.moment))
    return tuple(found)
