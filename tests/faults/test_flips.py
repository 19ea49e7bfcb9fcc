"""A small store, changed byte by byte: a sample here, every byte in ``bench/prove_record.py``."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from dipmark.adapters.clock import system_clock
from dipmark.adapters.store import open_store
from dipmark.facts.base import truck_book
from dipmark.facts.errors import StoreError
from faults.flips import by_hand, column_flips, cut_tails, file_flips, small


def test_a_byte_changed_in_a_column_names_the_fact(tmp_path: Path) -> None:
    counts = column_flips(tmp_path, (0x01, 0x80), every=31)
    assert set(counts) <= {"named", "refused"}
    assert counts["named"] > 20 * counts["refused"]


def test_a_byte_changed_in_the_file_is_found_or_read_by_nobody(tmp_path: Path) -> None:
    counts = file_flips(tmp_path, every=83)
    assert counts["named"] > counts["damaged"] > 0
    assert set(counts) == {"named", "damaged", "harmless"}


def test_a_cut_tail_is_shown_by_a_printed_code(tmp_path: Path) -> None:
    assert cut_tails(tmp_path) == 11


def test_bytes_that_are_no_text_are_named_by_verify_and_refused_by_the_rest(tmp_path: Path) -> None:
    small(tmp_path / "yard.dip")
    by_hand(tmp_path / "yard.dip", "by_key", b"p-an\xe1")
    with open_store(str(tmp_path / "yard.dip"), clock=system_clock, create=False) as store:
        (problem,) = store.verify()
        assert (problem.code, problem.where.book) == ("fact-changed", "truck:1")
        with pytest.raises(StoreError, match=r"damaged.*run verify"):
            store.book(truck_book("1"))


def test_a_row_of_which_a_column_is_gone_is_named(tmp_path: Path) -> None:
    path = tmp_path / "yard.dip"
    small(path)
    raw = sqlite3.connect(path)
    raw.executescript("""
        CREATE TABLE other AS SELECT * FROM facts; DROP TABLE facts; ALTER TABLE other RENAME TO facts;
        UPDATE facts SET seq = NULL, prev = NULL WHERE id LIKE '%2';
    """)
    raw.close()
    with open_store(str(path), clock=system_clock, create=False) as store:
        found = [problem for problem in store.verify() if problem.code == "fact-unreadable"]
    assert [(problem.found, problem.where.book) for problem in found] == [("a fact without seq, prev", "truck:1")]
