"""The served yard, for every test of the web application."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from dipmark.faces.web.site import Site
from faces.web.running import Client, asking, served
from office.cheap import cheap_secrets


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Secrets that cost nothing to make."""
    cheap_secrets(monkeypatch)


@pytest.fixture
def site() -> Iterator[Site]:
    """Trucks 7, 12 and 20 in memory, Friday 2026-11-20 06:00 UTC."""
    with served() as found:
        yield found


@pytest.fixture
def client(site: Site) -> Iterator[Client]:
    """A browser; nobody is signed in."""
    with asking(site) as found:
        yield found
