"""Nothing in the tree names a registry, a mirror or a machine."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

import pytest

from architecture.source import ROOT, checked_in, shown

if TYPE_CHECKING:
    from pathlib import Path

SCHEME: Final = ":" + "//"
LICENCE: Final = "www.apache.org/licenses/"
ALLOWED: Final = re.compile(
    r"(postgres(ql)?(\+psycopg)?|sqlite|file)$"  # a store's address, as people name it
)
HOSTS: Final = re.compile(
    r"(([\w-]+\.)*example\.(org|com|net)|localhost|127\.0\.0\.1|\[::1\]|www\.w3\.org/(2000/svg|1999/xhtml)\b)", re.ASCII
)
ADDRESS: Final = re.compile(rf"([A-Za-z][A-Za-z0-9+.-]*){SCHEME}([^\s\"'<>)`]*)")
REGISTRY: Final = re.compile(r"\b(?:[\w-]+\.)*(?:debian|pythonhosted|pypi|npmjs|github)\.(?:org|com|io)\b")
NUMBER: Final = re.compile(r"(?<![\d.])(10|172\.(1[6-9]|2\d|3[01])|192\.168)(\.\d{1,3}){2,3}(?![\d.])")


def addresses(text: str) -> list[str]:
    """Every address that is neither a store's nor one of the names kept for examples."""
    found = []
    for scheme, rest in ADDRESS.findall(text):
        if not (ALLOWED.match(scheme) or HOSTS.match(rest) or LICENCE in rest):
            found.append(f"{scheme}{SCHEME}{rest}")
    return found + [match.group() for pattern in (REGISTRY, NUMBER) for match in pattern.finditer(text)]


def read(path: Path) -> str:
    """The text of a file; bytes that are no text are read as Latin."""
    return path.read_bytes().decode("utf-8", errors="replace")


def test_no_file_names_an_address() -> None:
    found = {shown(path): hits for path in checked_in() if (hits := addresses(read(path)))}
    assert found == {}


def test_requirements_hold_no_address_of_any_kind() -> None:
    assert [path.name for path in sorted((ROOT / "requirements").iterdir()) if SCHEME in read(path)] == []


@pytest.mark.parametrize(
    "bad",
    [
        "http" + SCHEME + "mirror.invalid/x",
        "git+ssh" + SCHEME + "host/x",
        "10.1" + ".2.3",
        "192.168" + ".0.7",
        "deb.debian" + ".org",
    ],
)
def test_an_address_is_found(bad: str) -> None:
    assert addresses(f"see {bad} there") == [bad]


def test_stores_and_names_for_examples_pass() -> None:
    text = f"sqlite{SCHEME}/yard.db postgresql+psycopg{SCHEME}yard@localhost/yard http{SCHEME}127.0.0.1:8000 4.10.1.2"
    assert addresses(text) == []
