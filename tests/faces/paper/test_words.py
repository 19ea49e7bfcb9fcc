"""Every text of a sheet has its Spanish, and no line says what nothing says any more."""

from __future__ import annotations

import re
from typing import Final

import pytest

from dipmark.faces.paper.press import HERE
from dipmark.faces.paper.words import said_in, texts
from dipmark.office.access import MAY
from dipmark.office.said import said as said_below
from dipmark.views.card import known_of
from dipmark.views.truck_file import REST, SECTIONS
from faces.paper.trucks import truck_of

TEMPLATES: Final = sorted((HERE / "templates").glob("*.typ"))
FROM_BELOW: Final = frozenset(
    {
        *(label for label, _ in known_of(truck_of("en", "reach")[0])),
        *(title for title, _ in SECTIONS),
        REST,
        *(role for role, acts in MAY.items() if "release" in acts),
    }
)
"""Texts of lower floors that templates put through the words by a variable."""

STRING: Final = re.compile(r'\bw\(\s*"(?:[^"\\]|\\.)*"|"(?:[^"\\]|\\.)*"|//.*')
BARE: Final = re.compile(r"\[([^\[\]#]*[A-Za-z]{3,}[^\[\]#]*)\]")


def said() -> set[str]:
    return {text for path in TEMPLATES for text in said_in(path.read_text("utf-8"))}


def test_every_text_has_its_spanish() -> None:
    assert sorted((said() | FROM_BELOW) - {*said_below()} - texts("es").keys()) == []


@pytest.mark.parametrize("tag", ["es", "en-US"])
def test_no_line_is_left_over(tag: str) -> None:
    assert sorted(texts(tag).keys() - said() - FROM_BELOW) == []


@pytest.mark.parametrize("tag", ["es", "en-US"])
def test_a_line_has_the_same_places_to_fill_in(tag: str) -> None:
    assert {one: text for one, text in texts(tag).items() if one.count("{}") != text.count("{}")} == {}


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_no_english_stands_in_a_template_by_itself(path: object) -> None:
    source = STRING.sub("", str(path.read_text("utf-8")))  # type: ignore[attr-defined]
    assert [text for text in BARE.findall(source) if not re.search(r"[=;{}()]|\bmin\b", text)] == []


def test_a_country_of_a_language_has_the_words_of_the_language() -> None:
    assert texts("es-MX")["Week sheet"] == texts("es")["Week sheet"]
    assert texts("xx") == {}


def test_a_text_with_marks_of_quotation_is_found() -> None:
    assert list(said_in(r'w("a \"b\"") #w(x) w( "c {}", 1) "d"')) == ['a "b"', "c {}"]
