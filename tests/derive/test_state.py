"""May the truck work? The precedence of the four states, their reasons, their edges."""

from __future__ import annotations

from datetime import timedelta

import pytest

from derive.builders import ENROLLED, KIND, NEW, RULES, SHIFTS, ZONE, at, counting, fid, record, truck
from dipmark.derive.days import day_end
from dipmark.derive.state import State, options_of
from dipmark.derive.yard import yard_now

TICK = timedelta(microseconds=1)
DAY = "2026-11-20"


def walk(rest: str = "", clock: str = "07:00:00", day: str = DAY) -> str:
    return f"\nwalk-round truck:7 {day}T{clock}+01:00 ana\n{rest}"


def answer(check: str, rest: str = "") -> str:
    return f'  answers - {{"check": "{check}"{rest}}}\n'


def state(text: str, as_of: str = f"{DAY}T08:00:00") -> State:
    return truck(ENROLLED + text, as_of).state


def texts(found: State) -> list[str]:
    return [reason.text for reason in found.reasons]


def fault(seriousness: str, rest: str = "", hour: int = 7) -> str:
    return f"\nfault truck:7 {DAY}T{hour:02}:10:00+01:00 ana\n  text lamp\n  seriousness {seriousness}\n{rest}"


CARD = f"\nout-of-service truck:7 {DAY}T07:30:00+01:00 ana\n  reason oil\n"
WORKED = f'\nworked truck:7 {DAY}T07:40:00+01:00 mia\n  mends - "{fid(3)}"\n'


# --- not checked, checked


def test_a_truck_nobody_walked_round_is_not_checked() -> None:
    found = state("")
    assert found.code == "not-checked"
    assert texts(found) == ["No walk-round is in the record. Walk round it before the key is turned."]
    assert (found.covered_until, found.holds_until) == (None, None)


def test_a_walk_round_covers_up_to_the_end_of_the_local_day_and_not_at_it() -> None:
    midnight = at("2026-11-21T00:00:00")
    found = state(walk())
    assert (found.code, found.covered_until, found.holds_until) == ("checked", midnight, midnight)
    assert texts(found) == ["Checked, nothing found. Not an examination."]
    assert state(walk(), f"{DAY}T23:59:59.999999").code == "checked"
    over = state(walk(), "2026-11-21T00:00:00")
    assert texts(over) == [f"The last walk-round was on {DAY}. Walk round it before the key is turned."]
    assert (over.code, over.holds_until, over.reasons[0].facts) == ("not-checked", None, (fid(2),))


def test_it_counts_exactly_when_it_was_made_and_not_before() -> None:
    assert state(walk(), f"{DAY}T07:00:00").code == "checked"
    assert state(walk(), f"{DAY}T06:59:59.999999").code == "not-checked"


def test_with_shifts_it_covers_its_shift() -> None:
    yard = yard_now(record(SHIFTS), at(DAY))
    for as_of, code in (("13:59:59", "checked"), ("14:00:00", "not-checked")):
        assert truck(ENROLLED + walk(), f"{DAY}T{as_of}", yard=yard).state.code == code


def test_a_walk_round_of_a_date_covers_that_day_whatever_the_shifts() -> None:
    yard = yard_now(record(SHIFTS), at(DAY))
    text = ENROLLED + walk(clock="00:00:00").replace("+01:00", "+01:00/day")
    assert truck(text, f"{DAY}T23:59:59", yard=yard).state.code == "checked"


def test_the_eight_hour_service_noted_as_done_is_a_walk_round() -> None:
    assert state(f"\nworked truck:7 {DAY}T07:00:00+01:00 mia\n  services - 8h\n").code == "checked"
    assert state(f"\nworked truck:7 {DAY}T07:00:00+01:00 mia\n  services - 150h\n").code == "not-checked"


def test_the_last_walk_round_counts() -> None:
    found = truck(ENROLLED + walk(day="2026-11-19") + walk(clock="06:00:00"), f"{DAY}T08:00:00")
    assert found.walk is not None
    assert (found.walk.fact, found.walk.by, found.walk.done) == (fid(3), "ana", at(f"{DAY}T06:00:00"))


def test_a_kind_without_rules_is_not_checked_whatever_was_done() -> None:
    found = truck(ENROLLED.replace("engine-pneumatic-lpg", "reach") + walk(), f"{DAY}T08:00:00")
    assert (found.state.code, found.walk) == ("not-checked", None)
    assert found.state.reasons[0].rule == "state.no-rules"


# --- what was asked and not seen


def test_what_could_not_be_checked_and_may_stop_the_truck_leaves_it_unchecked() -> None:
    unseen = answer("brake.pedal", ', "mark": "unseen", "text": "cab locked"')
    bare = answer("tyre.pressure", ', "mark": "unseen"')
    found = state(walk(unseen + bare))
    assert (found.code, found.holds_until) == ("not-checked", at("2026-11-21T00:00:00"))
    assert texts(found) == [
        "Look at tyre.pressure: could not be checked (no reason given). Check it before the key is turned.",
        "Look at brake.pedal: could not be checked (cab locked). Check it before the key is turned.",
    ]
    assert state(walk(answer("lamp.work", ', "mark": "unseen"'))).code == "checked"


ALL = "".join(answer(check) for check in ("tyre.pressure", "brake.pedal", "belt.seat", "lamp.work", "paint.gone"))


def test_a_list_of_todays_rules_must_be_whole_where_the_truck_may_be_stopped() -> None:
    rules = f"  rules {RULES.digest}\n"
    assert state(walk(rules + ALL)).code == "checked"
    found = state(walk(rules + ALL.replace(answer("brake.pedal"), "")))
    assert texts(found) == ["Look at brake.pedal: not answered. Check it before the key is turned."]
    assert state(walk(rules + ALL.replace(answer("lamp.work"), ""))).code == "checked"
    other = f"  rules {'0' * 64}\n"
    assert state(walk(other + ALL.replace(answer("brake.pedal"), ""))).code == "checked"


def test_what_is_not_on_the_truck_is_not_asked_for() -> None:
    assert options_of(counting(ENROLLED), KIND) == {"seat-belt"}
    assert options_of(counting(""), KIND) == {"seat-belt"}
    without = ENROLLED + "  options - cabin\n"
    assert options_of(counting(without), KIND) == {"cabin"}
    rest = f"  rules {RULES.digest}\n" + ALL.replace(answer("belt.seat"), "")
    assert truck(without + walk(rest), f"{DAY}T08:00:00").state.code == "checked"
    assert truck(ENROLLED + walk(rest), f"{DAY}T08:00:00").state.code == "not-checked"


# --- faults


def test_a_watched_fault_is_told_and_holds_nothing_up() -> None:
    found = state(walk() + fault("watch"))
    assert found.code == "checked"
    assert texts(found) == ["Checked, nothing that stops it. Not an examination.", "lamp: watch it."]


@pytest.mark.parametrize(
    ("as_of", "code"),
    [
        (f"{DAY}T08:00:00", "restricted"),
        ("2026-11-22T23:59:59.999999", "restricted"),
        ("2026-11-23T00:00:00", "out-of-service"),
    ],
)
def test_a_deadline_passes_at_the_end_of_its_last_local_day(as_of: str, code: str) -> None:
    text = walk() + fault("repair-by", "  days 2\n") + walk(day=as_of[:10], clock="00:00:00")
    found = state(text, as_of)
    assert found.code == code
    if code == "restricted":
        told = "lamp: to be mended by 2026-11-22; from the day after, the truck is out of service."
        assert found.holds_until == min(at("2026-11-23T00:00:00"), day_end(at(as_of).date(), ZONE))
    else:
        told = "lamp: was to be mended by 2026-11-22. Out of service until it is mended."
    assert texts(found) == [told]
    assert found.reasons[0].source == "practice"


def test_mended_in_time_or_after_it_no_longer_counts() -> None:
    text = walk() + fault("repair-by", "  days 0\n") + WORKED
    assert state(text).code == "checked"
    assert state(text + walk(day="2026-11-25"), "2026-11-25T08:00:00").code == "checked"


def test_what_stops_the_truck_says_what_clears_it() -> None:
    stop = walk() + fault("stop", "  check brake.pedal\n  symptom slack\n")
    found = state(stop)
    assert found.code == "out-of-service"
    assert texts(found) == ["lamp. To be mended by a competent person, tested and released."]
    assert (found.reasons[0].rule, found.reasons[0].source) == ("brake.pedal", "us-178-q7")
    assert texts(state(stop + WORKED)) == ["lamp. Mended; to be tested and released."]
    assert state(stop + WORKED).reasons[0].facts == (fid(3), fid(4))
    tested = WORKED + '  tests - {"test": "brake-test", "passed": true}\n'
    assert texts(state(stop + tested)) == ["lamp. Mended; to be released."]
    assert state(stop + tested + f"\nreleased truck:7 {DAY}T07:50:00+01:00 lead\n").code == "checked"


def test_a_fault_outside_the_rules_rests_on_the_law() -> None:
    found = state(walk() + fault("now"))
    assert texts(found) == ["lamp. To be mended by a competent person and released."]
    assert (found.reasons[0].rule, found.reasons[0].source) == ("state.fault", "us-178-p1")


def test_a_card_takes_the_truck_out_of_service() -> None:
    found = state(walk() + CARD)
    assert found.code == "out-of-service"
    assert texts(found) == ["oil. The key stays in the locked box until the truck is released."]
    assert (found.reasons[0].rule, found.reasons[0].facts) == ("state.card", (fid(3),))


# --- precedence


def test_out_of_service_goes_before_not_checked_before_restricted_before_checked() -> None:
    due = fault("repair-by", "  days 9\n")
    assert state(CARD + due).code == "out-of-service"
    assert state(due).code == "not-checked"
    assert state(walk() + due).code == "restricted"
    assert state(walk() + fault("watch")).code == "checked"
    assert len(state(walk() + CARD + fault("stop") + fault("now")).reasons) == 3


# --- services that are late


def test_a_late_service_changes_the_state_only_where_its_rule_says_so() -> None:
    checked = walk(day="2026-06-01")
    assert truck(NEW + checked, "2026-06-01T08:00:00").state.code == "checked"
    late = truck(NEW + walk(day="2026-12-01"), "2026-12-01T08:00:00").state
    assert late.code == "out-of-service"
    assert texts(late) == ["900h service is late: counted from new on 2026-01-01 at 2 h. Do it."]
    assert (late.reasons[0].rule, late.reasons[0].source, late.reasons[0].facts) == ("due.900h", "practice", (fid(1),))


def test_a_late_service_may_restrict() -> None:
    done = "\nworked truck:7 2026-12-20T06:00:00+01:00 mia\n  services - 900h\n"
    for as_of, code in (("2027-01-01T08:00:00", "checked"), ("2027-01-02T08:00:00", "restricted")):
        assert truck(NEW + done + walk(day=as_of[:10]), as_of).state.code == code


def test_the_state_holds_until_the_next_edge_of_a_service() -> None:
    for as_of, edge in (
        ("2026-01-02T08:00:00", "2026-01-29T00:00:00"),
        ("2026-01-29T00:00:00", "2026-02-01T00:00:00"),
        ("2026-02-01T00:00:00", "2026-02-05T00:00:00"),
    ):
        assert truck(NEW, as_of).state.holds_until == at(edge)


def test_after_the_last_edge_it_holds() -> None:
    assert truck(NEW, "2030-01-01T00:00:00").state.holds_until is None


def test_just_before_holds_until_nothing_has_changed() -> None:
    text = NEW + walk() + fault("repair-by", "  days 2\n") + fault("watch")
    instant = at(f"{DAY}T08:00:00")
    for _ in range(12):
        before = truck(text, instant.isoformat())
        if before.state.holds_until is None:
            break
        assert before.state.holds_until > instant
        just = truck(text, (before.state.holds_until - TICK).isoformat())
        assert (just.state, just.dues, just.faults) == (before.state, before.dues, before.faults)
        instant = before.state.holds_until
    else:
        raise AssertionError("no end of edges")
    assert truck(text, (instant + timedelta(days=900)).isoformat()).state == before.state
