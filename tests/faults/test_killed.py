"""Programs killed at their work: no accepted fact is lost, nothing is half, the store verifies each time.

``DIPMARK_TEST_KILLS`` sets how often; `make prove` does it ten thousand times (``bench/prove_record.py``).
"""

from __future__ import annotations

import os
import sys
from typing import Final

from faults.conftest import program
from faults.rounds import Outcome
from faults.trials import TRIALS

KILLS: Final = int(os.environ.get("DIPMARK_TEST_KILLS", "60"))


def test_nothing_is_lost_and_nothing_is_half(where: str) -> None:
    kills = KILLS if where == "sqlite" else KILLS // 2
    outcomes = program(Outcome, "killing", where, kills)
    for one in outcomes:
        sys.stdout.write(f"{one.work}, {one.store}: {one.kills} kills, {one.acknowledged} acknowledged\n")
    assert [one.work for one in outcomes[: len(TRIALS)]] == [trial.name for trial in TRIALS]
    assert len(outcomes) == len(TRIALS) + (where == "postgres")
    assert sum(one.kills for one in outcomes) >= kills
