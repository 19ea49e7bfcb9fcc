"""Every mistake ends in a line or two and a number: 1 for what is refused, 2 for what says nothing."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from dipmark.faces.cli.app import app
from dipmark.faces.cli.ending import run
from faces.cli.running import dipmark, yard_of


@pytest.fixture
def store(tmp_path: Path) -> tuple[str, str]:
    return yard_of(tmp_path)


def test_a_store_that_is_none_is_said(tmp_path: Path) -> None:
    (tmp_path / "note.txt").write_text("no store", "utf-8")
    (tmp_path / "empty.db").touch()
    for address, code, said in (
        (None, 2, "no store was named: give --store PATH before the command, or set DIPMARK_STORE"),
        (str(tmp_path / "none.db"), 1, "No store at"),
        (str(tmp_path), 1, "is a folder"),
        (str(tmp_path / "note.txt"), 1, "is no dipmark store"),
        (str(tmp_path / "empty.db"), 1, "is empty"),
        (str(tmp_path / "no" / "such.db"), 1, "No folder"),
        ("postgresql://nobody@127.0.0.1:1/none", 1, "cannot be reached"),
    ):
        ran = dipmark(*(("--store", address) if address else ()), "yard")
        assert (ran.code, ran.out, said in ran.err) == (code, "", True), ran
        assert len(ran.err.splitlines()) <= 2


def test_words_that_say_nothing_point_to_the_help(store: tuple[str, str]) -> None:
    for words, said in (
        (("banana",), "No such command 'banana'. See: "),
        ((*store, "yard", "--banana"), "No such option: --banana. See: "),
        ((*store, "truck"), "Missing argument 'TRUCK'. See: "),
        (("--store",), "Option '--store' requires an argument. See: "),
    ):
        ran = dipmark(*words)
        assert (ran.code, ran.out) == (2, "")
        assert ran.err.startswith(said)
        assert ran.err.endswith("--help\n")
        assert len(ran.err.splitlines()) == 1


def test_no_words_at_all_are_answered_with_the_help() -> None:
    ran = dipmark()
    assert ran.code in (0, 2)
    assert "Keeps lift trucks between their marks" in ran.out + ran.err


def test_with_json_a_refusal_is_json_too(store: tuple[str, str]) -> None:
    ran = dipmark(*store, "release", "7", "--json")
    assert (ran.code, ran.out) == (1, "")
    error = json.loads(ran.err)["error"]
    assert set(error) == {"message", "problems"}
    assert error["problems"][0]["code"] == "nothing-open"
    assert set(error["problems"][0]) == {"code", "found", "expected", "hint", "where", "hard"}
    usage = dipmark(*store, "read", "7", "--json")
    assert (usage.code, json.loads(usage.err)["error"]["problems"]) == (2, [])


def test_what_the_machine_refuses_is_said(store: tuple[str, str], monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", "/dev/full")

    monkeypatch.setattr("dipmark.faces.cli.render.put_text", full)
    ran = dipmark(*store, "yard")
    assert (ran.code, ran.err) == (1, "/dev/full: No space left on device.\n")


@pytest.mark.parametrize("stop", [KeyboardInterrupt, EOFError])
def test_a_command_that_is_stopped_says_so(
    store: tuple[str, str], monkeypatch: pytest.MonkeyPatch, stop: type[BaseException]
) -> None:
    def pressed(*_: object) -> None:
        raise stop

    monkeypatch.setattr("dipmark.office.board.yard_board", pressed)
    ran = dipmark(*store, "yard")
    assert (ran.code, ran.err.strip()) == (1, "Stopped before the end.")


def test_a_fault_of_the_program_is_not_hidden(store: tuple[str, str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dipmark.office.board.yard_board", lambda *_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        dipmark(*store, "yard")


def test_a_reader_that_leaves_early_is_no_fault(store: tuple[str, str]) -> None:
    words = [sys.executable, "-m", "dipmark", "rules", "show", "engine-pneumatic-lpg"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as started:
        assert started.stdout is not None
        assert started.stderr is not None
        started.stdout.close()
        assert started.stderr.read() == b""


def test_the_shell_passes_what_was_typed(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(sys, "argv", ["dipmark", "rules", "show"])
    assert run(app) == 0
    assert "engine-pneumatic-lpg" in capsys.readouterr().out
