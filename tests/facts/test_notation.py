from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal

import pytest

from dipmark.facts.base import FIRST, Accepted, Fact, Origin
from dipmark.facts.codec import accept, encode_body, fact_of, faults_of
from dipmark.facts.measure import Measured
from dipmark.facts.meter import MeterRead
from dipmark.facts.notation import NOTATION_UNREADABLE, Parsed, parse, write
from dipmark.facts.walk_round import WalkRound
from dipmark.facts.work import Worked
from facts.bodies import FACT

HEAD = "meter-read truck:7 2026-11-20T06:00:00+01:00 ana\n"
SAID = f"""{HEAD}  hours 1234.50
  meter "off side"
  @id {FACT}
"""


def only(text: str) -> Fact:
    parsed = parse(text)
    assert parsed.problems == ()
    return parsed.facts[0]


def why(text: str) -> str:
    parsed = parse(text)
    assert parsed.facts == ()
    assert parsed.accepted == ()
    (problem,) = parsed.problems
    assert problem.code == NOTATION_UNREADABLE
    return problem.found


def test_a_fact_is_read_and_written_as_the_manual_says() -> None:
    fact = only(SAID)
    assert fact == fact_of(
        FACT,
        "truck:7",
        datetime.fromisoformat("2026-11-20T06:00:00+01:00"),
        "ana",
        MeterRead(hours=Decimal("1234.50"), meter="off side"),
    )
    assert write([fact]) == SAID
    assert write([]) == ""
    assert parse("") == parse("\n# a remark\n") == Parsed((), (), ())


def test_facts_without_id_are_numbered_by_their_place() -> None:
    text = f"# two readings\n\n{HEAD}  hours 1\n{HEAD.replace('ana', chr(34) + 'a b' + chr(34))}  hours 2\n"
    facts = parse("\ufeff" + text.replace("\n", "\r\n")).facts
    assert [fact.id for fact in facts] == [
        "00000000-0000-7000-8000-000000000001",
        "00000000-0000-7000-8000-000000000002",
    ]
    assert [fact.by for fact in facts] == ["ana", "a b"]
    assert [faults_of(fact) for fact in facts] == [(), ()]


def test_whole_days() -> None:
    text = "worked truck:7 2026-11-20T00:00:00+01:00/day ana\n"
    fact = only(text)
    assert fact.whole_day
    assert write([fact]).startswith(text)


def test_parts_and_lists() -> None:
    fact = only(
        'walk-round truck:7 2026-11-20T06:00:00+01:00 ana\n  meter {"hours": 12.50}\n'
        '  answers - {"check": "horn"}\n  answers - {"check": "a", "mark": "fault", "days": 3}\n'
        "  seconds 90\n  paper true\n"
    )
    assert isinstance(fact.body, WalkRound)
    assert encode_body(fact.body) == (
        b'{"answers":[{"check":"horn"},{"check":"a","days":3,"mark":"fault"}],"kind":"walk-round",'
        b'"meter":{"hours":"12.50"},"paper":true,"seconds":90}'
    )
    bare = only("worked truck:7 2026-11-20T06:00:00+01:00 ana\n  services - 150h\n  services - null\n  text true\n")
    assert bare.body == Worked(services=("150h", "null"), text="true")
    for each in (fact, bare):
        assert only(write([each])) == each


def test_a_list_that_must_stand_there_may_be_empty() -> None:
    text = f"measured truck:7 2026-11-20T06:00:00+01:00 ana\n  subject chain\n  values []\n  @id {FACT}\n"
    fact = only(text)
    assert fact.body == Measured(subject="chain", values=())
    assert write([fact]) == text


def test_an_accepted_fact_keeps_its_place() -> None:
    fact = only(SAID)
    origin = Origin(seq=4, digest="ab" * 32)
    for item in (accept(fact, fact.happened, 3, "cd" * 32, origin), accept(fact, fact.happened, 1, FIRST)):
        parsed = parse(write([item]))
        assert parsed.accepted == (item,)
        assert parsed.facts == (fact,)


def test_a_receipt_alone_is_enough_for_a_test() -> None:
    (item,) = parse(SAID + "  @received 2026-11-20T07:00:00+01:00\n").accepted
    assert isinstance(item, Accepted)
    assert (item.seq, item.prev, item.origin) == (0, FIRST, None)
    assert item.effective == item.fact.happened == item.received - timedelta(hours=1)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("  hours 1\n", "no head line"),
        ("\n  hours 1\n  meter 2", "no head line"),
        ("meter-read truck:7 2026-11-20T06:00:00+01:00\n", "no head line"),
        ("guessed truck:7 2026-11-20T06:00:00+01:00 ana\n", "no head line"),
        ("worked truck:7 2026-11-20T06:00:00 ana\n", "without zone"),
        ("worked truck:7 yesterday ana\n", "isoformat"),
        ("worked 2026-11-20T06:00:00+01:00 [1] ana\n", "isoformat"),
        ("worked [1] 2026-11-20T06:00:00+01:00 ana\n", "no name"),
        ("worked truck:7 2026-11-20T06:00:00+01:00 -1\n", "no name"),
        ('worked truck:7 2026-11-20T06:00:00+01:00 "ana\n', "no head line|Unterminated"),
        (HEAD, "hours"),
        (HEAD + "  hours 1\n  hours 2\n", "hours stands there twice"),
        (HEAD + "  hours 1\n  hours - 2\n", "hours stands there twice"),
        (HEAD + "  hours - 1\n  hours 2\n", "hours stands there twice"),
        (HEAD + "  hours 1\n  kind - worked\n", "kind stands there twice"),
        (HEAD + "  hours 1\n  kind worked\n", "kind stands there twice"),
        (HEAD + "  hours -Infinity\n", "-Infinity is no number"),
        (HEAD + '  hours {"a": NaN}\n', "NaN is no number"),
        (HEAD + '  hours {"a": 1, "a": 1}\n', "a stands there twice"),
        (HEAD + "  hours 12,5\n", "Extra data"),
        (HEAD + "  hours\n", "Expecting value"),
        (HEAD + "  hours 1\n  odd 1\n", "unknown field `odd`"),
        (HEAD + "  hours 1\n  note " + "[" * 200_000 + "\n", "recursion"),
        (HEAD + "  hours 1\n  note " + "-" + "9" * 5_000 + "\n", "digits|note"),
        (HEAD + "  hours 1\n  @id [1]\n", "no name"),
        (HEAD + "  hours 1\n  @seq 1\n", "no @received"),
        (HEAD + "  hours 1\n  @odd 1\n  @received 2026-11-20T06:00:00+01:00\n", "@odd"),
        (HEAD + "  hours 1\n  @received 2026-11-20T06:00:00\n", "without zone"),
        (HEAD + "  hours 1\n  @received 2026-11-20T06:00:00Z\n  @seq x\n", "invalid literal"),
        (HEAD + "  hours 1\n  @received 2026-11-20T06:00:00Z\n  @origin x:y\n", "invalid literal"),
    ],
)
def test_what_cannot_be_read_is_named(text: str, said: str) -> None:
    found = why(text)
    assert any(word in found for word in said.split("|")), found
    assert len(found) < 500


def test_a_bad_line_leaves_the_others_and_has_its_number() -> None:
    parsed = parse(f"# remark\n{SAID}\nnonsense\n{HEAD}  hours 3\n")
    assert [fact.body for fact in parsed.facts] == [
        MeterRead(hours=Decimal("1234.50"), meter="off side"),
        MeterRead(hours=Decimal(3)),
    ]
    assert [problem.where.line for problem in parsed.problems] == [7]
    assert [problem.where.line for problem in parse("\n  hours 1\n\n  meter 2\n").problems] == [2]


def test_an_id_cannot_forge_a_line() -> None:
    fact = fact_of(f'{FACT}\n  note "x"', "truck:7", datetime.fromisoformat("2026-11-20T06:00Z"), "ana", Worked())
    assert only(write([fact])) == fact
