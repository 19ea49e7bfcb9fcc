"""A phone: Debian's Chromium in the size of one, with a memory that survives its being killed."""

from __future__ import annotations

import os
import re
import signal
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Final

from PIL import Image
from playwright.sync_api import BrowserContext, Error, Page, Playwright, expect

from browser.yards import NAME, PIN, Yard

CHROMIUM: Final = "/usr/bin/chromium"
ARGS: Final = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-background-networking",
    f"--host-resolver-rules=MAP {NAME} 127.0.0.1",
)
SIZE: Final = {"width": 360, "height": 780}

expect.set_options(timeout=15_000)


@contextmanager
def phone(playwright: Playwright, yard: Yard, memory: Path, **more: Any) -> Iterator[BrowserContext]:
    """A phone that trusts the yard's certificate, where it has one."""
    trust = [f"--ignore-certificate-errors-spki-list={yard.spki}"] if yard.spki else []
    given = {"viewport": SIZE, "has_touch": True, "locale": "en-GB", "timezone_id": "Europe/London", **more}
    context = playwright.chromium.launch_persistent_context(
        memory, executable_path=CHROMIUM, headless=True, args=[*ARGS, *trust], **given
    )
    context.set_default_timeout(15_000)
    try:
        yield context
    finally:
        with suppress(Error):  # of a browser that was killed there is nothing left to close
            context.close()


def known(context: BrowserContext, yard: Yard) -> Page:
    """The phone opens its link once, and knows the yard from then on."""
    page = context.pages[0]
    page.goto(f"{yard.address}/device/{yard.link}")
    page.get_by_role("button", name="Make it known").click()
    expect(page.get_by_role("heading", name="Which truck?")).to_be_visible()
    return page


def kill(memory: Path) -> None:
    """As a phone that falls into the dock: every process of the browser with that memory is gone at once."""
    for entry in Path("/proc").iterdir():
        try:
            line = (entry / "cmdline").read_bytes() if entry.name.isdecimal() else b""
        except OSError:
            continue
        if f"--user-data-dir={memory}".encode() in line.split(b"\0"):
            os.kill(int(entry.name), signal.SIGKILL)


def begin(page: Page, yard: Yard, truck: str, act: str, *, first: bool = False, name: str = "Dan Pruett") -> None:
    """From the list of trucks to the first question of a sheet."""
    page.locator(".trucks").get_by_role("button", name=re.compile(rf"^{truck}\b")).click()
    page.get_by_role("button", name=act).click()
    if first:
        page.get_by_label("Code on your badge").fill(yard.badges[name])
        page.get_by_role("button", name="Next").click()
    else:
        page.get_by_role("button", name=name).click()
    enter_pin(page)


def enter_pin(page: Page, begin: str = "Begin") -> None:
    """The PIN."""
    page.get_by_label("PIN").fill(PIN)
    page.get_by_role("button", name=begin).click()
    expect(page.get_by_label("PIN")).to_have_count(0)


def in_order(page: Page) -> int:
    """A place where all is in order; how often the glass was touched."""
    expect(page.locator("#onward")).to_be_visible()
    touches, here = 0, page.locator("h1").inner_text()
    for row in page.locator("fieldset.check").all():
        if not row.locator("[aria-pressed=true]").count():
            row.get_by_role("button", name="OK", exact=True).click()
            touches += 1
    if page.get_by_label("Tyre pressure, bar").count():
        page.get_by_label("Tyre pressure, bar").fill("8.5")
    if page.get_by_label("Letter on the small plate").count():
        page.get_by_label("Letter on the small plate").fill("A")
    page.locator("#onward").click()
    expect(page.locator("h1")).not_to_have_text(here)
    return touches + 1


def picture(folder: Path) -> Path:
    """A photo as a phone makes it: large, with its position."""
    exif = Image.Exif()
    exif.get_ifd(0x8825)[2] = (51.0, 30.0, 0.0)
    path = folder / "wet.jpg"
    Image.effect_noise((3000, 2000), 60).convert("RGB").save(path, exif=exif)
    return path
