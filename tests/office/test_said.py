"""All that is said is known, and all that is worked out for a reader is said in his language."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from datetime import datetime

import msgspec
import pytest

from demo.demo_yard import NOON, SEED
from dipmark.adapters.rulefiles import read_rules
from dipmark.adapters.store import open_store
from dipmark.demo import make_demo
from dipmark.demo.pen import ZONE
from dipmark.derive.because import Because
from dipmark.facts.said import SAID
from dipmark.office.look import page_of, truck, trucks
from dipmark.office.open import Office
from dipmark.office.said import said
from dipmark.rules.model import Rules
from dipmark.views.truck import TruckPage

FAR: str = "«"
"""Stands before everything that a made-up language says."""


def foreign() -> Rules:
    """The rules in a made-up language that says everything, each thing marked."""
    rules, words = read_rules(), {english: f"{FAR}{english}»" for english in said()}
    subjects = {id: msgspec.structs.replace(one, words=words) for id, one in rules.subjects.items()}
    return msgspec.structs.replace(rules, words=words, subjects=subjects, language="xx", wording="xx")


@pytest.fixture(name="office", scope="module")
def _office() -> Iterator[Office]:
    now = datetime.fromisoformat(NOON).replace(tzinfo=ZONE)
    with open_store(":memory:", clock=lambda: now, create=True) as store:
        office = Office(store, foreign(), lambda: now)
        make_demo(office, now, seed=SEED)
        yield office


def reasons(part: object) -> Iterator[Because]:
    """Every reason that stands anywhere in what was derived."""
    if isinstance(part, Because):
        yield part
    elif isinstance(part, tuple | list):
        for one in part:
            yield from reasons(one)
    elif isinstance(part, msgspec.Struct):
        for name in part.__struct_fields__:
            yield from reasons(getattr(part, name))


def test_every_module_has_entered_what_it_says() -> None:
    assert set(said()) == SAID.keys()
    told = "from dipmark.office.said import said; print('\\n'.join(said()))"
    fresh = subprocess.run([sys.executable, "-c", told], check=True, capture_output=True, text=True).stdout.splitlines()
    assert {"Checked, nothing found. Not an examination.", "Iron", "Mon", "past by {}"} <= set(fresh)
    assert len(fresh) > 600


def test_every_reason_is_in_the_readers_language(office: Office) -> None:
    names = [standing.name for standing in trucks(office, office.clock())]
    whole = (truck(office, name, office.clock()) for name in names)
    seen = [one for part in (*trucks(office, office.clock()), *whole) for one in reasons(part)]
    assert {one.rule.partition(".")[0] for one in seen} >= {"state", "due"}
    assert sorted({one.text for one in seen if FAR not in one.text}) == []


def plain(page: TruckPage) -> Iterator[str]:
    """What a page of a truck says of what was measured and read, and of what falls due."""
    for row in page.measures:
        yield from (row.words, row.text, row.because, *row.notes, *row.said.split(", "))
        yield from () if row.gauge is None else (row.gauge.what,)
        yield from () if row.wear is None else (row.wear.text, *row.wear.doubtful)
    yield from (*(one.text for one in page.doubts), *(one.text for one in page.uses))
    yield from (text for fault in page.faults for text in (fault.words, fault.since))
    gauges = (gauge.what for gauge in page.row.gauges)
    yield from (page.row.words, page.row.key, *(what for what in gauges if not what.removesuffix("h").isdecimal()))


def test_what_was_measured_is_said_in_the_readers_language(office: Office) -> None:
    names = [standing.name for standing in trucks(office, office.clock())]
    texts = [text for name in names for text in plain(page_of(office, name, office.clock()))]
    assert len(texts) > 100
    assert sorted({text for text in texts if FAR not in text}) == []
