"""What is written at the desk: judged first, refused whole, dated as asked, signed by whoever is there."""

from __future__ import annotations

from decimal import Decimal

import pytest

from dipmark.facts.base import Reading
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.fault import Fault, Released
from dipmark.facts.meter import MeterChanged, MeterRead
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import Worked
from dipmark.office import enter
from dipmark.office.open import Office
from office.desk import LPG, airship, as_person, at, clean_walk, desk, now, state
from office.taking import NOW, bodies

MORNING = at("2026-11-20T05:00")
LATER = at("2026-11-20T05:30")


def codes_of(refusal: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [problem.code for problem in refusal.value.problems]


def repaired(office: Office, *faults: str, tests: tuple[str, ...] = ()) -> None:
    enter.repair(office, "7", faults, "mended", LATER, tests=tests, hours=None)


def released(office: Office, tests: tuple[str, ...] = ()) -> enter.Entered:
    return enter.release(office, "7", LATER, tests=tests, note=None)


def test_a_reading_is_the_hours_of_the_truck() -> None:
    with desk() as office:
        enter.read_meter(office, " 7 ", Decimal("1240.5"), MORNING)
        assert now(office).hours == Decimal("1240.5")
        (fact,) = bodies(office, MeterRead)
        assert fact.happened == MORNING.happened


def test_a_reading_goes_to_the_first_meter_unless_one_is_named() -> None:
    with desk() as office:
        enter.read_meter(office, "20", Decimal(10), MORNING)
        enter.read_meter(office, "20", Decimal(4), MORNING, "drive")
        assert [f"{life.name} {life.hours}" for life in now(office, "20").meters] == ["engine 10", "drive 4"]
        enter.work(office, "20", ["150h"], LATER, hours=Decimal(11), text=None, left_out=(), minutes=None)
        assert bodies(office, Worked)[0].body.meter == Reading(hours=Decimal(11), meter="engine")  # type: ignore[attr-defined]


def test_a_reading_that_falls_is_written_and_asked_about() -> None:
    with desk() as office:
        for day, hours in ((16, 1000), (17, 1006), (18, 1012)):
            enter.read_meter(office, "7", Decimal(hours), at(f"2026-11-{day}T05:00"))
        entered = enter.read_meter(office, "7", Decimal(100), MORNING)
        assert len(entered.accepted) == 1
        assert [problem.code for problem in entered.doubts] == ["meter-doubtful"]
        assert "last good 1012 h" in entered.doubts[0].message
        assert now(office).hours == 1012


def test_a_changed_meter_runs_on() -> None:
    with desk() as office:
        enter.read_meter(office, "7", Decimal(1000), at("2026-11-18T05:00"))
        enter.read_meter(office, "7", Decimal(0), MORNING, changed=True, changed_from=Decimal(1003))
        assert bodies(office, MeterChanged)
        assert now(office).hours == 1003


@pytest.mark.parametrize(("text", "hours"), [("1250", "1250"), ("1250,5", "1250.5"), ("1 250.5 h", "1250.5")])
def test_hours_are_read_as_people_write_them(text: str, hours: str) -> None:
    assert enter.hours_from(text) == Decimal(hours)


@pytest.mark.parametrize("text", ["", "abc", "1,250", "-5", "12 km", "nan", "1e9"])
def test_what_are_no_hours_is_refused(text: str) -> None:
    with pytest.raises(Refused) as refusal:
        enter.hours_from(text)
    assert refusal.value.problems


def test_a_fault_of_unknown_weight_stops_the_truck() -> None:
    with desk() as office:
        clean_walk(office, MORNING)
        assert state(office) == "checked"
        enter.report_fault(office, "7", "left chain slack", LATER)
        assert state(office) == "out-of-service"


@pytest.mark.parametrize(
    ("check", "symptom", "said", "weight"),
    [
        (None, None, "watch", "watch"),
        (None, None, None, "stop"),
        ("chain.sound", None, None, "stop"),  # the check at its worst
        ("ground.leaks", None, None, "now"),
        ("ground.leaks", None, "watch", "watch"),  # somebody looked, and says so
        ("ground.leaks", "wet", None, "repair-by"),
        ("ground.leaks", "fuel", "watch", "now"),  # never more lenient than the rules
        ("ground.leaks", "wet", "stop", "stop"),  # a person may be stricter
    ],
)
def test_how_serious_a_fault_is(check: str | None, symptom: str | None, said: str | None, weight: str) -> None:
    with desk() as office:
        enter.report_fault(office, "7", "seen", MORNING, check=check, symptom=symptom, seriousness=said)  # type: ignore[arg-type]
        (fact,) = bodies(office, Fault)
        assert fact.body.seriousness == weight  # type: ignore[attr-defined]


def test_days_to_mend_are_the_fewer_of_what_is_said_and_what_the_rules_say() -> None:
    with desk() as office:
        for days in (None, 3, 30):
            enter.report_fault(office, "7", "wet", MORNING, check="ground.leaks", symptom="wet", days=days)
        enter.report_fault(office, "7", "cover loose", MORNING, seriousness="repair-by", days=5)
        assert [fact.body.days for fact in bodies(office, Fault)] == [7, 3, 7, 5]  # type: ignore[attr-defined]
        with pytest.raises(Refused) as refusal:
            enter.report_fault(office, "7", "cover loose", MORNING, seriousness="repair-by")
        assert codes_of(refusal) == ["days-missing"]


def test_a_fault_that_the_rules_do_not_know_is_named() -> None:
    with desk() as office:
        with pytest.raises(NotFound, match=r"no check chain.soun\. Is it .*chain\.sound"):
            enter.report_fault(office, "7", "x", MORNING, check="chain.soun")
        with pytest.raises(NotFound, match=r"no check zzz\. See"):
            enter.report_fault(office, "7", "x", MORNING, check="zzz")
        with pytest.raises(NotFound, match=r"chain\.sound knows no zzz\. It knows: plate"):
            enter.report_fault(office, "7", "x", MORNING, check="chain.sound", symptom="zzz")
        with pytest.raises(Refused, match="the check it belongs to"):
            enter.report_fault(office, "7", "x", MORNING, symptom="plate")
        enter.report_fault(office, airship(office), "x", MORNING, check="gasbag", symptom="flat")  # no rules, no judge
        assert len(bodies(office, Fault)) == 1


@pytest.mark.parametrize("words", ["", "  ", "a\x00b", "a\udcff", "x" * 4001])
def test_words_are_needed_and_must_be_writable(words: str) -> None:
    with desk() as office:
        with pytest.raises(Refused):
            enter.report_fault(office, "7", words, MORNING)
        with pytest.raises(Refused):
            enter.stop(office, "7", words, MORNING)
        with pytest.raises(Refused):
            repaired(office, words)
        assert len(office.store.book(now(office).book)) == 1


def test_hours_that_no_record_may_hold_are_refused() -> None:
    with desk() as office, pytest.raises(Refused) as refusal:
        enter.read_meter(office, "7", Decimal(10) ** 12, MORNING)
    assert codes_of(refusal) == ["number-unbounded"]


def test_a_truck_nobody_knows_is_not_written_about() -> None:
    with desk() as office, pytest.raises(NotFound, match=r"No truck 77 is enrolled\. Is it 7"):
        enter.stop(office, "77", "leak", MORNING)


def test_a_truck_is_enrolled_once() -> None:
    with desk() as office:
        with pytest.raises(Refused) as refusal:
            enter.enrol(office, " 7", Enrolled(what=LPG), MORNING)
        assert codes_of(refusal) == ["enrolled-already"]


def test_a_card_hangs_until_the_release() -> None:
    with desk() as office:
        enter.stop(office, "7", "hit a rack", MORNING)
        clean_walk(office, MORNING)
        assert state(office) == "out-of-service"
        released(office)
        assert state(office) == "checked"
        with pytest.raises(Refused) as refusal:
            released(office)
        assert codes_of(refusal) == ["nothing-open"]


def test_release_is_refused_while_a_stopping_fault_is_open_or_not_tested() -> None:
    with desk() as office:
        clean_walk(office, MORNING)
        enter.report_fault(office, "7", "plate cracked", MORNING, check="chain.sound", symptom="plate")
        with pytest.raises(Refused) as refusal:
            released(office)
        assert codes_of(refusal) == ["not-mended"]
        repaired(office)
        with pytest.raises(Refused) as refusal:
            released(office)
        assert codes_of(refusal) == ["not-tested"]
        assert not bodies(office, Released)
        assert state(office) == "out-of-service"
        released(office, tests=("lift-test",))
        assert state(office) == "checked"


def test_a_test_recorded_with_the_repair_is_enough() -> None:
    with desk() as office:
        enter.report_fault(office, "7", "plate cracked", MORNING, check="chain.sound", symptom="plate")
        repaired(office, tests=("lift-test",))
        released(office)
        assert state(office) == "not-checked"


def test_faults_are_meant_by_check_by_words_or_by_the_end_of_their_id() -> None:
    with desk() as office:
        enter.report_fault(office, "7", "Seat torn", MORNING, seriousness="watch")
        enter.report_fault(office, "7", "plate cracked", MORNING, check="chain.sound", symptom="plate")
        enter.report_fault(office, "7", "lamp out", MORNING, seriousness="watch")
        with pytest.raises(Refused, match=r"Seat torn; chain\.sound: plate cracked"):
            repaired(office, "horn")
        repaired(office, "seat TORN", "chain.sound")
        assert [fault.text for fault in now(office).faults if fault.mended is None] == ["lamp out"]
        repaired(office, now(office).faults[2].ref[-8:])
        with pytest.raises(Refused, match="Nothing to mend"):
            repaired(office)
        with pytest.raises(Refused, match="Open: none"):
            repaired(office, "seat")


def test_a_service_is_noted_with_hours_and_starts_its_interval_again() -> None:
    with desk() as office:
        entered = enter.work(
            office, "7", ["150 hr service"], MORNING, hours=Decimal(150), text="oil", left_out=(), minutes=40
        )
        assert entered.doubts == ()
        (due,) = [due for due in now(office).dues if due.service == "150h"]
        assert due.state == "later"
        assert due.hours == 300


def test_a_service_that_is_none_is_refused_and_one_the_rules_do_not_know_is_asked_about() -> None:
    with desk() as office:
        with pytest.raises(Refused, match="'banana'; expected 8h, "):
            enter.work(office, "7", ["banana"], MORNING, hours=None, text=None, left_out=(), minutes=None)
        entered = enter.work(office, "7", ["275h"], MORNING, hours=None, text=None, left_out=(), minutes=None)
        assert [problem.code for problem in entered.doubts] == ["service-not-in-rules"]
        airship(office)
        assert not enter.work(office, "99", ["250h"], MORNING, hours=None, text=None, left_out=("x",), minutes=1).doubts
        with pytest.raises(Refused, match="a number of hours"):
            enter.work(office, "99", ["banana"], MORNING, hours=None, text=None, left_out=(), minutes=None)


def test_a_task_left_out_leaves_the_service_open() -> None:
    with desk() as office:
        kind = office.rules.kind(LPG)
        assert kind is not None
        service = kind.service("150h")
        assert service is not None
        task = service.tasks[0]
        for wrong in (task[:-1], "zzz"):
            with pytest.raises(Refused) as refusal:
                enter.work(office, "7", ["150h"], MORNING, hours=None, text=None, left_out=(wrong,), minutes=None)
            assert codes_of(refusal) == ["task-unknown"]
        enter.work(office, "7", ["150h"], MORNING, hours=None, text=None, left_out=(task,), minutes=None)
        (due,) = [due for due in now(office).dues if due.service == "150h"]
        assert due.hours == 150


def test_a_lock_is_taken_off_by_the_one_who_put_it_on() -> None:
    with desk() as office:
        enter.begin(office, "7", "hoses", MORNING)
        as_person(office, "Bo")
        with pytest.raises(Refused, match="lock of Ana on truck 7; expected Ana to take it off, not Bo") as refusal:
            enter.end(office, "7", LATER, exception=None)
        assert codes_of(refusal) == ["not-your-lock"]
        enter.begin(office, "7", None, MORNING)
        enter.end(office, "7", LATER, exception=None)
        assert [lock.text for lock in now(office).locks] == ["hoses"]
        enter.end(office, "7", LATER, exception="Ana went home ill; looked round, nobody there")
        assert now(office).locks == ()
        with pytest.raises(Refused, match="with no lock"):
            enter.end(office, "7", LATER, exception=None)


def test_a_hard_problem_stops_all_that_is_written_together() -> None:
    with desk() as office:
        good = office.fact(now(office).book, MeterRead(hours=Decimal(5)), NOW)
        bad = office.fact(now(office, "12").book, Enrolled(what="reach"), NOW)
        with pytest.raises(Refused):
            enter.enter(office, [good, bad])
        assert bodies(office, MeterRead) == []


def test_a_clock_set_back_hides_nothing() -> None:
    with desk() as office:
        enter.stop(office, "7", "leak", MORNING)
        early = at("2026-11-01T05:00").happened
        office.clock = lambda: early
        enter.enter(office, [office.fact(now(office).book, Released(), early)])
        assert state(office) == "out-of-service"


def test_a_day_alone_is_a_whole_local_day() -> None:
    with desk() as office:
        when = enter.day_of(at("2026-11-19T15:00").happened.date(), office)
        assert when.whole_day
        enter.read_meter(office, "7", Decimal(40), when)
        (fact,) = bodies(office, MeterRead)
        assert fact.whole_day
        assert fact.happened.isoformat() == "2026-11-19T00:00:00+00:00"
