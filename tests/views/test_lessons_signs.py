"""Signs of careless sheets, in words."""

from __future__ import annotations

import msgspec

from dipmark.derive.lessons.vigilance import Shown
from dipmark.facts.base import FactId, PersonKey
from dipmark.views.lessons_signs import WATCH, posted_words, shown_words

replace = msgspec.structs.replace


def test_signs() -> None:
    one = Shown(
        by=PersonKey("p-kim"), sign="missed", marked=6, of=7, others_marked=1, others_of=90, chance=1e-6,
        facts=(FactId("x"),), said=True,
    )  # fmt: skip
    assert shown_words(one, {PersonKey("p-kim"): "Kim"}) == (
        f"Kim: 6 of 7 faults called OK and found at the next service; of the others 1 of 90. {WATCH}"
    )
    quick = shown_words(replace(one, sign="quick", said=False), {})
    assert quick == "p-kim: 6 of 7 sheets made too quickly to have walked; of the others 1 of 90."


def test_a_sign_is_posted_with_its_rule() -> None:
    assert posted_words("meter-unread") == (
        "Sheets without hours: no hours on the sheet; fooled by a meter that cannot be read in the dark."
    )
    assert posted_words("quick").startswith("Sheets made too quickly to have walked: under ")
