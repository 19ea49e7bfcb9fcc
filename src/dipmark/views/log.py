"""The logbook of a truck: every fact with both times, its corrections and its number."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any, cast

import msgspec

from dipmark.derive.past import Counting
from dipmark.facts.base import Accepted, Body, FactId, PersonKey
from dipmark.facts.kinds import kind_of


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


def log_rows(
    record: Sequence[Accepted], counting: Counting, names: Mapping[PersonKey, str], as_of: datetime
) -> tuple[LogRow, ...]:
    """The logbook up to an instant, in order of effective time.

    Args:
        record: the whole book.
        counting: the same through `past`.
        names: of people, by key.
        as_of: facts effective later are left out, unless they count from an earlier date all the same.
    """
    counted = {one.id: one for one in counting}
    shown = [item for item in record if item.effective <= as_of or item.fact.id in counted]
    shown.sort(key=lambda item: (item.effective, item.fact.id))
    return tuple(
        LogRow(
            id=item.fact.id,
            seq=item.seq,
            kind=kind_of(item.fact.body),
            happened=item.fact.happened,
            whole_day=item.fact.whole_day,
            received=item.received,
            by=names.get(item.fact.by, item.fact.by),
            body=_numbers(item.fact.body),
            counts=item.fact.id in counted,
            corrected_by=counted[item.fact.id].amended if item.fact.id in counted else (),
            digest=item.digest,
        )
        for item in shown
    )


def _numbers(body: Body) -> dict[str, Any]:
    fields = cast("dict[str, Any]", msgspec.to_builtins(body, builtin_types=(Decimal,)))
    return {name: value for name, value in fields.items() if name != "kind"}


def in_words(row: LogRow) -> str:
    """What a fact says, in one line.

    Example:
        >>> from datetime import UTC
        >>> day = datetime(2026, 11, 20, tzinfo=UTC)
        >>> in_words(LogRow(FactId("1"), 1, "meter-read", day, True, day, "ana", {"hours": 12}, True, (), ""))
        'hours 12'
    """
    return ", ".join(f"{name.replace('_', ' ')} {_short(value)}" for name, value in row.body.items())


def _short(value: object) -> str:
    if isinstance(value, list | tuple):
        return f"{len(value)}" if any(isinstance(one, dict) for one in value) else " ".join(map(str, value))
    if isinstance(value, dict):
        return " ".join(f"{part}" for part in value.values())
    return str(value)
