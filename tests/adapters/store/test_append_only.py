"""Append-only, attacked by hand: what the guards refuse, and what verify finds where somebody took the guards away."""

from __future__ import annotations

import psycopg
import pytest
from sqlalchemy.exc import DBAPIError

from adapters.store.builders import Place, as_boss, by_hand, fault, reading
from dipmark.adapters.store import Blob, Store
from dipmark.facts.base import BookId, PersonKey
from dipmark.facts.codec import book_code
from dipmark.facts.problems import Problem

SEVEN = BookId("truck:7")
PICTURE = Blob(b"picture", "image/png")
COLUMNS = "id, book, seq, kind, happened, happened_us, whole_day, by_key, received, received_us, body, prev, digest"
REST = "kind, happened, happened_us, whole_day, by_key, received, received_us, body, prev, digest"


@pytest.fixture
def filled(store: Store) -> Store:
    store.append([reading(1), reading(2), fault(3, PICTURE.digest), reading(4, "truck:8")], blobs=[PICTURE])
    item = store.set_aside(reading(5), [Problem("any", "one", "other")])
    store.settle(item.digest, "seen", PersonKey("p-bea"))
    return store


def a_copy(new_id: str, book: str, seq: int) -> str:
    """SELECT giving fact 1 of truck 7 under another id, book and number."""
    return f"SELECT '{new_id}', '{book}', {seq}, {REST} FROM facts WHERE book = 'truck:7' AND seq = 1"


SAME_ID = a_copy("01934567-0000-7000-8000-000000000001", "truck:9", 1)
SAME_NUMBER = a_copy("01934567-0000-7000-8000-0000000000aa", "truck:7", 2)
GAP = a_copy("01934567-0000-7000-8000-0000000000aa", "truck:7", 5)

EVERYWHERE = [
    "UPDATE facts SET by_key = 'p-bea'",
    "UPDATE facts SET body = body WHERE seq = 1",
    "DELETE FROM facts",
    "DELETE FROM facts WHERE seq = 3",
    "UPDATE blobs SET media = 'text/plain'",
    "DELETE FROM blobs",
    "UPDATE migrations SET applied = ''",
    "DELETE FROM migrations",
    "UPDATE set_aside SET problems = body",
    "DELETE FROM set_aside",
    "UPDATE settled SET note = 'nothing'",
    "DELETE FROM settled",
    f"INSERT INTO facts ({COLUMNS}) {SAME_ID}",
    f"INSERT INTO facts ({COLUMNS}) {SAME_NUMBER}",
    f"INSERT INTO facts ({COLUMNS}) {GAP}",
    f"INSERT INTO facts ({COLUMNS}) {SAME_ID} ON CONFLICT DO NOTHING",
    f"INSERT INTO facts ({COLUMNS}) {SAME_NUMBER} ON CONFLICT DO NOTHING",
    f"INSERT INTO facts ({COLUMNS}) {SAME_ID} ON CONFLICT (id) DO UPDATE SET by_key = 'p-bea'",
    f"INSERT INTO facts ({COLUMNS}) {SAME_NUMBER} ON CONFLICT (book, seq) DO UPDATE SET by_key = 'p-bea'",
    "INSERT INTO blobs (digest, media, data) SELECT digest, 'text/plain', data FROM blobs WHERE media = 'image/png'"
    " ON CONFLICT (digest) DO UPDATE SET media = 'text/plain'",
]
ON_SQLITE = [
    f"INSERT OR REPLACE INTO facts ({COLUMNS}) {SAME_ID}",
    f"INSERT OR REPLACE INTO facts ({COLUMNS}) {SAME_NUMBER}",
    f"REPLACE INTO facts ({COLUMNS}) {SAME_NUMBER}",
    f"INSERT OR IGNORE INTO facts ({COLUMNS}) {SAME_ID}",
    f"INSERT OR IGNORE INTO facts ({COLUMNS}) {SAME_NUMBER}",
    f"INSERT OR FAIL INTO facts ({COLUMNS}) {SAME_ID}",
    f"INSERT OR REPLACE INTO facts (rowid, {COLUMNS}) SELECT 1, * FROM ({GAP})",
    "UPDATE OR REPLACE facts SET id = '01934567-0000-7000-8000-000000000001'",
    "UPDATE OR IGNORE facts SET seq = 1",
    "INSERT OR REPLACE INTO blobs SELECT digest, 'text/plain', data FROM blobs",
    "INSERT OR REPLACE INTO migrations SELECT name, '' FROM migrations",
    "INSERT OR REPLACE INTO set_aside SELECT * FROM set_aside",
    "INSERT OR REPLACE INTO settled SELECT digest, by_key, received, 'no' FROM settled",
]
ON_POSTGRES = [
    "TRUNCATE facts",
    "TRUNCATE facts, blobs, set_aside, settled, migrations",
    "TRUNCATE blobs CASCADE",
    "MERGE INTO facts AS f USING blobs AS b ON true WHEN MATCHED THEN DELETE",
    "MERGE INTO facts AS f USING blobs AS b ON f.seq = 1 WHEN MATCHED THEN UPDATE SET by_key = 'p-bea'",
]


def everything(store: Store) -> object:
    return (dict(store.record()), store.blob(PICTURE.digest), store.set_aside_list(), store.verify())


@pytest.mark.parametrize("statement", EVERYWHERE)
def test_a_hand_on_the_database_changes_nothing(filled: Store, statement: str) -> None:
    before = everything(filled)
    with pytest.raises(DBAPIError, match=r"dipmark: |permission denied"):
        by_hand(filled, statement)
    assert everything(filled) == before


@pytest.mark.parametrize("statement", ON_SQLITE)
@pytest.mark.parametrize("place", ["file", "memory"], indirect=True)
def test_nor_do_the_words_only_sqlite_knows(filled: Store, statement: str) -> None:
    before = everything(filled)
    with pytest.raises(DBAPIError, match=r"dipmark: |no column named rowid"):
        by_hand(filled, statement)
    assert everything(filled) == before


@pytest.mark.parametrize("statement", [*ON_POSTGRES, *EVERYWHERE])
@pytest.mark.parametrize("place", ["postgres"], indirect=True)
@pytest.mark.postgres
def test_nor_does_one_with_all_rights(place: Place, filled: Store, statement: str) -> None:
    before = everything(filled)
    with pytest.raises(psycopg.Error, match="dipmark: "):
        as_boss(place, statement)
    assert everything(filled) == before


TAKEN_AWAY = {
    "memory": "DROP TRIGGER facts_no_update",
    "file": "DROP TRIGGER facts_no_update",
    "postgres": "DROP TRIGGER facts_no_update ON facts",
}


def test_verify_sees_a_guard_taken_away(place: Place, filled: Store) -> None:
    by_hand(filled, TAKEN_AWAY[place.kind])
    (problem,) = filled.verify()
    assert (problem.code, "facts_no_update" in problem.found) == ("store-changed", True)


@pytest.mark.parametrize(
    "statement",
    [
        "ALTER TABLE facts DISABLE TRIGGER facts_no_update",
        "ALTER TABLE facts ENABLE REPLICA TRIGGER facts_no_truncate",
        "CREATE OR REPLACE FUNCTION dipmark_kept() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NEW; END'",
        "CREATE OR REPLACE TRIGGER facts_no_update BEFORE UPDATE OF prev ON facts"
        " FOR EACH ROW EXECUTE FUNCTION dipmark_kept()",
        "CREATE TRIGGER more AFTER INSERT ON facts FOR EACH ROW EXECUTE FUNCTION dipmark_kept()",
        "CREATE RULE more AS ON UPDATE TO facts DO INSTEAD NOTHING",
        "ALTER TABLE facts DROP CONSTRAINT facts_book_seq_key",
        "DROP TABLE settled",
    ],
)
@pytest.mark.parametrize("place", ["postgres"], indirect=True)
@pytest.mark.postgres
def test_verify_sees_what_else_may_be_done_to_postgresql(filled: Store, statement: str) -> None:
    by_hand(filled, statement)
    assert "store-changed" in {problem.code for problem in filled.verify()}


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE sqlite_master SET sql = replace(sql, 'RAISE(ABORT', 'RAISE(IGNORE') WHERE name = 'facts_no_update'",
        "DELETE FROM sqlite_master WHERE name = 'blobs_no_delete'",
        "UPDATE sqlite_master SET sql = replace(sql, 'CHECK (seq > 0)', '') WHERE name = 'facts'",
    ],
)
@pytest.mark.parametrize("place", ["file", "memory"], indirect=True)
def test_verify_sees_the_writable_schema_of_sqlite_used(filled: Store, statement: str) -> None:
    with filled.database.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA writable_schema = ON")
        connection.exec_driver_sql(statement)
        connection.commit()
    assert "store-changed" in {problem.code for problem in filled.verify()}


def unguarded(place: Place, store: Store, statement: str) -> None:
    """Take the guards away, do it, put them back: only proof by digest is left."""
    if place.kind == "postgres":
        as_boss(place, f"SET session_replication_role = replica; {statement}")
        return
    with store.database.engine.begin() as connection:
        query = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        guards = connection.exec_driver_sql(query).all()
        for guard in guards:
            connection.exec_driver_sql(f"DROP TRIGGER {guard.name}")
        connection.exec_driver_sql(statement)
        for guard in guards:
            connection.exec_driver_sql(guard.sql)


FIRST_OF_7 = "WHERE book = 'truck:7' AND seq = 1"


@pytest.mark.parametrize(
    ("statement", "codes"),
    [
        (f"UPDATE facts SET by_key = 'p-bea' {FIRST_OF_7}", {"fact-changed"}),
        (f"UPDATE facts SET happened = '2026-11-01T00:00:00+00:00' {FIRST_OF_7}", {"fact-changed", "column-changed"}),
        (f"UPDATE facts SET happened_us = 0 {FIRST_OF_7}", {"column-changed"}),
        (f"UPDATE facts SET received_us = received_us + 1 {FIRST_OF_7}", {"column-changed"}),
        (f"UPDATE facts SET kind = 'fault' {FIRST_OF_7}", {"column-changed"}),
        (f"UPDATE facts SET received = replace(received, '+00:00', 'Z') {FIRST_OF_7}", {"column-changed"}),
        (f"UPDATE facts SET happened = 'yesterday' {FIRST_OF_7}", {"fact-unreadable"}),
        (f"UPDATE facts SET origin_seq = 1, origin_digest = digest {FIRST_OF_7}", {"fact-changed"}),
        (f"UPDATE facts SET prev = digest {FIRST_OF_7}", {"fact-changed", "chain-broken"}),
        (f"UPDATE facts SET digest = prev {FIRST_OF_7}", {"fact-changed", "chain-broken"}),
        (f"UPDATE facts SET id = '01934567-0000-7000-8000-0000000000aa' {FIRST_OF_7}", {"fact-changed"}),
        (f"UPDATE facts SET book = 'truck:6' {FIRST_OF_7}", {"fact-changed", "fact-missing"}),
        ("UPDATE facts SET seq = 7 WHERE book = 'truck:7' AND seq = 2", {"fact-missing", "fact-changed"}),
        (f"DELETE FROM facts {FIRST_OF_7}", {"fact-missing"}),
        ("DELETE FROM facts WHERE book = 'truck:7' AND seq = 2", {"fact-missing"}),
        ("UPDATE set_aside SET book = 'truck:8'", {"set-aside-changed"}),
        ("UPDATE blobs SET media = 'text/plain'", set()),  # what a browser is told is not part of the record
        ("DELETE FROM blobs", {"picture-missing"}),
        ("DELETE FROM set_aside", {"set-aside-missing"}),
    ],
)
def test_verify_finds_what_was_done_behind_the_guards(
    place: Place, filled: Store, statement: str, codes: set[str]
) -> None:
    unguarded(place, filled, statement)
    assert {problem.code for problem in filled.verify()} == codes


@pytest.mark.parametrize("place", ["file", "memory"], indirect=True)
@pytest.mark.parametrize(
    ("table", "column", "code"),
    [
        ("facts", "body", "fact-unreadable"),
        ("set_aside", "body", "fact-unreadable"),
        ("set_aside", "problems", "fact-unreadable"),
        ("blobs", "data", "picture-changed"),
    ],
)
def test_verify_finds_bytes_that_are_no_longer_what_they_were(
    place: Place, filled: Store, table: str, column: str, code: str
) -> None:
    unguarded(place, filled, f"UPDATE {table} SET {column} = CAST('{{' AS BLOB)")
    assert code in {problem.code for problem in filled.verify()}


@pytest.mark.parametrize("place", ["file", "memory"], indirect=True)
def test_verify_finds_a_table_made_anew_without_its_keys(filled: Store) -> None:
    for statement in (
        "CREATE TABLE other AS SELECT * FROM facts",
        "DROP TABLE facts",
        "ALTER TABLE other RENAME TO facts",
        "INSERT INTO facts SELECT * FROM facts WHERE book = 'truck:7' AND seq = 2",
    ):
        by_hand(filled, statement)
    found = filled.verify()
    assert {problem.code for problem in found} == {"store-changed", "fact-doubled"}
    doubled = [problem.found for problem in found if problem.code == "fact-doubled"]
    assert doubled == ["number 2 after 2", "id 01934567-0000-7000-8000-000000000002 more than once"]


def test_a_printed_code_finds_a_cut_tail_and_a_rewritten_book(place: Place, filled: Store) -> None:
    printed = {number: book_code(number, filled.book(SEVEN)[number - 1].digest) for number in (1, 3)}
    assert [filled.verify_against(printed[number], book) for number in (1, 3) for book in (SEVEN, None)] == [()] * 4
    assert filled.verify_against(printed[3].lower(), SEVEN) == ()

    unguarded(place, filled, "DELETE FROM facts WHERE book = 'truck:7' AND seq = 3")
    assert filled.verify() == ()  # a cut tail leaves a sound chain
    (cut,) = filled.verify_against(printed[3], SEVEN)
    assert (cut.code, cut.message.split(";")[0]) == ("book-cut", "Found the book ends at fact 2")
    assert filled.verify_against(printed[3])[0].code == "book-cut"
    assert filled.verify_against(printed[1]) == ()

    filled.append([reading(11)])
    (other,) = filled.verify_against(printed[3], SEVEN)
    assert other.code == "book-rewritten"
    (unknown,) = filled.verify_against(printed[3])
    assert "or it was cut" in unknown.hint


@pytest.mark.parametrize("printed", ["", "12", "12-AAAA", "x-AAAA-AAAA-AAAA-AAAA", "1-????-AAAA-AAAA-AAAA"])
def test_a_code_that_cannot_be_read_is_named(store: Store, printed: str) -> None:
    (problem,) = store.verify_against(printed)
    assert problem.code == "code-unreadable"
    assert store.verify_against("1-AAAA-AAAA-AAAA-AAAA")[0].code == "book-cut"
