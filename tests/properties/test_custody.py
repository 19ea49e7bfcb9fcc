"""Custody: the same from any order of facts; each duty owed by just one at every minute between coming and leaving."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dipmark.derive.custody import held_at, owes, spans_of
from dipmark.derive.past import Counting, past
from dipmark.facts.base import FIRST, Body, Fact, FactId, PersonKey, truck_book
from dipmark.facts.codec import accept
from dipmark.facts.custody import HeldBy
from dipmark.facts.truck import Enrolled, Retired

pytestmark = pytest.mark.property

START: Final = datetime(2026, 1, 1, tzinfo=UTC)
LAST: Final = START + timedelta(hours=60)
WHO: Final = ("yard", "driver", "hired-in", "hired-out", "other-site", "laid-up")
WHAT: Final = ("8h", "150h", "thorough-examination")

HELD: Final = st.builds(
    HeldBy,
    who=st.sampled_from(WHO),
    person=st.none() | st.just(PersonKey("p")),
    firm=st.none() | st.just("Quayside Hire"),
    owes=st.sets(st.sampled_from(WHAT)).map(lambda some: tuple(sorted(some))),
)
DEEDS: Final = st.lists(st.tuples(st.integers(1, 50), HELD | st.just(Retired(how="sold"))), max_size=12)


def record(deeds: list[tuple[int, Body]]) -> list[Fact]:
    whole = [(0, Enrolled(what="reach")), *deeds]
    return [
        Fact(
            id=FactId(f"00000000-0000-7000-8000-{number:012x}"),
            book=truck_book("7"),
            happened=START + timedelta(hours=hours),
            by=PersonKey("p"),
            body=body,
        )
        for number, (hours, body) in enumerate(whole)
    ]


def counted(facts: list[Fact]) -> Counting:
    return past([accept(one, LAST, seq, FIRST) for seq, one in enumerate(facts, start=1)], LAST)


@given(DEEDS, st.randoms(use_true_random=False), st.integers(0, 60 * 60))
def test_just_one_owes_each_duty_at_every_minute(deeds, random, minutes) -> None:  # type: ignore[no-untyped-def]
    facts = record(deeds)
    spans = spans_of(counted(facts))
    random.shuffle(facts)
    assert spans_of(counted(facts)) == spans
    instant = START + timedelta(minutes=minutes)
    there = [one for one in spans if one.holds(instant)]
    left = min((hours for hours, body in deeds if isinstance(body, Retired)), default=None)
    here = left is None or instant < START + timedelta(hours=left)
    assert len(there) == here
    for what in WHAT:
        assert (owes(spans, what, instant) is not None) is here
    assert held_at(spans, instant) == (there[0] if there else None)
