"""The logbook of a truck: every fact with both times, its corrections and its number."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, tzinfo
from decimal import Decimal
from types import MappingProxyType
from typing import Any, Final, cast, get_args, get_type_hints

import msgspec

from dipmark.derive.past import Counted, Counting
from dipmark.facts.amend import Corrected, Withdrawn
from dipmark.facts.base import Accepted, Body, FactId, Part, PersonKey, iso_day
from dipmark.facts.fault import Fault
from dipmark.facts.kinds import KINDS, kind_of
from dipmark.facts.said import Word, says
from dipmark.views.words import STATE, moment

NONE: Final[Mapping[str, str]] = MappingProxyType({})

WITHDRAWN: Final = says("Withdrawn: it no longer counts.")
CORRECTED: Final = says("Corrected: another fact says how it was.")


class LogRow(msgspec.Struct, frozen=True):
    """One fact.

    Args:
        id: its id.
        seq: its number in the book.
        kind: its kind.
        happened: when, as recorded.
        whole_day: True where only the date is known.
        received: when the store took it.
        by: who.
        body: what it says, as recorded.
        counts: False where it was withdrawn, amends another, or came after the instant asked for.
        corrected_by: ids of the corrections that apply.
        digest: of the chain.
        says: the body in words, names in place of keys.
        when: when it happened by the yard's clock, with its weekday; a day alone where only that is known.
        taken: when the store took it, by the same clock.
        fate: why it no longer counts as it was written; empty where it does.
    """

    id: FactId
    seq: int
    kind: str
    happened: datetime
    whole_day: bool
    received: datetime
    by: str
    body: dict[str, Any]
    counts: bool
    corrected_by: tuple[FactId, ...]
    digest: str
    says: str
    when: str
    taken: str
    fate: str


def log_rows(
    record: Sequence[Accepted],
    counting: Counting,
    names: Mapping[PersonKey, str],
    as_of: datetime,
    zone: tzinfo,
    word: Word = str,
    checks: Mapping[str, str] = NONE,
) -> tuple[LogRow, ...]:
    """The logbook up to an instant, in order of effective time.

    Args:
        record: the whole book.
        counting: the same through `past`.
        names: of people, by key.
        as_of: facts effective later are left out, unless they count from an earlier date all the same.
        zone: the yard's.
        word: says a word in the reader's language.
        checks: what each check of the truck's kind asks, by its id.
    """
    counted = {one.id: one for one in counting}
    told = {**names, **{PersonKey(item.fact.id): _referred(item, word) for item in record}}
    shown = [item for item in record if item.effective <= as_of or item.fact.id in counted]
    shown.sort(key=lambda item: (item.effective, item.fact.id))
    return tuple(_row(item, counted.get(item.fact.id), told, zone, word, checks) for item in shown)


def _referred(item: Accepted, word: Word) -> str:
    """How another fact is referred to: a fault by what was seen, the rest by its number."""
    body = item.fact.body
    return body.text if isinstance(body, Fault) else word(NUMBER).format(item.seq)


def _row(
    item: Accepted,
    counts: Counted | None,
    names: Mapping[PersonKey, str],
    zone: tzinfo,
    word: Word,
    checks: Mapping[str, str],
) -> LogRow:
    fact, body = item.fact, _numbers(item.fact.body)
    day = iso_day(fact.happened.date(), word)
    return LogRow(
        id=fact.id,
        seq=item.seq,
        kind=kind_of(fact.body),
        happened=fact.happened,
        whole_day=fact.whole_day,
        received=item.received,
        by=names.get(fact.by, fact.by),
        body=body,
        counts=counts is not None,
        corrected_by=counts.amended if counts else (),
        digest=item.digest,
        says=in_words(body, names, word, checks),
        when=day if fact.whole_day else moment(fact.happened, zone, word),
        taken=moment(item.received, zone, word),
        fate=_fate(fact.body, counts, word),
    )


def _fate(body: Body, counts: Counted | None, word: Word) -> str:
    if isinstance(body, Corrected | Withdrawn):
        return ""
    if counts is None:
        return word(WITHDRAWN)
    return word(CORRECTED) if counts.amended else ""


def body_words(body: Body, names: Mapping[PersonKey, str], word: Word = str) -> str:
    """What a body says, in one line.

    Args:
        body: of any kind.
        names: of people, by key.
        word: says a word in the reader's language.
    """
    return in_words(_numbers(body), names, word)


def _numbers(body: Body) -> dict[str, Any]:
    fields = cast("dict[str, Any]", msgspec.to_builtins(body, builtin_types=(Decimal,)))
    return {name: value for name, value in fields.items() if name != "kind" and value != ()}


def in_words(
    body: Mapping[str, Any], names: Mapping[PersonKey, str], word: Word = str, checks: Mapping[str, str] = NONE
) -> str:
    """What a fact says, in one line: names in place of keys, the answers of a walk-round counted.

    Args:
        body: its fields.
        names: of people, by key.
        word: says a word in the reader's language.
        checks: what each check asks, by its id; a check that is not among them keeps its id.

    Example:
        >>> in_words({"who": "driver", "person": "p1", "meter": {"hours": 12}}, {PersonKey("p1"): "Ana"})
        'who driver, person Ana, meter 12 h'
    """
    told = {str(key): name for key, name in names.items()} | {f"#{check}": text for check, text in checks.items()}
    return ", ".join(_named(name, value, told, word) for name, value in body.items() if name not in _UNSAID)


def _named(name: str, value: object, told: Mapping[str, str], word: Word) -> str:
    """A field by its name; what holds is named alone."""
    said = word(name.replace("_", " "))
    return said if value is True else f"{said} {_short(name, value, told, word)}"


NO: Final = says("no")
NUMBER: Final = says("No. {}")

_UNSAID: Final = ("rules", "sheet", "digest", "pages", "pictures", "begun")
"""What stands in a fact for the program, not for a reader."""


NAMES: Final = tuple(says(name.replace("_", " ")) for kind in KINDS.values() for name in kind.__struct_fields__)
"""What the fields of facts are called."""


def _literals(hint: object) -> Iterator[str]:
    for one in get_args(hint):
        yield from (one,) if isinstance(one, str) else _literals(one)


CODES: Final = frozenset(
    (name, says(code))
    for part in (*KINDS.values(), *Part.__subclasses__())
    for name, hint in get_type_hints(part).items()
    if name != "roles"
    for code in _literals(hint)
)
"""The codes that fields of facts may hold, each with its field. Roles are left as they are: lead is a metal too."""


_VERDICTS: Final = ("verdict", "yard_verdict")
_STATES: Final = {str(code): text for code, text in STATE.items()} | {"checked": says("Checked")}

_REFERENCE: Final = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}#.")
"""A fault of a walk-round: a reader knows it by its check."""


def _short(name: str, value: object, told: Mapping[str, str], word: Word) -> str:
    if name == "answers" and isinstance(value, list | tuple):
        return _answers(value, told, word)
    if isinstance(value, list | tuple):
        return "; ".join(_short(name, one, told, word) for one in value)
    if isinstance(value, dict):
        if "hours" in value:
            return f"{value['hours']} h"
        return " ".join(_part(part, one, told, word) for part, one in value.items() if part not in ("kind", *_UNSAID))
    if value is False:
        return word(NO)
    if (name, value) in CODES:
        return word(str(value))
    if name in _VERDICTS:
        return word(_STATES.get(str(value), str(value)))
    text = str(value)
    if name == "check" or _REFERENCE.match(text):
        check = text.rpartition("#")[2]
        return told.get(f"#{check}", check)
    return told.get(text, text)


def _part(name: str, value: object, told: Mapping[str, str], word: Word) -> str:
    """A field inside another: what it says, without its name unless it is yes or no."""
    return _named(name, value, told, word) if isinstance(value, bool) else _short(name, value, told, word)


def _answers(answers: Sequence[dict[str, Any]], told: Mapping[str, str], word: Word) -> str:
    """The answers of a walk-round: how many, and by name what was found or not seen."""
    lines = [str(len(answers))]
    for one in answers:
        found = " ".join(str(one[name]) for name in ("symptom", "text", "put_right") if name in one)
        if one.get("mark", "ok") != "ok":
            check = told.get(f"#{one['check']}", one["check"])
            lines.append(f"{check} {word(one['mark'])}{f': {found}' if found else ''}")
    return "; ".join(lines)
