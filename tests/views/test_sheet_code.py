"""The code of a sheet that is read back says which sheet, page, truck and week; any other code is none."""

from __future__ import annotations

from datetime import date

import msgspec
import pytest

from dipmark.views.sheet_code import SheetCode, read_sheet_code, sheet_code
from dipmark.views.sheet_geometry import digest_of
from views.test_sheet_geometry import sheet

CODE = sheet_code(sheet(), "7", 2, 3)


@pytest.mark.parametrize("truck", ["7", "T 07", "Ñandú 4/b", "a\nb"])
def test_a_code_is_read_as_it_was_written(truck: str) -> None:
    code = msgspec.structs.replace(CODE, truck=truck)
    assert read_sheet_code(code.text()) == code


def test_a_code_says_what_it_is_about() -> None:
    assert (
        SheetCode(
            sheet=digest_of(sheet()),
            page=2,
            pages=3,
            first=date(2026, 11, 23),
            rules="ab" * 10,
            code="12-AAAA-AAAA-AAAA-AAAA",
            truck="7",
        )
        == CODE
    )
    assert CODE.text().startswith("DIPMARK1 ")


def test_of_a_plain_number_the_code_is_small() -> None:
    """Capitals, digits and nine signs take 5.5 bits each (ISO/IEC 18004, 7.4.4); version 6-M holds 154 of them."""
    assert set(CODE.text()) <= set("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")
    assert len(CODE.text()) <= 154


@pytest.mark.parametrize(
    "text",
    [
        "",
        "truck:7 12-AAAA-AAAA-AAAA-AAAA",
        CODE.text().replace("DIPMARK1", "DIPMARK2"),
        CODE.text().replace(" 2/3 ", " 4/3 "),
        CODE.text().replace(" 2/3 ", " 0/3 "),
        CODE.text().replace("20261123", "20261323"),
        CODE.text().replace("12-AAAA-", "12-AAAA"),
        CODE.text().removesuffix("7"),
    ],
)
def test_another_code_is_none(text: str) -> None:
    assert read_sheet_code(text) is None
