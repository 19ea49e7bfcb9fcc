"""What is called for, in words."""

from __future__ import annotations

from derive.builders import ENROLLED, truck
from derive.measuring import SHIPPED
from derive.test_called import BACK, HIT, KIND, LAID, NOW, worked
from dipmark.views.called import CalledRow, called_rows


def rows(text: str, enrolled: str = ENROLLED) -> tuple[CalledRow, ...]:
    return called_rows(truck(enrolled + text, NOW, KIND), SHIPPED)


def test_a_list_is_told_with_its_reason_and_what_stands_on_it() -> None:
    (found,) = rows(HIT)
    assert (found.service, found.text, found.why) == (
        "after-hit",
        "After a hit: every part looked at",
        "hit on 2026-02-01",
    )
    assert not found.waits
    assert any(text.startswith("Gas cylinder, bracket") for text in found.tasks)
    assert not any("Battery, its lock" in text for text in found.tasks)
    assert rows(HIT + worked("2026-02-02T08:00", "after-hit")) == ()


def test_a_laid_up_trucks_list_waits() -> None:
    assert [one.waits for one in rows(LAID)] == [True]
    assert [one.waits for one in rows(LAID + BACK)] == [False]


def test_a_kind_without_rules_has_no_lists() -> None:
    assert called_rows(truck(ENROLLED.replace("engine-pneumatic-lpg", "crane") + HIT, NOW, KIND), SHIPPED) == ()
