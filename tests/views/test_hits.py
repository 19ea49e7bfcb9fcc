"""Hits in words."""

from __future__ import annotations

from derive.builders import ENROLLED, ZONE, record
from derive.test_impact import AT, HIT, hits, read, sealed
from dipmark.facts.base import PersonKey
from dipmark.views.hits import HitRow, hit_rows


def row(text: str) -> HitRow:
    (found,) = hit_rows(hits(text), {PersonKey("p-dan"): "Dan"}, ZONE)
    return found


def test_a_hit_is_told_with_who_and_what() -> None:
    struck = '  struck - "mast"\n  struck - "rack 14"\n'
    found = row(HIT + struck + "  person p-dan\n  hurt true\n")
    assert found.title.startswith("Hit, Sun 2026-02-01 22:00")
    assert (found.struck, found.driver, found.hurt) == ("mast, rack 14", "Dan", True)
    assert (found.ran, found.seal) == ("", "Nobody sealed the record.")


def test_a_stranger_is_named_by_his_key_and_a_near_miss_asks_for_nothing() -> None:
    found = row(HIT.replace("what hit", "what near-miss") + "  person p-x\n" + AT + read("2026-02-04T08:00", "103.0"))
    assert (found.driver, found.ran) == ("p-x", "")


def test_hours_after_it_and_the_seal_are_told() -> None:
    code = sealed(record(ENROLLED + AT), 2)
    told = HIT + f"  seal {code}\n"
    found = row(AT + told + read("2026-02-04T08:00", "103.0"))
    assert found.ran.startswith("It ran at least 2.9 h between this and its release.")
    assert found.seal == f"The record up to it is as it was sealed: {code}."
    assert "is NOT as it was sealed" in row(AT.replace("100.0", "99.9") + told).seal
