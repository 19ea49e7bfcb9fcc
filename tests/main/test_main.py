"""The entry point: one program, started as `dipmark` and as `python -m dipmark`."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from dipmark import main
from faces.cli.running import MORNING, dipmark


def started(*words: str, env: dict[str, str] | None = None) -> subprocess.CompletedProcess[bytes]:
    told = {name: value for name, value in os.environ.items() if not name.startswith("DIPMARK_")}
    return subprocess.run(
        [sys.executable, "-m", "dipmark", *words], env=told | (env or {}), capture_output=True, check=False
    )


def test_the_store_may_be_named_once_and_for_all(tmp_path: Path) -> None:
    table = tmp_path / "trucks.csv"
    table.write_text("Truck,Kind\n7,LPG forklift\n", "utf-8")
    env = {"DIPMARK_STORE": str(tmp_path / "yard.db")}
    assert started("take", str(table), env=env).returncode == 0
    plain = started("yard", env=env | {"PYTHONIOENCODING": "ascii", "LC_ALL": "C"})
    assert (plain.returncode, plain.stderr) == (0, b"")
    assert b" o  7  Not checked" in plain.stdout
    refused = started("stop", "77", "leak", env=env)
    assert (refused.returncode, refused.stdout) == (1, b"")
    assert refused.stderr == b"No truck 77 is enrolled. Is it 7?\n"


def test_run_ends_with_the_number(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "argv", ["dipmark", "banana"])
    with pytest.raises(SystemExit) as ended:
        main.run()
    assert ended.value.code == 2


def test_the_invented_yard_fills_an_empty_store_only(tmp_path: Path) -> None:
    store = ("--store", str(tmp_path / "yard.db"))
    made = dipmark(*store, "demo", "--as-of", MORNING, "--json")
    assert made.json["facts"] > 1000
    again = dipmark(*store, "demo", "--as-of", MORNING)
    assert (again.code, again.out) == (1, "")
    assert len(dipmark(*store, "yard", "--as-of", MORNING, "--json").json) >= 12
    other = dipmark("--store", str(tmp_path / "other.db"), "demo")
    assert other.out.startswith("An invented yard of ")
