from __future__ import annotations

from dipmark.facts.document import Document
from facts.bodies import FACT, PICTURE, READING, held, read, refused

FULL = {
    "kind": "document",
    "what": "job-sheet",
    "title": "Job 12",
    "number": "12",
    "issuer": "outside firm",
    "person": "bo",
    "valid_from": "2026-11-01",
    "valid_until": "2027-10-31",
    "fit": False,
    "lines": [
        {"answered": True, "duty": "loler", "fault": FACT, "service": "150h", "text": "chain", "until": "2026-12-01"},
        {"text": "see over"},
    ],
    "serials": [{"first": "A100", "last": "A199"}, {"first": "B7"}],
    "parts": [{"part": "oil-filter"}],
    "minutes": 95,
    "cost": {"amount": "310.40", "currency": "EUR"},
    "meter": READING,
    "pages": [PICTURE],
    "note": "signed",
}


def test_document() -> None:
    held(FULL)
    assert "what" in refused({**FULL, "what": "letter"})
    assert "valid_until" in refused({**FULL, "valid_until": "2027-10-31T00:00:00Z"})


def test_an_examiner_who_says_nothing_has_not_said_unfit() -> None:
    body = read({"kind": "document", "what": "examination", "title": "June"})
    assert isinstance(body, Document)
    assert body.fit is None
