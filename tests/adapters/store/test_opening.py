"""What lies at an address: nothing, a store, an older or a newer one, something else, one in the making."""

from __future__ import annotations

import sqlite3
import threading
from pathlib import Path

import pytest
from sqlalchemy import Connection, inspect

from adapters.conftest import Server
from adapters.store.builders import Place, Ticking, by_hand, reading
from dipmark.adapters.store import Store, open_store, opening, schema
from dipmark.adapters.store.tables import METADATA
from dipmark.facts.errors import NotFound, StoreError


def test_a_store_that_is_not_there_is_not_made(lasting: Place, tmp_path: Path) -> None:
    with pytest.raises(NotFound, match="No store at"):
        lasting.open(create=False)
    assert list(tmp_path.iterdir()) == []
    lasting.open().close()
    with lasting.open(create=False) as store:
        assert store.books() == ()


def test_a_store_in_memory_is_always_new() -> None:
    with pytest.raises(NotFound, match="always new"):
        open_store(":memory:", clock=Ticking(), create=False)


def test_what_was_taken_is_there_when_the_store_is_opened_again(lasting: Place) -> None:
    with lasting.open() as store:
        done = store.append([reading(1), reading(2)])
    with lasting.open(create=False) as store:
        assert store.book(reading(1).book) == done.accepted
        assert store.verify() == ()


def test_only_the_store_lies_in_the_folder_once_it_is_closed(tmp_path: Path) -> None:
    with open_store(str(tmp_path / "a b %20?#.dip"), clock=Ticking(), create=True) as store:
        store.append([reading(1)])
    assert [path.name for path in tmp_path.iterdir()] == ["a b %20?#.dip"]


def test_the_settings_that_make_a_commit_durable(tmp_path: Path) -> None:
    with open_store(str(tmp_path / "yard.dip"), clock=Ticking(), create=True) as store:
        with store.database.reading() as connection:
            asked = {
                name: connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in ("journal_mode", "synchronous")
            }
        assert asked == {"journal_mode": "wal", "synchronous": 2}


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is empty"),
        (b"hours;date\n" * 20, "no dipmark store"),
        (b"SQLite format 3\x00" + bytes(84), "no dipmark store"),
    ],
)
@pytest.mark.parametrize("create", [True, False])
def test_a_file_of_something_else_is_left_as_it_is(tmp_path: Path, content: bytes, said: str, create: bool) -> None:
    path = tmp_path / "yard.dip"
    path.write_bytes(content)
    with pytest.raises(StoreError, match=said):
        open_store(str(path), clock=Ticking(), create=create)
    assert path.read_bytes() == content
    assert len(list(tmp_path.iterdir())) == 1


def test_a_database_of_another_program_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    connection = sqlite3.connect(path)
    connection.executescript("CREATE TABLE facts (id)")
    connection.close()
    before = path.read_bytes()
    with pytest.raises(StoreError, match="no dipmark store"):
        open_store(str(path), clock=Ticking(), create=True)
    assert path.read_bytes() == before


def test_a_store_cut_short_is_damaged_not_new(tmp_path: Path) -> None:
    path = tmp_path / "yard.dip"
    open_store(str(path), clock=Ticking(), create=True).close()
    path.write_bytes(path.read_bytes()[:5000])
    with pytest.raises(StoreError, match="damaged"):
        open_store(str(path), clock=Ticking(), create=True)


def test_a_missing_folder_and_a_folder_are_named(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="No folder"):
        open_store(str(tmp_path / "none" / "yard.dip"), clock=Ticking(), create=True)
    with pytest.raises(StoreError, match="is a folder"):
        open_store(str(tmp_path), clock=Ticking(), create=True)


def test_an_address_that_cannot_be_read() -> None:
    with pytest.raises(StoreError, match="cannot be read"):
        open_store("postgresql://yard@host:port/x", clock=Ticking(), create=True)


def test_a_server_that_is_not_there_is_said_without_the_password(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="cannot be reached") as said:
        open_store(f"postgresql://yard:secret@/x?host={tmp_path}", clock=Ticking(), create=True)
    assert "secret" not in str(said.value)


@pytest.mark.postgres
def test_databases_that_are_not_there_or_not_fit(postgres_server: Server) -> None:
    with pytest.raises(StoreError, match="createdb"):
        open_store(postgres_server.address("nowhere"), clock=Ticking(), create=True)
    latin = postgres_server.fresh("OWNER yard TEMPLATE template0 ENCODING 'LATIN1'")
    with pytest.raises(StoreError, match="UTF8"):
        open_store(postgres_server.address(latin), clock=Ticking(), create=True)
    postgres_server.drop(latin)
    other = postgres_server.fresh()
    postgres_server.admin("CREATE TABLE migrations (version int); GRANT ALL ON migrations TO yard", other)
    with pytest.raises(StoreError, match="not dipmark's"):
        open_store(postgres_server.address(other), clock=Ticking(), create=True)
    postgres_server.drop(other)


# ------------------------------------------------------------------------------------------------ migrations


def test_the_statements_know_the_tables_that_the_migrations_make(store: Store) -> None:
    with store.database.reading() as connection:
        seen = inspect(connection)
        assert set(seen.get_table_names()) == set(METADATA.tables)
        for table in METADATA.sorted_tables:
            columns = {column["name"]: column["nullable"] for column in seen.get_columns(table.name)}
            assert columns == {column.name: bool(column.nullable) for column in table.columns}
            assert "at" not in columns


def test_an_older_store_is_brought_up_to_date_once(lasting: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    with lasting.open() as store:
        store.append([reading(1)])
    ran: list[str] = []
    names = tuple(name for name, _ in schema.STEPS)

    def more(connection: Connection) -> None:
        connection.exec_driver_sql("CREATE TABLE more (key TEXT)")
        ran.append("more")

    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, ("9000 more", more)))
    for _ in range(2):
        with lasting.open(create=False) as store, store.database.reading() as connection:
            assert schema.applied(connection) == (*names, "9000 more")
    assert ran == ["more"]
    with lasting.open(create=False) as store:
        assert len(store.book(reading(1).book)) == 1


def test_a_migration_that_fails_leaves_the_store_as_it_was(lasting: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    lasting.open().close()

    def half(connection: Connection) -> None:
        connection.exec_driver_sql("CREATE TABLE more (key TEXT)")
        connection.exec_driver_sql("CREATE TABLE facts (key TEXT)")

    with monkeypatch.context() as patch:
        patch.setattr(schema, "STEPS", (*schema.STEPS, ("9000 half", half)))
        with pytest.raises(StoreError):
            lasting.open()
    with lasting.open(create=False) as store:
        assert store.verify() == ()


def test_a_newer_store_is_left_alone(lasting: Place) -> None:
    with lasting.open() as store:
        by_hand(store, "INSERT INTO migrations VALUES ('9999 later', 'then')")
        assert "store-changed" in {problem.code for problem in store.verify()}
    with pytest.raises(StoreError, match="newer dipmark"):
        lasting.open()


# ------------------------------------------------------------------------------------------------ two at once


def test_two_that_make_a_store_at_once_get_one(lasting: Place) -> None:
    ready = threading.Barrier(4)
    faults: list[BaseException] = []

    def one(number: int) -> None:
        try:
            ready.wait()
            with lasting.open() as store:
                store.append([reading(number)])
        except BaseException as fault:  # noqa: BLE001 - shown by the assertion below
            faults.append(fault)

    threads = [threading.Thread(target=one, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    with lasting.open(create=False) as store:
        assert [item.seq for item in store.book(reading(1).book)] == [1, 2, 3, 4]
        assert store.verify() == ()


def test_a_file_is_placed_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: object) -> None:
        raise OSError(95, "no links here")

    monkeypatch.setattr("os.link", no_links)
    with opening.placed(tmp_path / "one") as new:
        new.write_bytes(b"1")
    assert (tmp_path / "one").read_bytes() == b"1"
    with pytest.raises(FileExistsError), opening.placed(tmp_path / "one") as new:
        new.write_bytes(b"2")
    with pytest.raises(ZeroDivisionError), opening.placed(tmp_path / "two") as new:
        new.write_bytes(bytes(1 // (new == tmp_path)))
    with pytest.raises(StoreError, match="cannot be written"), opening.placed(tmp_path / "three"):
        pass  # nothing was written under the name given
    with pytest.raises(StoreError, match="still in use"), opening.placed(tmp_path / "four") as new:
        new.with_name(new.name + "-wal").write_bytes(b"4")
    assert [path.name for path in tmp_path.iterdir()] == ["one"]
    assert (tmp_path / "one").read_bytes() == b"1"
