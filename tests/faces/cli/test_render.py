"""The dip gauge in block characters, and lines as they stand on a terminal."""

from __future__ import annotations

import doctest
from decimal import Decimal

import pytest

from dipmark.faces.cli import options, render
from dipmark.faces.cli.render import console, due_parts, gauge_text, log_parts, put, yard_parts
from dipmark.views.gauge import Gauge


@pytest.mark.parametrize(
    ("value", "doubt", "word", "drawn"),
    [
        ("150", "0", "", "▕██████████▏ 150 h left"),
        ("75", "0", "", "▕█████     ▏ 75 h left"),
        ("75", "15", "", "▕████▒▒    ▏ 75 h left"),
        ("0.4", "0", "", "▕          ▏ 0.4 h left"),
        ("0", "0", "due now", "╳          ▏ due now"),
        ("-20", "0", "past by 20 h", "╳          ▏ past by 20 h"),
        ("-20", "0", "", "╳          ▏ outside its marks"),
        ("160", "0", "above its mark", "▕██████████▶ above its mark"),
        (None, "0", "", "▕??????????▏ not known"),
    ],
)
def test_the_gauge_empties_towards_its_limit(value: str | None, doubt: str, word: str, drawn: str) -> None:
    read = None if value is None else Decimal(value)
    assert gauge_text(Gauge("150h", Decimal(0), Decimal(150), read, Decimal(doubt), word=word)) == drawn


def test_a_gauge_that_counts_down_to_a_smaller_number_fills_the_same_way() -> None:
    assert gauge_text(Gauge("fork heel", Decimal(36), Decimal(40), Decimal(39), unit="mm")) == "▕███████   ▏ 3 mm left"


def test_the_examples_compute() -> None:
    assert doctest.testmod(render).failed == 0
    assert doctest.testmod(options).failed == 0


def test_nothing_is_said_as_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    from datetime import date

    put(console(), *yard_parts((), 80), *due_parts((), date(2026, 11, 20)), *log_parts(()))
    assert capsys.readouterr().out == "No trucks.\nNothing.\nNothing yet.\n"


@pytest.mark.parametrize(("columns", "width"), [("80", 80), ("", 120), ("zebra", 120), ("5", 60)])
def test_where_there_is_no_terminal_columns_says_how_wide(
    monkeypatch: pytest.MonkeyPatch, columns: str, width: int
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    assert console().width == width
