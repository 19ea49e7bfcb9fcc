"""Readings that agree with the clock but not with the truck's own habit: shown softly, never kept out."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from functools import lru_cache
from itertools import count
from math import prod
from typing import Final

import msgspec

from dipmark.derive.meter import TENTH, Good, MeterLife
from dipmark.derive.meter_chain import HOUR, rounding_of
from dipmark.facts.base import FactId
from dipmark.facts.said import Word, says

WINDOW: Final = 399
"""So many of its last working spells a truck is held against."""

FEWEST: Final = 9
"""With fewer working spells before it nothing is unlikely."""

IN_A_DAY: Final = says("{0} h in a day, where {1} are usual")
A_DAY: Final = says("{0} h a day for {2} days, where {1} are usual")


class Unlikely(msgspec.Struct, frozen=True):
    """A good reading that is not like this truck.

    Args:
        fact: where it stands.
        shown: hours on the meter.
        day: the local day it is of.
        days: since the day read before.
        per_day: hours a day since then.
        usual: the middle of what the truck has done on its working days, in h a day.
        most: more than this is unlikely, in h a day.
    """

    fact: FactId
    shown: Decimal
    day: date
    days: int
    per_day: Decimal
    usual: Decimal
    most: Decimal

    def text(self, word: Word = str) -> str:
        """For a person.

        Args:
            word: says a sentence in the reader's language.

        Example:
            >>> day, hours = date(2026, 11, 20), map(Decimal, ("23.0", "6.1", "9.4"))
            >>> Unlikely(FactId("1"), Decimal("1200.0"), day, 1, *hours).text()
            '23.0 h in a day, where 6.1 are usual'
        """
        said = word(IN_A_DAY if self.days == 1 else A_DAY)
        return said.format(f"{self.per_day:f}", f"{self.usual:f}", self.days)


class _Spell(msgspec.Struct, frozen=True):
    """Days in a row with one good reading at their end.

    Args:
        days: how many.
        per_day: hours a day, in µs.
    """

    days: int
    per_day: int


def unlikely(life: MeterLife) -> tuple[Unlikely, ...]:
    """The good readings that say more hours a day than the truck's own use makes likely, in the order they were read.

    Each is held against those before it only, so that a later reading changes no verdict: against the hours a day of
    the last 399 spells between days with a reading, of no more days than its own, in which the truck worked. It is
    unlikely when it lies beyond the second largest of them by more than its roundings and `stride` times the distance
    from the middle one to the second largest.

    A false alarm comes with at most one working spell in 200. That assumes that the truck is used as it was, so that
    of 400 spells each is as likely as any other to be among the two largest; and, with fewer than 399 before, that
    long days tail off at least as fast as an exponential.

    Args:
        life: one meter.

    *Edge*: exactly a stride and the roundings beyond is still likely. *Source*: project rule, common practice.
    """
    found: list[Unlikely] = []
    before: deque[_Spell] = deque(maxlen=WINDOW)
    base: Good | None = None
    last: Good | None = None
    for one in life.good:
        if last is not None and one.day > last.day:
            if base is not None and (spell := _spell(base, last)).per_day > 0:
                before.append(spell)
            base = last
        last = one
        if base is not None and (odd := _odd(one, _spell(base, one), before)) is not None:
            found.append(odd)
    return tuple(found)


def _spell(base: Good, one: Good) -> _Spell:
    days = (one.day - base.day).days
    return _Spell(days, int((one.hours - base.hours) * HOUR) // days)


def _odd(one: Good, spell: _Spell, before: Sequence[_Spell]) -> Unlikely | None:
    held = sorted(other.per_day for other in before if other.days <= spell.days)
    if len(held) < FEWEST:
        return None
    middle, second = held[len(held) // 2], held[-2]
    beyond = stride((len(held) - 1) // 2) * (second - middle) // 10
    most = second + beyond + 2 * rounding_of(one.shown) // spell.days
    if spell.per_day <= most:
        return None
    return Unlikely(one.fact, one.shown, one.day, spell.days, _hours(spell.per_day), _hours(middle), _hours(most))


@lru_cache
def stride(above: int) -> int:
    """How far beyond the second largest of 2m + 1 spells a new one is unlikely, in tenths.

    If hours above the middle one tail off like an exponential, one in two new spells lies above it, and then beyond the
    second largest of the m others there by c times the distance between them with the chance of the product of
    j / (j + 1 + c), j from 2 to m. The stride is the least c, in tenths, for which half of that is no more than 1/200.

    Args:
        above: m, how many lie above the middle one, from 2; from 199 on it is nought.

    Example:
        >>> [stride(above) for above in (4, 9, 23, 50, 199)]
        [95, 27, 10, 5, 0]
    """
    over = range(2, above + 1)
    fewest = 100 * prod(10 * j for j in over)
    return next(tenths for tenths in count() if fewest <= prod(10 * j + 10 + tenths for j in over))


def _hours(micro: int) -> Decimal:
    return (Decimal(micro) / HOUR).quantize(TENTH)
