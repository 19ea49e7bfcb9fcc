"""The clock, ids and keys."""

from __future__ import annotations

import uuid
from datetime import timedelta

from dipmark.adapters.clock import new_id, new_key, system_clock


def test_the_clock_says_utc_and_goes_on() -> None:
    first, second = system_clock(), system_clock()
    assert first.utcoffset() == timedelta(0)
    assert timedelta(0) <= second - first < timedelta(minutes=1)


def test_ids_are_of_version_7_sort_by_time_and_never_meet() -> None:
    ids = [new_id() for _ in range(1000)]
    assert {uuid.UUID(id_).version for id_ in ids} == {7}
    assert ids == sorted(set(ids))
    assert all(str(uuid.UUID(id_)) == id_ for id_ in ids)


def test_keys_say_nothing_and_never_meet() -> None:
    keys = {new_key() for _ in range(1000)}
    assert len(keys) == 1000
    assert {(len(key), key[:2]) for key in keys} == {(18, "p-")}
