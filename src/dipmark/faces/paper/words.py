"""What sheets say, in every language: a file a language under ``texts``, lines by their English."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from functools import cache
from importlib import resources
from typing import Final

PAPER: Final = resources.files("dipmark.faces.paper")

_SAID: Final = re.compile(r'\bw\(\s*"((?:[^"\\]|\\.)*)"')


@cache
def texts(tag: str) -> dict[str, str]:
    """By the English what sheets say in a language; where there is no line the English stands.

    Args:
        tag: IETF tag; of ``es-MX`` the lines of ``es`` are laid under its own.
    """
    found: dict[str, str] = {}
    for one in (tag.partition("-")[0], tag):
        file = PAPER / "texts" / f"{one}.toml"
        if file.is_file():
            found |= tomllib.loads(file.read_text("utf-8"))
    return found


def said_in(source: str) -> Iterator[str]:
    """Every English text that a template puts through the words."""
    for found in _SAID.findall(source):
        yield found.replace('\\"', '"')
