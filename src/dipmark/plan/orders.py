"""What to order, how much and by when: demand from what falls due, with its doubt, and from what breaks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from functools import cache
from math import ceil
from typing import Final

import msgspec
import numpy as np
from numpy.typing import NDArray
from scipy.stats import poisson

Floats = NDArray[np.float64]

REVIEW: Final = 7
"""Days from one look at the list to the next. Common practice, no source."""

AHEAD: Final = 60
"""Days for which the list says what will have to be ordered. Project rule."""

LATE_SHARE: Final = 0.3
"""The share of orders reckoned to take the longer time: what the last three tenths weigh in Swanson's rule."""

HALVINGS: Final = 40
"""So often the doubt that is left is halved."""


class Use(msgspec.Struct, frozen=True):
    """A part that something ahead will take, as far as is known when.

    Args:
        what: that takes it.
        quantity: whole pieces or units; above nought.
        early: one time in ten it is earlier.
        about: as likely before as after.
        late: one time in ten it is later.
    """

    what: str
    quantity: int
    early: date
    about: date
    late: date

    def chance(self, day: date) -> float:
        """How likely it has been taken by the end of a day.

        *Edge*: straight lines through the three days, as steep outside them as beside them; a known day has it for
        sure.
        """
        before = max(1, (self.about - self.early).days)
        after = max(1, (self.late - self.about).days)
        days = (day - self.about).days
        if self.early == self.late:
            return 1.0 if days >= 0 else 0.0
        return float(np.clip(0.5 + 0.4 * days / (before if days < 0 else after), 0.0, 1.0))


class Store(msgspec.Struct, frozen=True, kw_only=True):
    """One part: what is there, what comes, what is asked for.

    Args:
        part: its name.
        there: whole pieces or units that may be used.
        coming: what is ordered, with the day it is expected.
        uses: ahead.
        rate: that break, a day, in the mean.
        size: so many at a time where something breaks.
        lead: days from the order to the shelf, as a rule.
        lead_most: one order in ten takes longer.
        pack: comes in so many at a time.
        shelf_days: keeps so long; None: as good as for ever.
        level: share of what is asked for that has to be there; None: as for all.
        price: of one; what stock is saved by.
    """

    part: str
    there: int
    coming: tuple[tuple[date, int], ...] = ()
    uses: tuple[Use, ...] = ()
    rate: float = 0.0
    size: int = 1
    lead: int = 7
    lead_most: int = 7
    pack: int = 1
    shelf_days: int | None = None
    level: float | None = None
    price: float = 1.0

    @property
    def position(self) -> int:
        """What is there and on its way."""
        return self.there + sum(quantity for _, quantity in self.coming)


class Order(msgspec.Struct, frozen=True):
    """One line of the list.

    Args:
        part: which.
        quantity: whole packs.
        by: the last day to order it.
        first: the first use it is wanted for; None: for what breaks.
        uses: what it is for, in the order of time.
    """

    part: str
    quantity: int
    by: date
    first: date | None
    uses: tuple[Use, ...]


def demand(store: Store, today: date, days: int) -> Floats:
    """How likely so many are asked for from tomorrow to the end of a day, from nought up.

    Args:
        store: the part.
        today: the day of looking.
        days: so many days on.
    """
    until = today + timedelta(days=days)
    chances = np.ones(1)
    for use in store.uses:
        chance = use.chance(until)
        if chance > 0:
            one = np.zeros(use.quantity + 1)
            one[0], one[-1] = 1 - chance, chance
            chances = np.convolve(chances, one)
    if store.rate > 0:
        mean = store.rate * days / store.size
        times = poisson.pmf(np.arange(int(poisson.ppf(1 - 1e-9, mean)) + 2), mean)
        broken = np.zeros((len(times) - 1) * store.size + 1)
        broken[:: store.size] = times
        chances = np.convolve(chances, broken)
    return chances


def orders(stores: Sequence[Store], today: date, level: float) -> tuple[Order, ...]:
    """What to order, the most pressing first: of all lists that keep the level, the one that keeps least in store.

    Args:
        stores: every part.
        today: the day of looking; it is looked again in a week.
        level: share of what is asked for, over all parts, that has to be there.

    An order made today is there once it has come, and lasts until the next one might have. So many are kept of each
    part that the chance to miss one more, over its price, is the same for all: no other stock of that price misses
    less (the newsvendor's rule, with a ratio that keeps the level). A part with a level of its own keeps that.
    """
    found: list[Order] = []
    for day, buy in _days(stores, today, level):
        for store, quantity in buy:
            if quantity and all(order.part != store.part for order in found):
                found.append(_order(store, quantity, today, day))
    return tuple(sorted(found, key=lambda order: (order.by, order.part)))


def _days(stores: Sequence[Store], today: date, level: float) -> Iterator[tuple[date, list[tuple[Store, int]]]]:
    """Each day of looking ahead, with what would be bought then if nothing was before."""
    for later in range(0, AHEAD, REVIEW):
        yield today + timedelta(days=later), _buy(stores, today, later, level)


def buy(stores: Sequence[Store], today: date, level: float) -> dict[str, int]:
    """What to order today, by part; see `orders`."""
    return {store.part: quantity for store, quantity in _buy(stores, today, 0, level) if quantity}


class _Want(msgspec.Struct, frozen=True):
    """How likely so many are asked for until the order after this one may have come, and until this one has."""

    store: Store
    span: Floats
    before: Floats
    most: int

    def level_at(self, ratio: float) -> int:
        """The least stock at which one more is missed no more often than its price is worth.

        What is likelier than not to be missing before an order can come is ordered all the same: somebody waits for it.
        """
        missed = 1 - np.cumsum(self.span)
        enough = np.flatnonzero(missed <= ratio * self.store.price + 1e-12)
        waited = int(np.searchsorted(np.cumsum(self.before), 0.5))
        return max(waited, int(enough[0]) if len(enough) else len(self.span) - 1)

    def bought(self, upto: int) -> int:
        """Whole packs up to a stock, no more than keeps."""
        short = min(upto, self.most) - self.store.position
        return ceil(short / self.store.pack) * self.store.pack if short > 0 else 0

    def missed(self, stock: int) -> float:
        """How many are asked for between these two days and not there, in the mean, with so many."""
        return _beyond(self.span, stock) - _beyond(self.before, stock)

    @property
    def asked(self) -> float:
        """How many are asked for between them, in the mean."""
        return _beyond(self.span, 0) - _beyond(self.before, 0)


def _beyond(chances: Floats, stock: int) -> float:
    return float(chances @ np.maximum(np.arange(len(chances)) - stock, 0))


def _want(store: Store, today: date, later: int) -> _Want:
    def over(days: int) -> Floats:
        # What comes on a day is there for that day.
        first = demand(store, today, max(0, later + days + store.lead - 1))
        last = demand(store, today, max(0, later + days + max(store.lead, store.lead_most) - 1))
        both = np.zeros(max(len(first), len(last)))
        both[: len(first)] += (1 - LATE_SHARE) * first
        both[: len(last)] += LATE_SHARE * last
        return both

    span, most = over(REVIEW), 1 << 30
    if store.shelf_days is not None:
        keeps = demand(store, today, later + store.lead + store.shelf_days)
        most = max(1, int(_beyond(keeps, 0)))
    return _Want(store, span, over(0), most)


def _buy(stores: Sequence[Store], today: date, later: int, level: float) -> list[tuple[Store, int]]:
    wants = [_want(store, today, later) for store in stores]
    shared = [want for want in wants if want.store.level is None]
    ratio = _ratio(lambda one: _share(shared, one), level)
    bought = []
    for want in wants:
        own = want.store.level
        alone = ratio if own is None else _ratio(lambda one, want=want: _share([want], one), own)  # type: ignore[misc]
        bought.append((want.store, want.bought(want.level_at(alone))))
    return bought


def _share(wants: Sequence[_Want], ratio: float) -> float:
    """The share of what is asked for that is there."""
    asked = sum(want.asked for want in wants)
    missed = sum(want.missed(want.store.position + want.bought(want.level_at(ratio))) for want in wants)
    return 1.0 if asked <= 0 else 1 - missed / asked


def _ratio(share: Callable[[float], float], level: float) -> float:
    """The largest ratio that keeps a level; chances over prices."""
    low, high = 0.0, 1.0
    while share(high) >= level and high < 1e6:
        low, high = high, high * 10
    known = cache(share)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if known(middle) >= level else (low, middle)
    return low


def _order(store: Store, quantity: int, today: date, day: date) -> Order:
    """A line: it covers the uses that what is there does not."""
    left, uses = store.position, []
    for use in sorted(store.uses, key=lambda one: one.about):
        left -= use.quantity
        if left < 0 and use.about <= day + timedelta(days=store.lead_most + REVIEW + AHEAD):
            uses.append(use)
    kept = tuple(uses[: max(1, quantity)])
    return Order(store.part, quantity, max(today, day), kept[0].early if kept else None, kept)
