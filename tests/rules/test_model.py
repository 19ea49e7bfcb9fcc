from __future__ import annotations

from decimal import Decimal

import msgspec

from dipmark.rules.model import Service
from rules.small import KIND, own, rules, shipped, window

REACH = rules().kinds["reach"]


def test_looked_up_by_id() -> None:
    assert REACH.check("chain.tension") is not None
    assert REACH.check("chain.none") is None
    assert REACH.service("100h") is not None
    assert REACH.service("1h") is None
    assert REACH.task("oil.change") is not None
    assert REACH.task("oil.none") is None
    assert REACH.checks[0].symptom("dead") is not None
    assert REACH.checks[0].symptom("none") is None
    assert rules().kind("reach") == REACH
    assert rules().kind("pallet") is None


def test_stop_worthy_when_any_symptom_is() -> None:
    horn, chain = REACH.checks
    assert horn.stop_worthy
    assert chain.stop_worthy
    assert not msgspec.structs.replace(chain, symptoms=chain.symptoms[1:]).stop_worthy
    assert [symptom.stop_worthy for symptom in chain.symptoms] == [True, False]


def test_what_is_not_on_the_truck_is_not_on_the_list() -> None:
    assert [check.id for check in REACH.checks_for(())] == ["chain.tension"]
    assert [check.id for check in REACH.checks_for(["cab", "beacon"])] == ["horn.heard", "chain.tension"]


def test_service_holds_what_it_includes() -> None:
    first, second = REACH.services
    assert [task.id for task in REACH.all_tasks(first)] == ["oil.change"]
    assert [task.id for task in REACH.all_tasks(second)] == ["oil.change", "chain.look"]


def test_service_takes_the_strictest_edge_of_each_task_it_adds() -> None:
    oil = REACH.tasks[0]
    tasks = tuple(
        msgspec.structs.replace(oil, id=f"t.{number}", window=one)
        for number, one in enumerate([window("10", "20", None), window("20", "10", "30"), window("5", "15", "25")])
    )
    kind = msgspec.structs.replace(REACH, tasks=(*tasks, oil))
    service = Service(id="x", text="x", tasks=("t.0", "t.1", "t.2"), source="x", mark="unverified")
    found = kind.window(service)
    assert [found.early_percent, found.late_percent, found.late_most_hours] == [Decimal(5), Decimal(10), Decimal(25)]


def test_worst_factor_counts_and_they_never_multiply() -> None:
    severe = {"hard": Decimal("0.7"), "harsh": Decimal("0.4")}
    service = Service(id="x", text="x", tasks=(), severe=severe, source="x", mark="unverified")
    assert service.factor(["hard", "harsh"]) == Decimal("0.4")
    assert service.factor(["hard"]) == Decimal("0.7")
    assert service.factor(["cab"]) == 1


def test_digest_depends_on_content_alone() -> None:
    assert rules(*shipped()).digest == rules(*reversed(shipped())).digest
    assert len(rules().digest) == 64
    written = rules(*shipped({"services": {"100h": {"interval_hours": 100.0}}}))
    assert written.digest == rules().digest
    assert rules(*shipped(), own({"text": "Our reach truck"})).digest != rules().digest
    assert KIND["text"] == "Reach truck"
