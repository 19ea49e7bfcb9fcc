"""What pages say, in every language: a folder a language under ``texts``, a file a group of pages."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from functools import cache
from importlib import resources
from typing import Final

_SAID: Final = re.compile(r"""\b(?:w|said)\(\s*(?:"((?:[^"\\]|\\.)*)"|'((?:[^'\\]|\\.)*)')""")

WEB: Final = resources.files("dipmark.faces.web")


@cache
def texts(tag: str) -> dict[str, str]:
    """By the English what pages say in a language; where there is no line the English stands.

    Args:
        tag: IETF tag; of ``es-MX`` the lines of ``es`` are laid under its own.
    """
    found: dict[str, str] = {}
    for one in (tag.partition("-")[0], tag):
        folder = WEB / "texts" / one
        if folder.is_dir():
            for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
                found |= tomllib.loads(file.read_text("utf-8"))
    return found


def said_in(source: str) -> Iterator[str]:
    """Every English text that a template, or a module by `said`, puts through the words."""
    for double, single in _SAID.findall(source):
        yield (double or single).replace('\\"', '"').replace("\\'", "'")


def said(english: str) -> str:
    """Marks a text in Python that a template will say in the reader's language."""
    return english
