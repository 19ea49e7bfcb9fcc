"""What falls due: hours and months, whichever first, windows and their edges, what restarts what."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import msgspec
import pytest

from derive.builders import ENROLLED, KIND, NEW, ZONE, counting, fid, truck
from derive.builders import service as made
from dipmark.derive.due import Due, due_now
from dipmark.derive.meter import meters_of
from dipmark.rules.choice import Alternative, Choice
from dipmark.rules.model import Kind


def dues(text: str, as_of: str) -> dict[str | None, Due]:
    return {due.service: due for due in truck(text, as_of).dues}


def read(day: str, hours: str) -> str:
    return f"\nmeter-read truck:7 {day}T06:00:00+01:00 ana\n  hours {hours}\n"


def worked(day: str, services: str, hours: str | None = None, rest: str = "") -> str:
    lines = "".join(f"  services - {service}\n" for service in services.split())
    reading = "" if hours is None else f'  meter {{"hours": "{hours}"}}\n'
    return f"\nworked truck:7 {day}T06:00:00+01:00 mia\n{lines}{reading}{rest}"


def n(text: str) -> Decimal:
    return Decimal(text)


# --- counted from new


def test_a_truck_that_came_new_counts_from_that_day_and_its_hours() -> None:
    oil = dues(NEW, "2026-01-02T06:00:00")["150h"]
    assert (oil.hours, oil.opens, oil.latest) == (n("152"), n("137"), n("167"))
    assert (oil.day, oil.opens_day, oil.latest_day) == (date(2026, 2, 1), date(2026, 1, 29), date(2026, 2, 4))
    assert (oil.state, oil.now, oil.last, oil.start) == ("later", n("2"), fid(1), n("2"))
    assert oil.because.text == "counted from new on 2026-01-01 at 2 h"
    assert (oil.because.rule, oil.because.source, oil.because.facts) == ("due.150h", "practice", (fid(1),))


@pytest.mark.parametrize(("hours", "known"), [("25", True), ("25.0", True), ("25.1", False)])
def test_more_than_delivery_hours_is_no_new_truck(hours: str, known: bool) -> None:
    found = dues(NEW.replace("start_hours 2", f"start_hours {hours}"), "2026-01-02T06:00:00")
    assert (found["150h"].state != "unknown") is known


@pytest.mark.parametrize("lack", ["  start_hours 2\n", "  commissioned 2026-01-01\n"])
def test_without_day_or_hours_nothing_says_that_it_came_new(lack: str) -> None:
    assert dues(NEW.replace(lack, ""), "2026-01-02T06:00:00")["150h"].state == "unknown"


def test_unknown_history_says_so_and_asks() -> None:
    text = ENROLLED + read("2026-01-05", "4000.0")
    for service, due in dues(text, "2026-01-06T06:00:00").items():
        assert (due.state, due.hours, due.day, due.now) == ("unknown", None, None, n("4000.0"))
        assert due.because.text == f"no {service} is in the record: say when it was last done"
        assert due.because.facts == ()


def test_a_walk_round_is_never_taken_for_done_on_a_new_truck() -> None:
    assert dues(NEW, "2026-01-02T06:00:00")["8h"].state == "unknown"


# --- edges


@pytest.mark.parametrize(
    ("service", "hours", "state"),
    [
        # rulings.md, windows: 150 h: 10 % early and late; common practice, no source.
        ("150h", "136.9", "later"),
        ("150h", "137.0", "open"),
        ("150h", "151.9", "open"),
        ("150h", "152.0", "due"),
        ("150h", "167.0", "due"),
        ("150h", "167.1", "late"),
        # 0 late where the strictest of its tasks is a chain, a fork, a brake, gas.
        ("450h", "406.9", "later"),
        ("450h", "407.0", "open"),
        ("450h", "451.9", "open"),
        ("450h", "452.0", "due"),
        ("450h", "452.1", "late"),
        # 10 % of 900 h would be 90 h: at most 25 h late.
        ("900h", "811.9", "later"),
        ("900h", "812.0", "open"),
        ("900h", "902.0", "due"),
        ("900h", "927.0", "due"),
        ("900h", "927.1", "late"),
        # No window at all.
        ("50h", "51.9", "later"),
        ("50h", "52.0", "due"),
        ("50h", "52.1", "late"),
    ],
)
def test_edges_by_hours(service: str, hours: str, state: str) -> None:
    done = worked("2026-02-10", "150h") if service == "900h" else ""
    day = "2026-02-20" if service == "900h" else "2026-01-25"
    assert dues(NEW + done + read(day, hours), f"{day}T07:00:00")[service].state == state


@pytest.mark.parametrize(
    ("as_of", "state"),
    [
        ("2026-01-28T23:59:59.999999", "later"),
        ("2026-01-29T00:00:00", "open"),
        ("2026-01-31T23:59:59.999999", "open"),
        ("2026-02-01T00:00:00", "due"),
        ("2026-02-04T23:59:59.999999", "due"),
        ("2026-02-05T00:00:00", "late"),
    ],
)
def test_edges_by_the_calendar_are_local_days(as_of: str, state: str) -> None:
    assert dues(NEW, as_of)["150h"].state == state


@pytest.mark.parametrize(
    ("as_of", "hours", "state"),
    [
        ("2026-01-20T07:00:00", "137.0", "open"),
        ("2026-01-30T07:00:00", "100.0", "open"),
        ("2026-01-30T07:00:00", "152.0", "due"),
        ("2026-02-02T07:00:00", "140.0", "due"),
        ("2026-02-02T07:00:00", "200.0", "late"),
        ("2026-02-09T07:00:00", "152.0", "late"),
    ],
)
def test_the_worse_of_hours_and_calendar_counts(as_of: str, hours: str, state: str) -> None:
    text = NEW + f"\nmeter-read truck:7 {as_of}+01:00 ana\n  hours {hours}\n"
    assert dues(text, as_of)["150h"].state == state


def test_hours_are_those_of_the_last_good_reading_not_projected() -> None:
    oil = dues(NEW + read("2026-01-10", "130.0") + read("2026-01-11", "900.0"), "2026-01-28T06:00:00")["150h"]
    assert (oil.state, oil.now) == ("later", n("130.0"))


# --- counted from the last time


def test_counted_from_the_last_time_it_was_done_early_or_late() -> None:
    for hours in ("137.0", "152.0", "240.0"):
        oil = dues(NEW + worked("2026-01-20", "150h", hours), "2026-01-21T06:00:00")["150h"]
        assert (oil.hours, oil.day, oil.last) == (n(hours) + 150, date(2026, 2, 20), fid(2))
        assert oil.because.text == f"counted from 150h on 2026-01-20 at {hours} h"


def test_a_higher_service_restarts_those_it_includes_and_no_higher_one() -> None:
    found = dues(NEW + worked("2026-01-20", "450h", "300.0"), "2026-01-21T06:00:00")
    assert [found[service].hours for service in ("8h", "150h", "450h", "900h")] == [308, 450, 750, 902]
    assert found["150h"].because.text == "counted from 450h on 2026-01-20 at 300.0 h"


def test_a_service_of_which_a_task_was_left_out_was_not_done_but_what_it_includes_was() -> None:
    left = "  left_out - chain.measure\n"
    found = dues(NEW + worked("2026-01-20", "450h", "300.0", left), "2026-01-21T06:00:00")
    assert [found[service].hours for service in ("150h", "450h")] == [450, 452]


def test_work_that_is_no_service_restarts_nothing() -> None:
    text = NEW + worked("2026-01-20", "", "300.0", '  text "horn"\n') + worked("2026-01-20", "99h", "300.0")
    assert dues(text, "2026-01-21T06:00:00")["150h"].hours == 152


def test_what_was_written_down_later_counts_by_when_it_was_done() -> None:
    late = worked("2026-01-20", "150h", "152.0") + "  @received 2026-03-01T06:00:00+01:00\n"
    text = NEW + worked("2026-02-10", "150h", "250.0") + late
    assert dues(text, "2026-03-02T06:00:00")["150h"].hours == 400


def test_without_a_reading_of_its_own_the_last_good_one_before_counts() -> None:
    text = NEW + read("2026-01-18", "140.0") + worked("2026-01-20", "150h") + read("2026-01-22", "150.0")
    oil = dues(text, "2026-01-23T06:00:00")["150h"]
    assert (oil.hours, oil.start, oil.now) == (n("290"), n("140"), n("150"))


def test_a_doubtful_reading_of_its_own_is_not_counted_from() -> None:
    text = NEW + read("2026-01-18", "140.0") + read("2026-01-19", "145.0") + worked("2026-01-20", "150h", "1490.0")
    assert dues(text + read("2026-01-21", "150.0"), "2026-01-22T06:00:00")["150h"].hours == 295


def test_a_walk_round_is_the_eight_hour_service() -> None:
    walk = '\nwalk-round truck:7 2026-01-20T06:00:00+01:00 ana\n  meter {"hours": "100.0"}\n'
    due = dues(NEW + walk, "2026-01-20T07:00:00")["8h"]
    assert (due.hours, due.opens, due.latest, due.day, due.state) == (n("108"), n("108"), n("108"), None, "later")
    assert due.because.text == "counted from walk-round on 2026-01-20 at 100.0 h"
    due = dues(NEW + walk + worked("2026-01-21", "8h", "105.0"), "2026-01-22T07:00:00")["8h"]
    assert due.hours == 113
    assert dues(NEW + walk, "2026-01-20T07:00:00")["150h"].hours == 152


def test_a_first_service_is_done_once() -> None:
    assert dues(NEW, "2026-01-05T06:00:00")["50h"].hours == 52
    assert "50h" not in dues(NEW + worked("2026-01-10", "50h", "49.0"), "2026-01-11T06:00:00")


def test_a_first_service_is_asked_only_of_a_truck_that_came_new() -> None:
    assert "50h" not in dues(ENROLLED + read("2026-01-02", "40.0"), "2026-01-05T06:00:00")


@pytest.mark.parametrize(("hours", "asked"), [("151.9", True), ("152.0", False)])
def test_a_first_service_loses_its_turn_when_the_next_longer_one_falls_due(hours: str, asked: bool) -> None:
    assert ("50h" in dues(NEW + read("2026-01-20", hours), "2026-01-21T06:00:00")) is asked


def _other(kind: Kind, text: str) -> dict[str | None, Due]:
    facts = counting(text)
    when = facts[-1].effective + timedelta(hours=1)
    return {due.service: due for due in due_now(facts, kind, meters_of(facts, ZONE), when, ZONE)}


def test_a_service_of_another_rhythm_with_all_its_tasks_counts_for_it() -> None:
    rhythm = Choice(id="rhythm", usual="slow", of=(Alternative(id="quick"), Alternative(id="slow")))
    quick = msgspec.structs.replace(made("150h", "engine-oil.change", 150), needs=("quick",))
    slow = msgspec.structs.replace(made("200h", "engine-oil.change", 200), needs=("slow",))
    kind = msgspec.structs.replace(KIND, services=(quick, slow), choices=(rhythm,))
    assert {id: due.hours for id, due in _other(kind, ENROLLED + worked("2026-01-20", "150h", "300.0")).items()} == {
        "200h": 500
    }
    told = ENROLLED + "  options - quick\n" + worked("2026-01-20", "200h", "300.0")
    assert {id: due.hours for id, due in _other(kind, told).items()} == {"150h": 450}


def test_a_service_that_names_no_meter_counts_on_the_first_the_truck_has_of_its_kinds() -> None:
    oil = msgspec.structs.replace(made("150h", "engine-oil.change", 150), meter=None)
    kind = msgspec.structs.replace(KIND, services=(oil,), meters=("key", "lift"))
    text = ENROLLED + '  meters - {"name": "main", "counts": "lift"}\n' + worked("2026-01-20", "150h", "300.0")
    assert _other(kind, text)["150h"].hours == 450
    assert _other(kind, text.replace("lift", "drive"))["150h"].hours is None


@pytest.mark.parametrize(
    ("done", "due"),
    [("284.9", 300), ("285.0", 450), ("299.0", 450), ("300.0", 450), ("310.0", 450), ("434.9", 450), ("435.0", 600)],
)
def test_on_a_grid_the_marks_stay_whether_it_is_done_early_or_late(done: str, due: int) -> None:
    oil = msgspec.structs.replace(made("150h", "engine-oil.change", 150), grid=True)
    kind = msgspec.structs.replace(KIND, services=(oil,))
    found = _other(kind, ENROLLED + worked("2026-01-20", "150h", done))["150h"]
    assert (found.hours, found.opens, found.latest) == (Decimal(due), Decimal(due - 15), Decimal(due + 15))


# --- months


@pytest.mark.parametrize(
    ("done", "oil", "chain"),
    [
        ("2026-01-31", date(2026, 2, 28), date(2026, 4, 30)),
        ("2028-01-31", date(2028, 2, 29), date(2028, 4, 30)),
        ("2027-11-30", date(2027, 12, 30), date(2028, 2, 29)),
    ],
)
def test_months_end_with_the_shorter_month(done: str, oil: date, chain: date) -> None:
    found = dues(NEW + worked(done, "450h"), f"{done}T08:00:00")
    assert (found["150h"].day, found["450h"].day) == (oil, chain)


def test_by_months_only_there_are_no_hours() -> None:
    hoses = dues(NEW, "2026-06-01T06:00:00")["12mo"]
    assert (hoses.hours, hoses.opens, hoses.latest) == (None, None, None)
    assert (hoses.day, hoses.opens_day, hoses.latest_day) == (date(2027, 1, 1),) * 3
    assert [dues(NEW, f"2027-01-0{day}T06:00:00")["12mo"].state for day in (1, 2)] == ["due", "late"]


def test_without_a_meter_months_alone_count() -> None:
    text = ENROLLED + worked("2026-01-20", "450h")
    found = dues(text, "2026-03-01T06:00:00")
    assert (found["150h"].hours, found["150h"].state) == (None, "late")
    assert found["150h"].because.text == "counted from 450h on 2026-01-20"
    assert found["8h"].state == "unknown"


# --- hard use


@pytest.mark.parametrize(
    ("uses", "hours", "day", "opens_day"),
    [
        ("  uses - hard\n", "107.0", date(2026, 1, 22), date(2026, 1, 20)),
        ("  uses - hard\n  uses - harsh\n", "62.0", date(2026, 1, 13), date(2026, 1, 12)),
        ("  uses - indoors\n  options - hard\n", "152", date(2026, 2, 1), date(2026, 1, 29)),
    ],
)
def test_the_worst_factor_of_hard_use_counts_and_they_never_multiply(
    uses: str, hours: str, day: date, opens_day: date
) -> None:
    oil = dues(NEW + uses, "2026-01-02T06:00:00")["150h"]
    assert (oil.hours, oil.day, oil.opens_day) == (n(hours), day, opens_day)


# --- which meter


def _two(first: str, second: str, engine: str) -> Due:
    text = ENROLLED + "".join(f"  meters - {meter}\n" for meter in (first, second))
    text += "\nworked truck:7 2026-01-20T06:00:00+01:00 mia\n  services - 150h\n"
    text += f'  meter {{"hours": "300.0", "meter": "{engine}"}}\n'
    return dues(text, "2026-01-21T06:00:00")["150h"]


def test_a_service_counts_on_the_meter_it_names() -> None:
    lift, engine = '{"name": "pump", "counts": "lift"}', '{"name": "clock", "counts": "engine"}'
    assert _two(lift, engine, "clock").hours == 450
    assert _two(engine, lift, "clock").hours == 450
    assert _two(lift, engine, "pump").hours is None


def test_a_meter_that_nobody_has_named_is_taken_for_the_usual_one() -> None:
    assert _two('{"name": "main"}', '{"name": "pump", "counts": "lift"}', "main").hours == 450


def test_another_kind_of_meter_is_never_taken_instead() -> None:
    text = ENROLLED + '  meters - {"name": "main", "counts": "key"}\n' + worked("2026-01-20", "150h", "300.0")
    oil = dues(text, "2026-01-21T06:00:00")["150h"]
    assert (oil.hours, oil.now, oil.day) == (None, None, date(2026, 2, 20))


def test_delivery_hours_are_those_of_the_first_meter_only() -> None:
    lift, engine = '{"name": "pump", "counts": "lift"}', '{"name": "clock", "counts": "engine"}'
    oil = dues(NEW + f"  meters - {lift}\n  meters - {engine}\n", "2026-01-02T06:00:00")["150h"]
    assert (oil.hours, oil.day, oil.because.text) == (None, date(2026, 2, 1), "counted from new on 2026-01-01")


# --- no rules


def test_a_kind_without_rules_has_unknown_services() -> None:
    text = ENROLLED.replace("engine-pneumatic-lpg", "reach")
    assert [(due.service, due.state) for due in truck(text, "2026-02-01").dues] == [(None, "unknown")]
    done = worked("2026-01-20", "500h 250h") + worked("2026-01-25", "250h")
    assert list(dues(text + done, "2026-02-01")) == ["250h", "500h"]


def test_a_record_without_an_enrolment_is_judged_by_plain_use() -> None:
    facts = counting(worked("2026-01-20", "150h", "300.0"))
    (oil,) = (
        due for due in due_now(facts, KIND, meters_of(facts, ZONE), facts[-1].effective, ZONE) if due.service == "150h"
    )
    assert oil.hours == 450
