"""Every text of a page has its Spanish, and no line says what nothing says any more."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Final

import pytest

from dipmark.faces.web.words import WEB, said_in, texts
from dipmark.office import devices, sign_in
from dipmark.office.access import ROLES
from dipmark.office.said import said as said_below

ROOT: Final = Path(str(WEB))
FROM_BELOW: Final = frozenset({*ROLES, "no rules", sign_in.WRONG, sign_in.WAIT, devices.LINK_GONE})
"""Texts of lower floors that pages put through the words by a variable."""

IN_RULES: Final = frozenset(said_below())
TAG: Final = re.compile(r"{%.*?%}|{{.*?}}|{#.*?#}|<script.*?</script>|<[^>]*>", re.DOTALL)
PLAIN: Final = re.compile(r"[A-Za-z]{2,}")
ALWAYS_SO: Final = frozenset({"dipmark"})


def sources() -> dict[str, str]:
    """Every template, and every module that marks what a template will say."""
    files = [*ROOT.rglob("*.html"), *ROOT.rglob("*.py")]
    return {path.relative_to(ROOT).as_posix(): path.read_text("utf-8") for path in files}


def said() -> set[str]:
    return {text for name, source in sources().items() if name != "words.py" for text in said_in(source)}


def test_every_text_has_its_spanish() -> None:
    missing = sorted((said() | FROM_BELOW) - IN_RULES - texts("es").keys())
    assert missing == []


def lines(tag: str) -> dict[str, list[str]]:
    """By English, which files of a language hold it."""
    found: dict[str, list[str]] = {}
    for path in sorted((ROOT / "texts" / tag).glob("*.toml")):
        for english in tomllib.loads(path.read_text("utf-8")):
            found.setdefault(english, []).append(path.name)
    return found


@pytest.mark.parametrize("tag", ["es", "en-US"])
def test_no_line_is_left_over(tag: str) -> None:
    desk = {english for english, files in lines(tag).items() if files != ["phone.toml"]}
    assert sorted(desk - said() - FROM_BELOW) == []


@pytest.mark.parametrize("tag", ["es", "en-US"])
def test_a_line_has_the_same_places_to_fill_in(tag: str) -> None:
    wrong_ones = {one: text for one, text in texts(tag).items() if one.count("{}") != text.count("{}")}
    assert wrong_ones == {}


def bare(template: str) -> list[str]:
    """Words that stand in a template outside of the words function, attributes left out."""
    return [word for word in PLAIN.findall(TAG.sub(" ", template)) if word not in ALWAYS_SO]


@pytest.mark.parametrize("name", sorted(name for name in sources() if name.endswith(".html")))
def test_no_english_stands_in_a_template_by_itself(name: str) -> None:
    template = sources()[name]
    shown = re.findall(r'(?:aria-label|alt|title|placeholder)="([^"{][^"]*)"', template)
    assert bare(template) + shown == []


def test_bare_english_is_found() -> None:
    assert bare('<p class="note">Go {{ w("in") }}</p>') == ["Go"]
    assert list(said_in("w(\"It's\") said('a \\'b\\'') w(x)")) == ["It's", "a 'b'"]
