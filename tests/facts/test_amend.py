from __future__ import annotations

from dipmark.facts.amend import Corrected
from facts.bodies import FACT, held, refused

FULL = {
    "kind": "corrected",
    "target": FACT,
    "body": {"hours": "1240", "kind": "meter-read"},
    "reason": "digits swapped",
    "happened": "2026-11-20T05:55:00+01:00",
    "whole_day": True,
    "by": "ana",
}


def test_corrected() -> None:
    body = held(FULL)
    assert isinstance(body, Corrected)
    assert body.happened is not None
    assert body.happened.isoformat() == "2026-11-20T05:55:00+01:00"


def test_only_a_plain_fact_stands_in_a_correction() -> None:
    assert "body.kind" in refused({**FULL, "body": FULL})
    assert "body.kind" in refused({**FULL, "body": {"kind": "withdrawn", "target": FACT, "reason": "twice"}})


def test_a_corrected_time_has_its_offset() -> None:
    assert "timezone" in refused({**FULL, "happened": "2026-11-20T05:55:00"})


def test_withdrawn() -> None:
    held({"kind": "withdrawn", "target": FACT, "reason": "other truck"})
    assert "reason" in refused({"kind": "withdrawn", "target": FACT, "reason": ""})
