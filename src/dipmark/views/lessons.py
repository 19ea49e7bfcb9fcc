"""What keeps breaking: one plain sentence of advice first, the figures behind it, and what could fool them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import msgspec

from dipmark.derive.lessons.vigilance import SIGNS, YEARLY, Shown
from dipmark.derive.lessons.wearing import Fails
from dipmark.derive.lessons.yard import PAGE, Lessons
from dipmark.facts.base import PersonKey
from dipmark.rules.model import Rules
from dipmark.views.lessons_words import (
    FOOLED,
    RULE,
    SIGN,
    WATCH,
    bad_words,
    fails_words,
    interval_words,
    missed_words,
    part_words,
    returns_words,
    shown_words,
    upkeep_words,
    wears_words,
)
from dipmark.views.words import CAUTION

COUNCIL: Final = frozenset({"AT", "DE", "NL"})
"""Where a works council must agree before a device watches what people do; from memory, not verified."""

Figure = float | int | str | bool | None


class Row(msgspec.Struct, frozen=True):
    """A sentence and the numbers behind it.

    Args:
        text: for a person.
        said: True where it is advice; else it only stands among the figures.
        numbers: what it rests on.
        facts: ids of the facts it rests on.
    """

    text: str
    said: bool
    numbers: dict[str, Figure]
    facts: tuple[str, ...] = ()


class Section(msgspec.Struct, frozen=True):
    """Figures of one question.

    Args:
        id: of the question.
        title: the question.
        fooled: what could fool its answers.
        rows: the answers, advice first.
    """

    id: str
    title: str
    fooled: str
    rows: tuple[Row, ...]


class Curve(msgspec.Struct, frozen=True):
    """The mean cumulative function of a kind of truck or a part, as numbers of a chart.

    Args:
        name: of what.
        hours: at which something happened, rising.
        value: mean number a truck has had by then; of labour, hours.
        low: lower limit.
        high: upper limit.
        at_risk: trucks watched at these hours; under ten the limits are not to be trusted.
    """

    name: str
    hours: tuple[float, ...]
    value: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    at_risk: tuple[int, ...]


class Vigilance(msgspec.Struct, frozen=True):
    """Signs of careless sheets, for somebody who may see them.

    Args:
        on: False where nothing of it is shown, and why.
        note: what it is, and what it is not.
        posted: what is looked at, for everybody to know.
        yard: how often each sign is seen in the whole yard; nobody is named.
        own: of whoever asks.
        others: of the others, for those who lead them.
    """

    on: bool
    note: str
    posted: tuple[str, ...]
    yard: tuple[str, ...]
    own: tuple[Row, ...]
    others: tuple[Row, ...]


class LessonsPage(msgspec.Struct, frozen=True):
    """What the record of a yard teaches.

    Args:
        advice: plain sentences, the surest first; where there is none, one that says so.
        method: how often it may be wrong.
        sections: the figures behind it.
        curves: mean cumulative functions, as numbers.
        signs: signs of careless sheets.
        unheard: trucks without hours, of which nothing can be learnt.
        caution: who decides.
    """

    advice: tuple[str, ...]
    method: str
    sections: tuple[Section, ...]
    curves: tuple[Curve, ...]
    signs: Vigilance
    unheard: tuple[str, ...]
    caution: str


class Watcher(msgspec.Struct, frozen=True):
    """Who asks, and what he may see of people.

    Args:
        person: who; None: nobody in particular.
        all: True where he leads those who walk round.
        on: True or False where the yard has decided; None: by its country.
    """

    person: PersonKey | None = None
    all: bool = False
    on: bool | None = None


def lessons_page(
    found: Lessons, rules: Rules, names: Mapping[PersonKey, str], country: str | None, watcher: Watcher
) -> LessonsPage:
    """The page of lessons.

    Args:
        found: what the record teaches.
        rules: for the words of checks.
        names: of people, by key.
        country: the yard's; None: not known.
        watcher: who asks.
    """
    sections = tuple(section for section in _sections(found, rules) if section.rows)
    said = [row for section in sections for row in section.rows if row.said]
    said.sort(key=lambda row: float(row.numbers["chance"] or 0))
    once = round(1 / PAGE)
    return LessonsPage(
        advice=tuple(row.text for row in said) or (_nothing(found),),
        method=f"{found.asked} questions were asked of the record. They are held to their bounds together (Holm), so "
        f"that a page gives advice without ground at most once in {once}. Limits are of 90 %, those of curves of 95 %.",
        sections=sections,
        curves=tuple(_curve(one) for one in found.fails),
        signs=vigilance(found.signs, names, country, watcher),
        unheard=found.unheard,
        caution=CAUTION,
    )


def _nothing(found: Lessons) -> str:
    if not found.trucks:
        return "There is nothing to learn from yet: no truck has hours and walk-rounds, faults or work in its record."
    short = [one.more for one in found.wears if one.more is not None]
    wait = f" Of {len(short)} of {found.trucks} trucks there is not enough to tell yet." if short else ""
    return f"Nothing in this record asks for a change: keep the intervals and the trucks as they are.{wait}"


def _sections(found: Lessons, rules: Rules) -> Iterator[Section]:
    yield _section("trucks", "Does a truck wear out?", ((wears_words(one), one) for one in found.wears))
    yield _section("bad", "Does a truck fail more than its like?", ((bad_words(one), one) for one in found.bad))
    pays = ((interval_words(one, rules), one) for one in found.intervals)
    yield _section("intervals", "Does the interval pay?", pays)
    yield _section("parts", "How long do parts last?", ((part_words(one, rules), one) for one in found.parts))
    back = (one for one in found.returns if one.back)
    yield _section("repairs", "Which repairs do not hold?", ((returns_words(one, rules), one) for one in back))
    title = "What should a walk-round have found?"
    yield _section("missed", title, ((missed_words(one), one) for one in found.missed))
    yield _section("kinds", "What fails?", ((fails_words(one, rules), one) for one in found.fails))
    yield _section("upkeep", "What do trucks take?", ((upkeep_words(one), one) for one in found.upkeep))
    uses = ((f"Truck {one.truck}, {one.fluid}: {one.text}", one) for one in found.topups)
    yield _section("topups", "What do they use?", uses)


def _section(id_: str, title: str, told: Iterator[tuple[str, msgspec.Struct]]) -> Section:
    rows = [_row(text, one) for text, one in told]
    rows.sort(key=lambda row: (not row.said, not row.numbers.get("faults", row.numbers.get("failed", True))))
    return Section(id_, title, FOOLED.get(id_, ""), tuple(rows))


def _row(text: str, one: msgspec.Struct) -> Row:
    """A sentence with the plain numbers of what it says, those within it by their names put together."""
    facts = next((getattr(one, name) for name in ("facts", "faults", "because") if _are_facts(one, name)), ())
    return Row(text, bool(getattr(one, "said", False)), dict(_numbers(one)), facts)


def _are_facts(one: msgspec.Struct, name: str) -> bool:
    return isinstance(getattr(one, name, None), tuple)


HIDDEN: Final = frozenset({"said", "text", "by", "sheet"})
"""What stands elsewhere, or points at a person."""


def _numbers(one: msgspec.Struct, before: str = "") -> Iterator[tuple[str, Figure]]:
    for name in one.__struct_fields__:
        value = getattr(one, name)
        if name in HIDDEN:
            continue
        if isinstance(value, bool | int | float | str) or value is None:
            yield f"{before}{name}", value
        elif isinstance(value, tuple) and name in {"early", "late"}:
            yield from zip((f"{name}", f"{name}_low", f"{name}_high"), value, strict=True)
        elif isinstance(value, msgspec.Struct) and not _is_curve(value):
            yield from _numbers(value, f"{before}{name}_")


def _is_curve(value: msgspec.Struct) -> bool:
    return "hours" in value.__struct_fields__ and not isinstance(getattr(value, "hours", None), float)


def _curve(one: Fails) -> Curve:
    mean = one.mean
    name = ", ".join(part for part in (one.kind, one.part, "labour" if one.of == "labour" else None) if part)
    return Curve(
        name=name,
        hours=tuple(mean.hours.tolist()),
        value=tuple(mean.value.tolist()),
        low=tuple(mean.low.tolist()),
        high=tuple(mean.high.tolist()),
        at_risk=tuple(mean.at_risk.tolist()),
    )


def watched_in(country: str | None) -> bool:
    """Whether signs of careless sheets are shown where the yard has not decided.

    Args:
        country: ISO 3166 code; None: nobody has said, then they are not.
    """
    return country is not None and country.partition("-")[0] not in COUNCIL


def vigilance(
    shown: Sequence[Shown], names: Mapping[PersonKey, str], country: str | None, watcher: Watcher
) -> Vigilance:
    """Signs of careless sheets as somebody may see them: his own first, those of others only where he leads them.

    Args:
        shown: all signs.
        names: of people, by key.
        country: the yard's.
        watcher: who asks.
    """
    on = watcher.on if watcher.on is not None else watched_in(country)
    posted = tuple(f"{SIGN[sign].capitalize()}: {RULE[sign]}." for sign in SIGNS)
    false = f"In a whole yard a sign is false at most {YEARLY:g} times a year."
    if not on:
        why = "the yard has decided so" if watcher.on is False else "a works council may have to agree first"
        return Vigilance(on=False, note=f"Not shown: {why}.", posted=posted, yard=(), own=(), others=())
    own = [one for one in shown if one.by == watcher.person]
    others = [one for one in shown if one.said and one.by != watcher.person] if watcher.all else []
    return Vigilance(
        on=True,
        note=f"{WATCH} {false} Sheets of the last 365 days to the first of this month count.",
        posted=posted,
        yard=tuple(_whole(shown)),
        own=tuple(_sign(one, names) for one in own),
        others=tuple(_sign(one, names) for one in others),
    )


def _sign(one: Shown, names: Mapping[PersonKey, str]) -> Row:
    return Row(shown_words(one, names), one.said, dict(_numbers(one)), one.facts)


def _whole(shown: Sequence[Shown]) -> Iterator[str]:
    """Where half of all sheets show a sign, it is the list or the time given for it, and no single person."""
    for sign in SIGNS:
        same = [one for one in shown if one.sign == sign]
        marked, of = sum(one.marked for one in same), sum(one.of for one in same)
        if marked and sign != "nothing-found":
            many = " So many: look at the list, and at the time given for it." if 2 * marked > of else ""
            what = SIGN[sign] if sign == "missed" else f"sheets {SIGN[sign]}"
            yield f"{marked} of {of} {what}.{many}"
