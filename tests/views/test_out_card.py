"""The out-of-service card: why, and what has to be tested; without a reason in the record it is written by hand."""

from __future__ import annotations

from datetime import UTC

from dipmark.views.out_card import OutCard, out_card
from dipmark.views.paper import truck_head
from views.yards import ANA, RULES, instant, made

TRUCK = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
"""
STOPPED = (
    TRUCK
    + """
fault truck:7 2026-11-19T08:00:00+00:00 ana
  text "left chain slack"
  seriousness stop
  affects_safety true
  check chain.tension
  symptom slack
out-of-service truck:7 2026-11-19T08:05:00+00:00 ana
  reason "left chain slack"
"""
)


def card(text: str) -> OutCard:
    truck = made(text, "2026-11-20T08:00")
    head = truck_head(truck, "1-A", None, RULES, instant("2026-11-20T08:00"), UTC)
    return out_card(truck, RULES, ANA, head, UTC)


def test_a_card_says_why_since_when_and_by_whom() -> None:
    found = card(STOPPED)
    assert found.out
    assert any("left chain slack" in reason for reason in found.reasons)
    assert found.cards == (("left chain slack", "Thu 2026-11-19 08:05", "Ana Ruiz"),)
    assert found.retests == ("left chain slack",)
    assert found.verdict == "Take the key out, lock it away, tell the lead hand."


def test_of_a_truck_that_is_not_out_of_service_the_reason_is_left_to_the_pen() -> None:
    found = card(TRUCK)
    assert (found.out, found.reasons, found.cards, found.retests) == (False, (), (), ())
