"""Faults that are open, cards that hang, locks that are on."""

from __future__ import annotations

from datetime import date

import pytest

from derive.builders import KIND, ZONE, at, counting, fid
from dipmark.derive.faults import Card, FaultNow, cards_now, faults_now, locks_now
from dipmark.rules.model import Kind

DAY = "2026-11-20"


def faults(text: str, kind: Kind | None = KIND) -> tuple[FaultNow, ...]:
    return faults_now(counting(text), kind, ZONE)


def fault(rest: str, hour: int = 7) -> str:
    return f'\nfault truck:7 {DAY}T{hour:02}:00:00+01:00 ana\n  text "seen"\n  {rest}\n'


def answers(*answers: str, hour: int = 7) -> str:
    lines = "".join(f"  answers - {answer}\n" for answer in answers)
    return f"\nwalk-round truck:7 {DAY}T{hour:02}:00:00+01:00 ana\n{lines}"


def seen(ref: str, now: str, hour: int = 8) -> str:
    return (
        f'\nwalk-round truck:7 {DAY}T{hour:02}:00:00+01:00 bob\n  open_faults - {{"fault": "{ref}", "now": "{now}"}}\n'
    )


def worked(ref: str, hour: int = 9, tests: str = "") -> str:
    return f'\nworked truck:7 {DAY}T{hour:02}:00:00+01:00 mia\n  mends - "{ref}"\n{tests}'


def released(*clears: str, hour: int = 10) -> str:
    lines = "".join(f'  clears - "{ref}"\n' for ref in clears)
    return f"\nreleased truck:7 {DAY}T{hour:02}:00:00+01:00 lead\n{lines}"


PASSED = '  tests - {"test": "brake-test", "passed": true}\n'
FAILED = '  tests - {"test": "road-test", "passed": false}\n'


# --- reported


def test_a_fault_keeps_the_seriousness_it_was_recorded_with() -> None:
    (one,) = faults(fault("seriousness watch"), None)
    assert str(one.ref) == str(one.fact) == fid(1)
    assert (one.text, one.seriousness) == ("seen", "watch")
    assert (one.since, one.by, one.open, one.stops) == (at(f"{DAY}T07:00:00"), "ana", True, False)


def test_later_rules_only_tighten_it() -> None:
    rule = "\n  check lamp.work\n  symptom "
    assert faults(fault("seriousness watch" + rule + "out"))[0].seriousness == "repair-by"
    assert faults(fault("seriousness stop" + rule + "dim"))[0].seriousness == "stop"
    assert faults(fault("seriousness now" + rule + "out"))[0].seriousness == "now"
    assert faults(fault("seriousness watch" + rule + "never-heard-of"))[0].seriousness == "watch"
    assert faults(fault("seriousness watch\n  check lamp.other\n  symptom out"))[0].seriousness == "watch"


@pytest.mark.parametrize("seriousness", ["watch", "repair-by", "stop", "now"])
def test_what_affects_safety_stops_the_truck(seriousness: str) -> None:
    (one,) = faults(fault(f"seriousness {seriousness}\n  affects_safety true"), None)
    assert one.stops
    assert one.seriousness == ("now" if seriousness == "now" else "stop")
    assert one.deadline is None


def test_what_the_rules_now_say_affects_safety_stops_the_truck() -> None:
    (one,) = faults(fault("seriousness watch\n  check tyre.pressure\n  symptom flat"))
    assert one.stops
    assert one.affects_safety
    assert one.source == "us-178-q7"


@pytest.mark.parametrize(
    ("rest", "kind", "deadline"),
    [
        ("seriousness repair-by\n  days 3", None, date(2026, 11, 23)),
        ("seriousness repair-by\n  days 30\n  check lamp.work\n  symptom out", KIND, date(2026, 11, 27)),
        ("seriousness repair-by\n  days 2\n  check lamp.work\n  symptom out", KIND, date(2026, 11, 22)),
        ("seriousness watch\n  check lamp.work\n  symptom out", KIND, date(2026, 11, 27)),
        ("seriousness repair-by", None, date(2026, 11, 20)),
    ],
)
def test_days_to_mend_are_local_days_and_the_fewest_count(rest: str, kind: Kind | None, deadline: date) -> None:
    (one,) = faults(fault(rest), kind)
    assert one.deadline == deadline
    assert one.due == at(f"{deadline.isoformat()}T00:00:00").replace(day=deadline.day + 1)


def test_an_answer_marked_as_a_fault_is_one() -> None:
    text = answers(
        '{"check": "brake.pedal", "mark": "fault", "symptom": "slack", "seriousness": "stop", "text": "to the floor"}',
        '{"check": "lamp.work"}',
        '{"check": "paint.gone", "mark": "unseen"}',
        '{"check": "horn.sound", "mark": "fault"}',
    )
    pedal, horn = faults(text)
    assert (pedal.ref, pedal.fact) == (f"{fid(1)}#brake.pedal", fid(1))
    assert pedal.text == "Look at brake.pedal: slack: to the floor"
    assert pedal.retest
    assert (horn.text, horn.seriousness, horn.source) == ("horn.sound", "stop", None)
    assert faults(text, None)[0].text == "brake.pedal: to the floor"


def test_a_fault_of_a_check_without_its_symptom_takes_the_source_of_the_check() -> None:
    assert faults(fault("seriousness watch\n  check lamp.work"))[0].source == "practice"


def test_what_the_driver_put_right_is_no_fault_where_he_may() -> None:
    soft = '{"check": "tyre.pressure", "mark": "fault", "symptom": "soft", "put_right": "inflated"}'
    assert faults(answers(soft)) == ()
    assert faults(answers(soft), None) == ()
    assert len(faults(answers(soft.replace('"soft"', '"flat"')))) == 1
    assert faults(answers(soft.replace('"soft"', '"odd"'))) == ()


@pytest.mark.parametrize(
    ("days", "deadline"),
    [(89, date(2027, 2, 17)), (90, date(2027, 2, 18)), (91, date(2027, 2, 18)), (999_999_999, date(2027, 2, 18))],
)
def test_no_repair_waits_longer_than_ninety_days(days: int, deadline: date) -> None:
    assert faults(fault(f"seriousness repair-by\n  days {days}"))[0].deadline == deadline


# --- what became of it


def test_worse_takes_a_truck_out_of_service_and_gone_ends_a_watched_fault() -> None:
    watch = fault("seriousness watch")
    assert faults(watch + seen(fid(1), "same"))[0].seriousness == "watch"
    assert faults(watch + seen(fid(1), "worse"))[0].seriousness == "stop"
    (gone,) = faults(watch + seen(fid(1), "gone"))
    assert (gone.open, gone.mended) == (False, fid(2))
    assert faults(watch + seen(fid(9), "worse") + seen(fid(9), "gone"))[0].open


def test_a_fault_to_be_mended_by_a_date_that_got_worse_does_not_wait() -> None:
    (one,) = faults(fault("seriousness repair-by\n  days 3") + seen(fid(1), "worse"))
    assert (one.seriousness, one.deadline, one.due) == ("stop", None, None)


def test_gone_without_a_repair_does_not_end_what_stops_or_has_a_date() -> None:
    assert faults(fault("seriousness stop") + seen(fid(1), "gone") + seen(fid(1), "worse"))[0].open
    assert faults(fault("seriousness repair-by\n  days 3") + seen(fid(1), "gone"))[0].open


def test_a_watched_fault_that_came_back_worse_is_open_again() -> None:
    (one,) = faults(fault("seriousness watch") + seen(fid(1), "gone") + seen(fid(1), "worse", 9))
    assert (one.open, one.stops, one.mended) == (True, True, None)


def test_a_repair_ends_what_does_not_stop_the_truck() -> None:
    (one,) = faults(fault("seriousness repair-by\n  days 3") + worked(fid(1)))
    assert (one.open, one.mended) == (False, fid(2))
    assert faults(fault("seriousness watch") + worked(fid(9)))[0].open


def test_what_stops_the_truck_stays_open_until_it_is_released_after_the_repair() -> None:
    stop = fault("seriousness stop")
    assert faults(stop + released())[0].open
    assert faults(stop + worked(fid(1)))[0].open
    (one,) = faults(stop + worked(fid(1)) + released())
    assert (one.open, one.mended, one.released) == (False, fid(2), fid(3))
    assert faults(stop + released(hour=8) + worked(fid(1)))[0].open


@pytest.mark.parametrize(("received", "open_"), [("10:00:00", False), ("10:00:00.000001", True)])
def test_a_release_made_before_the_receipt_of_a_fault_clears_it_only_by_name(received: str, open_: bool) -> None:
    text = fault("seriousness stop") + f"  @received {DAY}T{received}+01:00\n" + worked(fid(1))
    assert faults(text + released())[0].open is open_
    assert not faults(text + released(fid(1)))[0].open


def test_a_release_that_names_something_clears_only_that() -> None:
    two = fault("seriousness stop") + fault("seriousness stop") + worked(fid(1)) + worked(fid(2))
    assert [one.open for one in faults(two + released(fid(2)))] == [True, False]
    assert [one.open for one in faults(two + released(fid(2)) + released(fid(1), fid(2), hour=11))] == [False, False]


def test_a_second_repair_needs_its_own_test_and_release() -> None:
    first = fault("seriousness stop\n  check brake.pedal") + worked(fid(1), tests=PASSED)
    assert faults(first)[0].tested
    (again,) = faults(first + released() + worked(fid(1), 11))
    assert (again.open, again.tested, again.mended) == (True, False, fid(4))


def test_a_test_counts_only_where_all_were_passed() -> None:
    stop = fault("seriousness stop\n  check brake.pedal")
    assert not faults(stop + worked(fid(1), tests=PASSED + FAILED))[0].tested
    assert not faults(stop + worked(fid(1)))[0].tested


def _sheet(ref: str, answered: str) -> str:
    line = f'{{"text": "adjusted", "fault": "{ref}", "answered": {answered}}}'
    return f"\ndocument truck:7 {DAY}T09:30:00+01:00 lead\n  what job-sheet\n  title Sheet\n  lines - {line}\n"


def test_an_answered_line_of_a_paper_mends_a_fault() -> None:
    watch = fault("seriousness watch")
    assert faults(watch + _sheet(fid(1), "true"))[0].mended == fid(2)
    assert faults(watch + worked(fid(1)) + _sheet(fid(1), "true"))[0].mended == fid(2)
    assert faults(watch + _sheet(fid(1), "false"))[0].open
    assert faults(watch + _sheet(fid(9), "true"))[0].open


# --- cards


def card(hour: int = 7, received: str | None = None) -> str:
    own = "" if received is None else f"  @received {DAY}T{received}+01:00\n"
    return f'\nout-of-service truck:7 {DAY}T{hour:02}:00:00+01:00 ana\n  reason "oil"\n{own}'


def cards(text: str, as_of: str | None = None) -> list[str]:
    return [one.ref for one in cards_now(counting(text, as_of))]


def test_a_card_hangs_until_it_is_released() -> None:
    assert cards_now(counting(card())) == (Card(fid(1), "oil", at(f"{DAY}T07:00:00"), "ana"),)  # type: ignore[arg-type]
    assert cards(card() + released()) == []
    assert cards(card() + released() + card(11)) == [fid(3)]


@pytest.mark.parametrize(
    ("received", "hangs"), [("09:59:59.999999", False), ("10:00:00", False), ("10:00:00.000001", True)]
)
def test_a_release_made_before_the_receipt_of_a_card_does_not_clear_it(received: str, hangs: bool) -> None:
    assert (cards(card(7, received) + released()) == [fid(1)]) is hangs


def test_a_release_that_names_a_card_clears_it_whatever_the_clocks_say() -> None:
    assert cards(card(7, "12:00:00") + released(fid(1))) == []
    assert cards(card(11) + released(fid(1), hour=10)) == []
    assert cards(card() + released(fid(9))) == [fid(1)]


def test_a_phone_clock_ahead_can_neither_hide_a_stop_nor_lift_one() -> None:
    ahead = card(20, "08:00:00")
    assert cards(ahead, f"{DAY}T08:00:00") == [fid(1)]
    early = released(hour=20) + f"  @received {DAY}T07:30:00+01:00\n"
    assert cards(ahead + early) == [fid(1)]


def _incident(what: str) -> str:
    return f'\nincident truck:7 {DAY}T07:00:00+01:00 ana\n  what {what}\n  text "rack"\n'


@pytest.mark.parametrize("what", ["hit", "overload", "tip-over", "fire", "other"])
def test_a_hit_hangs_a_card_by_itself(what: str) -> None:
    (one,) = cards_now(counting(_incident(what)))
    assert one.text == f"{what}: rack"
    assert cards(_incident(what) + released()) == []


def test_a_near_miss_hangs_none() -> None:
    assert cards(_incident("near-miss")) == []


# --- locks


BEGUN = f"\nwork-begun truck:7 {DAY}T07:00:00+01:00 mia\n  text mast\n"


def ended(by: str, rest: str = "", hour: int = 8) -> str:
    return f"\nwork-ended truck:7 {DAY}T{hour:02}:00:00+01:00 {by}\n  begun {fid(1)}\n{rest}"


def locks(text: str) -> list[str]:
    return [one.begun for one in locks_now(counting(text))]


def test_a_lock_is_on_until_its_own_person_takes_it_off() -> None:
    (lock,) = locks_now(counting(BEGUN))
    assert (lock.begun, lock.by, lock.since, lock.text) == (fid(1), "mia", at(f"{DAY}T07:00:00"), "mast")
    assert locks(BEGUN + ended("bob")) == [fid(1)]
    assert locks(BEGUN + ended("mia")) == []


def test_a_lock_stays_on_while_not_all_are_clear_of_the_truck() -> None:
    assert locks(BEGUN + ended("mia", "  left not-clear\n")) == [fid(1)]


def test_the_owner_may_make_a_written_exception() -> None:
    assert locks(BEGUN + ended("lead", '  owners_exception "gone home, seen off the site"\n')) == []


def test_a_lock_once_off_is_not_put_on_again_by_another_mans_word() -> None:
    assert locks(BEGUN + ended("mia") + ended("bob", hour=9)) == []


def test_two_locks_are_two() -> None:
    assert locks(BEGUN + BEGUN + ended("mia")) == [fid(2)]


def test_a_release_takes_off_no_lock() -> None:
    assert locks(BEGUN + released()) == [fid(1)]
