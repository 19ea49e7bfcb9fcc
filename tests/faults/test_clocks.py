"""Clocks that jump: the chain goes by its numbers, and what a clock said is kept as it said it."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from dipmark.adapters.clock import new_id
from dipmark.adapters.store import backup, open_store
from dipmark.facts.base import BookId
from dipmark.facts.codec import fact_of
from dipmark.facts.meter import MeterRead
from dipmark.office.open import Office
from dipmark.office.take import TakeOptions, take
from faults.trials import RULES

NOON = datetime(2026, 10, 24, 12, 0, tzinfo=UTC)
MADRID = ZoneInfo("Europe/Madrid")
BACK = datetime(2026, 10, 25, 2, 30, tzinfo=MADRID)
"""02:30 comes twice that night."""

FORWARD = datetime(2026, 3, 29, 2, 30, tzinfo=MADRID)
"""02:30 does not come at all that night."""

JUMPS = [
    NOON,
    NOON - timedelta(days=1),
    NOON + timedelta(days=366),
    NOON,
    BACK,
    BACK.replace(fold=1),
    BACK + timedelta(minutes=5),
    FORWARD,
    datetime(1970, 1, 1, tzinfo=UTC),
    NOON + timedelta(seconds=1),
]


class Jumping:
    """A clock that says one time after the other."""

    def __init__(self) -> None:
        self.now = NOON

    def __call__(self) -> datetime:
        return self.now

    def jump(self) -> Iterator[datetime]:
        for now in JUMPS:
            self.now = now
            yield now


def test_facts_taken_while_the_clock_jumps(tmp_path: Path) -> None:
    clock, book, ids = Jumping(), BookId("truck:7"), []
    with open_store(str(tmp_path / "yard.dip"), clock=clock, create=True) as store:
        for number, now in enumerate(clock.jump(), start=1):
            fact = fact_of(new_id(), book, now, "p-ana", MeterRead(hours=Decimal(number)))
            (item,) = store.append([fact]).accepted
            ids.append(fact.id)
            assert (item.seq, item.received) == (number, now.astimezone(UTC))
            assert store.append([fact]).known == (fact.id,)
            assert store.verify() == ()
        items = store.book(book)
        assert [item.fact.id for item in items] == ids
        assert [item.received.astimezone(UTC) for item in items] == [now.astimezone(UTC) for now in JUMPS]
        backup(store, tmp_path / "backup.dip")
        with open_store(str(tmp_path / "backup.dip"), clock=clock, create=False) as copy:
            assert copy.book(book) == items


def test_a_clock_that_was_ahead_hides_nothing_once_it_is_right(tmp_path: Path) -> None:
    ahead = NOON + timedelta(days=366)
    with open_store(str(tmp_path / "yard.dip"), clock=lambda: NOON, create=True) as store:
        (item,) = store.append([fact_of(new_id(), "truck:7", ahead, "p-ana", MeterRead(hours=Decimal(1)))]).accepted
        assert item.effective == NOON


def test_tables_taken_again_after_a_jump_are_known(tmp_path: Path) -> None:
    table = tmp_path / "hours.csv"
    table.write_text("Truck,Kind,Date,Hours\n7,reach truck,2026-10-20,100\n7,reach truck,2026-10-24,130\n")
    clock, counts = Jumping(), []
    with Office(open_store(str(tmp_path / "yard.dip"), clock=clock, create=True), RULES, clock) as office:
        for _ in clock.jump():
            result = take(office, [table], TakeOptions(zone="Europe/Madrid"))
            counts.append((result.accepted, result.known, result.refused_rows))
        assert counts == [(2, 0, 0)] + [(0, 2, 0)] * (len(JUMPS) - 1)
        assert office.store.verify() == ()


@pytest.mark.parametrize("jump", [-86_400, 0, 366 * 86_400])
def test_ids_made_while_the_clock_jumps_are_never_the_same(monkeypatch: pytest.MonkeyPatch, jump: int) -> None:
    before = [new_id() for _ in range(500)]
    now = time.time_ns() + jump * 10**9
    monkeypatch.setattr(time, "time_ns", lambda: now)
    assert len({*before, *(new_id() for _ in range(500))}) == 1000
