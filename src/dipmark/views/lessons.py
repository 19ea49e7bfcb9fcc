"""What keeps breaking: one plain sentence of advice first, the figures behind it, and what could fool them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, Literal

import msgspec

from dipmark.derive.lessons.vigilance import SIGNS, YEARLY, Shown
from dipmark.derive.lessons.watched import BACK
from dipmark.derive.lessons.wearing import Fails
from dipmark.derive.lessons.yard import PAGE, Lessons
from dipmark.derive.reliability.recurrent import FEW
from dipmark.facts.base import PersonKey
from dipmark.facts.said import Word, says
from dipmark.rules.model import Rules
from dipmark.views.lessons_fooled import FOOLED
from dipmark.views.lessons_signs import SIGN, WATCH, posted_words, shown_words
from dipmark.views.lessons_tables import COLUMNS, LABOUR, Told, cells
from dipmark.views.lessons_words import (
    bad_words,
    fails_words,
    interval_words,
    kind_words,
    missed_words,
    part_words,
    returns_words,
    upkeep_words,
    wears_words,
)
from dipmark.views.part_names import part_named
from dipmark.views.words import CAUTION

COUNCIL: Final = frozenset({"AT", "DE", "NL"})
"""Where a works council must agree before a device watches what people do; from memory, not verified."""

TITLES: Final = {
    "trucks": says("Does a truck wear out?"),
    "bad": says("Does a truck fail more than its like?"),
    "intervals": says("Does the interval pay?"),
    "parts": says("How long do parts last?"),
    "repairs": says("Which repairs do not hold?"),
    "missed": says("What should a walk-round have found?"),
    "kinds": says("What fails?"),
    "upkeep": says("What do trucks take?"),
    "topups": says("What do they use?"),
}
"""Every question, in the order in which they are answered."""

METHOD: Final = says(
    "{} questions were asked of the record. They are held to their bounds together (Holm), so that a page gives advice "
    "without ground at most once in {}. Limits are of 90 %, those of curves of 95 %."
)
NOTHING_YET: Final = says(
    "There is nothing to learn from yet: no truck has hours and walk-rounds, faults or work in its record."
)
NO_CHANGE: Final = says("Nothing in this record asks for a change: keep the intervals and the trucks as they are.")
WAIT: Final = says("Of {} of {} trucks there is not enough to tell yet.")
USES: Final = says("Truck {}, {}: {}")
FAULTS_A_TRUCK: Final = says("faults a truck")
LABOUR_A_TRUCK: Final = says("h of labour a truck")
NOT_SHOWN: Final = {
    False: says("Not shown: the yard has decided so."),
    None: says("Not shown: a works council may have to agree first."),
}
FALSE: Final = says("In a whole yard a sign is false at most {} times a year.")
COUNT: Final = says("Sheets of the last 365 days to the first of this month count.")
OF_YARD: Final = says("{} of {} {}.")
SO_MANY: Final = says("So many: look at the list, and at the time given for it.")

Figure = float | int | str | bool | None


class Row(msgspec.Struct, frozen=True):
    """A sentence and the numbers behind it.

    Args:
        text: for a person.
        said: True where it is advice; else it only stands among the figures.
        numbers: what it rests on.
        facts: ids of the facts it rests on.
        cells: the figures of it in words, one for each column of its section.
    """

    text: str
    said: bool
    numbers: dict[str, Figure]
    facts: tuple[str, ...] = ()
    cells: tuple[str, ...] = ()


class Section(msgspec.Struct, frozen=True):
    """Figures of one question.

    Args:
        id: of the question.
        title: the question.
        fooled: what could fool its answers.
        columns: what stands above the cells of its rows.
        rows: the answers, advice first.
    """

    id: str
    title: str
    fooled: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]


class Curve(msgspec.Struct, frozen=True):
    """The mean cumulative function of a kind of truck or a part, as numbers of a chart.

    Args:
        kind: key of the kind of truck.
        of: everything, one part, or the labour on faults.
        name: of what, in words.
        unit: of the values, in words.
        hours: at which something happened, rising.
        value: mean number a truck has had by then; of labour, hours.
        low: lower limit; None where under ten trucks are watched, for there it is not to be trusted.
        high: upper limit, likewise.
        at_risk: trucks watched at these hours.
    """

    kind: str
    of: Literal["kind", "part", "labour"]
    name: str
    unit: str
    hours: tuple[float, ...]
    value: tuple[float, ...]
    low: tuple[float | None, ...]
    high: tuple[float | None, ...]
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
    word = rules.word
    sections = tuple(section for section in _sections(found, rules) if section.rows)
    said = [row for section in sections for row in section.rows if row.said]
    said.sort(key=lambda row: float(row.numbers["chance"] or 0))
    return LessonsPage(
        advice=tuple(row.text for row in said) or (_nothing(found, word),),
        method=word(METHOD).format(found.asked, round(1 / PAGE)),
        sections=sections,
        curves=tuple(_curve(one, rules) for one in found.fails),
        signs=vigilance(found.signs, names, country, watcher, word),
        unheard=found.unheard,
        caution=word(CAUTION),
    )


def of_kind(page: LessonsPage, kind: str) -> LessonsPage:
    """What a page says of one kind of truck: its answers and its curves.

    Args:
        page: of the whole yard.
        kind: key of the kind.
    """
    rows = [(one, tuple(row for row in one.rows if row.numbers.get("kind") == kind)) for one in page.sections]
    return msgspec.structs.replace(
        page,
        advice=tuple(row.text for _, kept in rows for row in kept if row.said),
        sections=tuple(msgspec.structs.replace(one, rows=kept) for one, kept in rows if kept),
        curves=tuple(one for one in page.curves if one.kind == kind),
    )


def _nothing(found: Lessons, word: Word) -> str:
    if not found.trucks:
        return word(NOTHING_YET)
    short = [one.more for one in found.wears if one.more is not None]
    return word(NO_CHANGE) + (f" {word(WAIT).format(len(short), found.trucks)}" if short else "")


def _sections(found: Lessons, rules: Rules) -> Iterator[Section]:
    word = rules.word
    yield _section("trucks", ((wears_words(one, word), one) for one in found.wears), rules)
    yield _section("bad", ((bad_words(one, word), one) for one in found.bad), rules)
    yield _section("intervals", ((interval_words(one, rules), one) for one in found.intervals), rules)
    yield _section("parts", ((part_words(one, rules), one) for one in found.parts), rules)
    back = (one for one in found.returns if one.back)
    yield _section("repairs", ((returns_words(one, rules), one) for one in back), rules)
    yield _section("missed", ((missed_words(one, word), one) for one in found.missed), rules)
    yield _section("kinds", ((fails_words(one, rules), one) for one in found.fails), rules)
    yield _section("upkeep", ((upkeep_words(one, word), one) for one in found.upkeep), rules)
    uses = ((word(USES).format(one.truck, one.fluid, one.text), one) for one in found.topups)
    yield _section("topups", uses, rules)


def _section(id_: str, told: Iterator[tuple[str, Told]], rules: Rules) -> Section:
    rows = [_row(text, one, cells(one, rules)) for text, one in told]
    rows.sort(key=lambda row: (not row.said, not row.numbers.get("faults", row.numbers.get("failed", True))))
    word = rules.word
    columns = tuple(word(column).format(BACK) for column in COLUMNS[id_])
    fooled = " ".join(word(line) for line in FOOLED.get(id_, ())).format(BACK)
    return Section(id_, word(TITLES[id_]), fooled, columns, tuple(rows))


def _row(text: str, one: msgspec.Struct, shown: tuple[str, ...] = ()) -> Row:
    """A sentence with the plain numbers of what it says, those within it by their names put together."""
    facts = next((getattr(one, name) for name in ("facts", "faults", "because") if _are_facts(one, name)), ())
    return Row(text, bool(getattr(one, "said", False)), dict(_numbers(one)), facts, shown)


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


def _curve(one: Fails, rules: Rules) -> Curve:
    mean, word = one.mean, rules.word
    part = word(LABOUR) if one.of == "labour" else one.part and part_named(one.part, word)
    sure = (mean.at_risk >= FEW).tolist()
    return Curve(
        kind=one.kind,
        of=one.of,
        name=", ".join(filter(None, (kind_words(one.kind, rules), part))),
        unit=word(LABOUR_A_TRUCK if one.of == "labour" else FAULTS_A_TRUCK),
        hours=tuple(mean.hours.tolist()),
        value=tuple(mean.value.tolist()),
        low=tuple(limit if known else None for limit, known in zip(mean.low.tolist(), sure, strict=True)),
        high=tuple(limit if known else None for limit, known in zip(mean.high.tolist(), sure, strict=True)),
        at_risk=tuple(mean.at_risk.tolist()),
    )


def watched_in(country: str | None) -> bool:
    """Whether signs of careless sheets are shown where the yard has not decided.

    Args:
        country: ISO 3166 code; None: nobody has said, then they are not.
    """
    return country is not None and country.partition("-")[0] not in COUNCIL


def vigilance(
    shown: Sequence[Shown],
    names: Mapping[PersonKey, str],
    country: str | None,
    watcher: Watcher,
    word: Word = str,
) -> Vigilance:
    """Signs of careless sheets as somebody may see them: his own first, those of others only where he leads them.

    Args:
        shown: all signs.
        names: of people, by key.
        country: the yard's.
        watcher: who asks.
        word: says a sentence in the reader's language.
    """
    on = watcher.on if watcher.on is not None else watched_in(country)
    posted = tuple(posted_words(sign, word) for sign in SIGNS)
    if not on:
        note = word(NOT_SHOWN[watcher.on])
        return Vigilance(on=False, note=note, posted=posted, yard=(), own=(), others=())
    own = [one for one in shown if one.by == watcher.person]
    others = [one for one in shown if one.said and one.by != watcher.person] if watcher.all else []
    return Vigilance(
        on=True,
        note=" ".join((word(WATCH), word(FALSE).format(f"{YEARLY:g}"), word(COUNT))),
        posted=posted,
        yard=tuple(_whole(shown, word)),
        own=tuple(_row(shown_words(one, names, word), one) for one in own),
        others=tuple(_row(shown_words(one, names, word), one) for one in others),
    )


def _whole(shown: Sequence[Shown], word: Word) -> Iterator[str]:
    """Where half of all sheets show a sign, it is the list or the time given for it, and no single person."""
    for sign in SIGNS:
        same = [one for one in shown if one.sign == sign]
        marked, of = sum(one.marked for one in same), sum(one.of for one in same)
        if marked and sign != "nothing-found":
            said = word(OF_YARD).format(marked, of, word(SIGN[sign]))
            yield f"{said} {word(SO_MANY)}" if 2 * marked > of else said
