"""The store: one table of facts in chains, on SQLite or PostgreSQL. The only place that knows SQL."""

from __future__ import annotations

from dipmark.adapters.store.backup import backup, restore
from dipmark.adapters.store.kept import KeptTruck
from dipmark.adapters.store.opening import open_store
from dipmark.adapters.store.rows import Blob, SetAside
from dipmark.adapters.store.sign_in import Account, Device, Link, Session, SignIns
from dipmark.adapters.store.steps import ID_TAKEN
from dipmark.adapters.store.store import Appended, Store
from dipmark.adapters.store.verify import Progress

__all__ = [
    "ID_TAKEN",
    "Account",
    "Appended",
    "Blob",
    "Device",
    "KeptTruck",
    "Link",
    "Progress",
    "Session",
    "SetAside",
    "SignIns",
    "Store",
    "backup",
    "open_store",
    "restore",
]
