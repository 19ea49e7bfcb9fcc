"""What stands against a new fact: hard problems stop it at a desk, soft ones are asked."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

import msgspec
import pytest

from derive.builders import ENROLLED, LATER, RULES, ZONE, at, counting, fid, record
from derive.measuring import heel, measured_truck
from dipmark.derive.admit import EXAMINERS_DAY, REPORT_STANDS, admit, measure_problems, meter_problems
from dipmark.derive.meter import meters_of
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.amend import Corrected, Withdrawn
from dipmark.facts.base import FactId, truck_book
from dipmark.facts.codec import chain, fact_of
from dipmark.facts.document import Document, Line
from dipmark.facts.notation import parse
from dipmark.facts.problems import Problem, Where
from dipmark.facts.truck import Enrolled

NOW = at("2026-11-20T08:00:00")
DAY = "2026-11-20T07:00:00+01:00"


def _truck(text: str) -> TruckNow | None:
    return truck_now(record(text), RULES, YardNow(), ZONE, LATER)


def problems(new: str, before: str = ENROLLED, now: datetime = NOW) -> tuple[Problem, ...]:
    parsed = parse(new)
    assert not parsed.problems, parsed.problems
    return admit(parsed.facts[0], _truck(before) if before.strip() else None, record(before), now)


def codes(new: str, before: str = ENROLLED) -> list[str]:
    return [problem.code for problem in problems(new, before)]


def new(kind: str, rest: str = "", book: str = "truck:7", by: str = "ana", time: str = DAY) -> str:
    lines = "".join(f"  {line}\n" for line in rest.split("\n") if line)
    return f"{kind} {book} {time} {by}\n{lines}  @id {fid(99)}\n"


# --- the right book


def test_a_plain_reading_of_an_enrolled_truck_is_admitted() -> None:
    assert problems(new("meter-read", "hours 100.0")) == ()


def test_a_truck_is_enrolled_first_and_once() -> None:
    assert codes(new("meter-read", "hours 100.0"), "") == ["not-enrolled"]
    enrolled = new("enrolled", "what reach")
    assert codes(enrolled, "") == []
    assert codes(enrolled) == ["enrolled-already"]


def test_each_kind_has_its_book() -> None:
    assert codes(new("meter-read", "hours 1.0", book="yard"), "") == ["wrong-book"]
    assert codes(new("enrolled", "what reach", book="yard"), "") == ["wrong-book"]
    assert codes(new("yard-set", "zone UTC")) == ["wrong-book"]
    assert codes(new("charged")) == ["wrong-book"]


BATTERY = "\nenrolled item:b-1 2026-01-01T06:00:00+01:00 lead\n  what traction-battery\n"


@pytest.mark.parametrize(("begun", "asked"), [("06:59:59", []), ("07:00:00", ["charge-turned"])])
def test_a_charge_begins_before_it_has_ended(begun: str, asked: list[str]) -> None:
    text = f"what charge\nsince 2026-11-20T{begun}+01:00"
    assert codes(new("charged", text, book="item:b-1"), BATTERY) == asked
    assert codes(new("charged", text, book="item:b-1", time="2026-11-20T00:00:00+01:00/day"), BATTERY) == []
    assert codes(new("charged", "what charge", book="item:b-1"), BATTERY) == []
    assert codes(new("yard-set", "zone UTC", book="yard"), "") == []


def test_a_paper_may_lie_in_any_book() -> None:
    paper = "what insurance\ntitle Policy"
    assert codes(new("document", paper, book="yard"), "") == []
    assert codes(new("document", paper)) == []


# --- corrections


def test_a_correction_names_a_fact_of_the_same_book_and_kind() -> None:
    read = ENROLLED + new("meter-read", "hours 100.0").replace(fid(99), fid(2))
    body = 'body {"kind": "meter-read", "hours": "110.0"}'
    assert codes(new("corrected", f"target {fid(2)}\nreason misread\n{body}"), read) == []
    assert codes(new("corrected", f"target {fid(3)}\nreason misread\n{body}"), read) == ["target-unknown"]
    assert codes(new("corrected", f"target {fid(1)}\nreason misread\n{body}"), read) == ["target-other"]
    assert codes(new("withdrawn", f"target {fid(2)}\nreason twice"), read) == []
    assert codes(new("withdrawn", f"target {fid(3)}\nreason twice"), read) == ["target-unknown"]
    assert codes(new("withdrawn", f"target {fid(3)}\nreason twice", book="yard"), "") == ["target-unknown"]


# --- work, release, locks


FAULT = f"\nfault truck:7 {DAY} ana\n  text pedal\n  seriousness stop\n  check brake.pedal\n  symptom slack\n"
CARD = f"\nout-of-service truck:7 {DAY} ana\n  reason oil\n"
HIT = f"\nincident truck:7 {DAY} ana\n  what hit\n  text rack\n"
MENDED = f'\nworked truck:7 {DAY} mia\n  mends - "{fid(2)}"\n'


def test_work_mends_faults_of_this_truck() -> None:
    assert codes(new("worked", f'mends - "{fid(2)}"'), ENROLLED + FAULT) == []
    found = problems(new("worked", f'mends - "{fid(8)}"\nmends - "{fid(9)}"'), ENROLLED + FAULT)
    assert [(problem.code, problem.found) for problem in found] == [
        ("target-unknown", f"fault {fid(8)}"),
        ("target-unknown", f"fault {fid(9)}"),
    ]


def test_nothing_is_released_before_it_is_mended() -> None:
    (found,) = problems(new("released"), ENROLLED + FAULT)
    assert (found.code, found.hard) == ("not-mended", True)
    assert found.message == "Found pedal: open; expected mended. Record the repair first."


def test_nothing_is_released_before_it_is_tested_where_a_test_is_needed() -> None:
    text = ENROLLED + FAULT + MENDED
    assert codes(new("released"), text) == ["not-tested"]
    assert codes(new("released", "tests - brake-test"), text) == []
    assert codes(new("released"), text + '  tests - {"test": "brake-test", "passed": true}\n') == []
    assert codes(new("released"), text.replace("  check brake.pedal\n  symptom slack\n", "")) == []


def test_a_release_of_one_card_asks_nothing_about_the_rest() -> None:
    text = ENROLLED + FAULT + CARD + HIT
    assert codes(new("released", f'clears - "{fid(3)}"'), text) == []
    assert codes(new("released", f'clears - "{fid(4)}"'), text) == []
    assert codes(new("released", f'clears - "{fid(2)}"'), text) == ["not-mended"]
    assert codes(new("released", f'clears - "{fid(1)}"'), text) == ["target-unknown"]


def test_a_fault_that_does_not_stop_or_is_closed_holds_no_release_up() -> None:
    assert codes(new("released"), ENROLLED + FAULT.replace("stop", "watch").replace("symptom slack", "")) == []
    done = ENROLLED + FAULT.replace("  check brake.pedal\n  symptom slack\n", "") + MENDED
    assert codes(new("released"), done + f"\nreleased truck:7 {DAY} lead\n") == []


BEGUN = f"\nwork-begun truck:7 {DAY} mia\n"


def test_a_lock_is_taken_off_by_its_own_person() -> None:
    end = f"begun {fid(2)}"
    assert codes(new("work-ended", end, by="mia"), ENROLLED + BEGUN) == []
    (found,) = problems(new("work-ended", end, by="bob"), ENROLLED + BEGUN)
    assert (found.code, found.found, found.expected) == ("not-your-lock", "bob", "mia")
    exception = end + '\nowners_exception "gone home"'
    assert codes(new("work-ended", exception, by="lead"), ENROLLED + BEGUN) == []
    assert codes(new("work-ended", f"begun {fid(1)}", by="mia"), ENROLLED + BEGUN) == ["target-unknown"]


def test_an_item_has_neither_faults_nor_locks() -> None:
    item = ENROLLED.replace("truck:7", "item:forks-3")
    before, parsed = record(item), parse(new("work-ended", f"begun {fid(2)}", book="item:forks-3"))
    assert [problem.code for problem in admit(parsed.facts[0], None, before, NOW)] == ["target-unknown"]


# --- seriousness


@pytest.mark.parametrize(("seriousness", "found"), [("watch", 1), ("repair-by", 1), ("stop", 0), ("now", 0)])
def test_what_affects_safety_is_not_watched_and_not_put_off(seriousness: str, found: int) -> None:
    text = new("fault", f"text pedal\nseriousness {seriousness}\naffects_safety true")
    assert codes(text) == ["too-lenient"] * found
    assert codes(text.replace("  affects_safety true\n", "")) == []
    answer = (
        f'answers - {{"check": "brake.pedal", "mark": "fault", "seriousness": "{seriousness}", "affects_safety": true}}'
    )
    assert codes(new("walk-round", answer)) == ["too-lenient"] * found


def test_a_fault_marked_on_a_walk_round_says_how_serious_it_is() -> None:
    rest = 'answers - {"check": "lamp.work"}\nanswers - {"check": "horn", "mark": "fault", "affects_safety": true}'
    (found,) = problems(new("walk-round", rest))
    assert (found.code, found.found) == ("fault-unfinished", "horn: fault")


# --- time


def test_a_fact_more_than_a_day_ahead_is_asked_about() -> None:
    text = new("meter-read", "hours 100.0")
    happened = at("2026-11-20T07:00:00")
    assert problems(text, now=happened - timedelta(days=1)) == ()
    (found,) = problems(text, now=happened - timedelta(days=1, microseconds=1))
    assert (found.code, found.hard) == ("in-the-future", False)


def test_all_is_said_at_once() -> None:
    found = problems(new("meter-read", "hours 100.0"), "", now=at("2026-01-01"))
    assert [problem.code for problem in found] == ["not-enrolled", "in-the-future"]


# --- the meter


READS = """
meter-read truck:7 2026-11-02T07:00:00+01:00 ana
  hours 100.0

meter-read truck:7 2026-11-03T07:00:00+01:00 ana
  hours 108.0
"""
SLIP = "\nmeter-read truck:7 2026-11-04T07:00:00+01:00 ana\n  hours 1080.0\n"


def _doubts(text: str, *facts: FactId) -> tuple[Problem, ...]:
    return meter_problems(truck_book("7"), meters_of(counting(ENROLLED + text), ZONE), set(facts))


def test_a_doubtful_reading_is_shown_and_never_refused() -> None:
    (found,) = _doubts(READS + SLIP, fid(4))
    assert (found.code, found.hard, found.where) == ("meter-doubtful", False, Where(book="truck:7", fact=fid(4)))
    assert found.found == "hour meter 1080.0 h"
    assert found.expected == "hours that agree with the other readings (last good 108.0 h)"
    assert _doubts(READS + SLIP, fid(9)) == ()


def test_a_likely_slip_is_proposed() -> None:
    (found,) = _doubts(READS + SLIP.replace("1080.0", "1160"), fid(4))
    assert found.hint.startswith("Probably 116.0 h (the decimal point). Read the meter again.")


def test_a_reading_not_like_the_truck_counts_and_is_asked_about() -> None:
    text = "".join(
        f"\nmeter-read truck:7 2026-10-{day:02}T18:00:00+02:00 ana\n  hours {100 + 6 * day + day % 2}.0\n"
        for day in range(1, 25)
    )
    last = "\nmeter-read truck:7 2026-10-25T17:30:00+01:00 ana\n  hours 267.0\n"
    (found,) = _doubts(text + last, fid(26))
    assert (found.code, found.hard, found.where) == ("meter-unlikely", False, Where(book="truck:7", fact=fid(26)))
    assert found.found == "hour meter 267.0 h, 23.0 h in a day, where 5.0 are usual"
    assert _doubts(text, fid(25)) == ()


def test_without_another_good_reading_none_is_named() -> None:
    (found,) = _doubts(READS + SLIP, fid(2), fid(3), fid(4))
    assert found.expected == "hours that agree with the other readings"


# --- what was measured


@pytest.mark.parametrize(
    ("day", "found"),
    [
        ("2026-11-19", ["until-unfit"]),
        ("2026-11-20", []),
        ("2027-02-20", []),  # three months: makers' guidance on chains; for anything else common practice
        ("2027-02-21", ["until-unfit"]),
    ],
)
def test_the_day_set_for_a_worn_part_is_at_most_three_months_away(day: str, found: list[str]) -> None:
    assert codes(new("measured", f"subject chain\nvalues []\nuntil {day}")) == found


def test_a_reading_without_a_day_is_admitted() -> None:
    assert codes(new("measured", "subject chain\nvalues []")) == []


def test_a_reading_that_goes_back_is_asked_about() -> None:
    first = heel("2026-09-01", ("left", "38.0"), new="40.0")
    found = measured_truck(first + heel("2026-10-01", ("left", "38.9")))
    (problem,) = measure_problems(found.book, found.measures, {fid(3)})
    assert (problem.code, problem.hard, problem.where.fact) == ("measure-doubtful", False, fid(3))
    assert problem.message == (
        "Found fork-heel 97.25 %; expected no better than 95 % of Tue 2026-09-01. "
        "Measure again. If it was renewed, note that first: work --renewed fork-heel."
    )
    assert measure_problems(found.book, found.measures, {fid(2)}) == ()


REPORT = Document(
    what="examination",
    title="Report",
    valid_from=date(2026, 1, 30),
    valid_until=date(2027, 1, 31),
    lines=(Line(text="a", until=date(2026, 6, 1)), Line(text="b")),
)


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"valid_until": date(2027, 2, 1)}, ["Mon 2027-02-01"]),
        ({"valid_until": None}, ["no day"]),
        ({"valid_from": date(2026, 1, 31)}, ["Sat 2026-01-31"]),
        ({"valid_from": date(2026, 1, 29)}, []),
        ({"valid_until": date(2027, 1, 31)}, []),
        ({"valid_until": date(2027, 1, 30)}, []),
        ({"lines": ()}, ["no day"]),
        ({"lines": (Line(text="a", until=date(2026, 6, 2)),)}, ["Tue 2026-06-02"]),
        ({"note": "read again"}, []),
    ],
)
def test_an_examiners_day_is_not_moved_in_the_yard(change: dict[str, Any], found: list[str]) -> None:
    """LOLER 1998, regulation 9(3)(a): the examiner says when the next is due; from memory. A correction cannot."""
    for what in ("examination", "job-sheet"):
        old = msgspec.structs.replace(REPORT, what=what)
        book = chain([fact_of(fid(1), "truck:7", at("2026-02-01T10:00:00"), "hugh", old)])
        body = Corrected(target=fid(1), body=msgspec.structs.replace(old, **change), reason="x")
        new = fact_of(fid(2), "truck:7", at("2026-02-02T10:00:00"), "lead", body)
        found_all = admit(new, None, book, at("2026-02-02T10:00:00"))
        problems = [one for one in found_all if one.code == EXAMINERS_DAY]
        assert [one.code for one in problems] == [EXAMINERS_DAY] * (len(found) if what == "examination" else 0)
        assert [one.found for one in problems] == (found if what == "examination" else [])


# --- an examiner's word against the truck stands until his next one


def report(day: str, rest: str = "  fit false\n", *, duty: str = "inspection", what: str = "examination") -> str:
    text = f"\ndocument truck:7 {day}T10:00:00+01:00 hugh\n  what {what}\n  title Report\n{rest}"
    return text + f'  lines - {{"text": "x", "duty": "{duty}"}}\n'


OPEN = '  fit true\n  lines - {"text": "Play in the mast"}\n'
FIT = "  fit true\n"


@pytest.mark.parametrize(
    ("book", "found"),
    [
        (report("2026-02-01"), [REPORT_STANDS]),
        (report("2026-02-01", OPEN), [REPORT_STANDS]),
        (report("2026-02-01", FIT), []),  # nothing stands against the truck
        (report("2026-02-01", "  fit false\n", what="certificate"), []),
        (report("2026-02-01") + report("2026-02-02", FIT), []),
        (report("2026-02-01") + report("2026-02-02"), []),  # not fit still, by the later one
        (report("2026-02-01") + report("2026-02-02", ""), [REPORT_STANDS]),  # says nothing of it
        (report("2026-02-01", OPEN) + report("2026-02-02", ""), [REPORT_STANDS]),
        (report("2026-02-01", OPEN.replace("  fit true\n", "")) + report("2026-02-02", ""), []),
        (report("2026-02-01") + report("2026-02-02", FIT, duty="other"), [REPORT_STANDS]),
        (report("2026-02-01") + report("2026-02-02", "  fit true\n  valid_from 2026-01-31\n"), [REPORT_STANDS]),
        (report("2026-02-01") + report("2026-02-02", FIT, what="certificate"), [REPORT_STANDS]),
    ],
)
def test_a_report_against_the_truck_is_not_withdrawn_before_the_next_one(book: str, found: list[str]) -> None:
    """LOLER 1998, regulations 10(1) and 11: the examiner reports the defect, the report is kept; from memory."""
    assert codes(new("withdrawn", f"target {fid(2)}\nreason x"), ENROLLED + book) == found


def test_it_says_which_report_and_what_to_do() -> None:
    (problem,) = problems(new("withdrawn", f"target {fid(2)}\nreason x"), ENROLLED + report("2026-02-01", OPEN))
    assert problem.hard
    assert problem.message == (
        "Found Report of Sun 2026-02-01: not answered: Play in the mast; expected a later report of the examiner."
        " File the examiner's next report on the same first."
    )
    assert problems(new("withdrawn", f"target {fid(2)}\nreason x"), ENROLLED + report("2026-02-01"))[0].found == (
        "Report of Sun 2026-02-01: not fit"
    )


CHANGES: list[tuple[dict[str, Any], list[str]]] = [
    ({"fit": True}, [REPORT_STANDS]),
    ({"fit": None}, [REPORT_STANDS]),
    ({"what": "other"}, [REPORT_STANDS]),
    ({"lines": (Line(text="a"),)}, [REPORT_STANDS]),
    ({"lines": (Line(text="a"), Line(text="another"))}, [REPORT_STANDS]),
    ({"lines": (Line(text="a"), Line(text="b", answered=True))}, []),  # somebody has dealt with it
    ({"note": "read again"}, []),
]


@pytest.mark.parametrize(("change", "found"), CHANGES)
def test_nor_is_it_corrected_away_nor_a_correction_withdrawn_that_says_so(
    change: dict[str, Any], found: list[str]
) -> None:
    unfit = Document(
        what="examination", title="Report", fit=False, lines=(Line(text="a", answered=True), Line(text="b"))
    )
    changed = msgspec.structs.replace(unfit, **change)
    enrolled = fact_of(fid(1), "truck:7", at("2026-01-01T10:00:00"), "lead", Enrolled(what="reach"))
    told = fact_of(fid(2), "truck:7", at("2026-02-01T10:00:00"), "hugh", unfit)
    correct = fact_of(
        fid(3), "truck:7", at("2026-02-02T10:00:00"), "lead", Corrected(target=fid(2), body=changed, reason="x")
    )
    assert [one.code for one in admit(correct, None, chain([enrolled, told]), NOW)] == found
    # The other way round: it was filed as changed, corrected to what it says, and the correction is withdrawn.
    other = fact_of(fid(2), "truck:7", at("2026-02-01T10:00:00"), "hugh", changed)
    back = fact_of(
        fid(3), "truck:7", at("2026-02-02T10:00:00"), "lead", Corrected(target=fid(2), body=unfit, reason="x")
    )
    gone = fact_of(fid(4), "truck:7", at("2026-02-03T10:00:00"), "lead", Withdrawn(target=fid(3), reason="x"))
    assert [one.code for one in admit(gone, None, chain([enrolled, other, back]), NOW)] == found
