"""The command: a PDF in the language and size asked for, the same again, never over a file that is there."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest

from faces.cli.running import MORNING, dipmark, yard_of


@pytest.fixture
def store(tmp_path: Path) -> tuple[str, str]:
    return yard_of(tmp_path)


def words_of(path: Path) -> tuple[str, tuple[float, float]]:
    with pypdfium2.PdfDocument(path) as book:
        return " ".join(page.get_textpage().get_text_bounded() for page in book), book[0].get_size()


def test_a_sheet_is_printed_and_printed_the_same_again(store: tuple[str, str], tmp_path: Path) -> None:
    one, two = tmp_path / "one.pdf", tmp_path / "two.pdf"
    ran = dipmark(*store, "print", "week", "7", "9", "--as-of", MORNING, "--out", str(one))
    assert (ran.code, ran.out, ran.err) == (0, f"2 sheets in {one}.\n", "")
    again = dipmark(*store, "print", "week", "7", "9", "--as-of", MORNING, "--out", str(two), "--json")
    assert again.json == {"file": str(two), "sheets": 2, "bytes": two.stat().st_size}
    assert one.read_bytes() == two.read_bytes()
    text, size = words_of(one)
    assert "Week sheet" in text
    assert [round(side) for side in size] == [595, 842]


def test_in_another_language_on_another_paper_of_another_week(store: tuple[str, str], tmp_path: Path) -> None:
    path = tmp_path / "week.pdf"
    asked = ("--language", "es", "--paper", "letter", "--day", "2026-12-02")
    assert dipmark(*store, "print", "week", "7", "--as-of", MORNING, "--out", str(path), *asked).code == 0
    text, size = words_of(path)
    assert "Hoja de la semana" in text
    assert "2026-11-30" in text
    assert [round(side) for side in size] == [612, 792]


def test_the_language_before_the_command_counts_as_well(store: tuple[str, str], tmp_path: Path) -> None:
    path = tmp_path / "card.pdf"
    ran = dipmark(*store, "--language", "es", "print", "card", "12", "--as-of", MORNING, "--out", str(path))
    assert ran.code == 0
    assert "Ficha de la carretilla" in words_of(path)[0]


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("card", "77"), "No truck 77 is enrolled."),
        (("service", "7", "--service", "77h"), "have no service 77h"),
        (("week", "7", "--day", "soon"), "time 'soon'"),
        (("week", "7", "--language", "xx"), "There are no words of the language 'xx'"),
    ],
)
def test_what_cannot_be_printed_is_said(
    store: tuple[str, str], tmp_path: Path, asked: tuple[str, ...], said: str
) -> None:
    path = tmp_path / "no.pdf"
    ran = dipmark(*store, "print", *asked, "--as-of", MORNING, "--out", str(path))
    assert (ran.code, ran.out) == (1, "")
    assert said in ran.err
    assert not path.exists()


@pytest.mark.parametrize(("language", "said"), [("en", "What keeps breaking"), ("es", "Lo que más se rompe")])
def test_what_the_record_teaches_is_printed(store: tuple[str, str], tmp_path: Path, language: str, said: str) -> None:
    path = tmp_path / "lessons.pdf"
    asked = ("--as-of", MORNING, "--language", language, "--paper", "letter", "--out", str(path))
    ran = dipmark(*store, "print", "lessons", *asked)
    assert (ran.code, ran.out) == (0, f"1 sheet in {path}.\n")
    text, size = words_of(path)
    assert said in text
    assert [round(side) for side in size] == [612, 792]


def test_a_file_that_is_there_is_kept(store: tuple[str, str], tmp_path: Path) -> None:
    path = tmp_path / "mine.pdf"
    path.write_bytes(b"mine")
    ran = dipmark(*store, "print", "release", "--as-of", MORNING, "--out", str(path))
    assert (ran.code, path.read_bytes()) == (1, b"mine")
    assert "is there already" in ran.err
