"""A reason carries the rule and the facts it rests on, and cannot be changed."""

from __future__ import annotations

import pytest

from dipmark.derive.because import Because


def test_a_reason_may_rest_on_no_source_and_no_fact() -> None:
    assert Because("why", "state.card") == Because("why", "state.card", None, ())


def test_a_reason_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        Because("why", "state.card").text = "because"  # type: ignore[misc]
