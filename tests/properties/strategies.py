"""Made-up facts of every kind, drawn from the types of their fields: bounded, and as odd as people write them."""

from __future__ import annotations

import types
from datetime import date, datetime, time, timedelta, timezone
from decimal import Decimal
from functools import cache
from typing import Annotated, Any, Final, Literal, Union, get_args, get_origin, get_type_hints

import msgspec
from hypothesis import strategies as st

from dipmark.facts.base import Body, BookId, Fact, FactId, FaultRef, Origin, PersonKey
from dipmark.facts.codec import PLACES, accept, chain
from dipmark.facts.kinds import KINDS

ODD: Final = (
    *("null", "true", "false", "NaN", "-Infinity", "0", "-1", "1E+3", "007", "1,250", "12.50", "2026-11-20", "~", "[]"),
    *("{}", " ", "  two  ", " a", "a ", "- a", "# a", "@id", "a b", '"', "'", '"quoted"', "\\", "\\n", "\\u0041"),
    *("a\nb", "a\r\nb", "\n  @seq 1", "\t", "\u2028", "\u2029", "\x85", "\x0b", "\x1f", "\x7f", "\ufeffa", "\u200b"),
    *("\u202e", "e\u0301", "é", "ß", "İ", "Größe", "車", "🚜", "👨‍🔧", "𝟕", "٣", "\ufffe", "\U0010ffff", "°C", "½"),
)
"""Texts that look like something else, or that somebody's program has tripped over."""

ANY_CHARACTER: Final = st.characters(exclude_categories=["Cs"], exclude_characters="\x00")


def texts(least: int = 0, most: int = 30) -> st.SearchStrategy[str]:
    """Any text that a record may hold, of `least` to `most` characters."""
    odd = [text for text in ODD if least <= len(text) <= most]
    return st.sampled_from(odd) | st.text(ANY_CHARACTER, min_size=least, max_size=min(most, 30))


@st.composite
def numbers(draw: st.DrawFn) -> Decimal:
    """Any number that a record may hold, trailing zeros included."""
    places = draw(st.integers(0, PLACES))
    most = 10 ** (12 + places) - 1
    return Decimal(draw(st.integers(-most, most) | st.integers(-20, 20))).scaleb(-places)


OFFSETS: Final = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
INSTANTS: Final = st.datetimes(datetime(1900, 1, 1), datetime(2199, 12, 31, 23, 59), timezones=OFFSETS)
UUIDS: Final = st.uuids().map(str)
NAMES: Final = (
    st.sampled_from([text for text in ODD if text.isprintable() and text == text.strip() and text])
    | st.text(ANY_CHARACTER.filter(str.isprintable), min_size=1, max_size=80).filter(lambda text: text == text.strip())
)  # fmt: skip
BOOKS: Final = st.just("yard") | st.builds("{}:{}".format, st.sampled_from(["truck", "item"]), NAMES)
REFS: Final = UUIDS | st.builds("{}#{}".format, UUIDS, texts(1, 120))
DIGESTS: Final = st.binary(min_size=32, max_size=32).map(bytes.hex)

_NAMED: Final[dict[object, st.SearchStrategy[Any]]] = {
    FactId: UUIDS,
    BookId: BOOKS,
    FaultRef: REFS,
    PersonKey: texts(1, 120),
    Decimal: numbers(),
    bool: st.booleans(),
    datetime: INSTANTS,
    date: st.dates(date(1900, 1, 1), date(2199, 12, 31)),
    time: st.times(),
    type(None): st.none(),
}


def of_type(hint: Any) -> st.SearchStrategy[Any]:
    """Values of a field, from its type and its bounds."""
    if hint in _NAMED:
        return _NAMED[hint]
    origin, arguments = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _within(arguments[0], {k: v for meta in arguments[1:] for k, v in _bounds(meta).items()})
    if origin is Literal:
        return st.sampled_from(arguments)
    if origin is tuple:
        return st.lists(of_type(arguments[0]), max_size=3).map(tuple)
    if origin in {Union, types.UnionType}:
        return st.one_of([of_type(each) for each in arguments])
    assert isinstance(hint, type)
    assert issubclass(hint, msgspec.Struct), hint
    return parts(hint)


def _bounds(meta: msgspec.Meta) -> dict[str, Any]:
    names = ("min_length", "max_length", "pattern", "ge", "le", "lt")
    return {name: value for name in names if (value := getattr(meta, name)) is not None}


def _within(base: Any, bounds: dict[str, Any]) -> st.SearchStrategy[Any]:
    if base is int:
        return st.integers(bounds["ge"], bounds["le"] if "le" in bounds else bounds["lt"] - 1)
    if "pattern" in bounds:
        return DIGESTS if "{64}" in bounds["pattern"] else st.from_regex(bounds["pattern"])
    if base is str:
        return texts(bounds["min_length"], bounds["max_length"])
    return of_type(base)


@cache
def parts(kind: type[msgspec.Struct]) -> st.SearchStrategy[Any]:
    """A part or a body, each field that may be left out now given, now left out."""
    hints = get_type_hints(kind, include_extras=True)
    required = {field.name for field in msgspec.structs.fields(kind) if field.required}
    given = {name: of_type(hint) for name, hint in hints.items()}
    return st.fixed_dictionaries(
        {name: value for name, value in given.items() if name in required},
        optional={name: value for name, value in given.items() if name not in required},
    ).map(lambda fields: kind(**fields))


def facts(kind: str | None = None) -> st.SearchStrategy[Fact]:
    """A fact of that kind, or of any."""
    bodies: st.SearchStrategy[Body] = (
        parts(KINDS[kind]) if kind else st.one_of([parts(each) for each in KINDS.values()])
    )
    return st.builds(
        Fact, id=UUIDS, book=BOOKS, happened=INSTANTS, by=texts(1, 120), body=bodies, whole_day=st.booleans()
    )  # fmt: skip


ORIGINS: Final = st.none() | st.builds(Origin, seq=st.integers(1, 10**9 - 1), digest=DIGESTS)
ACCEPTED: Final = st.builds(accept, facts(), INSTANTS, st.integers(1, 10**9), DIGESTS, ORIGINS)
RECORDS: Final = st.lists(facts(), max_size=8).map(chain)
