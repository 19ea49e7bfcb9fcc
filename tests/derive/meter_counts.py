"""How well doubtful readings are found: counts over made-up trucks, and the tables of the explanation."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta
from decimal import Decimal
from itertools import pairwise
from random import Random
from typing import Final

from msgspec.structs import replace

from derive.builders import ZONE, fid
from derive.meter_yard import SLIPS, START, Made, Slip, Written, made
from dipmark.derive.meter import Doubtful, Good, MeterLife, meters_of
from dipmark.derive.meter_chain import HOUR, rounding_of
from dipmark.derive.meter_habit import _odd, _Spell, unlikely
from dipmark.derive.meter_slips import likely_slip
from dipmark.derive.past import Counting
from dipmark.facts.truck import Enrolled

SEED: Final = 20261120
TRUCKS: Final = 60
MORE: Final = (2, 4, 6, 8, 10, 12, 16)
"""Hours a slip adds, in the table of power."""

BARE: Final = Enrolled(what="reach")
"""A truck of whose meter nothing is known."""

Place = Good | Doubtful


class Counts:
    """What became of the readings of many trucks.

    Args:
        of: (slip or None for a good reading, what became of it) to how many; ``strong`` before it: one that
            contradicts two or more good readings.
    """

    def __init__(self) -> None:
        self.of: Counter[tuple[Slip | None, str]] = Counter()

    def add(self, truck: Made) -> None:
        (life,) = meters_of(truck.counting, ZONE)
        whys: dict[str, Doubtful] = {one.fact: one for one in life.doubtful}
        places: dict[str, Place] = {one.fact: one for one in life.good}
        places |= whys
        good = [one for one in truck.readings if one.slip is None]
        for one in truck.readings:
            doubt = whys.get(one.fact)
            why = doubt.why if doubt else "good"
            self.of[one.slip, "all"] += 1
            self.of[one.slip, why] += 1
            if one.slip is not None and contradicted(one, good, places, truck.digits) >= 2:
                self.of[one.slip, "strong"] += 1
                self.of[one.slip, f"strong {why}"] += 1
            if one.slip is not None and doubt is not None:
                self.of[one.slip, "proposed"] += right(life, doubt, one)

    def slips(self, what: str) -> int:
        return sum(self.of[slip, what] for slip in SLIPS)


def counted(trucks: int = TRUCKS, seed: int = SEED) -> Counts:
    rng, counts = Random(seed), Counts()
    for _ in range(trucks):
        counts.add(made(rng))
    return counts


def contradicted(slip: Written, good: list[Written], places: dict[str, Place], digits: int | None) -> int:
    """How many good readings of its meter a slip cannot stand beside, however often the meter turned; at most two."""
    turns = (0,) if digits is None else (-(10**digits), 0, 10**digits)
    beside = [one for one in good if one.meter == slip.meter]
    least = 2
    for turn in turns:
        hours = slip.run + slip.written - slip.hours + turn
        found = 0
        for one in sorted(beside, key=lambda one: abs(one.day - slip.day)):
            found += not _agree((hours, places[slip.fact]), (one.run, places[one.fact]))
            if found == least:
                break
        least = min(least, found)
    return least


def _agree(one: tuple[Decimal, Place], other: tuple[Decimal, Place]) -> bool:
    """Hours fall by less than both roundings and outrun the clock by no more than they do."""
    (less, first), (more, last) = sorted((one, other), key=lambda both: both[0])
    run = int((more - less) * HOUR)
    slack = rounding_of(first.shown) + rounding_of(last.shown)
    if last.end < first.start:
        return run < slack
    return run <= last.end - first.start + slack


def unknown_digits(trucks: int = TRUCKS, seed: int = SEED) -> tuple[int, int, int]:
    """With their digits hidden: meters that started again at zero, of how many that is told, and of how many others."""
    rng, turned, told, false = Random(seed), 0, 0, 0
    for _ in range(trucks):
        truck = made(rng)
        hidden = [replace(one, body=BARE) if isinstance(one.body, Enrolled) else one for one in truck.counting]
        (life,) = meters_of(Counting(tuple(hidden)), ZONE)
        first = [one for one in truck.readings if one.meter == truck.readings[0].meter]
        falls = truck.digits is not None and any(b.hours < a.hours for a, b in pairwise(first))
        turned += falls
        told += falls and life.starts_again == 10 ** (truck.digits or 0)
        false += not falls and life.starts_again is not None
    return turned, told, false


def right(life: MeterLife, doubt: Doubtful, one: Written) -> bool:
    """True where the slip proposed is what the meter showed, or the day it was read."""
    slip = likely_slip(life, doubt)
    if slip is None:
        return False
    return slip.hours == one.hours if slip.day is None else slip.day == START + timedelta(days=one.day)


def alarms(trucks: int = TRUCKS, seed: int = SEED) -> tuple[int, int]:
    """Working days without a slip, and how many of them are called unlikely."""
    rng, days, found = Random(seed), 0, 0
    for _ in range(trucks):
        (life,) = meters_of(made(rng, slips=0).counting, ZONE)
        days += len({one.hours for one in life.good})
        found += len(unlikely(life))
    return days, found


def worst(spells: int, rounds: int, seed: int = SEED) -> int:
    """Of so many new spells how many are called unlikely where long days tail off like an exponential."""
    rng, found = Random(seed), 0
    good = Good(fid(1), Decimal("0.000"), Decimal(0), 0, 0, START)
    for _ in range(rounds):
        *before, last = (_Spell(1, int(HOUR * (2 + rng.expovariate(0.5)))) for _ in range(spells + 1))
        found += _odd(good, last, before) is not None
    return found


def power(days: int, trucks: int = TRUCKS, seed: int = SEED) -> dict[int, tuple[int, int]]:
    """By hours added to the last reading: how many agree with the one before, and how many of those are unlikely.

    Args:
        days: length of the record; up to six more, so that it ends on any day of the week.
        trucks: how many.
        seed: of the trucks.
    """
    rng, found = Random(seed), {}
    lives = [meters_of(made(rng, days + rng.randrange(7), slips=0).counting, ZONE)[0] for _ in range(trucks)]
    for more in MORE:
        called, agreeing = 0, 0
        for life in lives:
            *before, last = life.good
            day, hours = before[-1], last.hours + more
            if _agree((day.hours, day), (hours, last)):
                odd = Good(last.fact, last.shown, hours, last.start, last.end, last.day)
                agreeing += 1
                called += any(one.fact == last.fact for one in unlikely(_ending(life, odd)))
        found[more] = agreeing, called
    return found


def _ending(life: MeterLife, last: Good) -> MeterLife:
    return MeterLife(life.name, life.counts, (*life.good[:-1], last), life.doubtful)
