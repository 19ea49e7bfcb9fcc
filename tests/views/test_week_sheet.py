"""The sheet that is ticked by hand: a column a shift, a line a check, open faults first."""

from __future__ import annotations

from datetime import UTC, date, time

import msgspec

from dipmark.derive.yard import YardNow
from dipmark.facts.base import name_of
from dipmark.facts.people import Shift as Worked
from dipmark.rules.model import Kind, rules_of
from dipmark.views.paper import truck_head
from dipmark.views.sheet_code import read_sheet_code
from dipmark.views.sheet_geometry import Shift, digest_of
from dipmark.views.week_sheet import HIGH, LOW, WeekSheet, one_shift, shifts_of_week, week_sheet
from views.yards import RULES, instant, made

FRIDAY = date(2026, 11, 20)
TRUCK = """
enrolled truck:7 2026-01-05T00:00:00+00:00 ana
  what engine-pneumatic-lpg
"""
FAULTS = """
fault truck:7 2026-11-19T08:00:00+00:00 ana
  text "left lamp is out"
  seriousness repair-by
  days 3
fault truck:7 2026-11-19T09:00:00+00:00 ana
  text "paint is off"
  seriousness watch
"""
KIND = RULES.kinds["engine-pneumatic-lpg"]


def sheet_of(text: str = TRUCK, kind: Kind = KIND, shifts: tuple[Shift, ...] | None = None) -> WeekSheet:
    truck, now = made(text, "2026-11-20T08:00"), instant("2026-11-20T08:00")
    head = truck_head(truck, "1-AAAA-AAAA-AAAA-AAAA", "Quay", RULES, now, UTC)
    return week_sheet(truck, kind, RULES, head, "a4", shifts or shifts_of_week(YardNow(), FRIDAY))


def test_without_a_pattern_there_is_a_column_a_day_from_monday() -> None:
    assert [shift.day.isoformat() for shift in shifts_of_week(YardNow(), FRIDAY)] == [
        f"2026-11-{day}" for day in range(16, 23)
    ]


def test_each_shift_has_its_column_and_closed_days_have_none() -> None:
    late = Worked(name="late", days=(1, 5), start=time(14), end=time(22))
    early = Worked(name="early", days=(1,), start=time(6), end=time(14))
    yard = YardNow(shifts=(late, early), closed=(FRIDAY,))
    assert [(one.day.day, one.name, one.start) for one in shifts_of_week(yard, FRIDAY)] == [
        (16, "early", time(6)),
        (16, "late", time(14)),
    ]
    sheet = sheet_of(shifts=shifts_of_week(yard, FRIDAY))
    assert sheet.shifts == (("Mon 16", "early", "06:00"), ("Mon 16", "late", "14:00"))


def test_open_faults_come_first_and_worse_takes_the_key_out() -> None:
    sheet = sheet_of(TRUCK + FAULTS)
    assert [(line.text, line.normal, line.stop) for line in sheet.lines] == [
        ("left lamp is out", "Repair by Sun 2026-11-22", True),
        ("paint is off", "Watch", True),
        ("Lift chains", "even", True),
    ]
    assert len(sheet.printed.faults) == 2
    assert sheet.printed.places == (("chain.tension",),)
    assert sheet.printed.lines[2] == "chain.tension"


def test_each_page_has_its_own_code() -> None:
    sheet = sheet_of()
    codes = [read_sheet_code(page.code) for page in sheet.pages]
    assert [(code.page, code.pages) for code in codes if code] == [(1, 2), (2, 2)]
    assert {code.sheet for code in codes if code} == {digest_of(sheet.printed)}
    assert {code.truck for code in codes if code} == {name_of(sheet.printed.book)}
    assert (len(sheet.pages[0].boxes), len(sheet.pages[0].rings)) == (2 * 7, 0)
    assert (len(sheet.pages[1].boxes), len(sheet.pages[1].rings)) == (0, 60)
    assert len(sheet.pages[1].written) == 7


def test_a_caution_is_named_beside_each_line_it_belongs_to() -> None:
    one = msgspec.structs.replace(KIND.checks[0], cautions=("hot", "sharp"))
    two = msgspec.structs.replace(KIND.checks[0], id="chain.sound", cautions=("sharp",))
    sheet = sheet_of(kind=msgspec.structs.replace(KIND, checks=(one, two)))
    assert sheet.cautions == ("hot", "sharp")
    assert [line.cautions for line in sheet.lines] == [(0, 1), (1,)]


def test_long_words_get_a_third_line_of_print() -> None:
    long = msgspec.structs.replace(KIND, checks=(msgspec.structs.replace(KIND.checks[0], text="chain " * 60),))
    assert sheet_of().printed.row == LOW
    assert sheet_of(kind=long).printed.row == HIGH


def test_the_sheet_of_one_shift() -> None:
    truck, now = made(TRUCK, "2026-11-20T08:00"), instant("2026-11-20T08:00")
    rules = rules_of(RULES.kinds, {}, RULES.sources, "1")
    head = truck_head(truck, "1-AAAA-AAAA-AAAA-AAAA", None, rules, now, UTC)
    sheet = week_sheet(truck, KIND, rules, head, "letter", one_shift(FRIDAY), single=True)
    assert (sheet.printed.sheet, sheet.printed.paper, sheet.shifts) == ("shift", "letter", (("Fri 20", "", ""),))
