"""The clock, the ids and the keys: the only place that reads the time or draws random numbers for the record."""

from __future__ import annotations

import base64
import secrets
import time
from collections.abc import Callable
from datetime import UTC, datetime

import uuid6

from dipmark.facts.base import FactId, PersonKey


def system_clock() -> datetime:
    """Now, in UTC."""
    return datetime.now(UTC)


def stopwatch() -> Callable[[], int]:
    """A watch that runs from here on; asked, it says how many whole seconds have gone."""
    begun = time.monotonic()
    return lambda: int(time.monotonic() - begun)


def new_id() -> FactId:
    """A new id for a fact: a UUID of version 7, so that ids sort by the time they were made."""
    return FactId(str(uuid6.uuid7()))


def new_key() -> PersonKey:
    """A new key for a person; it says nothing about the person, and 80 random bits never meet again."""
    return PersonKey("p-" + base64.b32encode(secrets.token_bytes(10)).decode().lower())
