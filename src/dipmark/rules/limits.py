"""Limits of what is measured: a file for each subject, with its limits, tables and cautions; model and reader."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Final, Literal

import msgspec

from dipmark.facts.base import RANK, Seriousness
from dipmark.rules.typed import Path, Table
from dipmark.rules.value import MARKS, REFERENCE, SERIOUSNESS, Caution, Value, read_caution

Edge = Literal["above", "at-or-above", "below", "at-or-below"]
"""Which side of a limit is past it; with ``above`` and ``below`` the limit itself still passes."""

EDGES: Final[tuple[Edge, ...]] = ("above", "at-or-above", "below", "at-or-below")

LARGEST: Final = 10**9
LONGEST_DAYS: Final = 90


class Limit(Value, frozen=True, kw_only=True):
    """A limit of one quantity.

    Args:
        id: its name in the file.
        text: what is limited, and what is done past it.
        value: in `unit`.
        unit: as in `facts.units`, or a share of something that `text` names.
        edge: which side is past it.
        verdict: how serious it is to be past it.
        days: with `repair-by`: within how many days, 1 to 90.
    """

    id: str
    text: str
    value: Decimal
    unit: str
    edge: Edge
    verdict: Seriousness
    days: int | None = None

    @property
    def exact(self) -> Fraction:
        """Its value, exactly."""
        return Fraction(self.value)

    @property
    def upper(self) -> bool:
        """True where more is worse."""
        return self.edge in ("above", "at-or-above")


class Rows(Value, frozen=True, kw_only=True):
    """A table of numbers that belong together, such as the sizes of a chain or the codes of a count of particles.

    Args:
        id: its name in the file.
        text: what it holds.
        columns: their names, units included.
        rows: numbers, a row for each; the first column never falls.
    """

    id: str
    text: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Decimal, ...], ...]

    def column(self, name: str) -> tuple[Fraction, ...]:
        """One column, exactly.

        Args:
            name: one of `columns`.
        """
        index = self.columns.index(name)
        return tuple(Fraction(row[index]) for row in self.rows)

    def between(self, value: Fraction, of: str, to: str) -> Fraction:
        """The number of another column that belongs to a value, on the straight line between two rows.

        Args:
            value: in the column `of`, which rises or falls all the way.
            of: one of `columns`.
            to: one of `columns`.

        *Edge*: beyond its ends a table goes on with the number of the end.
        """
        rows = sorted(zip(self.column(of), self.column(to), strict=True))
        if value <= rows[0][0]:
            return rows[0][1]
        for (low, first), (high, last) in pairwise(rows):
            if value <= high:
                return first + (last - first) * (value - low) / (high - low)
        return rows[-1][1]


class Subject(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One subject that is measured, such as the lift chain.

    Args:
        id: its name: that of its file, of its arithmetic, of its page.
        text: its name for people.
        how: where, with what and how it is measured.
        limits: by id.
        rows: tables, by id.
        cautions: what can hurt while measuring.
        retest: what was put right needs a recorded test before release.
        words: what a judgement says, by the English for it; empty: English.
    """

    id: str
    text: str
    how: tuple[str, ...]
    limits: dict[str, Limit]
    rows: dict[str, Rows]
    cautions: tuple[Caution, ...]
    retest: bool = False
    words: dict[str, str] = {}

    def say(self, english: str, *filled: object) -> str:
        """A sentence of a judgement, in the language of the rules and filled in.

        Args:
            english: the sentence, with braces for what is filled in.
            filled: what stands in their place.
        """
        return self.words.get(english, english).format(*filled)

    def named(self, chosen: str) -> str:
        """A word chosen with a measurement, as people read it.

        Args:
            chosen: one of those that are known, such as ``inner-mast``.
        """
        return self.say(chosen.replace("-", " "))


def read_subjects(table: Table) -> dict[str, Subject]:
    """All subjects, by id.

    Args:
        table: the table that holds them by their ids.
    """
    table.names()
    return {id: _subject(one, id) for id, one in table.each()}


def _subject(table: Table, id: str) -> Subject:
    subject = Subject(
        id=id,
        text=table.text("text"),
        how=table.words("how"),
        limits={name: _limit(one, name) for name, one in table.tables("limits")},
        rows={name: _rows(one, name) for name, one in table.tables("rows")},
        cautions=tuple(read_caution(one, name) for name, one in table.tables("cautions")),
        retest=table.flag("retest", default=False),
    )
    table.close()
    return subject


def _limit(table: Table, id: str) -> Limit:
    limit = Limit(
        id=id,
        text=table.text("text"),
        value=table.number("value", -LARGEST, LARGEST) or Decimal(0),
        unit=table.text("unit"),
        edge=table.choice("edge", EDGES),
        verdict=table.choice("verdict", SERIOUSNESS),
        days=table.whole("days", 1, LONGEST_DAYS) if table.has("days") else None,
        legal=table.flag("legal", default=False),
        source=table.text("source"),
        mark=table.choice("mark", MARKS),
    )
    table.close()
    return limit


def _rows(table: Table, id: str) -> Rows:
    columns = table.words("columns")
    rows = Rows(
        id=id,
        text=table.text("text"),
        columns=columns,
        rows=tuple(table.rows("rows", len(columns), LARGEST)),
        legal=table.flag("legal", default=False),
        source=table.text("source"),
        mark=table.choice("mark", MARKS),
    )
    first = [row[0] for row in rows.rows]
    if first != sorted(first):
        table.faults.add(REFERENCE, (*table.path, "rows"), "a first column that falls", "one that never falls")
    table.close()
    return rows


def looser(before: Limit, now: Limit) -> tuple[str, str, str] | None:
    """What of a limit a yard has made looser than it may: key, found, expected; None where nothing.

    A limit that takes a truck out of service and one set by law may only become stricter; any other is the yard's own.

    Args:
        before: ours.
        now: with the yard's laid over it.

    *Edge*: exactly as strict is allowed.

    *Source*: project rule: a maker's manual or a local rule may be stricter, never looser.
    """
    if RANK[before.verdict] < RANK["stop"] and not before.legal:
        return None
    if now.unit != before.unit:
        return "unit", now.unit, before.unit
    if now.upper != before.upper:
        return "edge", now.edge, before.edge
    sign = 1 if before.upper else -1
    if sign * now.exact > sign * before.exact:
        return "value", f"{now.value} {now.unit}", f"{before.value} {before.unit} or stricter"
    if now.exact == before.exact and now.edge in ("above", "below") and before.edge != now.edge:
        return "edge", now.edge, before.edge
    if RANK[now.verdict] < RANK[before.verdict]:
        return "verdict", now.verdict, f"{before.verdict} or more serious"
    if before.days is not None and now.days is not None and now.days > before.days:
        return "days", f"{now.days}", f"at most {before.days}"
    if before.legal and not now.legal:
        return "legal", "false", "true: it is set by law"
    return None


def loosened(before: Subject, now: Subject) -> Iterator[tuple[Path, str, str]]:
    """What of a subject a yard has made looser than it may: the key below the subject, found, expected.

    Args:
        before: ours.
        now: with the yard's laid over it.

    *Source*: project rule, as for `looser`; a table keeps the columns that the arithmetic looks for.
    """
    if before.retest and not now.retest:
        yield ("retest",), "false", "true: a repair of it is tested before release"
    for id, limit in before.limits.items():
        if id in now.limits and (found := looser(limit, now.limits[id])) is not None:
            yield ("limits", id, found[0]), *found[1:]
    for id, rows in before.rows.items():
        if id in now.rows and now.rows[id].columns != rows.columns:
            yield ("rows", id, "columns"), ", ".join(now.rows[id].columns) or "none", ", ".join(rows.columns)
