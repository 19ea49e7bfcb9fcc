"""A yard is opened with its store, its rules, its clock and whoever asks."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from dipmark.facts.base import UNNAMED, YARD
from dipmark.facts.errors import NotFound, Refused, RulesError
from dipmark.facts.people import YardSet
from dipmark.office.enter import enter, read_meter
from dipmark.office.open import is_day, open_office, told, zone_of
from office.desk import at, desk, now
from office.taking import NOW, yard


def test_who_asks_gets_a_key_once_and_is_written_with_the_first_fact(tmp_path: Path) -> None:
    path = str(tmp_path / "yard.db")
    with open_office(path, create=True, by="Ana Ruiz", clock=lambda: NOW) as office:
        key = office.by
        assert office.store.names() == {}
        enter(office, [office.fact(YARD, YardSet(zone="Europe/Madrid"), NOW)])
    for name in ("ana  ruiz", "Ana Ruiz"):
        with open_office(path, create=False, by=name, clock=lambda: NOW) as office:
            assert office.by == key
            assert office.people.names()[key] == "Ana Ruiz"
    with open_office(path, create=False, clock=lambda: NOW) as office:
        assert office.by == UNNAMED


def test_a_store_is_made_only_when_that_is_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "yard.db"
    with pytest.raises(NotFound):
        open_office(str(path), create=False)
    assert not path.exists()
    open_office(str(path), create=True).close()
    assert path.exists()


def test_rules_that_cannot_be_used_open_nothing(tmp_path: Path) -> None:
    with pytest.raises(RulesError):
        open_office(str(tmp_path / "yard.db"), create=True, own_rules=tmp_path / "none")


def test_what_another_program_has_added_is_read_too(tmp_path: Path) -> None:
    path = str(tmp_path / "yard.db")
    with desk(address=path) as one, open_office(path, create=False, clock=lambda: NOW) as other:
        assert len(other.book(now(one).book)) == 1
        read_meter(one, "7", Decimal(5), at("2026-11-19T05:00"))
        assert len(other.book(now(one).book)) == 2


@pytest.mark.parametrize(
    ("text", "instant"),
    [
        ("2026-11-20T06:00", "2026-11-20T05:00:00+00:00"),
        (" 2026-11-20T06:00 ", "2026-11-20T05:00:00+00:00"),
        ("2026-07-20 06:00", "2026-07-20T04:00:00+00:00"),
        ("2026-11-20T06:00Z", "2026-11-20T06:00:00+00:00"),
        ("2026-11-20T06:00-05:00", "2026-11-20T11:00:00+00:00"),
        ("2026-11-20", "2026-11-20T22:59:59.999999+00:00"),
        ("20261120", "2026-11-20T22:59:59.999999+00:00"),
        ("2026-W47-5", "2026-11-20T22:59:59.999999+00:00"),
        ("2026-11-20T06", "2026-11-20T05:00:00+00:00"),
    ],
)
def test_a_time_without_zone_is_the_yards_and_a_day_alone_its_end(text: str, instant: str) -> None:
    with yard() as office:
        enter(office, [office.fact(YARD, YardSet(zone="Europe/Madrid"), NOW)])
        assert office.instant(text).astimezone(UTC) == datetime.fromisoformat(instant)
        assert is_day(text) == instant.startswith("2026-11-20T22:59:59")


@pytest.mark.parametrize(
    "text", ["", "now", "20.11.2026", "0001-01-01", "9999-12-31", "2026-02-30", "2026-11-20T06:00+01:00:30", "1" * 400]
)
def test_what_is_no_time_is_refused(text: str) -> None:
    with yard() as office, pytest.raises(Refused, match="2026-11-20T06:00") as refusal:
        office.instant(text)
    assert [problem.code for problem in refusal.value.problems] == ["instant-unreadable"]


def test_the_first_and_the_last_year_of_a_record() -> None:
    with yard() as office:
        assert [office.instant(text).year for text in ("1900-01-01", "2199-12-31")] == [1900, 2199]


@pytest.mark.parametrize("name", ["Europe/Nowhere", "../etc/passwd", "", "a\x00b"])
def test_a_zone_that_is_none_is_refused(name: str) -> None:
    with pytest.raises(Refused, match="Europe/Madrid"):
        zone_of(name)


def test_a_new_yard_keeps_universal_time() -> None:
    with yard() as office:
        assert office.zone is UTC
        assert told([]) == ""


def test_rules_are_said_in_the_yards_first_language_that_there_are_words_of(tmp_path: Path) -> None:
    path = str(tmp_path / "yard.db")
    with open_office(path, create=True, clock=lambda: NOW) as office:
        assert office.rules.word("Watch") == "Watch"
        enter(office, [office.fact(YARD, YardSet(languages=("fr", "es-MX")), NOW)])
    with open_office(path, create=False, clock=lambda: NOW) as office:
        assert office.rules.word("Watch") == "Vigilar"
    with open_office(path, create=False, clock=lambda: NOW, language="en-GB") as office:
        assert office.rules.word("Watch") == "Watch"
    with pytest.raises(NotFound, match="'fr'"):
        open_office(path, create=False, language="fr")
    own = tmp_path / "own"
    (own / "texts").mkdir(parents=True)
    (own / "own.toml").write_text('kind = "reach"\n[checks.chain.oil.symptoms.dry]\ndays = 3\n', "utf-8")
    (own / "texts" / "es.toml").write_text("language = 7\n", "utf-8")
    with pytest.raises(RulesError, match="the words of es"):
        open_office(path, create=False, own_rules=own)
