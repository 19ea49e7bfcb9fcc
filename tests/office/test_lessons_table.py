"""Tables that somebody kept elsewhere, as they come; everything wrong with them at once."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import Workbook

from dipmark.facts.errors import ImportError_, Refused
from dipmark.office.lessons_columns import Asked, read_columns
from dipmark.office.lessons_table import lives_of, recurrence_of, replacement_of, upkeep_of

FAULTS = "unit,hours,event\nA,10,fault\nA,30.5,fault\nA,50,end\nB,20,fault\nB,45,fault\n"


def put(folder: Path, text: str, encoding: str = "utf-8") -> Path:
    path = folder / "table.csv"
    path.write_bytes(text.encode(encoding))
    return path


def refused(path: Path, what: str) -> list[tuple[str, int | None, str | None]]:
    """Code, line and column of every fault."""
    with pytest.raises(Refused) as fault:
        {"recurrence": recurrence_of, "lives": lives_of}[what](path, 0.95)
    assert str(fault.value).startswith("Nothing was computed, ")
    return [(one.code, one.where.line, one.where.column) for one in fault.value.problems]


def test_faults(tmp_path: Path) -> None:
    lesson = recurrence_of(put(tmp_path, FAULTS), 0.95)
    assert (lesson.units, lesson.faults, lesson.mcf_cost) == (2, 4, None)
    assert lesson.power_law is not None
    assert lesson.power_law.truncation == "mixed"  # B was watched to its last fault
    assert [row.at_risk for row in lesson.mcf] == [2, 2, 2, 2]
    assert lesson.mcf[1].hours == 20


@pytest.mark.parametrize(
    "text",
    [
        "unit;hours;event\nA;10;fault\nA;30,5;fault\nA;50;end\nB;20;fault\nB;45;fault\n",
        "Faults of the spring\n\nUnit\tHours (h)\tEvent\tnote\nA\t10\tFault\tx\nA\t30.5\tFAULT\t\nA\t50\tend\t\n"
        "B\t20\tfault\t\nB\t45 h\tfault\t\n",
        "event,unit,hours\nend,A,50\nfault,A,30.5\nfault,A,10\nevent,unit,hours\nfault,B,20\nfault,B,45\n",
        'unit,hours,event\nA,10,fault\nA,"30,5",fault\nA,50,end\nB,20,fault\nB,45,fault\n',
    ],
)
def test_the_same_table_as_others_write_it(tmp_path: Path, text: str) -> None:
    assert recurrence_of(put(tmp_path, text), 0.95) == recurrence_of(put(tmp_path, FAULTS), 0.95)


def test_a_workbook_and_an_old_encoding(tmp_path: Path) -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (["unit", "hours", "event"], ["Gerät", 10, "fault"], ["Gerät", 30.5, "fault"], ["Gerät", 50, "end"]):
        sheet.append(row)
    book.create_sheet("other").append(["nothing", "of", "this"])
    hidden = book.create_sheet("old")
    hidden.append(["unit", "hours", "event"])
    hidden.sheet_state = "hidden"
    book.save(tmp_path / "table.xlsx")
    text = "unit;hours;event\nGerät;10;fault\nGerät;30,5;fault\nGerät;50;end\n"
    assert recurrence_of(tmp_path / "table.xlsx", 0.95) == recurrence_of(put(tmp_path, text, "cp1252"), 0.95)


def test_costs(tmp_path: Path) -> None:
    lesson = recurrence_of(put(tmp_path, "unit,hours,event,cost\nA,10,fault,5\nA,30,fault,\nA,50,end,\n"), 0.95)
    assert lesson.mcf_cost is not None
    assert [row.value for row in lesson.mcf_cost] == [5, 5]


def test_everything_wrong_at_once(tmp_path: Path) -> None:
    text = (
        "unit;hours;event;cost\n"
        "A;ten;fault;1\n"
        ";20;fault;1\n"
        "A;30;broke;1\n"
        "A;-1;fault;-2\n"
        "A;40 km;fault;1\n"
        "A;50;fault;1;more\n"
        'A;"60;fault;1\n'
        "A;2000000000;fault;1\n"
        "A;;end;1\n"
    )
    assert refused(put(tmp_path, text), "recurrence") == [
        ("number-unreadable", 2, "hours"),
        ("cell-missing", 3, "unit"),
        ("word-unknown", 4, "event"),
        ("number-range", 5, "hours"),
        ("number-range", 5, "cost"),
        ("unit-wrong", 6, "hours"),
        ("row-wide", 7, None),
        ("row-torn", 8, None),
        ("number-range", 9, "hours"),
        ("cell-missing", 10, "hours"),
    ]


def test_a_fault_that_was_there_when_the_watch_began(tmp_path: Path) -> None:
    path = put(tmp_path, "unit,hours,event\nA,0,fault\nA,50,end\nB,0,end\n")
    assert refused(path, "recurrence") == [("number-range", 2, None)]


def test_ends_that_do_not_fit(tmp_path: Path) -> None:
    text = "unit,hours,event\nA,70,fault\nA,50,end\nA,60,end\nB,5,end\nB,6,fault\n"
    assert refused(put(tmp_path, text), "recurrence") == [
        ("watch-ended", 2, None), ("watch-ended", 4, None), ("watch-ended", 6, None),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("hours,what\n5,failed\n", "table-unknown"),
        ("hours,event,hours\n5,failed,6\n", "column-twice"),
        ("hours,event\n", "cell-missing"),
        ("hours,event\n0,failed\n", "number-range"),
        ("hours,event,count\n5,failed,1.5\n", "number-range"),
        ('hours,event\n"1,250",failed\n', "number-ambiguous"),
    ],
)
def test_a_table_that_cannot_be_used(tmp_path: Path, text: str, code: str) -> None:
    assert [one[0] for one in refused(put(tmp_path, text), "lives")] == [code]


def test_two_sheets_that_could_be_meant(tmp_path: Path) -> None:
    book = Workbook()
    for sheet in (book.active, book.create_sheet("other")):
        assert sheet is not None
        sheet.append(["hours", "event"])
    book.save(tmp_path / "table.xlsx")
    with pytest.raises(Refused, match="2 sheets with these headers"):
        lives_of(tmp_path / "table.xlsx", 0.95)


def test_what_is_no_table_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ImportError_):
        lives_of(put(tmp_path, ""), 0.95)
    book = Workbook()
    book.save(tmp_path / "blank.xlsx")
    with pytest.raises(Refused, match="the headers nothing"):
        lives_of(tmp_path / "blank.xlsx", 0.95)


def test_the_numbers_of_the_file_show_its_decimal_mark(tmp_path: Path) -> None:
    point = put(tmp_path, "hours,event\n123.456,failed\n98.5,failed\n")
    asked = (Asked("hours", hours=True),)
    assert [line.numbers["hours"] for line in read_columns(point, asked, None)] == [123.456, 98.5]
    comma = put(tmp_path, "hours;event\n1.250;failed\n98,5;failed\n")
    assert [line.numbers["hours"] for line in read_columns(comma, asked, None)] == [1250, 98.5]
    open_ = put(tmp_path, "hours;event\n1,250;failed\n")
    assert read_columns(open_, asked, "comma")[0].numbers["hours"] == 1.25
    assert read_columns(open_, asked, "point")[0].numbers["hours"] == 1250


def test_lives(tmp_path: Path) -> None:
    lesson = lives_of(put(tmp_path, "hours,event,count\n500,running,10\n54,failed,\n187,failed,1\n216,failed,2\n"), 0.9)
    assert (lesson.parts, lesson.failures, lesson.level) == (14, 4, 0.9)
    assert lesson.weibull is not None


def test_upkeep(tmp_path: Path) -> None:
    rows = ["22500,3000", "16875,4500", "12750,7000", "9750,10000"]
    for first in (1, 2021):
        text = "year,value,upkeep\n" + "".join(f"{first + at},{row}\n" for at, row in enumerate(rows))
        told = upkeep_of(put(tmp_path, text), 30000, 0.10)
        assert [round(one) for one in told.equivalent_annual_cost] == [13500, 12964, 12918, 13211]
        assert told.best_year == 3


def test_years_that_do_not_follow_one_another(tmp_path: Path) -> None:
    with pytest.raises(Refused) as fault:
        upkeep_of(put(tmp_path, "year,value,upkeep\n0,9,1\n1,8,1\n3,7,1\n"), 10, 0.1)
    assert [(one.code, one.where.line) for one in fault.value.problems] == [("number-range", 2), ("years-unfit", 4)]


def test_replacement() -> None:
    assert replacement_of(2.5, 1000, 1, 5).interval == pytest.approx(493.047, abs=0.001)
