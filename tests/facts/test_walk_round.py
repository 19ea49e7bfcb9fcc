from __future__ import annotations

import pytest

from dipmark.facts.walk_round import WalkRound
from facts.bodies import FACT, PICTURE, READING, held, read, refused

ANSWER = {
    "check": "tyres.front",
    "mark": "fault",
    "symptom": "soft",
    "seriousness": "repair-by",
    "affects_safety": True,
    "days": 3,
    "text": "soft",
    "put_right": "inflated",
    "amount": "0.5",
    "amount_unit": "bar",
    "value": "6.80",
    "unit": "bar",
    "picture": PICTURE,
}
FULL = {
    "kind": "walk-round",
    "answers": [ANSWER, {"check": "horn"}, {"check": "forks", "mark": "unseen", "text": "loaded"}],
    "rules": PICTURE,
    "sheet": "after-hit",
    "open_faults": [{"fault": f"{FACT}#horn", "now": "worse", "text": "silent"}],
    "meter": READING,
    "seconds": 212,
    "letter": "K",
    "verdict": "restricted",
    "yard_verdict": "out-of-service",
    "doubts": ["letter K at the mast"],
    "paper": True,
    "pages": [PICTURE],
}


def test_walk_round() -> None:
    held(FULL)


def test_nothing_found_is_the_short_form() -> None:
    body = read({"kind": "walk-round", "answers": [{"check": "horn"}]})
    assert isinstance(body, WalkRound)
    assert (body.answers[0].mark, body.sheet, body.paper) == ("ok", "shift", False)


@pytest.mark.parametrize("sheet", ["full", "after-hit", "take-over", "after-shift"])
def test_every_list_of_checks_is_a_walk_round(sheet: str) -> None:
    read({"kind": "walk-round", "sheet": sheet})


@pytest.mark.parametrize(
    "change",
    [
        {"answers": [{**ANSWER, "mark": "fine"}]},
        {"answers": [{**ANSWER, "seriousness": "bad"}]},
        {"answers": [{**ANSWER, "days": -1}]},
        {"answers": [{"mark": "ok"}]},
        {"answers": ["horn"]},
        {"open_faults": [{"fault": FACT, "now": "better"}]},
        {"sheet": "weekly"},
        {"seconds": -1},
        {"paper": "true"},
        {"rules": "newest"},
    ],
)
def test_unfit_sheets_are_refused(change: dict[str, object]) -> None:
    assert next(iter(change)) in refused({**FULL, **change})
