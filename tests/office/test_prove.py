"""The record is proved, copied and brought back."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from dipmark.facts.errors import StoreError
from dipmark.office.enter import read_meter
from dipmark.office.open import open_office
from dipmark.office.prove import backup, codes, restore, verify
from office.desk import at, desk
from office.taking import NOW


def test_codes_stand_in_the_order_people_count() -> None:
    with desk() as office:
        assert list(codes(office)) == ["truck:7", "truck:12", "truck:20"]


def test_a_code_printed_earlier_still_holds_and_a_wrong_one_does_not() -> None:
    with desk() as office:
        old = codes(office)["truck:7"]
        read_meter(office, "7", Decimal(5), at("2026-11-19T05:00"))
        assert verify(office) == ()
        assert verify(office, old.lower().replace("-", " ")) == ()
        assert [problem.code for problem in verify(office, "2-AAAA-AAAA-AAAA-AAAA")] == ["book-rewritten"]
        assert [problem.code for problem in verify(office, "9-AAAA-AAAA-AAAA-AAAA")] == ["book-cut"]
        assert [problem.code for problem in verify(office, "nonsense")] == ["code-unreadable"]


def test_a_copy_is_brought_back_whole(tmp_path: Path) -> None:
    with desk(address=str(tmp_path / "yard.db")) as office:
        backup(office, tmp_path / "copy.db")
        wanted = codes(office)
        with pytest.raises(StoreError, match="exists"):
            backup(office, tmp_path / "copy.db")
    restore(tmp_path / "copy.db", str(tmp_path / "again.db"))
    with open_office(str(tmp_path / "again.db"), create=False, clock=lambda: NOW) as office:
        assert codes(office) == wanted
        assert verify(office) == ()
        assert set(office.people.names().values()) == {"unnamed", "Ana"}
    with pytest.raises(StoreError):
        restore(tmp_path / "copy.db", str(tmp_path / "again.db"))
