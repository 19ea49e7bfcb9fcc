"""Charts as numbers: axes, ticks, points, limit, a band of what is likely; a page draws them, a table says it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from itertools import groupby
from typing import Final, Literal

import msgspec

from dipmark.derive.measures import amount
from dipmark.derive.meter import MeterLife
from dipmark.facts.said import Word, says
from dipmark.views.lessons import Curve
from dipmark.views.lessons_words import between, figure, number
from dipmark.views.measures import MeasureRow
from dipmark.views.words import hours

WIDE: Final = 480
HIGH: Final = 240
"""The box of a chart, in units."""

LEFT: Final = 64
RIGHT: Final = 16
TOP: Final = 14
BOTTOM: Final = 34
"""What is kept free about the field: room for the ticks' words."""

TICKS: Final = 4
"""About so many ticks on an axis."""

MOST: Final = 400
"""Points drawn of a long series; the last of it, since the earlier ones lie under one another."""

STEPS: Final = 120
"""Steps drawn and told of a curve."""

HAD: Final = {
    "kind": says("By {} h a truck has had {} faults on average."),
    "part": says("By {} h a truck has had {} faults of this part on average."),
    "labour": says("By {} h a truck has taken {} h of labour on faults on average."),
}
FEW_WATCHED: Final = says("Trucks watched at those hours: {}; too few for limits.")
ONE_IN: Final = says("One step in {} is shown.")
TOO_FEW: Final = says("too few trucks")

Look = Literal["good", "doubtful", "renewed"]
"""A point that the line rests on, one that does not agree, the first after the part was renewed."""


class Reading(msgspec.Struct, frozen=True):
    """What is put into a chart.

    Args:
        x: hours, or a day as its ordinal.
        y: the value.
        when: how the table says where it stands on the x axis.
        said: how the table says the value.
        look: how it is drawn.
    """

    x: Decimal
    y: Decimal
    when: str
    said: str
    look: Look = "good"


class Tick(msgspec.Struct, frozen=True):
    """A mark on an axis: where, in units of the box, and what stands beside it."""

    at: float
    text: str


class Dot(msgspec.Struct, frozen=True):
    """A point, in units of the box."""

    x: float
    y: float
    look: Look
    said: str


class Chart(msgspec.Struct, frozen=True):
    """A chart.

    Args:
        name: of what.
        unit: of the values.
        across: ticks of the x axis.
        up: ticks of the y axis.
        dots: the readings, in order.
        lines: runs of readings to be joined, each as points of an SVG polyline.
        limit: where the limit lies; None: there is none.
        limit_said: the limit in words.
        note: what is to be expected, in words; empty: not said.
        band: where the value is likely to meet the limit, as points of an SVG polygon; empty: not said.
        count: how many readings there are.
        doubtful: how many of them do not agree.
        first: the first of them in words: when and what.
        last: the last of them.
        rows: every reading as the table shows it: when, what, how it is drawn.
    """

    name: str
    unit: str
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    dots: tuple[Dot, ...]
    lines: tuple[str, ...]
    limit: float | None
    limit_said: str
    note: str
    band: str
    count: int
    doubtful: int
    first: tuple[str, str]
    last: tuple[str, str]
    rows: tuple[tuple[str, str, Look], ...]


class CurveChart(msgspec.Struct, frozen=True):
    """The mean cumulative function as a chart: a line in steps, its limits where enough trucks are watched.

    Args:
        name: of what.
        unit: of the values.
        across: ticks of the x axis, in hours.
        up: ticks of the y axis.
        line: the steps, as points of an SVG polyline.
        bands: between the limits, each as points of an SVG polygon; empty: too few trucks.
        said: what is to be seen.
        rows: the steps as the table shows them: hours, value, limits, trucks watched.
    """

    name: str
    unit: str
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    line: str
    bands: tuple[str, ...]
    said: str
    rows: tuple[tuple[str, str, str, str], ...]


class Scale(msgspec.Struct, frozen=True):
    """From values to units of the box.

    Args:
        low: value at `start`.
        high: value at `end`; it is not `low`.
        start: units.
        end: units.
    """

    low: Decimal
    high: Decimal
    start: int
    end: int

    def at(self, value: Decimal) -> float:
        """Where a value lies, to a tenth of a unit.

        Example:
            >>> Scale(Decimal(0), Decimal(10), 0, 100).at(Decimal(5))
            50.0
        """
        part = (value - self.low) / (self.high - self.low)
        return float(round(self.start + part * (self.end - self.start), 1))


def ticks(low: Decimal, high: Decimal, count: int = TICKS) -> tuple[Decimal, ...]:
    """Round numbers between two values, 1, 2 or 5 times a power of ten apart, or every second or third of them.

    Args:
        low: the lowest.
        high: the highest, above it.
        count: about so many.

    Example:
        >>> [f"{one:f}" for one in ticks(Decimal(0), Decimal(1000))]
        ['0', '200', '400', '600', '800', '1000']
    """
    power = Decimal(1).scaleb((high - low).adjusted())
    steps = (power / times for times in (1, 2, 5, 10))
    step = next(one for one in steps if (high - low) / one >= count)
    first = int((low / step).to_integral_value(ROUND_CEILING))
    last = int((high / step).to_integral_value(ROUND_FLOOR))
    return tuple(step * turn for turn in range(first, last + 1, 1 + (last - first) // (count + 2)))


def meter_chart(life: MeterLife) -> Chart | None:
    """True hours of a meter by day; readings that do not agree are drawn hollow and join no line.

    Args:
        life: the meter.

    Returns:
        The chart; None where fewer than two readings are good.
    """
    if len(life.good) < 2:
        return None
    good = (Reading(_day(one.day), one.hours, one.day.isoformat(), hours(one.hours)) for one in life.good)
    odd = (
        Reading(_day(one.day), one.shown, one.day.isoformat(), hours(one.shown), "doubtful") for one in life.doubtful
    )
    series = sorted((*good, *odd), key=lambda one: one.x)
    return _chart(life.name, "h", series, days=True, limit=None, said="", ahead=(), note="")


def wear_chart(row: MeasureRow) -> Chart | None:
    """A worn value by the hours of the meter, with its limit and the hours within which it is likely to be met.

    Args:
        row: the latest reading, with its series.

    Returns:
        The chart; None where fewer than two readings are known.
    """
    wear = row.wear
    if wear is None or len(wear.points) < 2:
        return None
    series = [
        Reading(
            one.hours,
            one.value,
            hours(one.hours),
            amount(one.value, wear.unit),
            "renewed" if one.renewed else "good" if one.used or wear.per_100h is None else "doubtful",
        )
        for one in wear.points
    ]
    end = series[-1].x
    ahead = [end + Decimal(repr(round(left, 1))) for left in (wear.low, wear.high) if left is not None]
    said = amount(wear.limit, wear.unit)
    return _chart(
        row.text, wear.unit, series, days=False, limit=wear.limit, said=said, ahead=tuple(ahead), note=wear.text
    )


def curve_chart(curve: Curve, word: Word = str) -> CurveChart:
    """How many faults, or how much labour, a truck has had by its hours, on average.

    Args:
        curve: of a kind of truck or a part, with one step at least.
        word: says a sentence in the reader's language.

    *Edge*: of more than `STEPS` steps every second, third … is drawn and told, and always the last.
    """
    every = -(-len(curve.hours) // STEPS)
    last = len(curve.hours) - 1
    steps = [*range(last % every, last, every), last]
    ends = [one for one in (*curve.value, *curve.high) if one is not None]
    x = Scale(Decimal(0), _decimal(curve.hours[-1]), LEFT, WIDE - RIGHT)
    y = Scale(Decimal(0), _decimal(max(ends) * 1.05), HIGH - BOTTOM, TOP)
    at = [(x.at(_decimal(curve.hours[step])), step) for step in steps]
    up = ticks(y.low, y.high)
    value = figure(curve.value[-1])
    said = word(HAD[curve.of]).format(number(curve.hours[-1]), value)
    if None in (curve.low[-1], curve.high[-1]):
        said += " " + word(FEW_WATCHED).format(curve.at_risk[-1])
    if every > 1:
        said += " " + word(ONE_IN).format(every)
    return CurveChart(
        name=curve.name,
        unit=curve.unit,
        across=tuple(Tick(x.at(one), _across(one, days=False)) for one in ticks(x.low, x.high, 3)),
        up=tuple(Tick(y.at(one), f"{one.normalize():,f}") for one in up),
        line=_points(_steps([(x.at(Decimal(0)), y.at(Decimal(0)))], at, curve.value, y)),
        bands=tuple(_limits(at, curve, y)),
        said=said,
        rows=tuple(_told(curve, step, word) for step in steps),
    )


def _decimal(value: float) -> Decimal:
    return Decimal(repr(value))


Point = tuple[float, float]


def _steps(
    begin: list[Point], at: Sequence[tuple[float, int]], values: Sequence[float | None], y: Scale
) -> list[Point]:
    """Level until something happens, then straight up."""
    points = begin
    for across, step in at:
        up = y.at(_decimal(values[step] or 0.0))
        points += [(across, points[-1][1]), (across, up)] if points else [(across, up)]
    return points


def _limits(at: Sequence[tuple[float, int]], curve: Curve, y: Scale) -> Iterator[str]:
    """A polygon for each run of steps at which the limits are to be trusted."""
    for sure, run in groupby(at, lambda one: curve.low[one[1]] is not None):
        steps = list(run)
        if sure and len(steps) > 1:
            high, low = (_steps([], steps, values, y) for values in (curve.high, curve.low))
            yield _points([*high, *reversed(low)])


def _points(points: Sequence[Point]) -> str:
    return " ".join(f"{across},{up}" for across, up in points)


def _told(curve: Curve, step: int, word: Word) -> tuple[str, str, str, str]:
    low, high = curve.low[step], curve.high[step]
    said = word(TOO_FEW) if low is None or high is None else between(low, high, word)
    return f"{number(curve.hours[step])} h", figure(curve.value[step]), said, str(curve.at_risk[step])


def _day(day: date) -> Decimal:
    return Decimal(day.toordinal())


def _chart(
    name: str,
    unit: str,
    series: Sequence[Reading],
    *,
    days: bool,
    limit: Decimal | None,
    said: str,
    ahead: tuple[Decimal, ...],
    note: str,
) -> Chart:
    drawn = series[-MOST:]
    x = _scale([one.x for one in drawn] + list(ahead), LEFT, WIDE - RIGHT)
    kept = [one.y for one in drawn if one.look != "doubtful"] or [one.y for one in drawn]
    y = _scale([*kept, *([limit] if limit is not None else [])], HIGH - BOTTOM, TOP, room=True)
    dots = tuple(Dot(x.at(one.x), _inside(y.at(one.y)), one.look, f"{one.when}: {one.said}") for one in drawn)
    return Chart(
        name=name,
        unit=unit,
        across=tuple(Tick(x.at(at), _across(at, days)) for at in ticks(x.low, x.high, 3)),
        up=tuple(Tick(y.at(at), f"{at:,f}") for at in ticks(y.low, y.high)),
        dots=dots,
        lines=tuple(_runs(dots)),
        limit=None if limit is None else y.at(limit),
        limit_said=said,
        note=note,
        band=_band(drawn[-1], ahead, limit, x, y),
        count=len(series),
        doubtful=sum(one.look == "doubtful" for one in series),
        first=(series[0].when, series[0].said),
        last=(series[-1].when, series[-1].said),
        rows=tuple((one.when, one.said, one.look) for one in series),
    )


def _inside(at: float) -> float:
    """What does not agree may lie far off: it is drawn at the edge."""
    return min(max(at, TOP), HIGH - BOTTOM)


def _across(at: Decimal, days: bool) -> str:
    return date.fromordinal(int(at)).isoformat() if days else f"{at:,f} h"


def _scale(values: Sequence[Decimal], start: int, end: int, *, room: bool = False) -> Scale:
    """All values lie inside; on the y axis with a tenth of room, so that nothing touches the frame."""
    low, high = min(values), max(values)
    spare = (high - low) / 10 if room else Decimal(0)
    if low == high:
        spare = Decimal(1)
    return Scale(low - spare, high + spare, start, end)


def _runs(dots: Sequence[Dot]) -> Iterator[str]:
    """What is joined: good readings, broken off where the part was renewed."""
    run: list[Dot] = []
    for dot in (one for one in dots if one.look != "doubtful"):
        if dot.look == "renewed":
            yield from _joined(run)
            run = []
        run.append(dot)
    yield from _joined(run)


def _joined(run: Sequence[Dot]) -> Iterator[str]:
    if len(run) > 1:
        yield " ".join(f"{dot.x},{dot.y}" for dot in run)


def _band(last: Reading, ahead: tuple[Decimal, ...], limit: Decimal | None, x: Scale, y: Scale) -> str:
    """From the last reading to the limit, between the sooner and the later end; without a later one to the frame."""
    if limit is None or not ahead:
        return ""
    late = ahead[1] if len(ahead) > 1 else x.high
    corners = ((last.x, last.y), (ahead[0], limit), (late, limit))
    return " ".join(f"{x.at(across)},{y.at(up)}" for across, up in corners)
