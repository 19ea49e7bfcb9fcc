"""What is handed out is taken again as known: a round trip adds nothing."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from dipmark.facts.errors import NotFound
from dipmark.facts.notation import parse
from dipmark.office.enter import day_of, read_meter, work
from dipmark.office.give import HEADERS, Table, give_notation, give_table
from dipmark.office.open import Office
from office.desk import at, desk, now
from office.taking import NOW, counts, facts, file, taken, yard


def filled(office: Office) -> None:
    read_meter(office, "7", Decimal("100.50"), at("2026-11-18T05:04:03.000021"))
    read_meter(office, "7", Decimal(104), day_of(at("2026-11-19T05:00").happened.date(), office))
    read_meter(office, "20", Decimal(4), at("2026-11-18T05:00"), "drive")
    work(office, "7", ["150h", "8h"], at("2026-11-19T15:00"), hours=Decimal(108), text="oil, \"new\" filter",
         left_out=(), minutes=40)  # fmt: skip


def test_tables_come_back_as_known(tmp_path: Path) -> None:
    with desk() as office:
        filled(office)
        before = len(facts(office))
        for what in HEADERS:
            text = give_table(office, what, NOW)
            known = counts(taken(office, file(tmp_path, f"{what}.csv", text)))
            assert known == (0, text.count("\r\n") - 1, 0), what
        assert len(facts(office)) == before


def test_tables_fill_another_yard_alike(tmp_path: Path) -> None:
    with desk() as office, yard() as other:
        filled(office)
        tables: tuple[Table, ...] = ("trucks", "readings", "services")
        for what in tables:
            taken(other, file(tmp_path, f"{what}.csv", give_table(office, what, NOW)))
        assert now(other).hours == now(office).hours
        assert [(due.service, due.hours, due.day) for due in now(other).dues] == [
            (due.service, due.hours, due.day) for due in now(office).dues
        ]
        for what in ("readings", "services"):
            assert give_table(other, what, NOW) == give_table(office, what, NOW)


def test_one_truck_and_what_counted_then() -> None:
    with desk() as office:
        filled(office)
        assert give_table(office, "trucks", NOW, ["12"]).splitlines()[1:] == ["12,reach,2026-01-05,,,,,,"]
        assert len(give_table(office, "readings", at("2026-11-18T12:00").happened, ["7"]).splitlines()) == 2
        with pytest.raises(NotFound):
            give_table(office, "trucks", NOW, ["99"])


def test_the_record_in_the_plain_text_notation_reads_back() -> None:
    with desk() as office:
        filled(office)
        parsed = parse(give_notation(office))
        assert not parsed.problems
        assert {fact.id for fact in parsed.facts} == {fact.id for fact in facts(office)}
        assert give_notation(office, ["12"]).count("truck:12") == 1
        assert "truck:7" not in give_notation(office, ["12"])
