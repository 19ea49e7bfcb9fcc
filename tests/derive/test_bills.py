"""Bills held against the record: what is asked of the firm, and what is not.

The rhythm of a service and its window are those of the small kind of truck in `builders`: 150 h or a month, opening
15 h or 10 % of the month before; its two tasks are reckoned at 10 minutes each. A bill is no proof and may come weeks
late: common practice, no source.
"""

from __future__ import annotations

import random

import msgspec
import pytest

from derive.builders import ENROLLED, KIND, LATER, NEW, ZONE, counting, fid, record
from dipmark.derive.billed import named
from dipmark.derive.bills import NOT_NOTED, questions
from dipmark.derive.past import past
from dipmark.facts.document import Document

WORKED = "\nworked truck:7 {}T10:00:00+01:00 mia\n  services - {}\n"
READ = "\nmeter-read truck:7 {}T06:00:00+01:00 dan\n  hours {}\n"


def bill(filed: str, *, of: str | None = None, number: str = "TL-1", more: str = "", services: str = "") -> str:
    """A job sheet of an invented firm: filed on a day, of a day."""
    text = f"\ndocument truck:7 {filed}T16:00:00+01:00 ruth\n  what job-sheet\n  title Bill\n  issuer Tarn\n"
    text += f"  number {number}\n" if number else ""
    text += f"  valid_from {of}\n" if of else ""
    for service in services.split():
        text += f'  lines - {{"text": "{service}", "service": "{service}"}}\n'
    return text + more


def asked(text: str, kind: object = KIND) -> list[str]:
    return [one.because.rule for one in questions(counting(text), kind, ZONE)]  # type: ignore[arg-type]


def said(text: str) -> list[str]:
    return [one.because.text for one in questions(counting(text), KIND, ZONE)]


def test_a_paper_that_bills_nothing_is_asked_nothing() -> None:
    assert asked(ENROLLED) == []
    assert asked(ENROLLED + bill("2026-03-02") + READ.format("2026-03-01", 900)) == []
    other = bill("2026-03-02", more="  minutes 90\n", services="150h").replace("job-sheet", "other")
    assert asked(ENROLLED + other) == []


READINGS = READ.format("2026-03-01", 500) + READ.format("2026-03-11", 560)
HOURS = '  minutes 10\n  meter {{"hours": "{}"}}\n'


@pytest.mark.parametrize(
    ("hours", "expected"),
    [("500", []), ("560", []), ("562", []), ("563", ["bill.hours"]), ("498", []), ("497", ["bill.hours"])],
)
def test_hours_on_a_bill_lie_between_the_readings_around_its_day(hours: str, expected: list[str]) -> None:
    """Both roundings of 1 h together still agree, as everywhere in `derive.meter`."""
    text = ENROLLED + READINGS + bill("2026-03-20", of="2026-03-05", more=HOURS.format(hours))
    assert asked(text) == expected


def test_hours_say_what_was_found_what_was_expected_and_by_how_much() -> None:
    over, under = (
        said(ENROLLED + READINGS + bill("2026-03-20", of="2026-03-05", more=HOURS.format(hours)))[0]
        for hours in ("600", "400")
    )
    assert "600 h on it" in over
    assert "499 to 561 h" in over
    assert "39 h over" in over
    assert "400 h on it" in under
    assert "99 h under" in under
    assert "Ask the firm" in over


def test_hours_of_no_known_day_may_be_of_the_weeks_before() -> None:
    early = READ.format("2026-01-20", 400) + READINGS
    assert asked(ENROLLED + early + bill("2026-03-12", more=HOURS.format("420"))) == []
    assert asked(ENROLLED + early + bill("2026-03-12", of="2026-03-10", more=HOURS.format("420"))) == ["bill.hours"]


def test_a_bill_does_not_vouch_for_itself_nor_does_work_noted_from_it() -> None:
    """Two bills and the work noted from one agree with each other; the yard's own reading decides."""
    sheets = bill("2026-03-20", of="2026-03-05", more=HOURS.format("900"))
    sheets += bill("2026-03-21", of="2026-03-06", number="TL-2", more=HOURS.format("901"))
    noted = f'\nworked truck:7 2026-03-05T10:00:00+01:00 mia\n  document {fid(4)}\n  meter {{"hours": "900"}}\n'
    assert asked(ENROLLED + READINGS + sheets + noted) == ["bill.hours", "bill.hours"]


def test_without_a_reading_or_that_meter_nothing_is_said_of_hours() -> None:
    assert asked(ENROLLED + bill("2026-03-20", more=HOURS.format("900"))) == []
    lift = '  minutes 10\n  meter {"hours": "900", "meter": "lift"}\n'
    assert asked(ENROLLED + READINGS + bill("2026-03-20", more=lift)) == []


def test_hours_are_held_against_the_meter_that_was_in_the_truck() -> None:
    changed = "\nmeter-changed truck:7 2026-03-15T08:00:00+01:00 mia\n  new 3\n  old 580\n"
    text = ENROLLED + READINGS + changed + READ.format("2026-03-25", 40)
    for day, hours, expected in (
        ("2026-03-13", "570", []),
        ("2026-03-20", "20", []),
        ("2026-03-13", "700", ["bill.hours"]),
        ("2026-03-20", "300", ["bill.hours"]),
    ):
        assert asked(text + bill("2026-03-28", of=day, more=HOURS.format(hours))) == expected


def test_one_number_of_one_firm_is_billed_once() -> None:
    cost = '  cost {"amount": "90", "currency": "GBP"}\n'
    one = bill("2026-03-02", more=cost)
    assert asked(ENROLLED + one + bill("2026-03-12", number="tl-1", more=cost)) == ["bill.number"]
    assert asked(ENROLLED + one + bill("2026-03-12", number="TL-2", more=cost)) == []
    assert asked(ENROLLED + one + bill("2026-03-12", more=cost).replace("Tarn", "Beck")) == []
    bare = bill("2026-03-02", number="", more=cost)
    assert asked(ENROLLED + bare + bare) == []
    (question,) = questions(counting(ENROLLED + one + bill("2026-03-12", more=cost)), KIND, ZONE)
    assert (question.one.id, question.because.facts) == (fid(3), (fid(3), fid(2)))
    assert "Mon 2026-03-02" in question.because.text


RUN = READ.format("2026-02-01", 300) + READ.format("2026-02-20", 360) + READ.format("2026-03-20", 500)


@pytest.mark.parametrize(
    ("services", "day", "expected"),
    [
        ("150h", "2026-02-20", ["bill.early"]),  # at most 361 h of 435, 6 of 26 days
        ("150h", "2026-03-20", []),  # both have opened
        ("150h", "2026-03-13", []),  # the month has opened
        ("450h", "2026-03-20", []),  # never done before: unknown
        ("50h", "2026-02-20", []),  # done once: not known to come back
        ("99h", "2026-02-20", []),
    ],
)
def test_a_service_is_billed_once_it_has_opened(services: str, day: str, expected: list[str]) -> None:
    text = ENROLLED + RUN + WORKED.format("2026-02-01", "150h") + WORKED.format(day, services)
    assert asked(text + bill("2026-03-28", of=day, services=services)) == expected


def test_how_early_it_is_stands_in_hours_and_days() -> None:
    text = ENROLLED + RUN + WORKED.format("2026-02-01", "150h") + WORKED.format("2026-02-20", "150h")
    (one,) = said(text + bill("2026-03-28", of="2026-02-20", services="150h"))
    # Opens at 300 + 150 - 15 h; at the end of the 20th it is 379 h at most: 360, its rounding, and 18 of that day.
    assert "last done on Sun 2026-02-01" in one
    assert "in another 56 h or 7 d" in one


def test_a_service_by_months_alone_and_one_of_unknown_hours() -> None:
    text = ENROLLED + WORKED.format("2026-01-10", "12mo") + WORKED.format("2026-11-20", "12mo")
    (one,) = said(text + bill("2026-12-01", of="2026-11-20", services="12mo"))
    assert "in another 51 d" in one
    unread = ENROLLED + WORKED.format("2026-02-01", "150h") + WORKED.format("2026-02-20", "150h")
    assert asked(unread + bill("2026-03-28", of="2026-02-20", services="150h")) == []


def test_a_service_by_hours_alone() -> None:
    read = "".join(READ.format(*one) for one in (("2026-02-01", 300), ("2026-02-02", 301), ("2026-02-03", 302)))
    text = ENROLLED + read + WORKED.format("2026-02-01", "8h") + WORKED.format("2026-02-02", "8h")
    (one,) = said(text + bill("2026-03-28", of="2026-02-02", services="8h"))
    assert "in another 5 h." in one  # 300 and 8, less 302 and its rounding


def test_a_truck_that_came_new_may_be_serviced_early() -> None:
    text = NEW + READ.format("2026-01-10", 20) + WORKED.format("2026-01-10", "150h")
    assert asked(text + bill("2026-01-12", of="2026-01-10", services="150h")) == []


def test_one_service_on_two_papers_is_asked_about_with_both() -> None:
    text = ENROLLED + RUN + WORKED.format("2026-02-20", "150h")
    text += bill("2026-02-22", of="2026-02-20", services="150h")
    text += bill("2026-03-01", of="2026-02-21", number="TL-2", services="150h")
    (question,) = questions(counting(text), KIND, ZONE)
    assert (question.because.rule, question.one.id) == ("bill.again", fid(7))
    assert question.because.facts == (fid(7), fid(6))
    assert "Bill TL-2, Tarn: 150h of Sat 2026-02-21 is billed by Bill TL-1, Tarn too, of Fri 2026-02-20" in (
        question.because.text
    )
    assert question.because.source == "practice"


def test_two_papers_of_work_that_nobody_noted_are_held_against_each_other() -> None:
    text = ENROLLED + RUN + bill("2026-02-22", of="2026-02-20", services="450h")
    text += bill("2026-03-01", of="2026-02-21", number="TL-2", services="150h")  # the 450 h service holds it
    assert asked(text) == ["bill.not-noted", "bill.again", "bill.not-noted"]
    later = bill("2026-03-28", of="2026-03-25", number="TL-2", services="150h")
    assert asked(ENROLLED + RUN + bill("2026-02-22", of="2026-02-20", services="150h") + later) == [
        "bill.not-noted",
        "bill.not-noted",
    ]


def test_a_bill_is_of_the_work_that_names_it_else_of_the_latest_that_fits() -> None:
    """Two services a month and a half apart, billed late and without a day: each bill has its own work."""
    text = ENROLLED + READ.format("2026-02-01", 300) + READ.format("2026-03-20", 500)
    text += WORKED.format("2026-02-01", "150h") + WORKED.format("2026-03-20", "150h")
    text += bill("2026-03-24", services="150h") + bill("2026-03-25", number="TL-2", services="150h")
    assert asked(text) == []
    other = ENROLLED + WORKED.format("2026-02-01", "150h") + f"  document {fid(9)}\n"
    assert asked(other + bill("2026-02-02", services="150h")) == ["bill.not-noted"]
    own = ENROLLED + WORKED.format("2026-01-10", "150h") + f"  document {fid(3)}\n"
    assert asked(own + bill("2026-06-02", services="150h")) == []


WARRANTY = """
document truck:7 2026-02-01T16:00:00+01:00 ruth
  what warranty
  title Warranty
  number W-7
  valid_until 2027-01-31
  parts - {"part": "Starter motor", "serial": "S-11"}
"""
STARTER = '  parts - {"part": "starter motor 12 V"}\n'


@pytest.mark.parametrize(
    ("day", "warranty", "expected"),
    [
        ("2026-12-01", WARRANTY, ["bill.warranty"]),
        ("2027-01-31", WARRANTY, ["bill.warranty"]),  # it holds on its last day
        ("2027-02-01", WARRANTY, []),
        ("2026-12-01", WARRANTY.replace("  valid_until 2027-01-31\n", ""), []),
        ("2026-12-01", WARRANTY.replace("Starter motor", "Lamp"), []),
        ("2026-12-01", WARRANTY.replace("what warranty", "what other"), []),
        ("2026-02-01", WARRANTY, []),  # the day the warranty itself came
    ],
)
def test_a_part_is_not_paid_for_while_its_warranty_runs(day: str, warranty: str, expected: list[str]) -> None:
    put_in = f"\nworked truck:7 {day}T10:00:00+01:00 mia\n" + STARTER
    assert asked(ENROLLED + warranty + put_in + bill("2027-03-01", of=day, more=STARTER)) == expected


def test_the_warranty_says_how_long_it_still_holds_and_a_serial_number_tells_the_part() -> None:
    put_in = "\nworked truck:7 2027-01-21T10:00:00+01:00 mia\n" + STARTER
    text = ENROLLED + WARRANTY + put_in
    (one,) = said(text + bill("2027-03-01", of="2027-01-21", more=STARTER))
    assert "the paper Warranty W-7 names it and holds to Sun 2027-01-31, days left: 10" in one
    serial = '  parts - {"part": "motor, rebuilt", "serial": "s-11"}\n'
    noted = "\nworked truck:7 2027-01-21T10:00:00+01:00 mia\n" + serial
    assert asked(ENROLLED + WARRANTY + noted + bill("2027-03-01", of="2027-01-21", more=serial)) == ["bill.warranty"]
    unlike = serial.replace("s-11", "s-12")
    assert asked(ENROLLED + WARRANTY + noted + bill("2027-03-01", of="2027-01-21", more=unlike)) == []


def test_the_bill_that_a_warranty_came_with_is_not_asked_about_the_next_one_is() -> None:
    put_in = "\nworked truck:7 2026-01-30T10:00:00+01:00 mia\n" + STARTER
    first = bill("2026-02-20", more=STARTER)
    assert asked(ENROLLED + put_in + WARRANTY + first) == []
    assert asked(ENROLLED + put_in + WARRANTY + first + bill("2026-02-27", number="TL-2", more=STARTER)) == [
        "bill.warranty"
    ]


@pytest.mark.parametrize(
    ("minutes", "services", "more", "expected"),
    [
        (40, "150h", "", []),
        (41, "150h", "", ["bill.labour"]),
        (61, "150h 450h", "", ["bill.labour"]),  # what the one includes counts once: three tasks
        (60, "150h 450h", "", []),
        (500, "", "", []),
        (500, "150h 99h", "", []),
        (500, "150h", f'  lines - {{"text": "leak", "fault": "{fid(9)}"}}\n', []),
    ],
)
def test_labour_is_held_against_the_minutes_of_the_tasks(
    minutes: int, services: str, more: str, expected: list[str]
) -> None:
    work = "".join(WORKED.format("2026-03-01", one) for one in services.split())
    paper = bill("2026-03-02", services=services, more=f"  minutes {minutes}\n{more}")
    assert asked(ENROLLED + work + paper) == expected


def test_labour_says_by_how_much_and_that_it_is_common_practice() -> None:
    text = ENROLLED + WORKED.format("2026-03-01", "150h")
    (one,) = questions(counting(text + bill("2026-03-02", services="150h", more="  minutes 100\n")), KIND, ZONE)
    assert "100 min of labour; the tasks of 150h are reckoned at 20 min, twice that at 40, so it is 60 min over" in (
        one.because.text
    )
    assert one.because.source == "practice"


def test_what_is_billed_and_nobody_noted_is_asked_in_one_question() -> None:
    parts = '  parts - {"part": "Fan belt"}\n  parts - {"part": "lamp", "quantity": "2"}\n'
    (one,) = said(ENROLLED + bill("2026-03-20", of="2026-03-10", services="150h", more=parts))
    assert "150h, Fan belt, lamp billed, and nothing noted from Sat 2026-03-07 to Fri 2026-03-13 says so" in one
    noted = '\nworked truck:7 {}T10:00:00+01:00 mia\n  services - 150h\n  parts - {{"part": "belt"}}\n'
    noted += '  parts - {{"part": "work lamp"}}\n'
    for day, expected in (("2026-03-07", []), ("2026-03-13", []), ("2026-03-14", ["bill.not-noted"])):
        text = ENROLLED + noted.format(day)
        assert asked(text + bill("2026-03-20", of="2026-03-10", services="150h", more=parts)) == expected
    dots = '  parts - {"part": "..."}\n'
    assert asked(ENROLLED + noted.format("2026-03-10") + bill("2026-03-20", of="2026-03-10", more=dots)) != []


def test_parts_and_fluids_of_the_tasks_of_a_service_went_in_with_it() -> None:
    oil = tuple(
        msgspec.structs.replace(task, parts=("oil filter",), fluids=("engine oil",))
        if task.id == "engine-oil.change"
        else task
        for task in KIND.tasks
    )
    kind = msgspec.structs.replace(KIND, tasks=oil)
    parts = '  parts - {"part": "Oil filter"}\n  parts - {"part": "engine oil", "quantity": "6", "unit": "l"}\n'
    text = ENROLLED + WORKED.format("2026-03-10", "150h") + bill("2026-03-20", of="2026-03-10", more=parts)
    assert asked(text, kind) == []
    assert asked(text, KIND) == ["bill.not-noted"]
    assert asked(text.replace("150h", "99h"), kind) == ["bill.not-noted"]


ANSWER = "\ndocument truck:7 2026-04-01T16:00:00+01:00 ruth\n  what other\n  title Bill\n"


@pytest.mark.parametrize(
    ("answer", "expected"),
    [
        (f'  number {fid(2)}\n  lines - {{"text": "credited", "answered": true}}\n', []),
        (f'  number {fid(2)}\n  lines - {{"text": "asked"}}\n', ["bill.not-noted"]),
        (f"  number {fid(2)}\n", ["bill.not-noted"]),
        ('  number TL-1\n  lines - {"text": "credited", "answered": true}\n', ["bill.not-noted"]),
    ],
)
def test_what_was_answered_is_asked_no_more(answer: str, expected: list[str]) -> None:
    assert asked(ENROLLED + bill("2026-03-20", services="150h") + ANSWER + answer) == expected


def test_an_answered_bill_still_stands_against_the_next_one() -> None:
    answer = ANSWER + f'  number {fid(2)}\n  lines - {{"text": "done", "answered": true}}\n'
    text = ENROLLED + bill("2026-02-22", of="2026-02-20", services="12mo") + answer
    assert asked(text + bill("2026-05-02", of="2026-05-01", number="TL-2", services="12mo")) == [
        "bill.again",
        "bill.not-noted",
    ]


def test_without_rules_for_its_kind_neither_labour_nor_rhythm_is_asked_about() -> None:
    text = ENROLLED + RUN + WORKED.format("2026-02-01", "150h") + WORKED.format("2026-02-20", "150h")
    text += bill("2026-03-28", of="2026-02-20", services="150h 450h", more="  minutes 500\n")
    assert asked(text, None) == ["bill.not-noted"]
    assert "450h billed" in questions(counting(text), None, ZONE)[0].because.text


def test_a_bill_without_an_enrolment_is_read_by_what_is_usual() -> None:
    text = WORKED.format("2026-03-01", "150h") + bill("2026-03-02", services="150h", more="  minutes 41\n")
    assert asked(text) == ["bill.labour"]


def test_papers_are_named_as_people_call_them() -> None:
    assert named(Document(what="other", title="Letter")) == "Letter"
    assert named(Document(what="other", title="Letter", number="7", issuer="Tarn")) == "Letter 7, Tarn"


def test_questions_are_asked_in_the_readers_language() -> None:
    text = ENROLLED + bill("2026-03-20", services="150h")
    (one,) = questions(counting(text), KIND, ZONE, lambda english: "{}|{}|{}|{}" if english == NOT_NOTED else english)
    assert one.because.text.startswith("Bill TL-1, Tarn|150h|")


EVERYTHING = (
    ENROLLED
    + RUN
    + WORKED.format("2026-02-01", "150h")
    + WORKED.format("2026-02-20", "150h")
    + WARRANTY
    + bill("2026-02-22", services="150h", more='  minutes 500\n  meter {"hours": "900"}\n')
    + bill("2026-03-01", of="2026-02-23", services="150h")
    + bill("2026-03-28", of="2026-03-25", number="TL-3", more=STARTER)
)


@pytest.mark.parametrize("seed", range(12))
def test_the_order_in_which_facts_came_changes_nothing(seed: int) -> None:
    whole = list(record(EVERYTHING))
    told = questions(past(whole, LATER), KIND, ZONE)
    rules = {one.because.rule for one in told}
    assert rules == {f"bill.{one}" for one in ("hours", "number", "again", "early", "warranty", "labour", "not-noted")}
    random.Random(seed).shuffle(whole)
    assert questions(past(whole, LATER), KIND, ZONE) == told
