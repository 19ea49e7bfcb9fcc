"""Writes what a proof found into docs/evidence.md."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Final

PAGE: Final = Path(__file__).resolve().parents[1] / "docs" / "evidence.md"


def write(title: str, lines: Iterable[str]) -> None:
    """Put a section in the place of the one that is there; other sections stay."""
    head = "# Evidence\n\nWhat `make prove` did and found, written by it.\n"
    before = PAGE.read_text("utf-8") if PAGE.exists() else head
    start = before.find(title)
    end = before.find("\n## ", start + 1) + 1
    kept, after = (before, "") if start < 0 else (before[:start], before[end:] if end else "")
    section = f"{title}\n\n" + "\n".join(lines).strip() + "\n"
    PAGE.write_text(f"{kept.rstrip()}\n\n{section}" + (f"\n{after}" if after else ""), "utf-8")
