"""The examples in the docstrings of floors 0 to 4 are run."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

import dipmark

SRC = Path(dipmark.__file__).resolve().parents[1]
MODULES = sorted(
    ".".join(path.relative_to(SRC).with_suffix("").parts)
    for floor in ("facts", "rules", "derive", "plan", "views")
    for path in (SRC / "dipmark" / floor).rglob("*.py")
    if path.name != "__init__.py"
)


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_hold(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0
