"""From values as read to a verdict: what a measurement asks for, whether it was given, which limit it is past."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import floor
from typing import Final, Literal

import msgspec

from dipmark.facts.base import RANK, Seriousness
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.quantity import Quantity, parse_quantity, plain
from dipmark.facts.units import convert, difference
from dipmark.rules.limits import Edge, Limit, Subject

Verdict = Seriousness | Literal["in"]
"""In its limits, or how serious it is; None stands for a value without a limit."""

MISSING: Final = code("measure-missing", "A measurement lacks a value that it needs.")
NONSENSE: Final = code("measure-nonsense", "A measured value cannot be true: it lies outside what can be.")
NOT_ASKED: Final = code("measure-not-asked", "A measurement was given a value that it does not ask for.")
WORD: Final = code("measure-word", "A word given with a measurement is not one of those it knows.")


class Input(msgspec.Struct, frozen=True):
    """One value that a measurement asks for.

    Args:
        name: such as ``pitch``: option, field of a form and quantity in the record.
        text: what it is, for people.
        dimension: what it measures, as in `facts.units`; empty: it is a word.
        usual: the unit meant where none is written; None: one must be written.
        words: the words allowed; empty: any.
        at: the dimension of what stands behind an ``@``, as in ``32@40C``; empty: nothing does.
        many: it may be given several times, as ``left=35.9mm``.
        needed: False: it may be left out.
        kept: it stays the same from one reading to the next, such as a thickness when new: known once, known.
        over: it is more than this, such as ``0 mm``.
        least: it is at least this.
        most: it is at most this.
    """

    name: str
    text: str
    dimension: str = ""
    usual: str | None = None
    words: tuple[str, ...] = ()
    at: str = ""
    many: bool = False
    needed: bool = True
    kept: bool = False
    over: str | None = None
    least: str | None = None
    most: str | None = None


class Read(msgspec.Struct, frozen=True):
    """One value as given.

    Args:
        value: as read.
        place: where on the truck.
        at: what stood behind the ``@``.
    """

    value: Quantity
    place: str | None = None
    at: Quantity | None = None


class Given(msgspec.Struct, frozen=True):
    """Everything given with a measurement, fitting what it asks for.

    Args:
        read: values, by the name of the input.
        words: words, by the name of the input.
    """

    read: dict[str, tuple[Read, ...]]
    words: dict[str, str] = {}

    def one(self, name: str) -> Quantity:
        """A value that is there."""
        return self.read[name][0].value

    def maybe(self, name: str) -> Quantity | None:
        """A value, or None where it was left out."""
        return self.one(name) if name in self.read else None

    def all(self, name: str) -> tuple[Read, ...]:
        """Every value of one name; empty where it was left out."""
        return self.read.get(name, ())


class Judged(msgspec.Struct, frozen=True, kw_only=True):
    """A reading held against its limit.

    Args:
        subject: the measurement, such as ``fork-heel``.
        value: what it comes to; None where a check has a verdict only.
        unit: of `value`, `limit`, `low` and `high`; None where they have none.
        verdict: in, or how serious; None where no limit exists.
        limit: the limit it is held against.
        end: the most serious of the limits it was held against: where a gauge of it is empty.
        rule: id of that limit, such as ``chain.worn``.
        source: key of its source in the rules.
        because: a sentence for a person.
        notes: what else has to be said, cautions left out.
        low: lower end of what is uncertain.
        high: upper end of what is uncertain.
        more: further values, by name.
    """

    subject: str
    value: Decimal | str | None
    unit: str | None
    verdict: Verdict | None
    because: str
    limit: Decimal | str | None = None
    end: Decimal | str | None = None
    rule: str | None = None
    source: str | None = None
    notes: tuple[str, ...] = ()
    low: Decimal | None = None
    high: Decimal | None = None
    more: dict[str, Decimal | str] = {}


Judge = Callable[[Given, Subject], Judged | tuple[Problem, ...]]


class Measurement(msgspec.Struct, frozen=True, kw_only=True):
    """Something that is measured.

    Args:
        name: such as ``fork-heel``; in the record, on the command line, in a check of the rules.
        subject: the subject whose limits and cautions hold for it.
        text: what it is, for people.
        inputs: what it asks for.
        judge: holds what is given against the subject's limits.
        of: what a bad verdict takes out: the truck, or only the item measured, such as its battery.
    """

    name: str
    subject: str
    text: str
    inputs: tuple[Input, ...]
    judge: Judge
    of: Literal["truck", "item"] = "truck"

    def input(self, name: str) -> Input | None:
        """The input of that name, or None."""
        return next((one for one in self.inputs if one.name == name), None)


def past(value: Quantity, limit: Fraction, unit: str, edge: Edge, error: Quantity | None = None) -> bool:
    """Whether a reading is past a limit.

    The limit is rounded to the step of the reading towards the safe side; the reading is taken as it stands.

    Args:
        value: as read.
        limit: in `unit`.
        unit: of the limit.
        edge: which side is past it.
        error: of the instrument: a reading that may be past the limit is.

    *Edge*: with ``at-or-above`` and ``at-or-below`` a reading exactly at the rounded limit is past it; with ``above``
    and ``below`` the limit itself still passes.

    *Source*: the idea of ISO 14253-1, common practice: doubt counts against the part.

    Example:
        >>> chain = Quantity(Fraction("313.94"), "mm", Fraction("0.01"))
        >>> past(chain, Fraction("313.944"), "mm", "at-or-above")
        True
    """
    sign = 1 if edge in ("above", "at-or-above") else -1
    reading, bound = sign * value.value, sign * convert(limit, unit, value.unit)
    reached = reading + (difference(error.value, error.unit, value.unit) if error else 0)
    if edge in ("above", "below"):
        return reached > bound
    return reached >= reading + floor((bound - reading) / value.resolution) * value.resolution


def strictest(limits: Iterable[Limit]) -> Limit | None:
    """The most serious of the limits that a reading is past; None where there is none."""
    return max(limits, key=lambda limit: RANK[limit.verdict], default=None)


def worked_out(limit: Limit, value: Fraction, unit: str) -> Limit:
    """A limit as it stands for one thing measured, such as 80 % of the pressure that its plate asks.

    Args:
        limit: as in the rules.
        value: what it comes to.
        unit: of `value`, and of what is shown beside it.
    """
    return msgspec.structs.replace(limit, value=plain(value), unit=unit)


def judged(
    measurement: str,
    subject: Subject,
    value: Fraction | None,
    unit: str | None,
    because: str,
    *,
    held: Sequence[Limit],
    passed: Iterable[Limit],
    notes: Sequence[str] = (),
    more: Mapping[str, Decimal | str] | None = None,
) -> Judged:
    """A verdict from the limits that a reading was held against.

    Args:
        measurement: its name.
        subject: whose limits they are.
        value: what it comes to.
        unit: of it and of the limits.
        because: a sentence for a person.
        held: the limits it was held against, at least one.
        passed: those that it is past.
        notes: what else has to be said.
        more: further values.
    """
    over = strictest(passed)
    last = max((over, *held) if over else held, key=lambda limit: RANK[limit.verdict])
    shown = over or last
    return Judged(
        subject=measurement,
        value=None if value is None else plain(value),
        unit=unit,
        verdict="in" if over is None else over.verdict,
        limit=shown.value,
        end=last.value,
        rule=f"{subject.id}.{shown.id}",
        source=shown.source,
        because=because if over is None else f"{because} {over.text}",
        notes=tuple(notes),
        more=dict(more or {}),
    )


def fit(
    measurement: Measurement, said: Mapping[str, Sequence[str]], known: Given | None = None
) -> Given | tuple[Problem, ...]:
    """What people have written, as a measurement needs it; every problem at once.

    Args:
        measurement: what is measured.
        said: texts by the name of the input, each as written: ``313.94mm``, ``left=35.9mm``, ``32@40C``.
        known: what is known of the truck already; it stands in for what was not said and stays the same.
    """
    problems: list[Problem] = []
    read: dict[str, tuple[Read, ...]] = {}
    words: dict[str, str] = {}
    for name in said:
        if measurement.input(name) is None:
            near = difflib.get_close_matches(name, [one.name for one in measurement.inputs], 1)
            hint = f"Is it {near[0]}?" if near else ""
            expected = ", ".join(one.name for one in measurement.inputs)
            problems.append(Problem(NOT_ASKED, name, expected, hint, Where(column=name)))
    for asked in measurement.inputs:
        texts = [text for text in said.get(asked.name, ()) if text.strip()]
        if not texts and asked.kept and known is not None and (asked.name in known.read or asked.name in known.words):
            read |= {asked.name: known.read[asked.name]} if asked.name in known.read else {}
            words |= {asked.name: known.words[asked.name]} if asked.name in known.words else {}
        elif not texts:
            if asked.needed:
                hint = f"Add it: {asked.name}."
                problems.append(Problem(MISSING, f"no {asked.name}", asked.text, hint, Where(column=asked.name)))
        elif len(texts) > 1 and not asked.many:
            found = f"{asked.name} {len(texts)} times"
            problems.append(Problem(NOT_ASKED, found, "once", where=Where(column=asked.name)))
        elif not asked.dimension:
            words |= dict(_word(asked, texts[0], problems))
        else:
            read[asked.name] = tuple(one for text in texts for one in _read(asked, text, problems))
    return tuple(problems) if problems else Given(read, words)


def _word(asked: Input, text: str, problems: list[Problem]) -> Iterator[tuple[str, str]]:
    word = " ".join(text.split())
    if not asked.words or word.casefold() in asked.words:
        yield asked.name, word.casefold() if asked.words else word
        return
    near = difflib.get_close_matches(word.casefold(), asked.words, 1)
    hint = f"Is it {near[0]}?" if near else "Write one of them."
    problems.append(Problem(WORD, ascii(word)[:60], ", ".join(asked.words), hint, Where(column=asked.name)))


def _read(asked: Input, text: str, problems: list[Problem]) -> Iterator[Read]:
    place, equals, rest = text.rpartition("=") if asked.many else ("", "", text)
    number, behind, at = rest.partition("@") if asked.at else (rest, "", "")
    value = parse_quantity(number, asked.dimension, asked.usual)
    where = Where(column=asked.name)
    other = parse_quantity(at, asked.at) if behind else None
    if asked.at and not behind:
        problems.append(Problem(MISSING, ascii(text)[:60], f"{asked.text}, as 32@40C", "Add the @.", where))
    elif isinstance(value, Problem) or isinstance(other, Problem):
        wrong = (one for one in (value, other) if isinstance(one, Problem))
        problems.extend(msgspec.structs.replace(one, where=where) for one in wrong)
    elif (bound := outside(asked, value)) is not None:
        found = f"{asked.name} {value}"
        problems.append(Problem(NONSENSE, found, bound, "Read it again; check the unit.", where))
    else:
        yield Read(value, place.strip() or None if equals else None, other)


@lru_cache(maxsize=1024)
def _bound(text: str, dimension: str) -> Quantity | Problem:
    """A bound of an input; the same few are asked for with every reading."""
    return parse_quantity(text, dimension)


def outside(asked: Input, value: Quantity) -> str | None:
    """What a value ought to have been, where it cannot be true; None where it can.

    Args:
        asked: what is asked for, with its bounds.
        value: as read.
    """
    bounds = (("more than", asked.over), ("at least", asked.least), ("at most", asked.most))
    for words, text in bounds:
        bound = _bound(text, asked.dimension) if text else None
        if isinstance(bound, Quantity):
            exact, edge = value.in_(bound.unit), bound.value
            if {"more than": exact > edge, "at least": exact >= edge, "at most": exact <= edge}[words]:
                continue
            return f"{words} {text}"
    return None
