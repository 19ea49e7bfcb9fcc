"""The steps of writing: what is there already, what is added beside facts, what is refused."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import msgspec
from sqlalchemy import Connection, bindparam, insert, select, union_all

from dipmark.adapters.store.database import quickly
from dipmark.adapters.store.rows import Blob, SetAside, accepted_in
from dipmark.adapters.store.tables import BLOBS, FACTS, NAMES
from dipmark.facts.base import FIRST, BookId, Fact, FactId, PersonKey, folded
from dipmark.facts.codec import same_fact
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, Where, code

ID_TAKEN: Final = code("id-taken", "The id of a fact belongs to another fact already.")
NAME_UNFIT: Final = code("name-unfit", "A name is empty, too long, or holds a character that cannot be written.")

CHUNK: Final = 500
_BY_ID: Final = select(FACTS).where(FACTS.c.id.in_(bindparam("ids", expanding=True)))
ONE: Final = select(FACTS).where(FACTS.c.id == bindparam("id"))
_LAST: Final = select(FACTS).where(FACTS.c.book == bindparam("book")).order_by(FACTS.c.seq.desc()).limit(1).subquery()
_ONE_AND_LAST: Final = union_all(ONE, select(_LAST))


def found(connection: Connection, facts: Sequence[Fact]) -> tuple[dict[FactId, Fact], dict[BookId, tuple[int, str]]]:
    """Facts that have the ids already; and for one fact, in the same round trip, the head of its book."""
    if len(facts) == 1:
        (fact,) = facts
        rows = quickly(connection, _ONE_AND_LAST, {"id": fact.id, "book": fact.book}).all()
        head = max(((row.seq, row.digest) for row in rows if row.book == fact.book), default=(0, FIRST))
        same = next((accepted_in(row).fact for row in rows if row.id == fact.id), None)
        return ({} if same is None else {fact.id: same}), {fact.book: head}
    ids = [fact.id for fact in facts]
    found: dict[FactId, Fact] = {}
    for start in range(0, len(ids), CHUNK):
        for row in connection.execute(_BY_ID, {"ids": ids[start : start + CHUNK]}):
            found[FactId(row.id)] = accepted_in(row).fact
    return found, {}


def settled(connection: Connection, item: SetAside, note: str | None) -> SetAside:
    """What was set aside, as it stands: settled by a person, or taken since."""
    if note is not None:
        return msgspec.structs.replace(item, settled=note)
    row = connection.execute(ONE, {"id": item.fact.id}).first()
    if row is None:
        return item
    taken = accepted_in(row)
    if taken.received > item.received or same_fact(taken.fact, item.fact):
        return msgspec.structs.replace(item, settled=f"taken as fact {taken.seq} of {taken.fact.book}")
    return item


def add_names(connection: Connection, names: Mapping[PersonKey, str]) -> None:
    """Names of keys that the register does not have yet."""
    if not names:
        return
    there = set(connection.scalars(select(NAMES.c.key)))
    new = [{"key": key, "name": name} for key, name in sorted(names.items()) if key not in there]
    if new:
        connection.execute(insert(NAMES), new)


def add_blobs(connection: Connection, blobs: Sequence[Blob]) -> None:
    """Pictures that are not there yet; the same bytes are kept once."""
    for digest, blob in sorted({blob.digest: blob for blob in blobs}.items()):
        if connection.scalar(select(BLOBS.c.digest).where(BLOBS.c.digest == digest)) is None:
            connection.execute(insert(BLOBS), {"digest": digest, "media": blob.media, "data": blob.data})


def refuse(problems: Sequence[Problem]) -> None:
    """Stop with the first problem and the count of the rest; nothing where there is none."""
    if problems:
        more = f" And {len(problems) - 1} more." if len(problems) > 1 else ""
        raise Refused(f"Nothing was written. {problems[0]}{more}", problems)


def id_taken(fact: Fact, other: Fact) -> Problem:
    """An id that another fact has."""
    return Problem(
        ID_TAKEN,
        f"another fact with the id of one of {other.book} by {other.by} of {other.happened.isoformat()}",
        "the same fact, or an id of its own",
        hint="If the recorded one is wrong, correct it by a new fact.",
        where=Where(fact=fact.id, book=fact.book),
    )


def name_faults(key: PersonKey, name: str) -> Iterator[Problem]:
    """What stands against keeping a name."""
    unfit = any(char == "\x00" or "\ud800" <= char <= "\udfff" for char in key + name)
    if unfit or not folded(name) or len(name) > 120 or not 1 <= len(key) <= 120:
        yield Problem(NAME_UNFIT, f"name {name[:40]!r} for {key[:40]!r}", "1 to 120 characters that can be written")
