"""The job sheet: each task ticked or left out, what went in, what stays open."""

from __future__ import annotations

from derive.builders import ENROLLED, ZONE, truck
from derive.measuring import SHIPPED
from derive.test_called import HIT, KIND, NOW
from dipmark.derive.truck import TruckNow
from dipmark.facts.base import PersonKey
from dipmark.facts.work import Worked
from dipmark.rules.model import Rules
from dipmark.views.job_sheet import JobSheet, job_sheet
from dipmark.views.paper import truck_head

NAMES = {PersonKey("mia"): "Mia"}
WORK = """
worked truck:7 2026-02-02T10:00:00+01:00 mia
  services - after-hit
  left_out - forks.struck
  text "fork pair sent out"
  meter {"hours": "1234.5"}
  parts - {"part": "hose", "quantity": "2", "unit": "m", "serial": "K-1"}
  parts - {"part": "clamp"}
  tests - {"test": "road-test", "passed": true}
  tests - {"test": "brake-test", "passed": false}
  minutes 90
"""


def sheet(text: str, rules: Rules = SHIPPED, firm: str | None = None, number: int = -1) -> JobSheet:
    now: TruckNow = truck(ENROLLED + text, NOW, KIND)
    one, work = [(one, one.body) for one in now.counting if isinstance(one.body, Worked)][number]
    head = truck_head(now, "4-A", None, rules, one.effective, ZONE)
    return job_sheet(now, one, work, rules, NAMES, head, ZONE, firm)


def test_every_task_stands_ticked_or_left_out() -> None:
    found = sheet(HIT + WORK)
    assert found.services == ("After a hit: every part looked at",)
    left = [one.text for one in found.tasks if not one.done]
    assert [text[:6] for text in left] == ["Forks:"]
    assert len(found.tasks) > 8
    named = sheet(HIT + WORK.replace("  left_out - forks.struck\n", "  tasks - truck.tried\n"))
    assert [one.text[:6] for one in named.tasks if one.done] == ["Last, "]


def test_what_went_in_what_was_tested_and_how_long_it_took() -> None:
    found = sheet(HIT + WORK, firm="Tollgate")
    assert found.parts == ("hose × 2 m (K-1)", "clamp × 1")
    assert found.tests == (("road test", "held"), ("brake test", "did NOT hold"))
    assert (found.by, found.firm, found.minutes, found.hours) == ("Mia", "Tollgate", 90, "1,234.5 h")
    assert sheet(HIT + WORK + "  firm Quay\n", firm="Tollgate").firm == "Quay"
    bare = sheet("\nworked truck:7 2026-02-02T10:00:00+01:00 bo\n  services - 77h\n")
    assert (bare.by, bare.firm, bare.hours, bare.services, bare.tasks) == ("bo", "", "", ("77h",), ())


def test_it_says_that_it_releases_nothing() -> None:
    """29 CFR 1910.178(p)(1): out of service until restored, by authorised personnel."""
    found = sheet(HIT + WORK)
    assert found.out
    assert found.state == "Out of service"
    assert not sheet(WORK).out


def test_faults_it_mends_and_those_that_stay_open() -> None:
    fault = '\nfault truck:7 2026-02-01T10:00:00+01:00 dan\n  text "{}"\n  seriousness watch\n  affects_safety false\n'
    text = fault.format("lamp out") + fault.format("seat torn").replace("T10", "T11")
    first = truck(ENROLLED + text, NOW, KIND).faults[0].ref
    found = sheet(text + WORK + f'  mends - "{first}"\n')
    assert (found.mends, found.open) == (("lamp out",), ("seat torn",))


def test_what_was_measured_with_it_stands_on_it() -> None:
    depth = (
        "\nmeasured truck:7 2026-02-02T10:00:00+01:00 mia\n  subject nut-recheck\n"
        '  values - {"quantity": "since", "value": "5", "unit": "h"}\n'
        '  chosen - {"quantity": "last", "word": "fitted"}\n'
    )
    now = truck(ENROLLED + WORK + depth, NOW, KIND)
    one, work = next((one, one.body) for one in now.counting if isinstance(one.body, Worked))
    assert one.effective == now.counting[-1].effective
    head = truck_head(now, "4-A", None, SHIPPED, one.effective, ZONE)
    found = job_sheet(now, one, work, SHIPPED, NAMES, head, ZONE)
    assert isinstance(found.values, tuple)


def test_a_kind_without_rules_has_no_tasks() -> None:
    now = truck(ENROLLED.replace("engine-pneumatic-lpg", "crane") + WORK, NOW, KIND)
    one, work = next((one, one.body) for one in now.counting if isinstance(one.body, Worked))
    head = truck_head(now, "4-A", None, SHIPPED, one.effective, ZONE)
    found = job_sheet(now, one, work, SHIPPED, NAMES, head, ZONE)
    assert (found.services, found.tasks) == (("after-hit",), ())
