"""The invented yard, opened by its lead hand at noon."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime

from demo.demo_yard import NOON, SEED
from dipmark.adapters.rulefiles import read_rules
from dipmark.adapters.store import open_store
from dipmark.demo import make_demo
from dipmark.demo.pen import ZONE
from dipmark.office.enter import When
from dipmark.office.open import Office


@contextmanager
def demo_desk(address: str = ":memory:") -> Iterator[Office]:
    """The yard, with Ruth Ashby at its desk."""
    now = datetime.fromisoformat(NOON).replace(tzinfo=ZONE)
    with open_store(address, clock=lambda: now, create=True) as store:
        office = Office(store, read_rules(), lambda: now)
        make_demo(office, now, seed=SEED)
        office.by = office.people.key_or_new("Ruth Ashby")
        yield office


def noon(office: Office) -> When:
    """Now."""
    return When(office.clock())
