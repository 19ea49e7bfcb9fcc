"""Every command that looks, on the invented yard, as it was last accepted: `make snapshots` accepts anew."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Final

import pytest

from faces.cli.running import MORNING, dipmark

KEPT: Final = Path(__file__).parent / "snapshots"
CODE: Final = re.compile(r"\d+(-[A-Z2-7]{4}){4}")
"""Codes follow from every byte of the record and of the rules; what they are is looked at elsewhere."""

SHOWN: Final = {
    "yard-80": (80, "yard"),
    "yard-120": (120, "yard"),
    "due-80": (80, "due"),
    "due-120": (120, "due", "--all"),
    "show-120": (120, "show"),
    "truck-1": (120, "truck", "1"),
    "truck-4": (80, "truck", "4"),
    "truck-5": (80, "truck", "5"),
    "truck-6": (80, "truck", "6"),
    "truck-13": (80, "truck", "13"),
    "log-13": (80, "log", "13"),
    "log-13-120": (120, "log", "13"),
}


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    named = ("--store", str(tmp_path_factory.mktemp("demo") / "yard.db"))
    made = dipmark(*named, "demo", "--as-of", MORNING)
    assert made.code == 0, made.err
    return named


def held(name: str, said: str) -> None:
    """Compare with what was accepted; with DIPMARK_SNAPSHOTS=accept it is accepted."""
    path = KEPT / f"{name}.txt"
    text = CODE.sub("(code)", said)
    if os.environ.get("DIPMARK_SNAPSHOTS") == "accept":
        KEPT.mkdir(exist_ok=True)
        path.write_text(text, "utf-8")
    assert path.read_text("utf-8") == text, f"{name} has changed; look at it, then: make snapshots"


@pytest.mark.parametrize("name", SHOWN)
def test_what_is_shown(store: tuple[str, str], name: str) -> None:
    columns, *words = SHOWN[name]
    ran = dipmark(*store, *map(str, words), "--as-of", MORNING, columns=int(columns))
    assert (ran.code, ran.err) == (0, "")
    held(name, ran.out)


def test_no_snapshot_is_left_over() -> None:
    assert {path.stem for path in KEPT.glob("*.txt")} == set(SHOWN)
