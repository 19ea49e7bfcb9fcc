"""How people and devices are known: accounts, sessions, devices, one-time links, wrong tries. No part of the record."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final

import msgspec
from sqlalchemy import Connection, RowMapping, delete, insert, select, update

from dipmark.adapters.store.database import Database
from dipmark.adapters.store.tables import ACCOUNTS, DEVICES, LINKS, SESSIONS, TRIES
from dipmark.facts.base import PersonKey

FORGOTTEN_US: Final = 86_400_000_000
"""A wrong try is forgotten after a day without another, in µs."""


class Account(msgspec.Struct, frozen=True, kw_only=True):
    """How one person proves who he is. Nothing here can be shown to anybody.

    Args:
        person: whose.
        passphrase: argon2id; None: none is set.
        badge: SHA-256 of the code on his badge; None: he has none.
        salt: of the PIN.
        pin_key: the PIN stretched with the salt; None: none is set.
    """

    person: PersonKey
    passphrase: str | None = None
    badge: str | None = None
    salt: bytes | None = None
    pin_key: bytes | None = None


class Session(msgspec.Struct, frozen=True, kw_only=True):
    """Somebody who has signed in.

    Args:
        token: SHA-256 of what his browser holds.
        person: who.
        began_us: when, in µs since 1970.
        seen_us: when he was last heard of, to a few minutes.
    """

    token: str
    person: PersonKey
    began_us: int
    seen_us: int


class Device(msgspec.Struct, frozen=True, kw_only=True):
    """A telephone or tablet that the yard knows.

    Args:
        token: SHA-256 of what it holds.
        id: by which people and sheets name it.
        name: what the yard calls it.
        by_key: who made it known.
        made_us: when, in µs since 1970.
    """

    token: str
    id: str
    name: str
    by_key: PersonKey
    made_us: int


class Link(msgspec.Struct, frozen=True, kw_only=True):
    """Something that can be done once by whoever holds the link.

    Args:
        token: SHA-256 of what stands in the link.
        what: ``owner``, ``passphrase`` or ``device``.
        subject: whose passphrase, or the name of the device.
        by_key: who made the link.
        until_us: when it ends, in µs since 1970.
    """

    token: str
    what: str
    subject: str
    by_key: PersonKey
    until_us: int


class SignIns:
    """All of it in one store.

    Args:
        database: the store's.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    # ------------------------------------------------------------------ accounts

    def accounts(self) -> tuple[Account, ...]:
        """Every account, by person."""
        with self._database.reading() as connection:
            rows = connection.execute(select(ACCOUNTS).order_by(ACCOUNTS.c.person)).mappings()
            return tuple(Account(**_fields(row)) for row in rows)

    def account(self, person: PersonKey) -> Account | None:
        """The account of a person."""
        with self._database.reading() as connection:
            row = connection.execute(select(ACCOUNTS).where(ACCOUNTS.c.person == person)).mappings().first()
            return None if row is None else Account(**_fields(row))

    def account_of_badge(self, badge: str) -> Account | None:
        """The account whose badge has that digest."""
        with self._database.reading() as connection:
            row = connection.execute(select(ACCOUNTS).where(ACCOUNTS.c.badge == badge)).mappings().first()
            return None if row is None else Account(**_fields(row))

    def put_account(self, account: Account) -> None:
        """Keep an account in place of what was kept of that person, and end every session of his."""
        with self._database.writing() as connection:
            connection.execute(delete(ACCOUNTS).where(ACCOUNTS.c.person == account.person))
            connection.execute(insert(ACCOUNTS), msgspec.structs.asdict(account))
            connection.execute(delete(SESSIONS).where(SESSIONS.c.person == account.person))

    # ------------------------------------------------------------------ sessions

    def begin(self, session: Session, oldest_us: int) -> None:
        """Begin a session; those begun before an instant are swept away."""
        with self._database.writing() as connection:
            connection.execute(delete(SESSIONS).where(SESSIONS.c.began_us < oldest_us))
            connection.execute(insert(SESSIONS), msgspec.structs.asdict(session))

    def session(self, token: str) -> Session | None:
        """The session of a token's digest."""
        with self._database.reading() as connection:
            row = connection.execute(select(SESSIONS).where(SESSIONS.c.token == token)).mappings().first()
            return None if row is None else Session(**_fields(row))

    def seen(self, token: str, now_us: int) -> None:
        """He was heard of."""
        with self._database.writing() as connection:
            connection.execute(update(SESSIONS).where(SESSIONS.c.token == token).values(seen_us=now_us))

    def end(self, token: str) -> None:
        """End a session."""
        with self._database.writing() as connection:
            connection.execute(delete(SESSIONS).where(SESSIONS.c.token == token))

    def end_all(self, person: PersonKey) -> None:
        """End every session of a person."""
        with self._database.writing() as connection:
            connection.execute(delete(SESSIONS).where(SESSIONS.c.person == person))

    # ------------------------------------------------------------------ devices

    def devices(self) -> tuple[Device, ...]:
        """Every device that is known, oldest first."""
        with self._database.reading() as connection:
            rows = connection.execute(select(DEVICES).order_by(DEVICES.c.made_us, DEVICES.c.id)).mappings()
            return tuple(Device(**_fields(row)) for row in rows)

    def device(self, token: str) -> Device | None:
        """The device of a token's digest."""
        with self._database.reading() as connection:
            row = connection.execute(select(DEVICES).where(DEVICES.c.token == token)).mappings().first()
            return None if row is None else Device(**_fields(row))

    def add_device(self, device: Device) -> None:
        """Make a device known."""
        with self._database.writing() as connection:
            connection.execute(insert(DEVICES), msgspec.structs.asdict(device))

    def drop_device(self, id_: str) -> bool:
        """Know a device no longer; True where it was known."""
        with self._database.writing() as connection:
            return connection.execute(delete(DEVICES).where(DEVICES.c.id == id_)).rowcount > 0

    # ------------------------------------------------------------------ one-time links

    def add_link(self, link: Link, now_us: int) -> None:
        """Keep a link; those that have ended, and any of the same kind about the same subject, go."""
        same = (LINKS.c.what == link.what) & (LINKS.c.subject == link.subject)
        with self._database.writing() as connection:
            connection.execute(delete(LINKS).where((LINKS.c.until_us <= now_us) | same))
            connection.execute(insert(LINKS), msgspec.structs.asdict(link))

    def drop_links(self, what: str, subject: str) -> None:
        """Let links of a kind about a subject hold no longer."""
        with self._database.writing() as connection:
            connection.execute(delete(LINKS).where((LINKS.c.what == what) & (LINKS.c.subject == subject)))

    def link(self, token: str, now_us: int) -> Link | None:
        """The link of a token's digest, while it holds."""
        with self._database.reading() as connection:
            return _link(connection, token, now_us)

    def use_link(self, token: str, now_us: int) -> Link | None:
        """The same, and it is used up: of two who come at once one gets it."""
        with self._database.writing() as connection:
            found = _link(connection, token, now_us)
            gone = connection.execute(delete(LINKS).where(LINKS.c.token == token)).rowcount
            return found if gone else None

    # ------------------------------------------------------------------ wrong tries

    def count_try(self, who: Sequence[str], now_us: int, paused: Callable[[str, int, int], int]) -> int:
        """Count a try as wrong until it proves right, before the secret is looked at: two at once are two.

        Args:
            who: account and address.
            now_us: now, in µs since 1970.
            paused: from one of them, how many tries were wrong and when the last was, until when nothing is heard.

        Returns:
            Until when nothing is listened to, in µs since 1970; then nothing was counted. 0: it was counted.
        """
        with self._database.writing() as connection:
            if not self._database.sqlite:
                connection.exec_driver_sql("LOCK TABLE tries IN EXCLUSIVE MODE")
            connection.execute(delete(TRIES).where(TRIES.c.last_us < now_us - FORGOTTEN_US))
            rows = connection.execute(select(TRIES).where(TRIES.c.who.in_(who)))
            before = {row.who: (row.wrong, row.last_us) for row in rows}
            until = max((paused(one, *said) for one, said in before.items()), default=0)
            if until > now_us:
                return until
            for one in sorted(set(who)):
                if one in before:
                    counted = update(TRIES).where(TRIES.c.who == one)
                    connection.execute(counted.values(wrong=before[one][0] + 1, last_us=now_us))
                else:
                    connection.execute(insert(TRIES), {"who": one, "wrong": 1, "last_us": now_us})
            return 0

    def tries(self, who: Sequence[str]) -> dict[str, tuple[int, int]]:
        """By account or address how many tries were wrong, and when the last was, in µs since 1970."""
        with self._database.reading() as connection:
            rows = connection.execute(select(TRIES).where(TRIES.c.who.in_(who)))
            return {row.who: (row.wrong, row.last_us) for row in rows}

    def forgive(self, account: str, address: str) -> None:
        """The try was right: the account's wrong tries are forgotten, of the address's this one."""
        with self._database.writing() as connection:
            connection.execute(delete(TRIES).where(TRIES.c.who == account))
            connection.execute(update(TRIES).where(TRIES.c.who == address).values(wrong=TRIES.c.wrong - 1))


def _fields(row: RowMapping) -> dict[str, Any]:
    return {str(name): value for name, value in row.items()}


def _link(connection: Connection, token: str, now_us: int) -> Link | None:
    held = (LINKS.c.token == token) & (LINKS.c.until_us > now_us)
    row = connection.execute(select(LINKS).where(held)).mappings().first()
    return None if row is None else Link(**_fields(row))
