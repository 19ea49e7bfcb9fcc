"""Browsers for tests: Debian's Chromium; without it these tests are left out and say so."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, sync_playwright

from browser.phones import CHROMIUM, known, phone
from browser.yards import Yard, served


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    """What drives the browsers. It keeps an event loop running in its thread, so it ends with each file of tests."""
    if not Path(CHROMIUM).exists():
        told = f"no browser: {CHROMIUM} is not there (apt-get install chromium)"
        if os.environ.get("DIPMARK_TEST_BROWSER") == "require":
            pytest.fail(told)
        pytest.skip(told)
    with sync_playwright() as made:
        yield made


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Yard]:
    """A yard of its own, over TLS by name."""
    with served(tmp_path) as made:
        yield made


@pytest.fixture
def held(playwright: Playwright, yard: Yard, tmp_path: Path) -> Iterator[BrowserContext]:
    """A phone."""
    with phone(playwright, yard, tmp_path / "phone") as made:
        yield made


@pytest.fixture
def page(held: BrowserContext, yard: Yard) -> Page:
    """A phone that the yard knows, at its list of trucks."""
    return known(held, yard)
