"""Canonical bytes of a fact, its digest in the chain of its book, and what no fact may contain."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import cache
from typing import Final, TypeVar, cast, get_args, get_type_hints

import msgspec

from dipmark.facts.base import FIRST, Accepted, BookId, Fact, FactId, FaultRef, Origin, PersonKey
from dipmark.facts.kinds import AnyBody, kind_of
from dipmark.facts.problems import Problem, Where, code

NOT_A_FACT: Final = code("not-a-fact", "The bytes are not a fact of a known kind.")
NUMBER_UNBOUNDED: Final = code("number-unbounded", "A number is not finite, too large, or not in plain digits.")
TEXT_UNFIT: Final = code("text-unfit", "A text holds a character that no record may hold.")
TIME_UNFIT: Final = code("time-unfit", "A time has no zone, an odd one, or lies outside 1900 to 2199.")
ID_UNFIT: Final = code("id-unfit", "An id or the name of a book is not in its form.")

MOST: Final = Decimal(10) ** 12
"""Numbers in a record are smaller than this, in whatever unit."""

PLACES: Final = 6
"""Most digits after the decimal point; with one more, small numbers would be written with an exponent."""

MOST_BYTES: Final = 1_000_000
"""Most bytes of a body."""

_encoder: Final = msgspec.json.Encoder(order="sorted", decimal_format="string")
_decoder: Final = msgspec.json.Decoder(AnyBody)
_ID: Final = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_BOOK: Final = re.compile(r"yard|(truck|item):\S(.{0,78}\S)?", re.DOTALL)
_CODE: Final = re.compile(r"([0-9]{1,12}+)[-\s]*([A-Z0-7](?:[-\s]*[A-Z0-7]){15})", re.ASCII)
_MISREAD: Final = str.maketrans("01", "OI")
"""The code has no 0 and no 1 among its letters, so that whoever reads them means O and I."""
_Same = TypeVar("_Same")


def encode_body(body: msgspec.Struct) -> bytes:
    """The canonical bytes of a body: JSON, keys sorted, defaults left out, numbers as text.

    Args:
        body: of any kind.

    Edge:
        A number equal to a default but written with other digits, 1.0 for 1, is no default and stays.
    """
    return _encoder.encode(_settled(body))


def _settled(value: _Same) -> _Same:
    """The same value with each default as the very object that the encoder leaves out (it compares by identity)."""
    if isinstance(value, tuple):
        return cast("_Same", tuple(map(_settled, value)))
    if not isinstance(value, msgspec.Struct):
        return value
    changes: dict[str, object] = {}
    for name, default in _defaults(type(value)):
        old = getattr(value, name)
        same = isinstance(old, str | Decimal) and type(old) is type(default) and str(old) == str(default)
        new = default if same else _settled(old)
        if new is not old:
            changes[name] = new
    return cast("_Same", msgspec.structs.replace(value, **changes)) if changes else value


@cache
def _defaults(kind: type[msgspec.Struct]) -> tuple[tuple[str, object], ...]:
    return tuple((field.name, field.default) for field in msgspec.structs.fields(kind))


def decode_body(data: bytes) -> AnyBody:
    """A body from its bytes; strict: unknown fields, kinds and types are refused.

    Args:
        data: JSON in UTF-8, at most `MOST_BYTES`. Spaces, the order of keys and defaults spelled out do not matter, and
            of a key that stands twice the last counts; `decode_stored` refuses all these.

    Raises:
        ValueError: the bytes are not a body; the text says where.
    """
    if len(data) > MOST_BYTES:
        raise ValueError(f"{len(data):,} bytes; a body has at most {MOST_BYTES:,}")
    try:
        return cast("AnyBody", _decoder.decode(data))
    except RecursionError as fault:
        raise ValueError("nested deeper than any body") from fault
    except (msgspec.MsgspecError, ValueError) as fault:
        raise ValueError(_short(str(fault))) from fault


def decode_stored(data: bytes) -> AnyBody:
    """A body from stored bytes, which are the canonical ones: a key written twice or a default spelled out is refused.

    Args:
        data: as they stand in the store.

    Raises:
        ValueError: the bytes are not a body, or not the bytes that `encode_body` gives for it.
    """
    body = decode_body(data)
    if encode_body(body) != data:
        raise ValueError("bytes of a body in another form than the record's own")
    return body


def header_bytes(item: Accepted) -> bytes:
    """The canonical bytes of all that surrounds the body, its number and receipt included.

    Args:
        item: the fact in its place; its own digest does not matter.
    """
    fact = item.fact
    origin = None if item.origin is None else [item.origin.seq, item.origin.digest]
    return _encoder.encode(
        [
            fact.id,
            fact.book,
            item.seq,
            kind_of(fact.body),
            fact.happened.isoformat(),
            fact.whole_day,
            fact.by,
            item.received.isoformat(),
            item.prev,
            origin,
        ]
    )


def digest_of(item: Accepted, body: bytes) -> str:
    """SHA-256 over header and stored body, in hexadecimal.

    Args:
        item: the fact in its place; its own digest does not matter.
        body: the bytes of its body as they stand in the store.
    """
    return hashlib.sha256(header_bytes(item) + b"\n" + body).hexdigest()


def accept(
    fact: Fact, received: datetime, seq: int, prev: str, origin: Origin | None = None, body: bytes | None = None
) -> Accepted:
    """Give a fact its place in the chain of its book.

    Args:
        fact: the fact.
        received: when it was taken, with its offset; it is kept in UTC.
        seq: its number, from 1.
        prev: digest of the one before, `FIRST` for the first.
        origin: its place in another store, where it was merged.
        body: the canonical bytes of its body, where they have been made already.

    Raises:
        ValueError: the receipt has no offset, or a text cannot be written.
    """
    if received.utcoffset() is None:
        raise ValueError(f"receipt {received.isoformat()} without offset")
    item = Accepted(fact=fact, received=received.astimezone(UTC), seq=seq, prev=prev, digest=FIRST, origin=origin)
    return msgspec.structs.replace(item, digest=digest_of(item, encode_body(fact.body) if body is None else body))


def chain(facts: Iterable[Fact], received: datetime | None = None) -> tuple[Accepted, ...]:
    """A record of several books from facts in the order of their receipt.

    Args:
        facts: in order.
        received: one receipt for all; None means each was received when it happened.
    """
    heads: dict[BookId, Accepted] = {}
    items: list[Accepted] = []
    for fact in facts:
        last = heads.get(fact.book)
        seq, prev = (1, FIRST) if last is None else (last.seq + 1, last.digest)
        item = heads[fact.book] = accept(fact, received or fact.happened, seq, prev)
        items.append(item)
    return tuple(items)


def same_fact(one: Fact, other: Fact) -> bool:
    """True where two facts of one id are the same fact: known. Otherwise the second is a problem.

    Args:
        one: the one that is there.
        other: the one that came.

    Edge:
        The same instant with another offset is another fact; so is the same number with other digits, 7.5 and 7.50.
    """
    return _parts(one) == _parts(other)


def _parts(fact: Fact) -> tuple[object, ...]:
    return (fact.id, fact.book, fact.happened.isoformat(), fact.whole_day, fact.by, encode_body(fact.body))


def book_code(seq: int, digest: str) -> str:
    """The code of a book as every page prints it: its last number and 80 bits of its digest.

    Args:
        seq: number of its last fact.
        digest: that fact's digest, in hexadecimal.

    Example:
        >>> book_code(12, "00" * 32)
        '12-AAAA-AAAA-AAAA-AAAA'
    """
    letters = base64.b32encode(bytes.fromhex(digest)[:10]).decode()
    return "-".join([str(seq), *(letters[i : i + 4] for i in range(0, 16, 4))])


def read_book_code(text: str) -> tuple[int, str] | None:
    """Number and first 20 hexadecimal digits of the digest from a printed code; None where it is none.

    Args:
        text: as somebody typed it. Case does not matter, nor do spaces and hyphens; 0 is read as O and 1 as I. Where
            the letters begin with a digit, something must part them from the number.

    Example:
        >>> read_book_code("12-aaaa-aaaa-aaaa-aaaa"), read_book_code("12 aaaa0000 1111bbbb")
        ((12, '00000000000000000000'), (12, '00000739ce4210808421'))
    """
    match = _CODE.fullmatch(text.strip().upper())
    if match is None:
        return None
    letters = re.sub(r"[-\s]", "", match[2]).translate(_MISREAD)
    return int(match[1]), base64.b32decode(letters).hex()


def plain(number: Decimal) -> Decimal:
    """A number in plain digits, without exponent or negative zero; trailing zeros stay.

    Args:
        number: any; one that no record may hold comes back as it is, for `faults_of` to name.

    Example:
        >>> plain(Decimal("1.2E+3")), plain(Decimal("-0.0")), plain(Decimal("7.50"))
        (Decimal('1200'), Decimal('0.0'), Decimal('7.50'))
    """
    if not number.is_finite() or abs(number.adjusted()) > 40:
        return number
    return Decimal(format(number.copy_abs() if number.is_zero() else number, "f"))


def faults_of(fact: Fact) -> tuple[Problem, ...]:
    """What in a fact no record may hold, all at once: unbounded numbers, unfit texts, times, ids.

    Args:
        fact: as it came, from whatever hand.

    Edge:
        A number of 10^12 is out, the last one below it with 6 places is in; the years 1900 and 2199 are in.
    """
    where = Where(
        fact=fact.id if _is_id(fact.id) else None,
        book=fact.book if _is_book(fact.book) else None,
    )
    found: list[Problem] = []
    for path, value, form in _all_leaves(fact):
        if isinstance(value, Decimal):
            found.extend(_number(value, path, where))
        elif isinstance(value, str):
            found.extend(_text(value, path, form, where))
        elif isinstance(value, date):
            found.extend(_time(value, path, where))
    return (*found, *_shape(fact, where, sound=not found))


def _is_id(text: str) -> bool:
    return _ID.fullmatch(text) is not None


def _is_book(text: str) -> bool:
    return _BOOK.fullmatch(text) is not None and text.isprintable()


def _is_fault_ref(text: str) -> bool:
    id_, mark, check = text.partition("#")
    return _is_id(id_) and (1 <= len(check) <= 120 if mark else True)


def _is_person(text: str) -> bool:
    return 1 <= len(text) <= 120


_Form = tuple[Callable[[str], bool], str]
_FORMS: Final[dict[object, _Form]] = {
    FactId: (_is_id, "a UUID in 36 lower-case characters"),
    BookId: (_is_book, "yard, truck:NAME or item:NAME, NAME of 1 to 80 characters"),
    FaultRef: (_is_fault_ref, "the id of a fact, or ID#CHECK"),
    PersonKey: (_is_person, "the key of a person, 1 to 120 characters"),
}


@cache
def _forms(kind: type) -> dict[str, _Form]:
    """The fields of a kind that hold an id, a book, a fault or a person, and the form of each."""
    return {
        name: form
        for name, hint in get_type_hints(kind).items()
        for named, form in _FORMS.items()
        if named in _members(hint)
    }


def _members(hint: object) -> Iterator[object]:
    yield hint
    for member in get_args(hint):
        yield from _members(member)


def _all_leaves(fact: Fact) -> Iterator[tuple[str, object, _Form | None]]:
    forms = _forms(Fact)
    for name in ("id", "book", "by", "happened"):
        yield name, getattr(fact, name), forms.get(name)
    yield from _leaves(fact.body, "", None)


def _leaves(value: object, path: str, form: _Form | None) -> Iterator[tuple[str, object, _Form | None]]:
    if isinstance(value, msgspec.Struct):
        forms = _forms(type(value))
        for name in value.__struct_fields__:
            yield from _leaves(getattr(value, name), f"{path}.{name}" if path else name, forms.get(name))
    elif isinstance(value, tuple):
        for index, element in enumerate(value):
            yield from _leaves(element, f"{path}[{index}]", form)
    else:
        yield path, value, form


def _number(value: Decimal, path: str, where: Where) -> Iterator[Problem]:
    places = value.as_tuple().exponent
    bounded = value.is_finite() and value.copy_abs() < MOST and isinstance(places, int) and -PLACES <= places <= 0
    if not bounded:
        expected = f"plain digits below {MOST:,f}, at most {PLACES} after the point"
        yield Problem(NUMBER_UNBOUNDED, f"{path} {_short(str(value))}", expected, where=where)
    elif value.is_zero() and value.is_signed():
        yield Problem(NUMBER_UNBOUNDED, f"{path} {value}", "zero without a sign", where=where)


def _text(value: str, path: str, form: _Form | None, where: Where) -> Iterator[Problem]:
    if "\x00" in value or any("\ud800" <= char <= "\udfff" for char in value):
        yield Problem(TEXT_UNFIT, f"{path} with NUL or half a character", "text that can be written", where=where)
    if form is not None and not form[0](value):
        yield Problem(ID_UNFIT, f"{path} {_short(ascii(value))}", form[1], where=where)


def _time(value: date, path: str, where: Where) -> Iterator[Problem]:
    if not 1900 <= value.year <= 2199:
        yield Problem(TIME_UNFIT, f"{path} {value.isoformat()}", "a year from 1900 to 2199", where=where)
    if isinstance(value, datetime):
        offset = value.utcoffset()
        if offset is None:
            yield Problem(TIME_UNFIT, f"{path} {value.isoformat()} without zone", "a time with its offset", where=where)
        elif offset % timedelta(minutes=1):
            yield Problem(TIME_UNFIT, f"{path} {value.isoformat()}", "an offset of whole minutes", where=where)


def _shape(fact: Fact, where: Where, *, sound: bool) -> Iterator[Problem]:
    """What is checked while decoding holds for facts made in the program as well."""
    kind = kind_of(fact.body)
    try:
        _encoder.encode((fact.id, fact.book, fact.by))
        data = encode_body(fact.body)
        again = decode_body(data)
    except (ValueError, TypeError) as fault:
        yield Problem(NOT_A_FACT, f"{kind}: {_short(str(fault))}", "fields of their type and length", where=where)
        return
    if sound and (again != fact.body or encode_body(again) != data):
        yield Problem(NOT_A_FACT, f"{kind} that reads back differently", "a round trip", where=where)


def _short(text: str) -> str:
    return text if len(text) <= 200 else f"{text[:200]}…"


def fact_of(id_: str, book: str, happened: datetime, by: str, body: msgspec.Struct, *, whole_day: bool = False) -> Fact:
    """A fact from plain values, its identifiers marked as such.

    Args:
        id_: a UUID in 36 lower-case characters.
        book: ``yard``, ``truck:NAME`` or ``item:NAME``.
        happened: when, with its offset.
        by: the key of a person.
        body: of any kind.
        whole_day: True where only the date is known.
    """
    return Fact(
        id=FactId(id_),
        book=BookId(book),
        happened=happened,
        by=PersonKey(by),
        body=cast("AnyBody", body),
        whole_day=whole_day,
    )
