"""What was measured: a reading with its verdict, the gauge of the worst, and the rows of a truck's page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Final

import msgspec

from dipmark.derive.judging import Judged, Verdict
from dipmark.derive.measured import MEASUREMENTS
from dipmark.derive.measures import Measure, Nearest, amount, latest, marks_of
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import FactId, PersonKey, name_of
from dipmark.facts.said import Word, says
from dipmark.rules.limits import Subject
from dipmark.rules.model import Rules, Source
from dipmark.views.gauge import Gauge
from dipmark.views.words import MEASURED, SERIOUSNESS

if TYPE_CHECKING:
    from dipmark.derive.trend.topups import Use

AT_LIMIT: Final = says("at its limit")
PAST_LIMIT: Final = says("past its limit")
WITH_LIMIT: Final = says("{}, limit {}")


class PointRow(msgspec.Struct, frozen=True):
    """One reading in the series of a part.

    Args:
        fact: where it stands.
        hours: on the meter.
        value: in the unit of the limit.
        used: the line rests on it.
        renewed: the part was renewed before it.
    """

    fact: FactId
    hours: Decimal
    value: Decimal
    used: bool
    renewed: bool


class WearRow(msgspec.Struct, frozen=True):
    """How a part wears.

    Args:
        text: in words, with what it is good for.
        points: the series of a chart.
        limit: where it is worn out.
        unit: of value and limit.
        per_100h: how far the value moves in 100 h; None where nothing can be said.
        low: hours left that one truth in ten is below.
        middle: hours left.
        high: hours left that one truth in ten is above; None: no end in sight.
        doubtful: why a reading is doubtful, and what to do.
    """

    text: str
    points: tuple[PointRow, ...]
    limit: Decimal
    unit: str
    per_100h: float | None
    low: float | None
    middle: float | None
    high: float | None
    doubtful: tuple[str, ...]


class MeasureRow(msgspec.Struct, frozen=True):
    """The latest reading of something.

    Args:
        name: the measurement.
        text: what it is, for people.
        where: where on the truck, and the item; empty: not said.
        said: as it was read.
        value: what it comes to; None where it is not judged.
        unit: of value and limit.
        limit: the limit it is held against.
        verdict: its code; None where no limit exists or it is not judged.
        words: the verdict as people read it.
        because: a sentence; where it is not judged, what is missing.
        notes: what else has to be said.
        source: title and clause of the limit's source.
        day: when it was read.
        by: who read it.
        until: the day that a competent person has set.
        renewed: what to do since the part was renewed or mended; None: it was not.
        gauge: what is left; None where it has no limit.
        wear: hours left; None for what does not only wear.
        fact: where it stands.
    """

    name: str
    text: str
    where: str
    said: str
    value: Decimal | str | None
    unit: str | None
    limit: Decimal | str | None
    verdict: Verdict | None
    words: str
    because: str
    notes: tuple[str, ...]
    source: str | None
    day: date
    by: str
    until: date | None
    renewed: str | None
    gauge: Gauge | None
    wear: WearRow | None
    fact: FactId


class UseRow(msgspec.Struct, frozen=True):
    """What a truck uses of a fluid.

    Args:
        fluid: which.
        text: in words.
        per_100h: in 100 h.
        since: hours since which it uses more, by the last alarm; None where nothing alarms.
    """

    fluid: str
    text: str
    per_100h: float
    since: float | None


def title_of(key: str | None, sources: Mapping[str, Source]) -> str | None:
    """Title and clause of a source; None where there is none.

    Args:
        key: of the source.
        sources: of the rules.
    """
    source = sources.get(key) if key else None
    return source.full if source else None


def verdict_words(judged: Judged | None, word: Word = str) -> str:
    """A verdict as people read it.

    Args:
        judged: the reading; None: it could not be judged.
        word: says a word in the yard's language.

    Example:
        >>> verdict_words(None), verdict_words(Judged(subject="x", value=None, unit=None, verdict="stop", because=""))
        ('Not judged', 'Out of service')
    """
    if judged is None or judged.verdict is None:
        return word(MEASURED["unjudged" if judged is None else "none"])
    return word(MEASURED["in"] if judged.verdict == "in" else SERIOUSNESS[judged.verdict])


def told(judged: Judged, subject: Subject, rules: Rules) -> dict[str, object]:
    """A judged reading as a program reads it.

    Args:
        judged: the reading.
        subject: whose cautions stand beside it.
        rules: for the titles of sources.
    """
    core = {
        "subject": judged.subject,
        "value": judged.value,
        "unit": judged.unit,
        "verdict": judged.verdict,
        "limit": judged.limit,
        "source": title_of(judged.source, rules.sources),
        "because": judged.because,
        "rule": judged.rule,
        "notes": judged.notes,
        "cautions": tuple(caution.text for caution in subject.cautions),
    }
    band = {name: value for name in ("low", "high") if (value := getattr(judged, name)) is not None}
    return {**core, **band, **{name: value for name, value in judged.more.items() if name not in core}}


def measure_gauge(nearest: Nearest, word: Word = str) -> Gauge:
    """What is left until the limit; past it, a word.

    Args:
        nearest: a reading between its marks.
        word: says a word in the reader's language.
    """
    said = word(AT_LIMIT) if nearest.value == nearest.limit else word(PAST_LIMIT) if nearest.left < 0 else ""
    name = word(nearest.name.replace("-", " "))
    return Gauge(name, nearest.limit, nearest.full, nearest.value, nearest.doubt, nearest.unit, said)


def measure_rows(truck: TruckNow, rules: Rules, names: Mapping[PersonKey, str]) -> tuple[MeasureRow, ...]:
    """The latest reading of everything that was measured on a truck, in the order they were read.

    Args:
        truck: as it stands.
        rules: of today.
        names: of people, by key.
    """
    return tuple(
        _row(
            one,
            None if one.renewed else marks_of(one, truck.measures, rules),
            _wear(one, truck, rules),
            rules,
            names,
        )
        for one in latest(truck.measures)
    )


def sheet_rows(measures: Sequence[Measure], rules: Rules) -> tuple[MeasureRow, ...]:
    """The results of a laboratory's sheet.

    Args:
        measures: its results, judged.
        rules: of today.
    """
    return tuple(_row(one, None, None, rules, {}) for one in measures)


def _row(
    one: Measure, nearest: Nearest | None, wear: WearRow | None, rules: Rules, names: Mapping[PersonKey, str]
) -> MeasureRow:
    judged = one.judged
    return MeasureRow(
        name=one.name,
        text=rules.word(MEASUREMENTS[one.name].text),
        where=", ".join((*one.places, *([name_of(one.item)] if one.item else []))),
        said=", ".join(one.said),
        value=judged.value if judged else None,
        unit=judged.unit if judged else None,
        limit=judged.limit if judged else None,
        verdict=judged.verdict if judged else None,
        words=verdict_words(judged, rules.word),
        because=judged.because if judged else " ".join(problem.message for problem in one.problems),
        notes=judged.notes if judged else (),
        source=title_of(judged.source if judged else None, rules.sources),
        day=one.day,
        by=names.get(one.by, one.by),
        until=one.until,
        renewed=rules.word(MEASURED["renewed"]) if one.renewed else None,
        gauge=None if nearest is None else measure_gauge(nearest, rules.word),
        wear=wear,
        fact=one.fact,
    )


def _wear(one: Measure, truck: TruckNow, rules: Rules) -> WearRow | None:
    from dipmark.derive.trend.line import ORDERING_ONLY, Trend
    from dipmark.derive.wear import wear_of

    wear = wear_of(one, truck.measures, truck.meters, rules)
    if wear is None:
        return None
    trend = wear.trend
    left = trend.left if isinstance(trend, Trend) else None
    used = set(trend.because.facts)
    points = (
        PointRow(point.fact, point.hours, point.value, point.fact in used, point.renewed) for point in wear.points
    )
    return WearRow(
        text=f"{trend.because.text} {rules.word(ORDERING_ONLY)}" if left else trend.because.text,
        points=tuple(points),
        limit=wear.limit.value,
        unit=wear.limit.unit,
        per_100h=trend.per_100h if isinstance(trend, Trend) else None,
        low=left.low if left else None,
        middle=left.middle if left else None,
        high=left.high if left else None,
        doubtful=tuple(doubt.because.text for doubt in trend.doubtful),
    )


def use_rows(truck: TruckNow, word: Word = str) -> tuple[UseRow, ...]:
    """What a truck uses of each fluid that was topped up.

    Args:
        truck: as it stands.
        word: says a sentence in the reader's language.
    """
    from dipmark.derive.wear import uses_now

    uses = uses_now(truck.counting, truck.meters, word)
    return tuple(
        UseRow(fluid, use_words(use), use.per_100h, use.alarms[-1].since if use.alarms else None) for fluid, use in uses
    )


def use_words(use: Use) -> str:
    """What a truck uses, with the last alarm.

    Args:
        use: of one fluid.
    """
    return " ".join((use.because.text, *(alarm.because.text for alarm in use.alarms[-1:])))


def limit_words(row: MeasureRow, word: Word = str) -> str:
    """Value and limit of a reading, as people read them.

    Args:
        row: the reading.
        word: says a word in the reader's language.

    *Edge*: what could not be judged is shown as it was read.
    """
    if row.value is None:
        return row.said
    value = amount(row.value, row.unit)
    return value if row.limit is None else word(WITH_LIMIT).format(value, amount(row.limit, row.unit))
