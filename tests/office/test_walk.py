"""The walk-round: what is asked, what an answer weighs, and a filled table read whole or not at all."""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

from dipmark.facts.base import Reading
from dipmark.facts.errors import ImportError_, NotFound, Refused
from dipmark.facts.walk_round import WalkRound
from dipmark.office.enter import When, read_meter, report_fault
from dipmark.office.open import Office
from dipmark.office.walk import HEADER, Sheet, answer, blank_answers, meter_doubt, read_answers, sheet, walk
from dipmark.rules.model import Check
from office.desk import airship, at, clean_walk, desk, now, state
from office.taking import NOW, bodies

MORNING = at("2026-11-20T05:00")
FILE = Path("sheet.csv")


def asked(office: Office, name: str = "7", *, full: bool = False) -> Sheet:
    return sheet(office, name, NOW, full=full)


def check(office: Office, id_: str) -> Check:
    return next(check for stop in asked(office, full=True).stops for check in stop.checks if check.id == id_)


def table(rows: list[tuple[str, ...]]) -> bytes:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    return text.getvalue().encode()


def filled(of: Sheet, **told: tuple[str, ...]) -> bytes:
    """The blank table, ok everywhere, with some lines told otherwise: answer, found, note, value, put right."""
    rows = []
    for row in blank_answers(of)[1:]:
        if row[0] in told:
            cells = told[row[0]]
            rows.append((row[0], *cells, *[""] * (5 - len(cells))))
        else:
            mark = "same" if "#" in row[0] or row[3].startswith("open: ") else "ok"
            rows.append((row[0], mark, *row[2:]))
    return table([HEADER, *rows])


def problems(office: Office, data: bytes) -> list[str]:
    with pytest.raises(Refused) as refusal:
        read_answers(FILE, data, asked(office))
    return [str(problem) for problem in refusal.value.problems]


def test_places_come_in_walking_order_and_what_is_not_on_the_truck_is_not_asked() -> None:
    with desk() as office:
        short, full = asked(office), asked(office, full=True)
        assert [stop.place.number for stop in short.stops] == sorted(stop.place.number for stop in short.stops)
        checks = [check for stop in full.stops for check in stop.checks]
        assert {check.id for stop in short.stops for check in stop.checks} < {check.id for check in checks}
        assert all(check.shift for stop in short.stops for check in stop.checks)
        assert short.cautions
        assert len(short.cautions) == len(set(short.cautions))
        assert asked(office, "20").kind is short.kind


def test_a_truck_without_rules_is_checked_by_its_manual() -> None:
    with desk() as office, pytest.raises(NotFound, match="airship have no rules yet"):
        asked(office, airship(office))


def test_a_fault_takes_the_weight_of_what_was_named_and_the_worst_where_nothing_was() -> None:
    with desk() as office:
        leaks = check(office, "ground.leaks")
        named = answer(leaks, "fault", symptom="wet", text="under the axle")
        assert (named.symptom, named.seriousness, named.days, named.affects_safety) == ("wet", "repair-by", 7, False)
        unnamed = answer(leaks, "fault")
        assert (unnamed.symptom, unnamed.seriousness, unnamed.affects_safety) == (None, "now", True)


def test_put_right_on_the_spot_counts_only_where_the_rules_allow_it() -> None:
    with desk() as office:
        leaks = check(office, "ground.leaks")
        assert answer(leaks, "fault", symptom="fuel", put_right="wiped").put_right is None
        assert answer(leaks, "fault", put_right="wiped").put_right is None
        low = check(office, "tyres.pressure")
        good = answer(low, "fault", symptom="low", put_right="front left, 8.4 to 10", value=Decimal("8.4"))
        assert (good.put_right, good.value, good.unit) == ("front left, 8.4 to 10", Decimal("8.4"), "bar")
        assert answer(low, "ok").unit is None


def test_a_clean_walk_round_checks_the_truck_and_reads_its_meter() -> None:
    with desk() as office:
        clean_walk(office, MORNING, hours="12.5")
        assert state(office) == "checked"
        assert now(office).hours == Decimal("12.5")
        (fact,) = bodies(office, WalkRound)
        assert isinstance(fact.body, WalkRound)
        assert (fact.body.sheet, fact.body.rules) == ("shift", office.rules.digest)


def test_the_hours_go_to_the_first_meter() -> None:
    with desk() as office:
        clean_walk(office, MORNING, name="20", hours="12.5")
        (fact,) = bodies(office, WalkRound)
        assert isinstance(fact.body, WalkRound)
        assert fact.body.meter == Reading(hours=Decimal("12.5"), meter="engine")


def test_hours_that_do_not_agree_are_asked_about_before_anything_is_written() -> None:
    with desk() as office:
        for day, hours in ((16, 1000), (17, 1006), (18, 1012)):
            read_meter(office, "7", Decimal(hours), at(f"2026-11-{day}T05:00"))
        of = asked(office)
        assert meter_doubt(office, of, Decimal(1020), MORNING) is None
        doubt = meter_doubt(office, of, Decimal(102), MORNING)
        assert doubt is not None
        assert "102 h" in doubt
        assert meter_doubt(office, of, Decimal(1012), When(at("2027-01-01T05:00").happened)) is None
        assert bodies(office, WalkRound) == []


def test_the_blank_table_filled_with_ok_is_a_clean_walk_round() -> None:
    with desk() as office:
        report_fault(office, "7", "Seat torn", MORNING, seriousness="watch")
        of = asked(office)
        told = read_answers(FILE, filled(of, **{"hours.read": ("", "", "", "12.5")}), of)
        assert told.hours == Decimal("12.5")
        assert {one.mark for one in told.answers} == {"ok"}
        assert all(one.text is None for one in told.answers)
        assert [(one.now, one.text) for one in told.open_faults] == [("same", None)]
        walk(office, of, told.answers, MORNING, full=False, hours=told.hours, open_faults=told.open_faults)
        assert state(office) == "checked"


def test_a_filled_table_says_what_was_found() -> None:
    with desk() as office:
        report_fault(office, "7", "Seat torn", MORNING, seriousness="watch")
        of = asked(office)
        ref = of.faults[0].ref
        data = filled(
            of,
            **{
                ref: ("Gone", "", "new seat"),
                "ground.leaks": ("FAULT", "wet", "under the axle"),
                "forks.cracks": ("bad", "a crack, at the heel or a hook most of all"),
                "horn.heard": ("could not check", "", "people asleep"),
                "tyres.pressure": ("fault", "low", "", "8,5 bar", "front left to 10"),
            },
        )
        told = read_answers(FILE, data, of)
        by_id = {one.check: one for one in told.answers}
        assert (by_id["ground.leaks"].seriousness, by_id["ground.leaks"].text) == ("repair-by", "under the axle")
        assert by_id["forks.cracks"].symptom == "crack"
        assert (by_id["horn.heard"].mark, by_id["horn.heard"].text) == ("unseen", "people asleep")
        pressure = by_id.get("tyres.pressure")
        if pressure is not None:
            assert (pressure.value, pressure.put_right) == (Decimal("8.5"), "front left to 10")
        assert [(one.fault, one.now, one.text) for one in told.open_faults] == [(ref, "gone", "new seat")]


def test_every_fault_of_a_table_is_named_with_its_line_and_nothing_is_written() -> None:
    with desk() as office:
        report_fault(office, "7", "Seat torn", MORNING, seriousness="watch")
        of = asked(office)
        ref = of.faults[0].ref
        rows: list[tuple[str, ...]] = [
            HEADER,
            (ref, "ok", "", "", "", ""),
            (ref, "same", "", "", "", ""),
            (ref, "same", "", "", "", ""),
            ("forks.cracks", "perhaps", "", "", "", ""),
            ("forks.crax", "ok", "", "", "", ""),
            ("forks.locks", "ok", "", "", "", ""),
            ("forks.locks", "ok", "", "", "", ""),
            ("ground.leaks", "fault", "zebra", "", "", ""),
            ("ground.leaks", "ok", "wet", "", "", ""),
            ("chain.tension", "ok", "slack", "", "", ""),
            ("wheels.nuts", "unseen", "", "", "", ""),
            ("hours.read", "ok", "", "", "1,250", ""),
            ("chain.sound", "", "plate", "", "", ""),
        ]
        said = problems(office, table(rows))
        wanted = {
            2: "same, worse or gone",
            4: "one answer a check",
            5: "answer 'perhaps' to forks.cracks",
            6: "a check on this truck's list",
            8: "forks.locks a second time",
            9: "found 'zebra' at ground.leaks; expected fuel (",
            10: "ground.leaks a second time",
            11: "ok at chain.tension, and 'slack' found",
            12: "the reason",
            13: "1,250",
            14: "no answer to chain.sound",
        }
        for line, text in wanted.items():
            assert [one for one in said if f"line {line}," in one and text in one], (line, said)
        missing = [one for one in said if "no answer to" in one and "line" not in one]
        assert missing
        assert not [one for one in missing if "chain.sound" in one]
        assert bodies(office, WalkRound) == []


@pytest.mark.parametrize("value", ["nan", "Infinity", "1e5", "zebra", "1,250"])
def test_a_value_that_is_no_number_is_named(value: str) -> None:
    with desk() as office:
        said = problems(office, filled(asked(office), **{"hours.read": ("ok", "", "", value)}))
        assert [one for one in said if "column value" in one]


def test_a_table_without_answers_or_without_its_header_is_none() -> None:
    with desk() as office:
        assert "no answers" in problems(office, table(blank_answers(asked(office))))[0]
        assert "no header" in problems(office, b"a,b\n1,2\n")[0]
        with pytest.raises(ImportError_):
            read_answers(FILE, b"", asked(office))


def test_a_workbook_is_read_like_text() -> None:
    with desk() as office:
        of = asked(office)
        book = openpyxl.Workbook()
        lines = book.active
        assert lines is not None
        for row in csv.reader(io.StringIO(filled(of, **{"hours.read": ("", "", "", "")}).decode())):
            lines.append([cell or None for cell in row])
        for cells in lines.iter_rows():
            if cells[0].value == "hours.read":
                cells[4].value = 12.5
        data = io.BytesIO()
        book.save(data)
        assert read_answers(Path("sheet.xlsx"), data.getvalue(), of).hours == Decimal("12.5")
