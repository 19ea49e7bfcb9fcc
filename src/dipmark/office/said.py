"""All that the program says beside the rules, in English, to be said in other languages."""

from __future__ import annotations

from importlib import import_module
from pkgutil import walk_packages

from dipmark import derive, views
from dipmark.facts.said import SAID


def said() -> tuple[str, ...]:
    """Every word and sentence of the program; each module enters its own when it is loaded, so all are loaded."""
    for package in (derive, views):
        for module in walk_packages(package.__path__, f"{package.__name__}."):
            import_module(module.name)
    return tuple(SAID)
