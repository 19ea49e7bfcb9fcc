"""The due list on paper, with its kit: what a larger service holds is not laid out twice."""

from __future__ import annotations

from datetime import UTC, datetime

import msgspec

from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import YARD
from dipmark.facts.codec import chain
from dipmark.facts.notation import parse
from dipmark.rules.model import Rules, Service, rules_of
from dipmark.views.due_list import DueList, due_list
from dipmark.views.paper import yard_head
from views.yards import RULES

KIND = RULES.kinds["engine-pneumatic-lpg"]
KIT = {"engine-oil.change": (("filter",), ("oil",)), "walk-round.made": (("rag",), ())}


def rules_with(*more: Service) -> Rules:
    tasks = tuple(
        msgspec.structs.replace(task, parts=KIT[task.id][0], fluids=KIT[task.id][1]) if task.id in KIT else task
        for task in KIND.tasks
    )
    kind = msgspec.structs.replace(KIND, tasks=tasks, services=(*KIND.services, *more))
    return rules_of({kind.key: kind}, {}, RULES.sources, "1")


LARGE = msgspec.structs.replace(KIND.services[1], id="300h", includes=("8h", "150h"), interval_hours=None, months=2)
PLAIN, RICH = rules_with(), rules_with(LARGE)
NOW = datetime(2026, 11, 20, 8, tzinfo=UTC)


def truck(name: str, text: str, kind: str = KIND.key, rules: Rules = RICH) -> TruckNow:
    parsed = parse(f"enrolled truck:{name} 2026-01-05T08:00:00+00:00 ana\n  what {kind}\n  place hall\n{text}")
    assert not parsed.problems
    found = truck_now(chain(parsed.facts), rules, YardNow(), UTC, NOW)
    assert found is not None
    return found


def done(name: str, day: str, service: str, hours: int) -> str:
    return f'worked truck:{name} {day}T08:00:00+00:00 ana\n  services - {service}\n  meter {{"hours": "{hours}"}}\n'


def listed(*trucks: TruckNow, country: str | None = None, rules: Rules = RICH) -> DueList:
    head = yard_head(YARD, "1-A", None, RICH, NOW, UTC)
    return due_list(trucks, rules, country, head)


def test_what_is_late_comes_with_its_kit() -> None:
    found = listed(truck("7", done("7", "2026-03-01", "150h", 100), rules=PLAIN), rules=PLAIN)
    row = next(row for row in found.rows if row.what == "150h")
    assert (row.truck, row.place, row.now, row.state, row.pressing) == ("7", "hall", "100 h", "late", True)
    assert row.by_hours == "250 h – 265 h"
    assert row.by_date == "Wed 2026-04-01 – Sat 2026-04-04"
    assert row.minutes.endswith(" min")
    assert {kit.part: kit.wanted for kit in found.kit} == dict.fromkeys(("filter", "oil", "rag"), ("7 (150h)",))


def test_a_larger_service_brings_the_smaller_one_along() -> None:
    both = truck("7", done("7", "2026-02-01", "300h", 100))
    found = listed(both)
    pressing = {row.what for row in found.rows if row.pressing}
    assert {"150h", "300h"} <= pressing
    assert {kit.part for kit in found.kit} >= {"filter", "oil"}
    assert {wanted for kit in found.kit for wanted in kit.wanted} == {"7 (300h)"}


def test_what_is_not_known_asks_for_nothing() -> None:
    found = listed(truck("8", ""))
    assert {row.state for row in found.rows} == {"not known: ask"}
    assert {(row.by_hours, row.by_date) for row in found.rows} == {("", "")}
    assert found.kit == ()


def test_a_kind_without_rules_is_listed_without_kit() -> None:
    found = listed(truck("9", done("9", "2026-02-01", "300h", 100), kind="hovercraft"))
    assert found.kit == ()
    assert {row.minutes for row in found.rows} <= {""}


def test_the_law_is_named() -> None:
    assert "No country is set" in listed(truck("8", "")).law


def test_nothing_due_is_an_empty_list() -> None:
    assert listed().rows == ()
