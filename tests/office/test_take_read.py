"""Files into rows: what reads two ways is asked once a column, set by an option, or refused; never guessed."""

from __future__ import annotations

import io
import os
import random
from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

from dipmark.facts.base import Reading
from dipmark.facts.meter import MeterRead
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import Worked
from dipmark.office.take import Question, TakeOptions
from office.taking import TRUCKS, bodies, counts, facts, file, taken, yard

MUTATIONS = int(os.environ.get("DIPMARK_TAKE_MUTATIONS", "500"))

TWO_WAYS = "Truck,Date,Hours\n7,05/06/2026,1250\n7,07/06/2026,1260\n7,25/06/2026,1290\n"


def answering(*answers: str | None) -> tuple[list[Question], Callable[[Question], str | None]]:
    """Somebody who answers in that order, and the questions asked."""
    asked: list[Question] = []
    left = list(answers)

    def ask(question: Question) -> str | None:
        asked.append(question)
        return left.pop(0)

    return asked, ask


def test_without_anybody_to_ask_two_ways_are_refused(tmp_path: Path) -> None:
    with yard() as office:
        result = taken(office, file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", TWO_WAYS))
        assert counts(result) == (3, 0, 2)
        assert {(r.column, "--dates" in r.hint) for r in result.refused} == {("Date", True)}


@pytest.mark.parametrize(
    ("order", "days", "refused"),
    [("dmy", ["2026-06-05", "2026-06-07", "2026-06-25"], []), ("mdy", ["2026-05-06", "2026-07-06"], [4])],
)
def test_the_order_of_dates_is_asked_once_a_column(
    tmp_path: Path, order: str, days: list[str], refused: list[int]
) -> None:
    """An answer that another row of the column contradicts leaves that row refused."""
    asked, ask = answering(order)
    with yard() as office:
        files = (file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", TWO_WAYS))
        result = taken(office, *files, options=TakeOptions(ask=ask))
        assert [(q.column, q.about, q.choices) for q in asked] == [("Date", "dates", ("dmy", "mdy", "ymd"))]
        assert "05/06/2026" in asked[0].example
        assert [fact.happened.date().isoformat() for fact in bodies(office, MeterRead)] == days
        assert [refusal.line for refusal in result.refused] == refused


def test_an_option_settles_it_without_a_question(tmp_path: Path) -> None:
    asked, ask = answering()
    text = "Truck;Date;Hours\n7;05/06/2026;1.250\n"
    with yard() as office:
        files = (file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", text))
        taken(office, *files, options=TakeOptions(dates="mdy", decimal="point", ask=ask))
        (fact,) = bodies(office, MeterRead)
        assert (fact.happened.date(), fact.body) == (date(2026, 5, 6), MeterRead(hours=Decimal("1.250")))
        assert asked == []


def test_each_column_has_its_own_answer(tmp_path: Path) -> None:
    text = "Truck;Service;Date;Hours;Kind;Start hours\n9;150h;05/06/2026;1.250;reach;1.001\n"
    asked, ask = answering("dmy", "comma", "point")
    with yard() as office:
        assert counts(taken(office, file(tmp_path, "a.csv", text), options=TakeOptions(ask=ask))) == (1, 0, 0)
        assert [(q.column, q.about) for q in asked] == [
            ("Date", "dates"),
            ("Hours", "decimal"),
            ("Start hours", "decimal"),
        ]
        (worked,) = bodies(office, Worked)
        assert worked.happened.date() == date(2026, 6, 5)
        assert worked.body == Worked(services=("150h",), meter=Reading(hours=Decimal(1250)))
        assert bodies(office, Enrolled)[0].body == Enrolled(what="reach", start_hours=Decimal("1.001"))


@pytest.mark.parametrize("answer", [None, "perhaps"])
def test_no_answer_leaves_the_rows_refused(tmp_path: Path, answer: str | None) -> None:
    _, ask = answering(answer)
    with yard() as office:
        files = (file(tmp_path, "t.csv", TRUCKS), file(tmp_path, "h.csv", TWO_WAYS))
        assert counts(taken(office, *files, options=TakeOptions(ask=ask))) == (3, 0, 2)


def workbook(folder: Path) -> Path:
    """A workbook with trucks, services, a sheet of remarks and a hidden one."""
    book = openpyxl.Workbook()
    trucks = book.active
    assert trucks is not None
    trucks.title = "Trucks"
    for row in (["The yard"], [], ["No.", "Truck no.", "Kind"], [1, 7, "LPG forklift"], [2, 8.0, "reach truck"]):
        trucks.append(row)
    done = book.create_sheet("Services")
    for row in (
        ["Truck", "Date", "Service", "Hours (h)"],
        [7, datetime(2026, 2, 1), 150, 1250.5],
        [8, datetime(2026, 2, 1, 6, 30), "oil change", 10],
        [9, datetime(2026, 2, 2), "150 h", 10],
    ):
        done.append(row)
    book.create_sheet("Remarks").append(["written by hand"])
    hidden = book.create_sheet("Old")
    hidden.append(["Truck", "Kind"])
    hidden.append([99, "reach truck"])
    hidden.sheet_state = "hidden"
    path = folder / "yard.xlsx"
    book.save(path)
    return path


def test_a_workbook(tmp_path: Path) -> None:
    path = workbook(tmp_path)
    with yard() as office:
        result = taken(office, path)
        assert counts(result) == (3, 0, 2)
        assert [(r.sheet, r.line, r.column) for r in result.refused] == [
            ("Services", 3, "Service"), ("Services", 4, "Truck"),
        ]  # fmt: skip
        assert [fact.body for fact in bodies(office, Worked)] == [
            Worked(services=("150h",), meter=Reading(hours=Decimal("1250.5")))
        ]
        assert set(office.store.books()) == {"truck:7", "truck:8"}
        assert any("Old" in note for note in result.notes)
        (handed_back,) = result.refused_files
        assert handed_back.name == "yard.Services.refused.csv"
        handed_back.write_bytes(handed_back.read_bytes().replace(b"oil change", b"450h"))
        assert counts(taken(office, handed_back)) == (1, 0, 1)
        assert bodies(office, Worked)[1].happened == datetime(2026, 2, 1, 6, 30, tzinfo=UTC)
        assert counts(taken(office, path)) == (0, 3, 2)


def mutated(data: bytes, rng: random.Random) -> bytes:
    """Bytes flipped, cut out, doubled or cut off."""
    changed = bytearray(data)
    for _ in range(rng.randint(1, 6)):
        place = rng.randrange(max(1, len(changed)))
        match rng.randrange(5):
            case 0:
                changed[place : place + 1] = bytes([rng.randrange(256)])
            case 1:
                del changed[place : place + rng.randint(1, 30)]
            case 2:
                changed[place:place] = changed[place : place + rng.randint(1, 60)]
            case 3:
                changed[place:place] = rng.choice(
                    [b'"', b";", b",", b"\n", b"\r", b"\x00", b"\xff\xfe", b"1,250", b"31/02/2026"]
                )
            case _ if rng.random() < 0.2:
                del changed[place:]
            case _:
                changed[place : place + 1] = rng.choice([b"0", b"-", b".", b"/", b" "])
    return bytes(changed)


@pytest.mark.property
def test_mutated_files_end_in_named_problems_or_rows_that_are_known_the_second_time(tmp_path: Path) -> None:
    rng = random.Random(20261120)
    tables = Path(__file__).parent / "tables"
    seeds = [(path.name, path.read_bytes()) for path in sorted(tables.iterdir())]
    book = io.BytesIO(workbook(tmp_path).read_bytes()).getvalue()
    seeds += [("t.csv", TRUCKS.encode()), ("yard.xlsx", book)]
    said_something = 0
    for number in range(MUTATIONS):
        name, data = seeds[number % len(seeds)]
        path = tmp_path / str(number) / name
        path.parent.mkdir()
        path.write_bytes(mutated(data, rng))
        trucks = file(tmp_path / str(number), "trucks.csv", TRUCKS)
        with yard() as office:
            first = taken(office, trucks, path)
            assert all(refusal.found and refusal.expected and refusal.file for refusal in first.refused)
            kept = facts(office)
            second = taken(office, trucks, path)
            assert counts(second) == (0, first.accepted + first.known, first.refused_rows), (number, name)
            assert facts(office) == kept
        said_something += first.accepted > 2
    assert said_something > MUTATIONS // 4
