"""Legal examinations: which, what proves them, when they lapse; at, inside and outside every edge."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import msgspec
import pytest

from derive.builders import ENROLLED, KIND, ZONE, at, fid, record
from dipmark.derive.duty import DutyNow
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.base import FactId
from dipmark.rules.duty import Duty, Sooner
from dipmark.rules.model import Rules, Source, rules_of
from dipmark.rules.value import Trucks

TICK = timedelta(microseconds=1)
WALK = "\nwalk-round truck:7 {day}T06:00:00+01:00 ana\n"


def duty(id: str = "examination", **change: Any) -> Duty:
    whole: dict[str, Any] = {
        "id": id,
        "country": "GB",
        "text": "Examined.",
        "who": "A competent person",
        "kept": "two years",
        "when_lapsed": "out-of-service",
        "every_months": 12,
        "source": "law",
        "mark": "seen",
    }
    return Duty(**{**whole, **change})


def rules(*duties: Duty) -> Rules:
    sources = {"law": Source(title="the law"), "practice": Source(title="common practice")}
    return rules_of({KIND.key: KIND}, {"GB": duties or (duty(),)}, sources, "1")


def truck(text: str, as_of: str, *duties: Duty, country: str | None = "GB") -> TruckNow:
    yard = YardNow(zone="Europe/Berlin", country=country)
    found = truck_now(record(ENROLLED + text), rules(*duties), yard, ZONE, at(as_of))
    assert found is not None
    return found


def paper(day: str, rest: str = "", *, duties: str = "examination", lines: str = "", what: str = "examination") -> str:
    text = f'\ndocument truck:7 {day}T10:00:00+01:00 lead\n  what {what}\n  title "Report"\n{rest}'
    return text + "".join(f'  lines - {{"text": "x", "duty": "{one}"}}\n' for one in duties.split()) + lines


def only(found: TruckNow) -> DutyNow:
    (one,) = found.duties
    return one


REPORT = paper("2026-01-31")


@pytest.mark.parametrize(
    ("as_of", "state", "code"),
    [
        ("2026-01-31T09:59:59", "unknown", "out-of-service"),
        ("2026-01-31T10:00:00", "later", "not-checked"),
        ("2026-12-30T23:59:59", "later", "not-checked"),
        ("2026-12-31T00:00:00", "open", "not-checked"),
        ("2027-01-30T23:59:59", "open", "not-checked"),
        ("2027-01-31T00:00:00", "due", "not-checked"),
        ("2027-01-31T23:59:59", "due", "not-checked"),
        ("2027-02-01T00:00:00", "late", "out-of-service"),
    ],
)
def test_every_edge_of_a_yearly_examination(as_of: str, state: str, code: str) -> None:
    found = truck(REPORT, as_of)
    assert (only(found).due.state, found.state.code) == (state, code)


def test_the_state_holds_until_the_midnight_after_the_last_day() -> None:
    text = REPORT + WALK.format(day="2027-01-31")
    shown = truck(text, "2027-01-31T12:00:00").state
    assert (shown.code, shown.holds_until) == ("checked", at("2027-02-01"))
    assert truck(REPORT, "2027-01-30T12:00:00").state.holds_until == at("2027-01-31")
    assert truck(REPORT, "2026-12-30T12:00:00").state.holds_until == at("2026-12-31")


def test_a_lapsed_one_says_what_until_when_and_what_clears_it() -> None:
    (reason,) = truck(REPORT, "2027-02-01").state.reasons
    assert reason.text == (
        "Examination: Report of 2026-01-31 held to 2027-01-31, 12 months. To be examined by a competent person; the "
        "report, filed with its date, clears it."
    )
    assert (reason.rule, reason.source, reason.facts) == ("duty.examination", "law", (fid(2),))
    again = truck(REPORT + paper("2027-02-01"), "2027-02-01T10:00:00")
    assert (again.state.code, only(again).due.day) == ("not-checked", at("2028-02-01").date())
    assert only(again).due.last == fid(3)


def test_no_proof_is_out_of_service_where_the_country_asks_one() -> None:
    found = truck(WALK.format(day="2026-03-02"), "2026-03-02T07:00:00")
    assert found.state.code == "out-of-service"
    (reason,) = found.state.reasons
    assert reason.text.startswith("Examination: no proof of it is in the record. To be examined by")
    due = only(found).due
    assert (due.service, due.state, due.day, due.hours, due.opens, due.latest) == (
        "examination",
        "unknown",
        None,
        None,
        None,
        None,
    )


@pytest.mark.parametrize("country", [None, "FR"])
def test_no_country_no_legal_duty(country: str | None) -> None:
    found = truck(WALK.format(day="2026-03-02"), "2026-03-02T07:00:00", country=country)
    assert (found.duties, found.state.code) == ((), "checked")


def test_a_milder_duty_is_late_and_the_state_stays() -> None:
    mild = duty(when_lapsed="nothing")
    lapsed = truck(REPORT, "2027-02-01", mild)
    assert (only(lapsed).due.state, only(lapsed).stops, lapsed.state.code) == ("late", None, "not-checked")
    assert truck("", "2027-02-01", mild).state.code == "not-checked"


@pytest.mark.parametrize(
    ("rest", "lines", "last", "why"),
    [
        ("  valid_until 2026-06-30\n", "", "2026-06-30", "the examiner's date"),
        ("  valid_until 2027-06-30\n", "", "2027-01-31", "12 months"),
        ("  valid_until 2027-01-31\n", "", "2027-01-31", "12 months"),
        ("", '  lines - {"text": "pin", "until": "2026-03-01"}\n', "2026-03-01", "the examiner's date"),
        ("", '  lines - {"text": "pin", "until": "2026-03-01", "answered": true}\n', "2027-01-31", "12 months"),
        ("", '  lines - {"text": "pin", "duty": "other", "until": "2026-03-01"}\n', "2027-01-31", "12 months"),
        (
            "",
            '  lines - {"text": "pin", "duty": "examination", "until": "2026-05-01"}\n',
            "2026-05-01",
            "the examiner's",
        ),
    ],
)
def test_an_examiners_date_counts_where_it_is_earlier_and_never_moves_the_laws(
    rest: str, lines: str, last: str, why: str
) -> None:
    due = only(truck(paper("2026-01-31", rest, lines=lines), "2026-02-01")).due
    assert str(due.day) == last
    assert why in due.because.text


def test_the_day_is_the_papers_and_never_after_its_filing() -> None:
    early = only(truck(paper("2026-03-10", "  valid_from 2026-01-31\n"), "2026-03-11"))
    late = only(truck(paper("2026-03-10", "  valid_from 2026-05-31\n"), "2026-03-11"))
    assert (str(early.due.day), str(late.due.day)) == ("2027-01-31", "2027-03-10")


def test_the_last_examination_counts_in_whatever_order_papers_were_filed() -> None:
    old = paper("2026-05-10", "  valid_from 2025-11-30\n")
    due = only(truck(paper("2026-04-30") + old, "2026-06-01")).due
    assert (str(due.day), due.last) == ("2027-04-30", fid(2))
    same_day = paper("2026-04-30") + paper("2026-04-30", "  valid_until 2026-07-01\n")
    assert only(truck(same_day, "2026-06-01")).due.last == fid(3)


def test_only_a_line_that_names_the_duty_proves_it() -> None:
    for other in (paper("2026-01-31", duties="other"), paper("2026-01-31", duties="")):
        assert only(truck(other, "2026-02-01")).due.state == "unknown"
    assert only(truck(paper("2026-01-31", what="certificate"), "2026-02-01")).due.state == "later"


@pytest.mark.parametrize("what", ["job-sheet", "bulletin", "warranty", "insurance", "manual", "other"])
def test_a_job_sheet_or_a_letter_proves_no_examination(what: str) -> None:
    found = truck(paper("2026-01-31", what=what), "2026-02-01")
    assert (only(found).due.state, found.state.code) == ("unknown", "out-of-service")


def test_a_duty_without_a_rhythm_is_counted_once_a_paper_sets_a_date() -> None:
    free = duty(every_months=None)
    assert truck("", "2026-02-01", free).duties == ()
    assert truck(REPORT, "2026-02-01", free).duties == ()
    dated = paper("2026-01-31", "  valid_until 2026-04-30\n")
    found = truck(dated, "2026-05-01", free)
    assert (str(only(found).due.day), only(found).due.state, found.state.code) == (
        "2026-04-30",
        "late",
        "out-of-service",
    )


def test_what_is_each_shifts_a_drivers_or_an_items_is_not_counted_here() -> None:
    others = (duty(each_shift=True), duty(about="driver"), duty(about="item"), duty(trucks=Trucks(kinds=("reach",))))
    assert truck("", "2026-02-01", *others).duties == ()


@pytest.mark.parametrize(
    ("rest", "last"),
    [
        ("", "2027-01-31"),
        ("  options - platform\n", "2026-07-31"),
        ("  uses - lifts-people\n", "2026-07-31"),
        ("  options - seat-belt\n", "2026-07-31"),
    ],
)
def test_options_and_uses_of_the_truck_choose_the_rhythm(rest: str, last: str) -> None:
    where = Trucks(where=("platform", "lifts-people", "seat-belt")) if rest else Trucks(where=("platform",))
    sooner = Sooner(id="people", months=6, trucks=where)
    found = truck_now(
        record(ENROLLED + rest + REPORT), rules(duty(sooner=(sooner,))), YardNow(country="GB"), ZONE, at("2026-02-01")
    )
    assert found is not None
    assert str(only(found).due.day) == last


def test_what_such_a_truck_usually_has_counts_until_somebody_has_said() -> None:
    belted = duty(trucks=Trucks(where=("seat-belt",)))
    assert len(truck("", "2026-02-01", belted).duties) == 1
    assert truck("  options - cab\n", "2026-02-01", belted).duties == ()


@pytest.mark.parametrize(("rest", "count"), [("", 0), ("  options - seat-belt\n", 1)])
def test_a_kind_without_rules_has_its_duties_all_the_same(rest: str, count: int) -> None:
    text = ENROLLED.replace("engine-pneumatic-lpg", "reach") + rest
    belted = duty(trucks=Trucks(where=("seat-belt",)))
    found = truck_now(record(text), rules(belted, duty("other")), YardNow(country="GB"), ZONE, at("2026-02-01"))
    assert found is not None
    assert len(found.duties) == 1 + count
    assert found.state.code == "out-of-service"


UNFIT = paper("2026-02-02", "  fit false\n")
FIT = "  fit true\n"


@pytest.mark.parametrize("country", [None, "GB"])
def test_an_examiners_no_stops_the_truck_whatever_the_country(country: str | None) -> None:
    found = truck(REPORT + UNFIT + WALK.format(day="2026-02-03"), "2026-02-03T07:00:00", country=country)
    assert found.state.code == "out-of-service"
    (reason,) = found.state.reasons
    assert reason.text.startswith("Report of 2026-02-02: the examiner says it is not fit. To be put right")
    assert (reason.rule, reason.source, reason.facts) == ("duty.unfit", "us-178-p1", (FactId(fid(3)),))


@pytest.mark.parametrize(
    ("later", "code"),
    [
        (paper("2026-02-05", FIT), "not-checked"),
        (paper("2026-02-02", FIT), "not-checked"),  # filed after it on the same day
        (paper("2026-02-05", FIT, duties="examination other"), "not-checked"),
        (paper("2026-02-05"), "out-of-service"),  # says nothing
        (paper("2026-02-05", FIT, duties="other"), "out-of-service"),  # of something else
        (paper("2026-02-05", FIT, what="certificate"), "out-of-service"),
        (paper("2026-02-05", FIT + "  valid_from 2026-02-01\n"), "out-of-service"),  # of the day before
        (paper("2026-02-05", "  fit false\n"), "out-of-service"),
    ],
)
def test_only_a_later_yes_on_the_same_ends_it(later: str, code: str) -> None:
    found = truck(REPORT + UNFIT + later, "2026-02-06")
    assert found.state.code == code
    assert (len(found.state.reasons), found.state.reasons[0].rule == "duty.unfit") == (1, code == "out-of-service")


def test_a_second_no_takes_the_place_of_the_first() -> None:
    found = truck(REPORT + UNFIT + paper("2026-02-05", "  fit false\n", duties="examination other"), "2026-02-06")
    assert [reason.facts for reason in found.state.reasons] == [(fid(4),)]


def test_a_corrected_paper_counts_as_corrected() -> None:
    fixed = f"\nwithdrawn truck:7 2026-02-03T07:00:00+01:00 lead\n  target {fid(2)}\n  reason slip\n"
    assert only(truck(REPORT + fixed, "2026-02-04")).due.state == "unknown"


def test_all_duties_come_in_the_order_of_the_rules() -> None:
    found = truck(paper("2026-01-31", duties="b a"), "2026-02-01", duty("a"), duty("b", every_months=6))
    assert [(one.duty.id, str(one.due.day)) for one in found.duties] == [("a", "2027-01-31"), ("b", "2026-07-31")]
    assert msgspec.structs.asdict(found.duties[0].due)["service"] == "a"


HARMED = duty(after_harm=True)
HIT = '\nincident truck:7 {} lead\n  what {}\n  text "into a rack"\n'


@pytest.mark.parametrize("what", ["hit", "overload", "tip-over", "fire"])
def test_what_may_have_harmed_it_ends_the_proof_until_it_is_examined_again(what: str) -> None:
    """LOLER 1998, regulation 9(3)(a)(iv): each time that something happened which may have made it unsafe."""
    hit = HIT.format("2026-03-01T10:00:00+01:00", what)
    before = truck(REPORT + hit, "2026-03-01T09:59:59", HARMED)
    assert (only(before).due.state, only(before).stops) == ("later", None)
    after = only(truck(REPORT + hit, "2026-03-01T10:00:00", HARMED))
    assert (after.due.state, str(after.due.day)) == ("late", "2026-03-01")
    assert after.stops is not None
    assert "on 2026-03-01 something happened that may have harmed it" in after.stops.text
    assert len(after.due.because.facts) == 2
    again = truck(REPORT + hit + paper("2026-03-02"), "2026-03-02T10:00:00", HARMED)
    assert (only(again).due.state, only(again).stops) == ("later", None)


def test_of_one_day_the_later_written_is_the_later() -> None:
    early, late = (HIT.format(f"2026-01-31T{hour}:00:00+01:00", "hit") for hour in ("09", "11"))
    assert only(truck(early + REPORT, "2026-02-01T00:00:00", HARMED)).due.state == "later"
    assert only(truck(REPORT + late, "2026-02-01T00:00:00", HARMED)).due.state == "late"


@pytest.mark.parametrize("what", ["near-miss", "other"])
def test_a_near_miss_asks_for_no_examination_and_a_duty_that_does_not_ask_is_left_alone(what: str) -> None:
    near = HIT.format("2026-03-01T10:00:00+01:00", what)
    assert only(truck(REPORT + near, "2026-03-02T00:00:00", HARMED)).due.state == "later"
    assert only(truck(REPORT + near.replace(what, "hit"), "2026-03-02T00:00:00")).due.state == "later"


def test_without_any_report_a_hit_changes_nothing() -> None:
    hit = HIT.format("2026-03-01T10:00:00+01:00", "hit")
    assert only(truck(hit, "2026-03-02T00:00:00", HARMED)).due.state == "unknown"
