"""A file is refused with its name, what was found and what to do."""

from __future__ import annotations

from datetime import date

import pytest

from dipmark.adapters.importing.sheet import NO_TABLE, Row, Sheet, refuse
from dipmark.facts.errors import ImportError_


def test_refusal_says_everything() -> None:
    with pytest.raises(ImportError_, match=r"^yard.pdf: Found a picture; expected a table. Type it in.$") as caught:
        refuse("yard.pdf", NO_TABLE, "a picture", "a table", "Type it in.")
    (problem,) = caught.value.problems
    assert (problem.code, problem.where.file, problem.hard) == ("file-not-a-table", "yard.pdf", True)


def test_a_sheet_of_text_is_alone_and_seen() -> None:
    sheet = Sheet("yard.csv", None, [Row(1, ("truck",))], ",")
    assert (sheet.count, sheet.hidden, sheet.epoch, sheet.rows[0].torn) == (1, False, date(1899, 12, 30), False)
