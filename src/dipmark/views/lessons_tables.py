"""The figures behind the lessons as tables: for each question its columns, for each answer its cells."""

from __future__ import annotations

from typing import Final

from dipmark.derive.lessons.intervals import Interval
from dipmark.derive.lessons.parts import Part
from dipmark.derive.lessons.repeats import Missed, Returns
from dipmark.derive.lessons.upkeep import Upkeep
from dipmark.derive.lessons.wearing import Bad, Fails, Wears
from dipmark.derive.lessons.yard import TopUp
from dipmark.facts.said import Word, says
from dipmark.rules.model import Rules
from dipmark.views.lessons_words import between, check_words, figure, kind_words, number, worst_words
from dipmark.views.part_names import part_named

Told = Wears | Bad | Interval | Part | Returns | Missed | Fails | Upkeep | TopUp
"""One answer."""

TRUCK: Final = says("Truck")
HOURS: Final = says("Hours")
FAULTS: Final = says("Faults")
RATE: Final = says("In 1,000 h")
TO_TELL: Final = says("To be able to tell")
LABOUR: Final = says("labour on faults")

COLUMNS: Final = {
    "trucks": (TRUCK, HOURS, FAULTS, RATE, TO_TELL),
    "bad": (TRUCK, says("Times as often as the others"), says("Most of it")),
    "intervals": (
        says("Service"),
        says("Done every"),
        FAULTS,
        says("Early, in 1,000 h"),
        says("Late, in 1,000 h"),
        says("Costs least at"),
        TO_TELL,
    ),
    "parts": (
        says("Part"),
        says("Failed"),
        says("Still good, or renewed ahead"),
        HOURS,
        says("Shape"),
        says("One in ten failed by"),
        TO_TELL,
    ),
    "repairs": (TRUCK, says("Check"), says("Repairs"), says("Back within {} h")),
    "missed": (TRUCK, says("What was found at work"), says("Called OK before")),
    "kinds": (says("What"), says("Trucks"), HOURS, FAULTS, RATE),
    "upkeep": (
        TRUCK,
        HOURS,
        says("Labour"),
        says("Cost"),
        says("Available"),
        says("Out of service"),
        says("Until it was back, on average"),
    ),
    "topups": (TRUCK, says("Fluid"), says("What it uses")),
}
"""By question; braces stand for the hours within which a fault has come back."""

MORE: Final = says("about {} h more")
ENOUGH: Final = says("enough")
A_TRUCK: Final = says("{} h a truck")
NONE: Final = "–"


def cells(one: Told, rules: Rules) -> tuple[str, ...]:
    """The cells of an answer, in the order of its columns; a dash where a figure is not known.

    Args:
        one: the answer.
        rules: in the reader's language.
    """
    word = rules.word
    match one:
        case Wears():
            rate = limits(one.rate, one.low, one.high, word)
            told = one.more is None and one.faults > 0
            return (one.truck, number(one.hours), number(one.faults), rate, _wait(told, one.more, one.hours, word))
        case Bad():
            times = NONE if one.times is None else limits(one.times, one.low, one.high, word)
            return (one.truck, times, worst_words(one, word) or NONE)
        case Interval():
            return _interval(one, rules)
        case Part():
            return _part(one, rules)
        case Returns():
            return (one.truck, check_words(one.kind, one.check, rules), number(one.repairs), number(one.back))
        case Missed():
            return (one.truck, one.text.rstrip("."), f"{figure(one.hours)} h")
        case Fails():
            return _fails(one, rules)
        case Upkeep():
            return _upkeep(one)
        case _:
            return (one.truck, one.fluid, one.text)


def limits(value: float, low: float | None, high: float | None, word: Word = str) -> str:
    """A figure with its limits.

    Example:
        >>> limits(1.1, 0.3, 2.8)
        '1.1 (0.30 to 2.8)'
    """
    return f"{figure(value)} {between(low, high, word)}"


def _wait(told: bool, more: float | None, hours: float, word: Word) -> str:
    """How many hours are still wanted; more than a hundredfold is no help to anybody."""
    if told:
        return word(ENOUGH)
    return NONE if more is None or more > 100 * hours else word(MORE).format(figure(more))


def _interval(one: Interval, rules: Rules) -> tuple[str, ...]:
    word = rules.word
    told = one.leans is not None and (one.said or one.more is None)
    return (
        f"{one.service}, {kind_words(one.kind, rules)}",
        NONE if one.done is None else f"{number(one.done)} h",
        number(one.faults),
        limits(*one.early, word),
        limits(*one.late, word),
        NONE if one.best is None or one.leans is None else f"{limits(one.best, one.low, one.high, word)} h",
        _wait(told, one.more, one.hours, word),
    )


def _part(one: Part, rules: Rules) -> tuple[str, ...]:
    word, shape, tenth = rules.word, NONE, NONE
    if one.law is not None and one.limits is not None and one.tenth is not None:
        shape = limits(one.law.shape, one.limits.shape_low, one.limits.shape_high, word)
        tenth = f"{figure(one.tenth)} h"
    return (
        f"{one.part}, {kind_words(one.kind, rules)}",
        number(one.failed),
        number(one.running),
        number(one.hours),
        shape,
        tenth,
        _wait(shape != NONE, one.more, one.hours, word),
    )


def _fails(one: Fails, rules: Rules) -> tuple[str, ...]:
    word, kind = rules.word, kind_words(one.kind, rules)
    labour = one.of == "labour"
    part = word(LABOUR) if labour else one.part and part_named(one.part, word)
    return (
        f"{kind}, {part}" if part else kind,
        number(one.trucks),
        number(one.hours),
        NONE if labour else number(one.faults),
        word(A_TRUCK).format(figure(float(one.mean.value[-1])))
        if labour
        else limits(one.rate, one.low, one.high, word),
    )


def _upkeep(one: Upkeep) -> tuple[str, ...]:
    year = one.years[0]
    return (
        one.truck,
        number(year.hours),
        f"{figure(year.minutes / 60)} h",
        ", ".join(f"{number(cost)} {currency}" for currency, cost in sorted(year.costs.items())) or NONE,
        f"{100 * one.availability:.1f} %",
        number(one.stops),
        NONE if one.restore is None else f"{figure(one.restore)} h",
    )
