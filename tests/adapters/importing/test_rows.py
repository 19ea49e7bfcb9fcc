"""Rows with typed values; everything wrong with a row is said at once."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from pathlib import Path

import pytest

from dipmark.adapters.importing.cells import Number, When
from dipmark.adapters.importing.rows import ReadRow, read_rows
from dipmark.adapters.importing.sheets import Row, Sheet, read_sheets
from dipmark.adapters.importing.table import Table, find_table


def rows_of(text: str | Sheet, **options: str) -> list[ReadRow]:
    sheet = read_sheets(Path("yard.csv"), text.encode())[0] if isinstance(text, str) else text
    table = find_table(sheet, {})
    assert isinstance(table, Table), table
    return list(read_rows(table, **options))  # type: ignore[arg-type]


def problems_of(text: str | Sheet, **options: str) -> list[tuple[int | None, str | None, str]]:
    return [(p.where.line, p.where.column, p.code) for row in rows_of(text, **options) for p in row.problems]


@pytest.mark.parametrize(
    "text",
    [
        "Truck no.,Date,Hours (h)\nFL-1,2026-04-03,1250.5\n",
        "Stapler-Nr.;Datum;Betriebsstunden\nFL-1;03.04.2026;1250,5 Std.\n",
        "Nº de carretilla;Fecha;Horómetro\n FL-1 ;3 de abril de 2026;1 250,5 horas\n",
        "Fleet no\tDate read\tMeter\nFL-1\t3 Apr 2026\t1'250.5 hrs\n",
        "Unit|Reading date (mm/dd/yyyy)|Hour meter\nFL-1|04/03/2026|1,250.5\n",
    ],
)
def test_one_reading_in_three_languages(text: str) -> None:
    (row,) = rows_of(text)
    assert row.problems == ()
    assert row.purposes == ("readings",)
    assert (row.file, row.sheet, row.line) == ("yard.csv", None, 2)
    assert (row.text("truck"), row.when("date")) == ("FL-1", When(date(2026, 4, 3)))
    hours = row.number("hours")
    assert hours is not None
    assert (hours.value, hours.places, hours.unit in {None, "h"}) == (Decimal("1250.5"), 1, True)


def test_a_truck_with_all_its_columns() -> None:
    (row,) = rows_of(
        "Stapler;Typ;Antrieb;Bereifung;Inbetriebnahme;Anfangsstand;Seriennummer;Standort;Tragfähigkeit (kg);Baujahr;"
        "Zählerart;Stellen;Bezeichnung\n"
        "7;Frontstapler;Treibgas;Luft;1.2.2020;12,5;00123;Halle 2;2.500,0;2019;engine;5;Der Rote\n"
    )
    assert row.problems == ()
    assert row.values == {
        "truck": "7", "kind": "engine-pneumatic-lpg", "fuel": "Treibgas", "tyres": "Luft",
        "commissioned": When(date(2020, 2, 1)), "start_hours": Number(Decimal("12.5"), None, 1), "serial": "00123",
        "place": "Halle 2", "capacity": Number(Decimal("2500.0"), "kg", 1), "built": Number(Decimal(2019), None, 0),
        "meter": "engine", "digits": Number(Decimal(5), None, 0), "name": "Der Rote",
    }  # fmt: skip
    assert (row.text("hours"), row.number("truck"), row.when("truck")) == (None, None, None)


def test_services_and_readings_of_one_table() -> None:
    rows = rows_of(
        "Truck,Date,Time,Hours,Service,By,Note\nA,2026-04-03,06:30,150,150 hr service,Kim,done\nA,2026-04-04,,151,,,\n"
        "A,2026-04-05,,,450 h,,\nA,2026-04-06,,,,,\nA,,,3,,,\n"
    )
    assert [row.purposes for row in rows] == [
        ("services", "readings"), ("readings",), ("services",), (), ("readings",),
    ]  # fmt: skip
    assert rows[0].when("date") == When(date(2026, 4, 3), time(6, 30))
    assert "time" not in rows[0].values
    assert [p.where.column for p in rows[3].problems] == ["Service", "Hours"]
    assert [(p.where.column, p.code) for p in rows[4].problems] == [("Date", "cell-missing")]


def test_faults() -> None:
    rows = rows_of("Truck,Fault,Seriousness,Date,Mended\nA,horn dead,out of service,2026-04-03,\nB,leak,bad,,yes\n")
    assert rows[0].values["seriousness"] == "stop"
    assert [(p.where.column, p.code) for p in rows[1].problems] == [
        ("Seriousness", "seriousness-unknown"), ("Mended", "date-unreadable"), ("Date", "cell-missing"),
    ]  # fmt: skip
    assert rows_of("Truck,Fault\nA,horn dead\n")[0].problems == ()


def test_every_fault_of_a_row_at_once_with_its_place() -> None:
    (row,) = rows_of("T;;\nStapler;Datum;Stunden;Wartung\n;31.02.2026;1250 km;12 Monate\n")
    assert [(p.where.file, p.where.line, p.where.column, p.code) for p in row.problems] == [
        ("yard.csv", 3, "Datum", "date-impossible"), ("yard.csv", 3, "Stunden", "unit-wrong"),
        ("yard.csv", 3, "Wartung", "service-unknown"), ("yard.csv", 3, "Stapler", "cell-missing"),
    ]  # fmt: skip
    assert all(p.found and p.expected and p.hint for p in row.problems)


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        ("-1", "number-range"), ("0", ""), ("999999", ""), ("1000000", "number-range"), ("1234:30", ""),
        ("1250 min", "unit-wrong"),
        ("NaN", "number-unreadable"), ("1250.1234", "number-range"), ("-", "cell-missing"), ("n/a", "cell-missing"),
        ("1.250", "number-ambiguous"),
    ],
)  # fmt: skip
def test_hours(cell: str, code: str) -> None:
    found = problems_of(f"Truck;Date;Hours\nA;2026-04-03;{cell}\n")
    assert found == ([(2, "Hours", code)] if code else [])


@pytest.mark.parametrize(
    ("header", "cell", "code"),
    [
        ("Built", "1949", "number-range"), ("Built", "2019 h", "unit-wrong"), ("Built", "2019.5", "number-range"),
        ("Digits", "0", "number-range"), ("Digits", "9", ""), ("Digits", "10", "number-range"),
        ("Capacity", "2 h", "unit-wrong"),
        ("Capacity", "2 t", ""), ("Start hours", "5 km", "unit-wrong"), ("Place", "x" * 121, "text-long"),
        ("Place", "x" * 120, ""), ("Note", "x" * 4001, "text-long"), ("Note", "a\x07b", "text-broken"),
        ("Note", "\ufffd", "text-broken"), ("Commissioned", "soon", "date-unreadable"), ("Hours (km)", "5", ""),
    ],
)  # fmt: skip
def test_other_columns(header: str, cell: str, code: str) -> None:
    found = problems_of(f"Truck;Kind;{header}\nA;diesel;{cell}\n")
    assert found == ([(2, header, code)] if code else [])


def test_unit_of_the_header_counts() -> None:
    assert problems_of("Truck,Date,Hours (km)\nA,2026-04-03,5\n") == [(2, "Hours (km)", "unit-wrong")]


def test_kind_nobody_knows() -> None:
    assert problems_of("Truck,Kind\nA,forklift\n") == [(2, "Kind", "kind-unknown")]


def test_order_and_decimal_mark_are_asked_or_set() -> None:
    text = "Truck;Date;Hours\nA;03/04/2026;1.250\n"
    assert [code for _, _, code in problems_of(text)] == ["date-ambiguous", "number-ambiguous"]
    (row,) = rows_of(text, dates="mdy", decimal="comma")
    assert row.problems == ()
    assert row.when("date") == When(date(2026, 3, 4))
    assert row.values["hours"] == Number(Decimal(1250), None, 0)


def test_two_times_of_day() -> None:
    text = "Truck,Date,Time,Hours\nA,2026-04-03 06:30,{},5\n"
    assert problems_of(text.format("06:30")) == []
    assert problems_of(text.format("07:30")) == [(2, "Time", "time-twice")]
    assert problems_of(text.format("soon")) == [(2, "Time", "time-unreadable")]


@pytest.mark.parametrize("word", ["Total", "SUMME", "Gesamt:", "Suma", "Zwischensumme", "Grand total"])
def test_row_of_sums_is_named(word: str) -> None:
    assert problems_of(f"Truck,Date,Hours\nA,2026-04-03,5\n{word},,5\n") == [(3, "Truck", "row-total")]
    assert problems_of(f"Date,Truck,Hours\n2026-04-03,A,5\n{word},,5\n") == [(3, "Date", "row-total")]


def test_headers_that_come_again_and_blank_rows_are_passed_over() -> None:
    rows = rows_of("Truck,Date,Hours\nA,2026-04-03,5\n,,\n\nTruck,Date,Hours\nB,2026-04-03,5\n")
    assert [(row.line, row.text("truck"), row.problems) for row in rows] == [(2, "A", ()), (6, "B", ())]


def test_comma_inside_a_value_is_not_taken_for_the_next_column() -> None:
    wide = [(2, "Note", "row-wide")]
    assert problems_of("Truck,Date,Hours,Note\nA,2026-04-03,1250,5,x\nB,2026-04-03,1250,x\n") == wide
    assert problems_of("Truck,Date,Hours,Note\nA,2026-04-03,1250,5,\nB,2026-04-03,1250,\n") == wide
    assert problems_of("Truck,Date,Hours\nA,2026-04-03,1250,\nB,2026-04-03,1250,\n") == []
    assert problems_of("Truck;Date;Hours\nA;2026-04-03;1250;;\nB;2026-04-03;1250\n") == []
    assert problems_of("Truck,Date,Hours,Note\nA,2026-04-03,1250\n") == []


def test_torn_row() -> None:
    assert problems_of('Truck,Date,Hours,Note\nA,2026-04-03,5,"open\nB,2026-04-03,5,\n') == [(2, "Truck", "row-torn")]


def test_raw_is_as_written() -> None:
    (row,) = rows_of('Truck;Colour;Date;Hours\n A ; "r";2026-04-03; 1250,50 h;x;"y\nz"\n')
    assert row.raw == (" A ", ' "r"', "2026-04-03", " 1250,50 h", "x", "y\nz")


def test_workbook_values_read_back_out_of_text() -> None:
    head = Row(3, ("Truck", "Date", "Hours", "Colour"))
    cells = Row(7, (Decimal(12), Decimal("46115.25"), Decimal("12.125"), Decimal("1.125")))
    odd = Row(8, (None, Decimal(5), Decimal("12.5"), None))
    sheet = Sheet("y.xlsx", "Readings", [head, cells, odd])
    row, bad = rows_of(sheet)
    assert (row.sheet, row.line, row.problems) == ("Readings", 7, ())
    assert row.raw == ("12", "2026-04-03 06:00:00", "012.125", "1.125")
    assert row.text("truck") == "12"
    assert bad.raw == ("", "5", "12.5", "")
    day = Sheet("y.xlsx", "Readings", [head, Row(4, ("A", Decimal(46115), Decimal("12.5"), None))])
    assert rows_of(day, decimal="comma")[0].raw == ("A", "2026-04-03", "12,5", "")
