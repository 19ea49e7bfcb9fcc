"""The sheet of a service prints what was counted or read on that very truck, with name and date, or a blank."""

from __future__ import annotations

from datetime import UTC

import msgspec
import pytest

from derive.measuring import PRESSED, SHIPPED, measured_truck
from derive.measuring import chain as measured_chain
from dipmark.derive.measured import MEASUREMENTS
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.codec import chain
from dipmark.facts.notation import parse
from dipmark.rules.model import Kind, Rules, rules_of
from dipmark.views.service_sheet import BLANK, MeasureBox, ServiceSheet, service_sheet
from views.yards import ANA, RULES, instant

TRUCK = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
"""
COUNTED = (
    TRUCK
    + """
plate-read truck:7 2026-03-02T09:00:00+00:00 ana
  values - {"name":"grease-fittings.rear-wheel-left","value":"2","source":"counted"}
  values - {"name":"grease-fittings.rear-wheel-right","value":"2","source":"counted"}
  values - {"name":"grease-fittings.steering-pivots","value":"4","source":"counted"}
"""
)


def greased() -> Rules:
    """Rules in which the 150-hour service greases and fills."""
    kind = RULES.kinds["engine-pneumatic-lpg"]
    plates = {"engine-oil.change": ("grease-fittings", "engine-oil")}
    tasks = tuple(msgspec.structs.replace(task, plate=plates.get(task.id, ())) for task in kind.tasks)
    return rules_of({kind.key: msgspec.structs.replace(kind, tasks=tasks)}, {}, RULES.sources, "1")


def made(text: str) -> TruckNow:
    parsed = parse(text)
    assert not parsed.problems
    found = truck_now(chain(parsed.facts), greased(), YardNow(), UTC, instant("2026-11-20T08:00"))
    assert found is not None
    return found


def sheet(text: str, service: str = "150h") -> ServiceSheet | None:
    return service_sheet(made(text), service, greased(), ANA)


def plates(text: str) -> list[str]:
    found = sheet(text)
    assert found is not None
    return [line.text for task in found.tasks for line in task.plate]


def test_a_count_of_this_truck_is_printed_with_name_and_date() -> None:
    """Eight fittings, two at each rear wheel and four at the steering pivots: common practice, no source."""
    grease, oil = plates(COUNTED)
    assert grease == (
        "grease fittings: 8 (rear wheel left 2, rear wheel right 2, steering pivots 4; "
        "counted by Ana Ruiz, Mon 2026-03-02)"
    )
    assert oil == f"engine oil: {BLANK}"


def test_without_a_count_there_is_a_blank() -> None:
    assert plates(TRUCK) == [f"grease fittings: {BLANK}", f"engine oil: {BLANK}"]


def test_the_last_count_of_each_place_stands() -> None:
    again = COUNTED + (
        "\nplate-read truck:7 2026-04-01T09:00:00+00:00 bo\n"
        '  values - {"name":"grease-fittings.steering-pivots","value":"6","source":"counted"}\n'
    )
    assert plates(again)[0].startswith("grease fittings: 10 (rear wheel left 2, rear wheel right 2, steering pivots 6;")
    assert "counted by bo, Wed 2026-04-01" in plates(again)[0]


@pytest.mark.parametrize(
    ("read", "printed"),
    [
        (
            '  values - {"name":"engine-oil","value":"5.5","unit":"l"}\n',
            "engine oil: 5.5 l (read off the plate by Ana Ruiz, Mon 2026-03-02)",
        ),
        (
            '  values - {"name":"engine-oil","value":"5.5","unit":"l","source":"manual"}\n'
            '  values - {"name":"engine-oil.filter","value":"0.5","unit":"l","source":"manual"}\n',
            "engine oil: 5.5 l, filter 0.5 l (read in its manual by Ana Ruiz, Mon 2026-03-02)",
        ),
        (
            '  values []\n  texts - {"name":"engine-oil","text":"10W-30"}\n  texts - {"name":"tyres","text":"solid"}\n',
            "engine oil: 10W-30 (read off the plate by Ana Ruiz, Mon 2026-03-02)",
        ),
    ],
)
def test_a_value_off_the_plate_or_the_manual_says_so(read: str, printed: str) -> None:
    assert plates(TRUCK + "\nplate-read truck:7 2026-03-02T09:00:00+00:00 ana\n" + read)[1] == printed


def test_the_sheet_holds_the_tasks_of_included_services_and_their_time() -> None:
    found = sheet(TRUCK)
    assert found is not None
    assert [task.id for task in found.tasks] == ["walk-round.made", "engine-oil.change"]
    assert (found.truck, found.service, found.minutes) == ("7", "150h", 20)


def test_no_such_service_and_no_rules_have_no_sheet() -> None:
    assert sheet(TRUCK, "1800h") is None
    assert sheet(TRUCK.replace("engine-pneumatic-lpg", "reach")) is None


# --- what is measured


def boxes(text: str, *names: str) -> tuple[MeasureBox, ...]:
    """The boxes of a task that measures these, on the shipped limits."""
    tasks = tuple(msgspec.structs.replace(task, measures=names) for task in PRESSED.tasks)
    kind = msgspec.structs.replace(PRESSED, tasks=tasks)
    rules = msgspec.structs.replace(SHIPPED, kinds={kind.key: kind})
    found = service_sheet(measured_truck(text, rules=rules), "50h", rules, ANA)
    assert found is not None
    return found.tasks[0].boxes


def test_a_measured_task_has_room_for_each_value_and_says_how() -> None:
    chains, forks = boxes("", "chain", "fork-heel", "fork-tips")
    assert [line.name for line in chains.lines] == ["chain"]
    assert [line.name for line in forks.lines] == ["fork-heel", "fork-tips"]
    assert (chains.lines[0].text, chains.lines[0].last) == ("Lift chain: length over so many pitches", None)
    subject = SHIPPED.subjects["chain"]
    assert (chains.how, chains.cautions) == (subject.how, tuple(caution.text for caution in subject.cautions))
    assert chains.limits == tuple(limit.text for limit in subject.limits.values())


def test_what_was_read_last_stands_beside_the_room() -> None:
    read = measured_chain("2026-11-01", "510.0") + measured_chain("2026-11-02", "510.5")
    (box,) = boxes(read, "chain")
    assert box.lines[0].last == "length 510.5 mm, pitches 20 count, pitch 25.4 mm, Mon 2026-11-02"


def test_nothing_measured_has_no_box() -> None:
    assert boxes("") == ()


@pytest.mark.parametrize("kind", SHIPPED.kinds.values(), ids=lambda kind: kind.key)
def test_what_a_task_or_a_check_asks_to_be_measured_can_be(kind: Kind) -> None:
    assert {name for task in kind.tasks for name in task.measures} <= set(MEASUREMENTS)
    asked = [check.asked for check in kind.checks if check.asked is not None]
    assert {one.quantity for one in asked} <= {*MEASUREMENTS, "hour-meter"}
    assert any(task.measures for task in kind.tasks)
