from __future__ import annotations

import hashlib
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import msgspec
import pytest

from dipmark.facts.base import FIRST, Fact, FactId, Origin
from dipmark.facts.codec import (
    MOST_BYTES,
    accept,
    book_code,
    chain,
    decode_body,
    decode_stored,
    digest_of,
    encode_body,
    fact_of,
    header_bytes,
    plain,
    read_book_code,
    same_fact,
)
from dipmark.facts.meter import MeterRead
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import Worked
from facts.bodies import FACT

NOON = datetime(2026, 11, 20, 12, tzinfo=timezone(timedelta(hours=1)))
OTHER = "01934567-89ab-7cde-8f01-23456789abce"


def reading(hours: str = "7.50", book: str = "truck:7", id_: str = FACT) -> Fact:
    return fact_of(id_, book, NOON, "ana", MeterRead(hours=Decimal(hours)))


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "truncated"),
        (b"null", "Expected `object`"),
        (b"[]", "Expected `object`"),
        (b"{}", "missing required field `kind`"),
        (b'\xef\xbb\xbf{"kind":"worked"}', "malformed"),
        (b'{"kind":"worked"}{}', "malformed"),
        (b'{"kind":"guessed"}', "Invalid value 'guessed'"),
        (b'{"kind":1}', "kind"),
        (b'{"kind":"meter-read"}', "missing required field `hours`"),
        (b'{"kind":"meter-read","hours":NaN}', "malformed"),
        (b'{"kind":"meter-read","hours":Infinity}', "malformed"),
        (b'{"kind":"meter-read","hours":null}', "hours"),
        (b'{"kind":"meter-read","hours":true}', "hours"),
        (b'{"kind":"meter-read","hours":"12,5"}', "Invalid decimal"),
        (b'{"kind":"meter-read","hours":"1e99999999999999999999"}', "Invalid decimal"),
        (b'{"kind":"meter-read","hours":"1","note":"\xff"}', "utf-8"),
        (b'{"kind":"meter-read","hours":"1","note":"\\ud800"}', "truncated|surrogate"),
        (b'{"kind":"meter-read","kind":"worked","hours":"1"}', "kind"),
        (b'{"kind":"worked","minutes":' + b"9" * 6000 + b"}", "minutes|digits|range"),
        (b"[" * 500_000, "Expected `object`"),
        (b'{"odd":' + b"[" * 500_000, "nested deeper"),
        (b'{"odd":' + b'{"a":' * 150_000, "nested deeper"),
        (b'{"kind":"worked","text":"' + b"x" * 10_000_000 + b'"}', "10,000,027 bytes; a body has at most 1,000,000"),
    ],
    ids=lambda value: repr(value[:40]),
)
def test_what_is_no_body_is_refused_with_a_plain_reason(data: bytes, why: str) -> None:
    with pytest.raises(ValueError, match=why) as caught:
        decode_body(data)
    assert len(str(caught.value)) <= 201


def test_a_body_of_the_most_bytes_is_looked_at() -> None:
    frame = b'{"kind":"worked"}'
    assert decode_body(frame + b" " * (MOST_BYTES - len(frame))) == Worked()
    with pytest.raises(ValueError, match="1,000,001 bytes"):
        decode_body(frame + b" " * (MOST_BYTES + 1 - len(frame)))


@pytest.mark.parametrize(
    "data",
    [
        b'{"hours":"1","hours":"2","kind":"meter-read"}',
        b'{"hours":"2","kind":"meter-read","kind":"meter-read"}',
        b'{"kind":"meter-read","hours":"2"}',
        b'{"hours": "2","kind":"meter-read"}',
        b'{"hours":"2","kind":"meter-read"}\n',
        b'{"hours":2,"kind":"meter-read"}',
        b'{"hours":"+2","kind":"meter-read"}',
        b'{"hours":"0_2","kind":"meter-read"}',
        b'{"hours":"02","kind":"meter-read"}',
        b'{"hours":"2","kind":"meter-read","meter":"main"}',
        b'{"hours":"2","kind":"meter-read","note":null}',
        b'{"hours":"2","kind":"meter-read","note":"\\u0041"}',
        '{"hours":"٢","kind":"meter-read"}'.encode(),
    ],
)
def test_another_form_is_read_from_a_hand_and_refused_in_a_store(data: bytes) -> None:
    body = decode_body(data)
    with pytest.raises(ValueError, match="another form"):
        decode_stored(data)
    assert decode_stored(encode_body(body)) == body


def test_canonical_bytes() -> None:
    body = WalkRound(
        meter=None, answers=(Answer(check="horn"), Answer(check="a", mark="fault", text="b", value=Decimal("7.50")))
    )
    assert encode_body(body) == (
        b'{"answers":[{"check":"horn"},{"check":"a","mark":"fault","text":"b","value":"7.50"}],"kind":"walk-round"}'
    )


def test_a_default_is_left_out_however_it_was_made() -> None:
    name = "xmain".removeprefix("x")
    assert encode_body(MeterRead(hours=Decimal(1), meter=name)) == b'{"hours":"1","kind":"meter-read"}'


def test_header_and_digest_are_what_the_manual_says() -> None:
    item = accept(reading(), NOON + timedelta(minutes=5), 3, "ab" * 32, Origin(seq=9, digest="cd" * 32))
    header = (
        f'["{FACT}","truck:7",3,"meter-read","2026-11-20T12:00:00+01:00",false,"ana",'
        f'"2026-11-20T11:05:00+00:00","{"ab" * 32}",[9,"{"cd" * 32}"]]'
    ).encode()
    assert header_bytes(item) == header
    assert item.digest == hashlib.sha256(header + b'\n{"hours":"7.50","kind":"meter-read"}').hexdigest()
    assert header_bytes(accept(reading(), NOON, 1, FIRST)).endswith(b",null]")


def test_a_receipt_without_offset_is_refused() -> None:
    with pytest.raises(ValueError, match="without offset"):
        accept(reading(), datetime(2026, 11, 20, 12), 1, FIRST)


def test_each_changed_byte_changes_the_digest() -> None:
    item = accept(reading(), NOON, 1, FIRST)
    body = encode_body(item.fact.body)
    changed = {digest_of(item, body[:n] + bytes([body[n] ^ 1]) + body[n + 1 :]) for n in range(len(body))}
    assert len(changed | {item.digest}) == len(body) + 1


def test_chain_numbers_each_book_by_itself() -> None:
    facts = [reading("1", "truck:7"), reading("2", "truck:8"), reading("3", "truck:7")]
    one, other, two = chain(facts)
    assert [item.seq for item in (one, other, two)] == [1, 1, 2]
    assert [item.prev for item in (one, other, two)] == [FIRST, FIRST, one.digest]
    assert one.received == NOON
    later = NOON + timedelta(days=1)
    assert {item.received for item in chain(facts, later)} == {later}
    assert chain([]) == ()


def test_the_same_fact_is_known_and_any_change_makes_another() -> None:
    fact = reading()
    assert same_fact(fact, reading())
    changes: list[dict[str, object]] = [
        {"id": FactId(OTHER)},
        {"book": "truck:8"},
        {"happened": NOON + timedelta(microseconds=1)},
        {"happened": NOON.astimezone(UTC)},
        {"whole_day": True},
        {"by": "bo"},
        {"body": MeterRead(hours=Decimal("7.5"))},
        {"body": MeterRead(hours=Decimal("7.50"), note="x")},
    ]
    for change in changes:
        assert not same_fact(fact, msgspec.structs.replace(fact, **change)), change


def test_the_code_of_a_book_is_read_back_as_people_type_it() -> None:
    digest = hashlib.sha256(b"x").hexdigest()
    code = book_code(1234, digest)
    assert len(code) == len("1234-AAAA-AAAA-AAAA-AAAA")
    assert read_book_code(f"  {code.lower()}\n") == (1234, digest[:20])


@pytest.mark.parametrize(
    "typed",
    ["12-OIAA-AAAA-AAAA-AAAA", "12-01AA-AAAA-AAAA-AAAA", "12-oiaa-aaaa-aaaa-aaaa", "12 01AAAAAAAAAAAAAA",
     "12 - oiaa aaaa  aaaa aaaa", "12-OIAAAAAA-AAAAAAAA", "12OIAAAAAAAAAAAAAA"],
)  # fmt: skip
def test_a_code_read_off_paper_is_forgiven_its_letters_case_and_gaps(typed: str) -> None:
    assert read_book_code(typed) == read_book_code("12-OIAA-AAAA-AAAA-AAAA")
    assert read_book_code(typed) is not None


@pytest.mark.parametrize(
    "text",
    ["", "12", "12-AAAA-AAAA-AAAA", "12-AAAA-AAAA-AAAA-AAA8", "x-AAAA-AAAA-AAAA-AAAA", "٣-AAAA-AAAA-AAAA-AAAA",
     "1234567890123-AAAA-AAAA-AAAA-AAAA", "12-AAAA-AAAA-AAAA-AAAA-AAAA", "123AAAAAAAAAAAAAAA",
     "123456-AAAA-AAAA-AAAA"],
)  # fmt: skip
def test_what_is_no_code_is_none(text: str) -> None:
    assert read_book_code(text) is None


@pytest.mark.parametrize(
    ("number", "shown"),
    [("1E+3", "1000"), ("-0", "0"), ("-0.00", "0.00"), ("7.50", "7.50"), ("1E-7", "1E-7"), ("-12.5", "-12.5"),
     ("NaN", "NaN"), ("sNaN", "sNaN"), ("-Infinity", "-Infinity"), ("1E+999999", "1E+999999"),
     ("0E+999999", "0E+999999")],
)  # fmt: skip
def test_plain_digits(number: str, shown: str) -> None:
    assert str(plain(Decimal(number))) == shown
