"""What is kept of trucks says what would be derived: after a new fact, before and after each edge, and emptied."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from demo.demo_yard import NOON, SEED
from dipmark.adapters.languages import in_language
from dipmark.adapters.rulefiles import read_rules
from dipmark.adapters.store import open_store
from dipmark.demo import make_demo
from dipmark.demo.pen import ZONE
from dipmark.derive.standing import Standing
from dipmark.facts.base import YARD, truck_book
from dipmark.facts.errors import StoreError
from dipmark.facts.meter import MeterRead
from dipmark.facts.people import YardSet
from dipmark.office import standings as module
from dipmark.office.open import Office
from dipmark.office.standings import standings

TICK = timedelta(microseconds=1)


@pytest.fixture(name="office")
def _office() -> Iterator[Office]:
    now = datetime.fromisoformat(NOON).replace(tzinfo=ZONE)
    with open_store(":memory:", clock=lambda: now, create=True) as store:
        office = Office(store, read_rules(), lambda: now)
        make_demo(office, now, seed=SEED)
        yield office


@pytest.fixture(name="derived")
def _derived(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The books derived since the list was last emptied."""
    books: list[str] = []
    derive = module.derived

    def counted(office: Office, book: str, as_of: datetime) -> Iterator[Standing]:
        books.append(book)
        return derive(office, truck_book(book.partition(":")[2]), as_of)

    monkeypatch.setattr(module, "derived", counted)
    return books


def fresh(office: Office, as_of: datetime) -> tuple[Standing, ...]:
    office.store.kept.forget()
    return standings(office, as_of)


def test_what_is_kept_is_what_would_be_derived(office: Office, derived: list[str]) -> None:
    now = office.clock()
    first = standings(office, now)
    assert len(derived) == len(first)
    derived.clear()
    assert standings(office, now + timedelta(minutes=1)) == first
    assert derived == []
    office.store.kept.forget()
    assert standings(office, now) == first
    assert len(derived) == len(first)


def test_after_one_new_fact_one_truck_is_derived(office: Office, derived: list[str]) -> None:
    standings(office, office.clock())
    derived.clear()
    hours = next(one.hours for one in standings(office, office.clock()) if one.name == "1")
    assert hours is not None
    office.append([office.fact(truck_book("1"), MeterRead(hours=hours + 1), office.clock())])
    after = standings(office, office.clock())
    assert derived == ["truck:1"]
    assert after == fresh(office, office.clock())


def test_each_reader_sees_his_own_language_however_warm_what_is_kept_is(office: Office, derived: list[str]) -> None:
    spanish = office.asked_by(office.by, in_language(office.rules, "es"))
    for reader in (office, spanish):
        standings(reader, office.clock())
    derived.clear()
    mine, his = standings(office, office.clock()), standings(spanish, office.clock())
    assert derived == []
    assert [one.book for one in mine] == [one.book for one in his]
    assert mine == fresh(office, office.clock())
    assert his == fresh(spanish, office.clock())
    reasons = [
        (one.text, other.text)
        for truck, same in zip(mine, his, strict=True)
        for one, other in zip(truck.state.reasons, same.state.reasons, strict=True)
    ]
    assert [one for one, other in reasons if one == other] == []
    assert ("Checked, nothing found. Not an examination.", "Revisada, nada encontrado. No es un examen.") in reasons


def test_other_words_are_derived_anew(office: Office, derived: list[str], tmp_path: Path) -> None:
    spanish = office.asked_by(office.by, in_language(office.rules, "es"))
    standings(spanish, office.clock())
    derived.clear()
    (tmp_path / "texts").mkdir()
    line = '[words]\n"Checked, nothing found. Not an examination." = "Nada. No es un examen."\n'
    (tmp_path / "texts" / "es.toml").write_text(f'language = "es"\ntext = "Español"\n{line}', "utf-8")
    own = office.asked_by(office.by, in_language(office.rules, "es", tmp_path))
    said = {because.text for one in standings(own, office.clock()) for because in one.state.reasons}
    assert "Nada. No es un examen." in said
    assert len(derived) == len(standings(spanish, office.clock()))


def test_a_change_of_the_yard_derives_all_anew(office: Office, derived: list[str]) -> None:
    count = len(standings(office, office.clock()))
    derived.clear()
    office.append([office.fact(YARD, YardSet(name="Another name"), office.clock())])
    standings(office, office.clock())
    assert len(derived) == count


def test_just_before_and_just_after_each_edge(office: Office) -> None:
    kept = standings(office, office.clock())
    edges = sorted({one.state.holds_until for one in kept if one.state.holds_until is not None})
    assert len(edges) > 3
    for moment in (moment for edge in edges for moment in (edge - TICK, edge)):
        derived = [one for truck in kept for one in module.derived(office, truck.book, moment)]
        assert list(standings(office, moment)) == derived, moment.isoformat()


def test_a_look_into_the_past_is_not_kept_for_now(office: Office) -> None:
    before = office.clock() - timedelta(days=40)
    standings(office, before)
    assert office.store.kept.all("en") == {}
    assert standings(office, before) != standings(office, office.clock())


def test_looking_works_where_nothing_can_be_written(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_kept: object) -> None:
        raise StoreError("read-only")

    monkeypatch.setattr(office.store.kept, "keep", refuse)
    assert standings(office, office.clock())


def test_what_is_kept_is_no_part_of_the_record(office: Office, tmp_path: Path) -> None:
    standings(office, office.clock())
    assert office.store.verify() == ()
    with open_store(str(tmp_path / "copy.dip"), clock=office.clock, create=True) as copy:
        office.store.copy_to(copy)
        assert copy.kept.all("en") == {}
