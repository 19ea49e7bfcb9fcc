"""What holds for every fact, whatever its kind and whatever people write."""

from __future__ import annotations

import contextlib
import json
from decimal import Decimal
from itertools import product

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dipmark.facts.base import FIRST, Accepted, BookId, Fact, PersonKey, folded
from dipmark.facts.codec import (
    accept,
    book_code,
    chain,
    decode_body,
    decode_stored,
    digest_of,
    encode_body,
    fact_of,
    faults_of,
    header_bytes,
    plain,
    read_book_code,
    same_fact,
)
from dipmark.facts.kinds import KINDS
from dipmark.facts.measure import Measured
from dipmark.facts.meter import MeterRead
from dipmark.facts.notation import parse, write
from dipmark.facts.units import UNITS, convert
from properties.strategies import ACCEPTED, BOOKS, DIGESTS, INSTANTS, UUIDS, facts, numbers, texts

pytestmark = pytest.mark.property
few = settings(max_examples=50)


def exactly(item: Fact | Accepted) -> tuple[object, ...]:
    """All that a fact says, to the last digit, offset and bit."""
    if isinstance(item, Accepted):
        return (header_bytes(item), item.digest, encode_body(item.fact.body), item)
    return (item.happened.isoformat(), encode_body(item.body), item)


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=20)
@given(st.data())
def test_every_fact_goes_through_codec_and_notation_unchanged(kind: str, data: st.DataObject) -> None:
    fact = data.draw(facts(kind))
    assert faults_of(fact) == ()
    body = encode_body(fact.body)
    assert decode_stored(body) == decode_body(body) == fact.body
    fields = json.loads(body, object_pairs_hook=_sorted_keys)
    assert fields["kind"] == kind
    assert body == json.dumps(fields, separators=(",", ":"), ensure_ascii=False).encode()
    parsed = parse(write([fact]))
    assert parsed.problems == ()
    assert [exactly(item) for item in parsed.facts] == [exactly(fact)]


def _sorted_keys(pairs: list[tuple[str, object]]) -> dict[str, object]:
    keys = [key for key, _ in pairs]
    assert keys == sorted(set(keys))
    return dict(pairs)


@few
@given(st.lists(ACCEPTED | facts(), max_size=4))
def test_a_record_in_the_notation_is_read_back_as_it_was(items: list[Accepted | Fact]) -> None:
    text = write(items)
    parsed = parse(text)
    assert parsed.problems == ()
    plain_facts = [item if isinstance(item, Fact) else item.fact for item in items]
    assert [exactly(fact) for fact in parsed.facts] == [exactly(fact) for fact in plain_facts]
    accepted = [item for item in items if isinstance(item, Accepted)]
    assert [exactly(item) for item in parsed.accepted] == [exactly(item) for item in accepted]
    assert parse(text.replace("\n", "\r\n")) == parsed


@given(facts())
def test_a_default_spelled_out_makes_no_other_fact(fact: Fact) -> None:
    spelled = msgspec.json.encode(_spelled(fact.body))
    again = decode_body(spelled)
    assert encode_body(again) == encode_body(fact.body)
    assert same_fact(fact, msgspec.structs.replace(fact, body=again))


def _spelled(value: object) -> object:
    if isinstance(value, msgspec.Struct):
        tag = value.__struct_config__.tag
        fields = {name: _spelled(getattr(value, name)) for name in value.__struct_fields__}
        return fields if tag is None else {"kind": tag, **fields}
    return [_spelled(element) for element in value] if isinstance(value, tuple) else value


@given(ACCEPTED, st.data())
def test_a_changed_bit_changes_the_digest(item: Accepted, data: st.DataObject) -> None:
    body = bytearray(encode_body(item.fact.body))
    assert digest_of(item, bytes(body)) == item.digest
    body[data.draw(st.integers(0, len(body) - 1))] ^= 1 << data.draw(st.integers(0, 7))
    assert digest_of(item, bytes(body)) != item.digest


@given(ACCEPTED, INSTANTS, BOOKS, UUIDS, DIGESTS, texts(1, 120))
def test_each_field_of_the_header_is_in_the_digest(
    item: Accepted, instant: object, book: str, id_: str, digest: str, by: str
) -> None:
    fact = item.fact
    body = encode_body(fact.body)
    changes: list[dict[str, object]] = [{"happened": instant}, {"book": book}, {"id": id_}, {"by": by}]
    changes.append({"whole_day": not fact.whole_day})
    for change in changes:
        other = msgspec.structs.replace(fact, **change)
        assert same_fact(fact, other) == (exactly(fact) == exactly(other))
        same = digest_of(msgspec.structs.replace(item, fact=other), body) == item.digest
        assert same == same_fact(fact, other)
    for around in ({"seq": item.seq + 1}, {"received": instant}, {"prev": digest}, {"origin": None}):
        moved = msgspec.structs.replace(item, **around)
        assert (digest_of(moved, body) == item.digest) == (header_bytes(moved) == header_bytes(item))


@few
@given(st.lists(st.tuples(st.sampled_from(["yard", "truck:7", "item:a"]), facts()), max_size=8))
def test_a_chain_has_no_gap_and_each_fact_names_the_one_before(drawn: list[tuple[str, Fact]]) -> None:
    items = chain(msgspec.structs.replace(fact, book=BookId(book)) for book, fact in drawn)
    assert [item.fact.book for item in items] == [book for book, _ in drawn]
    for book in {item.fact.book for item in items}:
        own = [item for item in items if item.fact.book == book]
        assert [item.seq for item in own] == list(range(1, len(own) + 1))
        assert [item.prev for item in own] == [FIRST, *(item.digest for item in own[:-1])]
    for item in items:
        assert item.digest == digest_of(item, encode_body(item.fact.body))
        assert read_book_code(book_code(item.seq, item.digest)) == (item.seq, item.digest[:20])


@given(facts(), INSTANTS)
def test_a_receipt_is_the_same_instant_whatever_its_offset(fact: Fact, received: object) -> None:
    assert isinstance(received, type(fact.happened))
    item = accept(fact, received, 1, FIRST)
    assert item.received == received
    assert item.effective <= min(fact.happened, received)


ANY_NUMBER = st.decimals() | st.decimals(allow_nan=False, allow_infinity=False).map(lambda n: n.scaleb(-5000))


@given(facts("meter-read"), ANY_NUMBER)
def test_any_number_is_either_kept_to_its_digit_or_named(fact: Fact, number: Decimal) -> None:
    for hours in (number, plain(number)):
        other = msgspec.structs.replace(fact, body=MeterRead(hours=hours))
        if faults_of(other) == ():
            assert encode_body(other.body) == f'{{"hours":"{hours:f}","kind":"meter-read"}}'.encode()
        else:
            assert {problem.code for problem in faults_of(other)} == {"number-unbounded"}


@given(st.text(st.characters()), st.text(st.characters()), st.text(st.characters()))
def test_any_text_anywhere_is_either_kept_or_named(book: str, by: str, text: str) -> None:
    fact = fact_of(SOME_ID, book, WHEN, by, Measured(subject=text, values=(), note=text))
    found = faults_of(fact)
    msgspec.json.encode(found)
    if not found:
        assert parse(write([fact])).facts == (fact,)
        assert accept(fact, WHEN, 1, FIRST).fact == fact


SOME_ID = "01934567-89ab-7cde-8f01-23456789abcd"
WHEN = parse("worked yard 2026-11-20T06:00:00+01:00 ana").facts[0].happened


@settings(max_examples=400)
@given(st.binary(max_size=300) | st.text(max_size=300).map(lambda text: text.encode("utf-8", "replace")))
def test_any_bytes_are_a_body_or_refused(data: bytes) -> None:
    with contextlib.suppress(ValueError):
        body = decode_body(data)
        assert encode_body(decode_body(encode_body(body))) == encode_body(body)


@settings(max_examples=150)
@given(facts(), st.data())
def test_a_mutated_body_is_a_body_or_refused(fact: Fact, data: st.DataObject) -> None:
    body = encode_body(fact.body)
    start = data.draw(st.integers(0, len(body)))
    end = data.draw(st.integers(start, min(len(body), start + 8)))
    mutated = body[:start] + data.draw(st.binary(max_size=8) | st.sampled_from(SPLINTERS)) + body[end:]
    with contextlib.suppress(ValueError):
        again = decode_body(mutated)
        assert faults_of(msgspec.structs.replace(fact, body=again)) or decode_stored(encode_body(again)) == again
    with contextlib.suppress(ValueError):
        assert encode_body(decode_stored(mutated)) == mutated


LINES = (
    "worked yard 2026-11-20T06:00:00Z ana",
    "meter-read truck:7 2026-11-20T06:00:00Z/day a",
    *("  hours 1", "  hours - 1", '  values - {"a": 1}', "  @id x", "  @received 2026-11-20T06:00:00Z", "  @seq 1"),
    *("  kind x", "#", "", "  ", " x", "  - "),
)
SPLINTERS = (
    b'"',
    b"{",
    b"}",
    b"[",
    b"]",
    b",",
    b":",
    b"null",
    b"1e999",
    b"NaN",
    b"\\ud800",
    b"\\u0000",
    b'"kind":"fault",',
)


@settings(max_examples=300)
@given(st.text(max_size=200) | st.lists(st.sampled_from(LINES), max_size=12).map("\n".join))
def test_any_text_is_read_or_its_lines_are_named(text: str) -> None:
    parsed = parse(text)
    assert all(problem.where.line for problem in parsed.problems)
    if not any(faults_of(fact) for fact in parsed.facts):
        assert parse(write(parsed.facts)).facts == parsed.facts


@given(facts(), st.sampled_from(["NaN", "sNaN", "Infinity", "1E+3", "-0.0", "1000000000000", "0.1234567891"]))
def test_planted_numbers_are_found(fact: Fact, number: str) -> None:
    bad = msgspec.structs.replace(fact, body=MeterRead(hours=Decimal(number)))
    assert [problem.code for problem in faults_of(bad)] == ["number-unbounded"]


@given(facts(), st.sampled_from(["\x00", "a\x00b", "\ud800", "\udfff"]))
def test_planted_texts_are_found(fact: Fact, text: str) -> None:
    bad = msgspec.structs.replace(fact, by=PersonKey(text))
    assert "text-unfit" in [problem.code for problem in faults_of(bad)]


ALIKE = [(a, b) for a, b in product(UNITS, repeat=2) if UNITS[a].dimension == UNITS[b].dimension]


@given(st.sampled_from(ALIKE), numbers())
def test_units_convert_there_and_back_exactly(pair: tuple[str, str], value: Decimal) -> None:
    unit, to = pair
    assert convert(convert(value, unit, to), to, unit) == value


@given(texts())
def test_a_name_folded_twice_is_folded_once(name: str) -> None:
    assert folded(folded(name)) == folded(name)
