from __future__ import annotations

from datetime import UTC, datetime

import pytest

from dipmark.facts.errors import (
    DipmarkError,
    ImportError_,
    NotAllowed,
    NotFound,
    Paused,
    Refused,
    RulesError,
    StoreError,
)
from dipmark.facts.problems import Problem


@pytest.mark.parametrize("kind", [DipmarkError, Refused, NotAllowed, NotFound, StoreError, RulesError, ImportError_])
def test_a_refusal_carries_its_sentence_and_its_problems(kind: type[DipmarkError]) -> None:
    problem = Problem("x", "a", "b")
    refusal = kind("No such truck: 7.", [problem])
    assert isinstance(refusal, DipmarkError)
    assert str(refusal) == "No such truck: 7."
    assert refusal.problems == (problem,)
    assert kind("No.").problems == ()


def test_a_pause_says_until_when() -> None:
    until = datetime(2026, 11, 20, 6, tzinfo=UTC)
    pause = Paused("Wait.", until)
    assert (str(pause), pause.until, pause.problems) == ("Wait.", until, ())
