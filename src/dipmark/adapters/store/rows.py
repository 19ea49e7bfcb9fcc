"""A fact to a row and back."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime, timedelta
from typing import Any, Final

import msgspec
from sqlalchemy import Row

from dipmark.facts.base import FIRST, Accepted, BookId, Fact, FactId, Origin, PersonKey
from dipmark.facts.codec import decode_body, encode_body, header_bytes
from dipmark.facts.errors import StoreError
from dipmark.facts.kinds import kind_of
from dipmark.facts.problems import Problem

_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_PROBLEMS: Final = msgspec.json.Decoder(tuple[Problem, ...])


class Blob(msgspec.Struct, frozen=True):
    """A picture or another file, kept by the SHA-256 of its bytes.

    Args:
        data: its bytes.
        media: its media type, such as ``image/jpeg``.
    """

    data: bytes
    media: str

    @property
    def digest(self) -> str:
        """SHA-256 of its bytes, in hexadecimal: the key that facts carry."""
        return hashlib.sha256(self.data).hexdigest()


class SetAside(msgspec.Struct, frozen=True, kw_only=True):
    """A fact that came from a phone and that a hard problem stops: kept and shown, never dropped.

    Args:
        fact: as it came.
        problems: what stops it.
        received: when it came.
        settled: how it was settled; None while somebody still has to look at it.
    """

    fact: Fact
    problems: tuple[Problem, ...]
    received: datetime
    settled: str | None = None

    @property
    def digest(self) -> str:
        """SHA-256 over all of it but how it was settled: its key."""
        return hashlib.sha256(b"\n".join(set_aside_bytes(self))).hexdigest()


def microseconds(time: datetime) -> int:
    """Whole microseconds since 1970, exactly."""
    return (time - _EPOCH) // timedelta(microseconds=1)


def row_of(item: Accepted, body: bytes | None = None) -> dict[str, Any]:
    """The row of an accepted fact; the bytes of its body may have been made already."""
    fact, origin = item.fact, item.origin
    return {
        "id": fact.id,
        "book": fact.book,
        "seq": item.seq,
        "kind": kind_of(fact.body),
        "happened": fact.happened.isoformat(),
        "happened_us": microseconds(fact.happened),
        "whole_day": fact.whole_day,
        "by_key": fact.by,
        "received": item.received.isoformat(),
        "received_us": microseconds(item.received),
        "body": encode_body(fact.body) if body is None else body,
        "prev": item.prev,
        "digest": item.digest,
        "origin_seq": None if origin is None else origin.seq,
        "origin_digest": None if origin is None else origin.digest,
    }


def fact_in(row: Row[Any]) -> Fact:
    """The fact in a row of facts or of what is set aside.

    Raises:
        ValueError: the row does not hold one.
    """
    return Fact(
        id=FactId(row.id),
        book=BookId(row.book),
        happened=datetime.fromisoformat(row.happened),
        by=PersonKey(row.by_key),
        body=decode_body(row.body),
        whole_day=bool(row.whole_day),
    )


def read_row(row: Row[Any]) -> Accepted:
    """The accepted fact in a row, as it stands there.

    Raises:
        ValueError: the row does not hold one.
    """
    return Accepted(
        fact=fact_in(row),
        received=datetime.fromisoformat(row.received),
        seq=row.seq,
        prev=row.prev,
        digest=row.digest,
        origin=None if row.origin_seq is None else Origin(seq=row.origin_seq, digest=row.origin_digest),
    )


def accepted_in(row: Row[Any]) -> Accepted:
    """The accepted fact in a row.

    Raises:
        StoreError: the row does not hold one.
    """
    try:
        return read_row(row)
    except (ValueError, TypeError) as fault:
        raise StoreError(
            f"{row.book}, fact {row.seq} ({row.id}) cannot be read: {fault}. "
            "The store is damaged: run verify, then restore from a backup."
        ) from fault


def set_aside_bytes(item: SetAside) -> tuple[bytes, bytes, bytes]:
    """Header, body and problems of what is set aside, as its digest covers them."""
    place = Accepted(fact=item.fact, received=item.received, seq=0, prev=FIRST, digest=FIRST)
    return header_bytes(place), encode_body(item.fact.body), msgspec.json.encode(item.problems)


def set_aside_row(item: SetAside) -> dict[str, Any]:
    """The row of what is set aside."""
    _, body, problems = set_aside_bytes(item)
    return {
        "digest": item.digest,
        "id": item.fact.id,
        "book": item.fact.book,
        "happened": item.fact.happened.isoformat(),
        "whole_day": item.fact.whole_day,
        "by_key": item.fact.by,
        "received": item.received.isoformat(),
        "body": body,
        "problems": problems,
    }


def set_aside_in(row: Row[Any]) -> SetAside:
    """What is set aside in a row, whether settled or not.

    Raises:
        ValueError: the row does not hold it.
    """
    try:
        problems = _PROBLEMS.decode(row.problems)
    except msgspec.MsgspecError as fault:
        raise ValueError(str(fault)) from fault
    return SetAside(fact=fact_in(row), problems=problems, received=datetime.fromisoformat(row.received))
