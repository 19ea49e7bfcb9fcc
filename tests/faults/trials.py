"""What somebody is killed at, and what must hold afterwards."""

from __future__ import annotations

import hashlib
import shutil
from abc import ABC, abstractmethod
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal
from itertools import count
from typing import Final

from sqlalchemy import Connection, inspect

from dipmark.adapters.clock import new_id, system_clock
from dipmark.adapters.rulefiles import read_rules
from dipmark.adapters.store import Blob, Store, backup, open_store, opening, restore, schema, verify
from dipmark.adapters.store.tables import METADATA
from dipmark.facts.base import BookId, Fact, PersonKey
from dipmark.facts.codec import fact_of
from dipmark.facts.errors import NotFound
from dipmark.facts.meter import MeterRead
from dipmark.office.open import Office
from dipmark.office.take import TakeOptions, take
from faults.forks import Say
from faults.places import Place

RULES: Final = read_rules()
OPTIONS: Final = TakeOptions(zone="Europe/Madrid")
MOST: Final = 250
"""Facts after which a new store is begun, so that each can be verified after each kill."""


def opened(address: str, *, create: bool = True) -> Store:
    """The store at an address, by the clock of this machine."""
    return open_store(address, clock=system_clock, create=create)


def batch(name: str, count_: int = 3) -> tuple[list[Fact], Blob]:
    """Facts that go in together, in two books, and the picture that all of them name."""
    picture = Blob(hashlib.sha512(name.encode()).digest() * 40, "image/png")
    body = MeterRead(hours=Decimal(len(name)), picture=picture.digest, note=name)
    books = [f"truck:{number % 2 + len(name) % 3}" for number in range(count_)]
    return [fact_of(new_id(), book, system_clock(), "p-ana", body) for book in books], picture


def filled(address: str, batches: int = 25) -> None:
    """Make a store with pictures, names and something set aside."""
    with opened(address) as store:
        for number in range(batches):
            facts, picture = batch(f"old-{number}")
            store.append(facts, blobs=[picture], names={PersonKey(f"p-{number}"): f"Person {number}"})
        store.set_aside(batch("aside")[0][0], [])


def contents(store: Store) -> object:
    """All that a store holds."""
    return dict(store.record()), store.names(), store.set_aside_list()


class Trial(ABC):
    """One kind of work on one place.

    Args:
        place: where its stores lie.
    """

    name = ""
    endless = False

    def __init__(self, place: Place) -> None:
        self.place = place
        self.acknowledged = 0
        """Facts, stores or files that somebody was told of before he was killed."""
        self.verified = 0

    @abstractmethod
    def prepare(self, number: int) -> None:
        """Before the fork."""

    @abstractmethod
    def work(self, say: Say) -> None:
        """In the process that will be killed."""

    @abstractmethod
    def check(self, said: list[str], *, done: bool) -> None:
        """After the kill; raises AssertionError where something was lost or is half."""

    def close(self) -> None:
        """At the end."""
        self.place.quiet()

    def sound(self, store: Store) -> None:
        """The store verifies."""
        found = store.verify()
        assert found == (), [str(problem) for problem in found]
        self.verified += 1


class Appending(Trial):
    """One store, appended to by one program after the other, each killed; recovered each time."""

    name = "appending"
    endless = True

    def __init__(self, place: Place) -> None:
        super().__init__(place)
        self.address, self.told, self.number = place.fresh(), set[str](), 0

    def prepare(self, number: int) -> None:
        self.number = number

    def work(self, say: Say) -> None:
        with opened(self.address) as store:
            for step in count():
                name = f"{self.number}-{step}"
                facts, picture = batch(name)
                store.append(facts, blobs=[picture], names={PersonKey(f"p-{name}"): name})
                say(*(fact.id for fact in facts))

    def check(self, said: list[str], *, done: bool) -> None:
        del done
        self.told |= set(said)
        self.acknowledged += len(said)
        with opened(self.address) as store:
            self.sound(store)
            facts = [item.fact for _, items in store.record() for item in items]
            assert self.told <= {fact.id for fact in facts}
            batches = Counter(fact.body.note for fact in facts if isinstance(fact.body, MeterRead))
            assert set(batches.values()) <= {3}, "half a batch"
            assert set(store.names().values()) == set(batches), "names without their facts"
        if len(facts) > MOST:
            self.address, self.told = self.place.fresh(), set()


class Making(Trial):
    """A store made where none was: there is none, or a whole one."""

    name = "making a store"

    def prepare(self, number: int) -> None:
        del number
        self.address = self.place.fresh()

    def work(self, say: Say) -> None:
        opened(self.address).close()

    def check(self, said: list[str], *, done: bool) -> None:
        try:
            with opened(self.address, create=False) as store:
                self.sound(store)
                self.acknowledged += done
        except NotFound:
            assert not done
        with opened(self.address) as store:
            self.sound(store)


class Taking(Trial):
    """A truck and its readings taken from tables with two bad rows: all or nothing; the bad rows handed back whole."""

    name = "taking"
    GOOD, BAD = 31, 2

    def __init__(self, place: Place) -> None:
        super().__init__(place)
        self.address, self.told, self.facts = place.fresh(), dict[BookId, int](), 0

    def prepare(self, number: int) -> None:
        self.truck = f"T{number}"
        self.tables = [self.place.folder / f"{name}-{number}.csv" for name in ("trucks", "hours")]
        self.tables[0].write_text(f"Truck,Kind,Commissioned\n{self.truck},LPG forklift,2024-01-15\n")
        days = "".join(f"{self.truck},2026-0{1 + day // 20}-{10 + day % 20},{day * 7 + number}\n" for day in range(30))
        self.tables[1].write_text(f"Truck,Date,Hours\n{days}{self.truck},2026-13-40,5\n{self.truck},soon,9\n")

    def taken(self) -> tuple[int, int, int]:
        """Take the tables: rows accepted, known and refused."""
        with Office(opened(self.address), RULES, system_clock) as office:
            result = take(office, self.tables, OPTIONS)
        assert result.notes == ()
        return result.accepted, result.known, result.refused_rows

    def work(self, say: Say) -> None:
        self.taken()

    def check(self, said: list[str], *, done: bool) -> None:
        with opened(self.address) as store:
            self.sound(store)
            heads = store.heads()
            assert all(heads[book][0] >= seq for book, seq in self.told.items())
        handed_back = self.tables[1].with_name(f"{self.tables[1].stem}.refused.csv")
        was_handed_back = handed_back.exists()
        accepted, known, refused = self.taken()
        assert (accepted, known) in {(self.GOOD, 0), (0, self.GOOD)}, "some of the rows"
        assert refused == self.BAD
        assert not done or (known and was_handed_back), "what was said to be taken is not there"
        assert not was_handed_back or known, "rows handed back before the others were in"
        # A half file would not have been the same, and the new one been numbered.
        assert [path.name for path in self.place.folder.glob("*.refused*")] == [handed_back.name]
        self.acknowledged += self.GOOD if done else 0
        with opened(self.address) as store:
            self.told = {book: seq for book, (seq, _) in store.heads().items()}
            self.facts = sum(self.told.values())
        for path in (*self.tables, handed_back):
            path.unlink()
        if self.facts > MOST:
            self.address, self.told = self.place.fresh(), {}


class BackingUp(Trial):
    """A backup of a store: no file under its name, or a whole one; the store goes on."""

    name = "backing up"

    def __init__(self, place: Place) -> None:
        super().__init__(place)
        self.address = place.fresh()
        filled(self.address)

    def prepare(self, number: int) -> None:
        self.path = self.place.folder / f"backup-{number}.dip"

    def work(self, say: Say) -> None:
        with opened(self.address, create=False) as store:
            backup(store, self.path)

    def check(self, said: list[str], *, done: bool) -> None:
        with opened(self.address, create=False) as store:
            if self.path.exists():
                with opened(str(self.path), create=False) as copy:
                    self.sound(copy)
                    assert contents(copy) == contents(store)
                self.path.unlink()
            else:
                assert not done
            self.acknowledged += done
            if self.verified % 10 == 0:
                self.sound(store)

    def close(self) -> None:
        with opened(self.address, create=False) as store:
            self.sound(store)


class Restoring(Trial):
    """A backup brought back, by turns to where nothing is and into an empty store: all of it, or nothing."""

    name = "restoring"

    def __init__(self, place: Place) -> None:
        super().__init__(place)
        self.source = place.folder / "source.dip"
        filled(str(self.source))
        with opened(str(self.source), create=False) as store:
            self.wanted = contents(store)

    def prepare(self, number: int) -> None:
        self.address = self.place.fresh()
        if number % 2:
            opened(self.address).close()

    def work(self, say: Say) -> None:
        restore(self.source, self.address, system_clock)

    def check(self, said: list[str], *, done: bool) -> None:
        try:
            with opened(self.address, create=False) as store:
                self.sound(store)
                if store.books() or store.names() or store.set_aside_list():
                    assert contents(store) == self.wanted
                    self.acknowledged += done
                    return
        except NotFound:
            pass
        assert not done
        restore(self.source, self.address, system_clock)
        with opened(self.address, create=False) as store:
            assert contents(store) == self.wanted

    def close(self) -> None:
        self.source.unlink()


# ---------------------------------------------------------------------- migrating


def _tallies(connection: Connection) -> None:
    connection.exec_driver_sql("CREATE TABLE tallies (book TEXT NOT NULL PRIMARY KEY, facts INTEGER NOT NULL)")
    connection.exec_driver_sql("INSERT INTO tallies SELECT book, count(*) FROM facts GROUP BY book")


def _tongues(connection: Connection) -> None:
    connection.exec_driver_sql("CREATE TABLE others (key TEXT NOT NULL PRIMARY KEY, name TEXT, tongue TEXT)")
    connection.exec_driver_sql("INSERT INTO others (key, name) SELECT key, name FROM names")
    connection.exec_driver_sql("DROP TABLE names")
    connection.exec_driver_sql("ALTER TABLE others RENAME TO names")
    connection.exec_driver_sql("CREATE INDEX names_tongue ON names (tongue)")


Step = tuple[str, Callable[[Connection], None]]
LATER: Final[tuple[Step, ...]] = (("8001 tallies", _tallies), ("8002 tongues", _tongues))
"""Two migrations of a later program: a table filled from the record, and one made anew with a column more."""


@contextmanager
def program_of(steps: Sequence[Step]) -> Iterator[None]:
    """An earlier or a later program: the one that knows these steps."""
    now = schema.STEPS
    for module in (schema, opening, verify):
        vars(module)["STEPS"] = tuple(steps)
    try:
        yield
    finally:
        for module in (schema, opening, verify):
            vars(module)["STEPS"] = now


class Migrating(Trial):
    """The oldest store opened by a later program: each step wholly done and recorded, or not at all."""

    name = "migrating"

    def __init__(self, place: Place) -> None:
        super().__init__(place)
        self.old = place.folder / "old.dip"
        self.first, self.all = schema.STEPS[:1], (*schema.STEPS, *LATER)
        self._fill(str(self.old))

    def _fill(self, address: str) -> None:
        with program_of(self.first):
            filled(address, batches=12)
            with opened(address, create=False) as store:
                self.wanted = contents(store)

    def prepare(self, number: int) -> None:
        self.address = self.place.fresh()
        if self.place.kind == "SQLite":
            shutil.copy(self.old, self.address)
        else:
            self._fill(self.address)

    def work(self, say: Say) -> None:
        with program_of(self.all):
            opened(self.address, create=False).close()

    def check(self, said: list[str], *, done: bool) -> None:
        database = self.place.database(self.address)
        with database.reading() as connection:
            steps = schema.applied(connection) or ()
            tables = set(inspect(connection).get_table_names())
            columns = {column["name"] for column in inspect(connection).get_columns("names")}
        database.close()
        names = tuple(name for name, _ in self.all)
        assert steps == names[: len(steps)]
        assert len(steps) >= len(self.first)
        assert len(steps) == len(names) or not done
        assert ("tallies" in tables) == (LATER[0][0] in steps)
        assert ("tongue" in columns) == (LATER[1][0] in steps)
        assert "others" not in tables
        assert METADATA.tables.keys() <= tables or len(steps) < len(schema.STEPS)
        with program_of(self.all), opened(self.address, create=False) as store:
            self.sound(store)
            assert contents(store) == self.wanted
        self.acknowledged += done

    def close(self) -> None:
        self.old.unlink()


TRIALS: Final[tuple[type[Trial], ...]] = (Appending, Taking, Making, Migrating, BackingUp, Restoring)
