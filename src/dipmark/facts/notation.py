"""The plain-text notation of a record: for tests, for reading, for sending a fault.

A fact is a head line and its fields, indented; a line that begins with ``#`` is a remark::

    meter-read truck:7 2026-11-20T06:00:00+01:00 ana
      hours 1234.5
      @id 01934567-0000-7000-8000-000000000001

The head names kind, book, time and person; after a time that is a whole day stands ``/day``; a book or person with
spaces stands in quotation marks. A field is a name and a value: bare where it is one plain word, else JSON. An element
of a list has a line of its own, with a hyphen before the value. ``@id``, ``@received``, ``@seq``, ``@prev``,
``@digest`` and ``@origin`` are what surrounds the body; without ``@id`` a fact is numbered by its place in the text.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from datetime import datetime
from decimal import Decimal
from typing import Any, Final, cast

import msgspec

from dipmark.facts.base import FIRST, Accepted, Fact, Origin
from dipmark.facts.codec import fact_of
from dipmark.facts.kinds import KINDS, AnyBody, kind_of
from dipmark.facts.problems import Problem, Where, code

NOTATION_UNREADABLE: Final = code("notation-unreadable", "A line of the plain-text notation cannot be read.")

_BARE: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.:+/#-]*")
_HEAD: Final = re.compile(r'(\S+) ("(?:[^"\\]|\\.)*"|\S+) (\S+?)(/day)? ("(?:[^"\\]|\\.)*"|\S+)')


class Parsed(msgspec.Struct, frozen=True):
    """What a text in the notation holds.

    Args:
        facts: every fact, in order.
        accepted: those that stood there with number, receipt and digests.
        problems: lines that could not be read; their facts are left out.
    """

    facts: tuple[Fact, ...]
    accepted: tuple[Accepted, ...]
    problems: tuple[Problem, ...]


def write(items: Iterable[Fact | Accepted]) -> str:
    """Facts in the notation; `parse` gives them back unchanged.

    Args:
        items: facts without faults, accepted or not.
    """
    return "\n".join(line for item in items for line in _lines(item))


def _lines(item: Fact | Accepted) -> Iterator[str]:
    fact = item if isinstance(item, Fact) else item.fact
    time = fact.happened.isoformat() + ("/day" if fact.whole_day else "")
    yield f"{kind_of(fact.body)} {_word(fact.book)} {time} {_word(fact.by)}"
    fields = cast("dict[str, Any]", msgspec.to_builtins(fact.body))
    for name, value in fields.items():
        if name == "kind":
            continue
        if isinstance(value, list | tuple) and value:
            yield from (f"  {name} - {_word(element)}" for element in value)
        else:
            yield f"  {name} {_word(value)}"
    yield f"  @id {_word(fact.id)}"
    if isinstance(item, Accepted):
        yield f"  @received {item.received.isoformat()}"
        yield f"  @seq {item.seq}"
        yield f"  @prev {item.prev}"
        yield f"  @digest {item.digest}"
        if item.origin is not None:
            yield f"  @origin {item.origin.seq}:{item.origin.digest}"
    yield ""


def _word(value: object) -> str:
    if isinstance(value, str) and _BARE.fullmatch(value):
        return value
    return json.dumps(value, ensure_ascii=False)


def parse(text: str) -> Parsed:
    """The facts of a text in the notation, and every line that cannot be read, with its number.

    Args:
        text: any text; a byte order mark before it is passed over.
    """
    facts: list[Fact] = []
    accepted: list[Accepted] = []
    problems: list[Problem] = []
    for number, (line, head, fields) in enumerate(_stanzas(text.removeprefix("\ufeff")), start=1):
        try:
            fact, item = _entry(head, fields, number)
        except (ValueError, msgspec.MsgspecError, RecursionError) as fault:
            problems.append(
                Problem(
                    NOTATION_UNREADABLE,
                    f"{head[:120]!r}: {str(fault)[:300]}",
                    "KIND BOOK TIME PERSON and its fields",
                    where=Where(line=line),
                )
            )
            continue
        facts.append(fact)
        if item is not None:
            accepted.append(item)
    return Parsed(tuple(facts), tuple(accepted), tuple(problems))


def _stanzas(text: str) -> Iterator[tuple[int, str, list[str]]]:
    start, head, fields = 0, "", list[str]()
    for number, raw in enumerate(text.split("\n"), start=1):
        line = raw.rstrip("\r")
        if not line.strip() or line.startswith("#"):
            continue
        if line.startswith("  "):
            start = start if head or fields else number
            fields.append(line[2:])
            continue
        if head or fields:
            yield start, head, fields
        start, head, fields = number, line, []
    if head or fields:
        yield start, head, fields


def _entry(head: str, lines: list[str], number: int) -> tuple[Fact, Accepted | None]:
    match = _HEAD.fullmatch(head)
    if match is None or match[1] not in KINDS:
        raise ValueError("no head line of a known kind")
    around: dict[str, str] = {}
    fields: dict[str, Any] = {"kind": match[1]}
    for line in lines:
        name, _, rest = line.partition(" ")
        if name.startswith("@"):
            _once(around, name, rest)
        elif rest.startswith("- "):
            elements = fields.setdefault(name, [])
            if not isinstance(elements, list):
                raise ValueError(f"{name} stands there twice")
            elements.append(_value(rest[2:]))
        else:
            _once(fields, name, _value(rest))
    fact = fact_of(
        _name(around.pop("@id", f"00000000-0000-7000-8000-{number:012x}")),
        _name(match[2]),
        _instant(match[3]),
        _name(match[5]),
        msgspec.convert(fields, cast("type[AnyBody]", AnyBody), strict=False),
        whole_day=match[4] is not None,
    )
    return fact, _around(fact, around) if around else None


def _once(into: dict[str, Any], name: str, value: Any) -> None:
    if name in into:
        raise ValueError(f"{name} stands there twice")
    into[name] = value


def _value(text: str) -> Any:
    if _BARE.fullmatch(text):
        return text
    return json.loads(text, parse_float=Decimal, parse_constant=_no_number, object_pairs_hook=_object)


def _no_number(text: str) -> None:
    raise ValueError(f"{text} is no number")


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    fields: dict[str, Any] = {}
    for name, value in pairs:
        _once(fields, name, value)
    return fields


def _name(text: str) -> str:
    if not text.startswith('"') and not _BARE.fullmatch(text):
        raise ValueError(f"{text} is no name")
    return str(_value(text))


def _instant(text: str) -> datetime:
    time = datetime.fromisoformat(text)
    if time.tzinfo is None:
        raise ValueError(f"time {text} without zone")
    return time


def _around(fact: Fact, around: dict[str, str]) -> Accepted:
    unknown = around.keys() - {"@received", "@seq", "@prev", "@digest", "@origin"}
    if unknown or "@received" not in around:
        raise ValueError(f"{', '.join(sorted(unknown)) or 'no @received'}")
    seq, _, digest = around.get("@origin", "").partition(":")
    return Accepted(
        fact=fact,
        received=_instant(around["@received"]),
        seq=int(around.get("@seq", "0")),
        prev=around.get("@prev", FIRST),
        digest=around.get("@digest", FIRST),
        origin=Origin(seq=int(seq), digest=digest) if seq else None,
    )
