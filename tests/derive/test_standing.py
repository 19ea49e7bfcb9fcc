"""What is kept of a truck is enough for the whole yard, and can be written down and read again."""

from __future__ import annotations

import msgspec

from derive.builders import NEW, truck
from dipmark.derive.standing import Standing, kept_of

READ = """
meter-read truck:7 2026-03-02T06:00:00+01:00 ana
  hours 100.5

fault truck:7 2026-03-02T07:00:00+01:00 ana
  text "mirror cracked"
  seriousness watch

fault truck:7 2026-03-02T08:00:00+01:00 ana
  text "seat torn"
  seriousness watch

worked truck:7 2026-03-02T09:00:00+01:00 ana
  mends - 00000000-0000-7000-8000-000000000003
"""
LAID_UP = """
held-by truck:7 2026-03-02T10:00:00+01:00 ana
  who laid-up
"""


def test_closed_faults_and_the_record_are_left_out() -> None:
    found = truck(NEW + READ, "2026-03-02T12:00:00")
    kept = kept_of(found)
    assert type(kept) is Standing
    assert [fault.text for fault in found.faults] == ["mirror cracked", "seat torn"]
    assert [fault.text for fault in kept.faults] == ["seat torn"]
    assert (kept.name, kept.hours, kept.dues, kept.state) == ("7", found.hours, found.dues, found.state)


def test_what_is_kept_reads_back_the_same() -> None:
    kept = kept_of(truck(NEW + READ + LAID_UP, "2026-03-02T12:00:00"))
    assert msgspec.msgpack.decode(msgspec.msgpack.encode(kept), type=Standing) == kept


def test_a_truck_that_is_laid_up_rests_until_it_is_woken() -> None:
    assert not truck(NEW + READ, "2026-03-02T12:00:00").resting
    assert truck(NEW + READ + LAID_UP, "2026-03-02T12:00:00").resting
    woken = LAID_UP + LAID_UP.replace("T10", "T11").replace("laid-up", "yard")
    assert not truck(NEW + READ + woken, "2026-03-02T12:00:00").resting
