"""What a search finds: trucks, people, faults, words of the logbook, serial numbers, rules."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime, tzinfo
from typing import Final, Literal

import msgspec

from dipmark.derive.past import Counted
from dipmark.derive.standing import Standing
from dipmark.facts.base import PersonKey, folded
from dipmark.facts.kinds import kind_of
from dipmark.facts.said import Word
from dipmark.rules.model import Rules
from dipmark.views.words import moment

Sort = Literal["truck", "person", "fault", "log", "rule"]

MOST: Final = 20
"""So many of each sort are shown."""

SAYS: Final = ("text", "reason", "note", "title", "number", "issuer", "firm", "serial", "place", "seal")
"""Fields of facts that hold words of people."""


class Hit(msgspec.Struct, frozen=True):
    """Something found.

    Args:
        sort: what it is.
        title: its name.
        text: where the words stand.
        key: the truck's number, the person's key, or the kind of truck of a rule.
        more: of a log entry its id, of a rule its check.
        when: of a log entry.
    """

    sort: Sort
    title: str
    text: str
    key: str
    more: str = ""
    when: datetime | None = None


def fits(wanted: Sequence[str], *texts: str | None) -> bool:
    """True where every word stands somewhere in the texts, as people compare names.

    Args:
        wanted: words, folded.
        texts: where to look.

    Example:
        >>> fits(["chain", "slack"], "Lift CHAIN", "slack on the left"), fits(["horn"], "Lift chain")
        (True, False)
    """
    whole = folded(" ".join(text for text in texts if text))
    return all(word in whole for word in wanted)


def trucks_found(wanted: Sequence[str], trucks: Iterable[Standing], rules: Rules) -> Iterator[Hit]:
    """Trucks by number, kind, place, serial number.

    Args:
        wanted: words, folded.
        trucks: of the yard.
        rules: of today.
    """
    for truck in trucks:
        kind = rules.kind(truck.enrolled.what)
        text = kind.text if kind else truck.enrolled.what
        more = [one for one in (truck.enrolled.place, truck.enrolled.serial) if one]
        if fits(wanted, truck.name, text, *more):
            yield Hit("truck", truck.name, " · ".join((text, *more)), truck.name)


def faults_found(wanted: Sequence[str], trucks: Iterable[Standing]) -> Iterator[Hit]:
    """Open faults by their words."""
    for truck in trucks:
        for fault in truck.faults:
            if fault.open and fits(wanted, fault.text, fault.check, truck.name):
                yield Hit("fault", truck.name, fault.text, truck.name, fault.ref)


def people_found(wanted: Sequence[str], names: Mapping[PersonKey, str], firms: Mapping[str, str]) -> Iterator[Hit]:
    """People by name and firm.

    Args:
        wanted: words, folded.
        names: of those in the yard, by key.
        firms: by key.
    """
    for key, name in names.items():
        if fits(wanted, name, firms.get(key)):
            yield Hit("person", name, firms.get(key, ""), key)


def log_found(
    wanted: Sequence[str], truck: str, counting: Sequence[Counted], zone: tzinfo, word: Word = str
) -> Iterator[Hit]:
    """Entries of a logbook by their words, the latest first.

    Args:
        wanted: words, folded.
        truck: its number.
        counting: its record.
        zone: the yard's.
        word: says a word in the reader's language.
    """
    for one in reversed(counting):
        said = tuple(words_of(one.body))
        if said and fits(wanted, *said):
            text = f"{word(kind_of(one.body))}, {moment(one.happened, zone, word)}: {'; '.join(said)}"
            yield Hit("log", truck, text, truck, one.id, one.effective)


def words_of(body: object) -> Iterator[str]:
    """What people wrote in a fact."""
    for name in SAYS:
        value = getattr(body, name, None)
        if isinstance(value, str):
            yield value
    for part in (*getattr(body, "answers", ()), *getattr(body, "lines", ()), *getattr(body, "texts", ())):
        yield from (text for name in ("text", "put_right") if (text := getattr(part, name, None)))
    yield from (f"{part.part} {part.serial or ''}".strip() for part in getattr(body, "parts", ()))


def rules_found(wanted: Sequence[str], rules: Rules) -> Iterator[Hit]:
    """Checks and tasks by their words; what several kinds of truck share is shown once."""
    seen: set[str] = set()
    for kind in rules.kinds.values():
        for check in kind.checks:
            if check.text not in seen and fits(
                wanted, check.text, check.normal, check.id, *(one.text for one in check.symptoms)
            ):
                seen.add(check.text)
                yield Hit("rule", check.text, kind.text, kind.key, check.id)
        for task in kind.tasks:
            if task.text not in seen and fits(wanted, task.text, task.id):
                seen.add(task.text)
                yield Hit("rule", task.text, kind.text, kind.key, task.id)
