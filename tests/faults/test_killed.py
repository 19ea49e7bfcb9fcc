"""Programs killed while they append and back up: no accepted fact is lost, and the store verifies each time.

``DIPMARK_TEST_KILLS`` sets how often; the short form is run by `make test`.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

from dipmark.adapters.clock import system_clock
from dipmark.adapters.store import open_store
from dipmark.facts.errors import StoreError

KILLS = int(os.environ.get("DIPMARK_TEST_KILLS", "30"))
CHILD = Path(__file__).with_name("child.py")


def test_no_accepted_fact_is_lost_to_a_kill(tmp_path: Path) -> None:
    rng = random.Random(20261120)
    path, accepted = tmp_path / "yard.dip", set[str]()
    for number in range(KILLS):
        process = subprocess.Popen(
            [sys.executable, str(CHILD), str(path), str(tmp_path), str(number)], stdout=subprocess.PIPE, text=True
        )
        assert process.stdout is not None
        process.stdout.readline()  # it has begun
        time.sleep(rng.uniform(0, 0.3))
        os.kill(process.pid, signal.SIGKILL)
        accepted |= set(process.communicate()[0].split())
        with open_store(str(path), clock=system_clock, create=False) as store:
            assert store.verify() == ()
            there = {item.fact.id for _, items in store.record() for item in items}
            assert accepted <= there
    backups = list(tmp_path.glob("backup-*.dip"))
    for backup in backups:
        with open_store(str(backup), clock=system_clock, create=False) as copy:
            assert copy.verify() == ()
    sys.stdout.write(f"{KILLS} kills, {len(accepted)} accepted facts, {len(backups)} whole backups, nothing lost\n")
    assert accepted
    assert backups


def test_a_program_killed_while_it_makes_a_store_leaves_none_or_a_whole_one(tmp_path: Path) -> None:
    rng = random.Random(7)
    for number in range(max(3, KILLS // 5)):
        path = tmp_path / f"yard{number}.dip"
        process = subprocess.Popen([sys.executable, str(CHILD), str(path), str(tmp_path), "0"], stdout=subprocess.PIPE)
        time.sleep(rng.uniform(0.2, 0.9))
        os.kill(process.pid, signal.SIGKILL)
        process.communicate()
        try:
            with open_store(str(path), clock=system_clock, create=True) as store:
                assert store.verify() == ()
        except StoreError as fault:  # a file that is there and is no whole store
            raise AssertionError(path) from fault
