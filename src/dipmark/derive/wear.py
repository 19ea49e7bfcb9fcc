"""How the parts of one truck wear, and what it uses of its fluids: its record as series for the trend."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from typing import Final

import msgspec

from dipmark.derive.measured import WEARS
from dipmark.derive.measures import Measure, doubt_of, grows, value_of
from dipmark.derive.meter import MeterLife
from dipmark.derive.past import Counting
from dipmark.derive.trend.line import Instrument, Limit, NotEnough, Point, Trend, trend_of
from dipmark.derive.trend.topups import TopUp, Use, use_of
from dipmark.facts.base import FactId, folded
from dipmark.facts.measure import ToppedUp
from dipmark.facts.quantity import amount_in
from dipmark.facts.said import Word
from dipmark.facts.units import UNITS
from dipmark.facts.work import Worked
from dipmark.rules.model import Rules

ENOUGH: Final = 3
"""So many gaps between top-ups say what a truck uses. Common practice, no source."""

LEAST: Final = Decimal("0.01")
"""The step of an instrument where nobody knows it."""


class Wear(msgspec.Struct, frozen=True):
    """How one part wears.

    Args:
        points: its readings with the hours on the meter, those before it was renewed as well.
        limit: where it is worn out.
        trend: hours left, or why nothing can be said.
    """

    points: tuple[Point, ...]
    limit: Limit
    trend: Trend | NotEnough


def wear_of(one: Measure, measures: Sequence[Measure], meters: Sequence[MeterLife], rules: Rules) -> Wear | None:
    """How a part wears, from all readings of it in the same places; None for what does not only wear.

    Args:
        one: its latest reading.
        measures: all of the truck, in order.
        meters: its hour meters; the first one counts.
        rules: of today.

    *Edge*: hours left count from the last good reading of the meter; a reading whose hours nobody knows is left out.
    """
    judged = one.judged
    up = grows(judged, rules) if judged is not None and one.name in WEARS and not one.renewed else None
    if judged is None or up is None or not isinstance(judged.end, Decimal):
        return None
    points: list[Point] = []
    life = None
    for other in (other for other in measures if other.part == one.part and other.places == one.places):
        hours, value = hours_at(meters, other.fact, other.since), value_of(other, judged.unit)
        if hours is not None and value is not None:
            points.append(Point(hours, value, other.fact, renewed=life is not None and other.life != life))
            life = other.life
    if not points:
        return None
    limit = Limit(judged.end, grows=up, unit=judged.unit or "")
    trend = trend_of(points, limit, Instrument(max(doubt_of(one, rules), LEAST)), meters[0].hours, rules.word)
    return Wear(tuple(points), limit, trend)


def hours_at(meters: Sequence[MeterLife], fact: FactId, instant: datetime) -> Decimal | None:
    """Hours on the first meter when something was seen or done: as read then, else between the readings around it.

    Args:
        meters: the truck's.
        fact: which.
        instant: when.
    """
    read = meters[0].hours_of(fact)
    if read is not None:
        return read
    sure = meters[0].sure_at(instant)
    return None if sure is None else sure.likely


def use_of_fluid(
    counting: Counting, meters: Sequence[MeterLife], fluid: str, unit: str, word: Word = str
) -> Use | None:
    """What a truck uses of a fluid, and the alarm where that has doubled; None with too few top-ups.

    Args:
        counting: the truck's record.
        meters: its hour meters; the first one counts.
        fluid: which, as people write it.
        unit: in which it is told.
        word: says a sentence in the reader's language.

    *Edge*: work that names the fluid among the parts that went in begins the count anew.
    """
    topups: list[TopUp] = []
    renewed = False
    for one in counting:
        body = one.body
        if isinstance(body, Worked):
            renewed = renewed or any(folded(part.part) == folded(fluid) for part in body.parts)
        elif isinstance(body, ToppedUp) and folded(body.fluid) == folded(fluid):
            hours, amount = hours_at(meters, one.id, one.effective), amount_in(body.amount, body.unit, unit)
            if hours is not None and amount is not None and amount > 0:
                topups.append(TopUp(hours, amount, one.id, renewed))
                renewed = False
    use = use_of(topups, unit, word=word)
    return use if use is not None and len(use.because.facts) > ENOUGH else None


def uses_now(counting: Counting, meters: Sequence[MeterLife], word: Word = str) -> tuple[tuple[str, Use], ...]:
    """What a truck uses of each fluid that was topped up, in the unit it was last told in.

    Args:
        counting: the truck's record.
        meters: its hour meters.
        word: says a sentence in the reader's language.
    """
    last: dict[str, tuple[str, str]] = {}
    for one in counting:
        if isinstance(one.body, ToppedUp) and one.body.unit in UNITS:
            last[folded(one.body.fluid)] = one.body.fluid, one.body.unit
    found = ((fluid, use_of_fluid(counting, meters, fluid, unit, word)) for fluid, unit in last.values())
    return tuple((fluid, use) for fluid, use in found if use is not None)
