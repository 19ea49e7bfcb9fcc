"""Thousands of broken tables: a named problem or rows that read back the same, never anything else.

DIPMARK_MUTATIONS sets how many; the seed is fixed.
"""

from __future__ import annotations

import io
import os
import random
import zipfile
from pathlib import Path

import openpyxl
import pytest

from dipmark.adapters.importing.refused import _content
from dipmark.adapters.importing.rows import ReadRow, read_rows
from dipmark.adapters.importing.sheets import read_sheets
from dipmark.adapters.importing.table import Table, find_table
from dipmark.facts.errors import ImportError_
from dipmark.facts.problems import CODES, Problem

MUTATIONS = int(os.environ.get("DIPMARK_MUTATIONS", "10000"))
SEED = 20260403

TEXTS = [
    'Yard of the mill\n\nTruck no.,Date,Hours (h),Note\nFL-1,2026-04-03,"1,250.5",ok\n'
    'FL-2,3 Apr 2026,12 h,"two\nlines"\n'
    "FL-3,04/13/2026,1250.5,\nFL-4,2026-04-03 06:30,1234:30,x\n",
    "Stapler-Nr.;Typ;Antrieb;Inbetriebnahme;Anfangsstand\nFL-1;Frontstapler;Treibgas;01.02.2020;12,5\n"
    "FL-2;Schubmaststapler;Elektro;1. März 2021;0\nFL-3;Dieselstapler;;;1.250,5\n",
    "Carretilla\tFecha\tMantenimiento\tHoras\tAvería\nFL-1\t3 de abril de 2026\t150 h\t1 250,5\t\n"
    "FL-2\t13/04/2026\tservicio 450 horas\t\t\nFL-3\t2026-04-03\t\t12\tfuga de aceite\n",
]
SPLICES = [b'"', b"\n", b"\r", b",", b";", b"\t", b"\x00", b"\xff", b"\xc3", b"\xef\xbb\xbf", b"\xff\xfe", b"=", b"-",
           b"1,250",
           b"03/04/2026", b"NaN", b"inf", b"1e999", b"9" * 40, b"31.02.2026", b"Total", b"\xe2\x88\x92",
           b"\xed\xa0\x80",
           b"PK\x03\x04",
           b"Truck,Date", b"0000-00-00", b"24:00", b"\xc2\xb2"]  # fmt: skip


def mutated(data: bytes, rng: random.Random) -> bytes:
    out = bytearray(data)
    for _ in range(rng.choice((1, 1, 1, 2, 3, 8))):
        at = rng.randrange(len(out)) if out else 0
        match rng.randrange(7):
            case 0 if out:
                out[at] ^= 1 << rng.randrange(8)
            case 1 if out:
                out[at] = rng.randrange(256)
            case 2:
                del out[at : at + rng.choice((1, 1, 2, 10))]
            case 3:
                out[at:at] = rng.choice(SPLICES)
            case 4:
                del out[at:]
            case 5:
                other = rng.randrange(len(out)) if out else 0
                size = rng.randrange(1, 30)
                out[at : at + size], out[other : other + size] = out[other : other + size], out[at : at + size]
            case _:
                out[at : at + 12] = out[at : at + 12] * rng.randrange(2, 5)
    return bytes(out)


def workbook_of(text: str, rng: random.Random) -> bytes:
    """The table as a workbook, its cells swapped and replaced."""
    cells: list[list[object]] = [
        [*line.split(";" if ";" in text else "\t" if "\t" in text else ",")] for line in text.splitlines()
    ]
    odd = [None, True, -1, 1e300, 46115.25, 0.1 + 0.2, "=1/0", "1,250", "x" * 5000, "\ufffd", "03/04/2026",
           2026, 12.125, "Summe"]  # fmt: skip
    for _ in range(rng.randrange(5)):
        row = rng.choice(cells)
        if row:
            row[rng.randrange(len(row))] = rng.choice([*odd, rng.choice(rng.choice(cells) or [""])])
    book = openpyxl.Workbook()
    for row in cells:
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def repacked(data: bytes, rng: random.Random) -> bytes:
    """One part of the workbook mutated and packed again with a sum that fits."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        chosen = rng.choice(old.namelist())
        for name in old.namelist():
            new.writestr(name, mutated(old.read(name), rng) if name == chosen else old.read(name))
    return out.getvalue()


def check(data: bytes, path: Path) -> tuple[int, int]:
    """Rows accepted and refused; a refused file counts as one."""
    accepted = refused = 0
    try:
        sheets = read_sheets(path, data)
    except ImportError_ as error:
        assert error.problems
        assert all(problem.code in CODES and problem.where.file == str(path) for problem in error.problems)
        return 0, 1
    for sheet in sheets:
        table = find_table(sheet, {})
        if isinstance(table, Problem):
            assert table.code in CODES
            refused += 1
            continue
        rows = list(read_rows(table))
        for problem in (problem for row in rows for problem in row.problems):
            assert problem.code in CODES
            assert (problem.where.file, problem.where.column is None) == (str(path), False)
            assert problem.found
            assert problem.expected
        good = [row for row in rows if not row.problems]
        assert all(row.purposes and row.text("truck") for row in good)
        # A lone quote that begins a workbook's cell is text there; in a text file it is a torn row.
        plain = [row for row in good if not any(cell.startswith('"') and cell.count('"') % 2 for cell in row.raw)]
        assert read_back(table, plain, path) == [row.values for row in plain]
        accepted, refused = accepted + len(good), refused + len(rows) - len(good)
    return accepted, refused


def read_back(table: Table, rows: list[ReadRow], path: Path) -> list[object]:
    if not rows:
        return []
    (sheet,) = read_sheets(path, _content(table, [(row, ()) for row in rows]))
    again = find_table(sheet, {})
    assert isinstance(again, Table), again
    found = list(read_rows(again))
    assert [row.problems for row in found] == [()] * len(rows)
    return [row.values for row in found]


@pytest.mark.parametrize(
    ("share", "name"),
    [(88, "text"), (6, "bytes of a workbook"), (3, "parts of a workbook"), (3, "cells of a workbook")],
)
def test_broken_tables(share: int, name: str) -> None:
    rng = random.Random(f"{SEED} {name}")
    books = [workbook_of(text, random.Random(SEED)) for text in TEXTS]
    accepted = refused = 0
    for number in range(max(1, MUTATIONS * share // 100)):
        text, book = rng.choice(TEXTS), rng.choice(books)
        if name == "text":
            data = mutated(text.encode(rng.choice(("utf-8", "utf-8-sig", "cp1252", "utf-16"))), rng)
        elif name == "bytes of a workbook":
            data = mutated(book, rng)
        else:
            data = repacked(book, rng) if name.startswith("parts") else workbook_of(text, rng)
        try:
            good, bad = check(data, Path("yard.csv"))
        except BaseException as error:
            error.add_note(f"seed {SEED} {name}, number {number}: {data[:2000]!r}")
            raise
        accepted, refused = accepted + good, refused + bad
    assert refused
    assert accepted or name.startswith("bytes")
