"""The printed code of a sheet that is read back: which sheet it is, which page, of which truck and week."""

from __future__ import annotations

import base64
import re
from datetime import date
from typing import Final

import msgspec

from dipmark.facts.base import Digest
from dipmark.views.sheet_geometry import Printed, digest_of

FIRST: Final = "DIPMARK1"
"""Every such code begins so; the number is that of its form."""

_FORM: Final = re.compile(
    FIRST + r" ([A-Z2-7]{52}) (\d{1,3})/(\d{1,3}) (\d{8}) ([A-Z2-7]{16}) (\d+(?:-[A-Z2-7]{4}){4}) (\S.*)", re.DOTALL
)


class SheetCode(msgspec.Struct, frozen=True, kw_only=True):
    """What a printed code says.

    Args:
        sheet: digest of the sheet as it was printed, the key it is kept by.
        page: number of the page, from 1.
        pages: of how many.
        first: the first day of the sheet.
        rules: the first 80 bits of the digest of the rules, as 20 hexadecimal digits.
        code: code of the book as it stood.
        truck: name of the book.
    """

    sheet: Digest
    page: int
    pages: int
    first: date
    rules: str
    code: str
    truck: str

    def text(self) -> str:
        """The text of the code; of a truck named in capitals and digits it needs the fewest squares."""
        return (
            f"{FIRST} {_letters(self.sheet)} {self.page}/{self.pages} {self.first:%Y%m%d} {_letters(self.rules)}"
            f" {self.code} {self.truck}"
        )


def sheet_code(printed: Printed, truck: str, page: int, of: int) -> SheetCode:
    """The code of one page.

    Args:
        printed: the sheet.
        truck: its name.
        page: from 1.
        of: how many there are.
    """
    return SheetCode(
        sheet=digest_of(printed),
        page=page,
        pages=of,
        first=min(shift.day for shift in printed.shifts),
        rules=printed.rules[:20],
        code=printed.code,
        truck=truck,
    )


def read_sheet_code(text: str) -> SheetCode | None:
    """What a code found on paper says; None where it is not the code of such a sheet.

    Args:
        text: as it was read.

    *Edge*: a code of a later form is not read.
    """
    found = _FORM.fullmatch(text)
    if found is None:
        return None
    sheet, page, pages, day, rules, code, truck = found.groups()
    try:
        first = date.fromisoformat(f"{day[:4]}-{day[4:6]}-{day[6:]}")
    except ValueError:
        return None
    if not 1 <= int(page) <= int(pages):
        return None
    return SheetCode(
        sheet=_digits(sheet),
        page=int(page),
        pages=int(pages),
        first=first,
        rules=_digits(rules),
        code=code,
        truck=truck,
    )


def _letters(digits: str) -> str:
    return base64.b32encode(bytes.fromhex(digits)).decode().rstrip("=")


def _digits(letters: str) -> str:
    return base64.b32decode(letters + "=" * (-len(letters) % 8)).hex()
