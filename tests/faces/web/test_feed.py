"""The key board follows every writer within two seconds, whoever writes."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from dipmark.adapters.store import open_store
from dipmark.faces.web import feed as module
from dipmark.faces.web.feed import Feed
from dipmark.facts.base import BookId
from dipmark.facts.errors import StoreError
from dipmark.facts.fault import OutOfService
from dipmark.office.open import Office
from faces.web.running import served


async def told(pages: AsyncIterator[bytes]) -> str:
    """The next event that says how the yard stands."""
    async for sent in pages:
        if b"event: yard" in sent:
            return sent.decode().partition("data: ")[2].strip()
    return ""


def hang(office: Office) -> None:
    office.append([office.fact(BookId("truck:7"), OutOfService(reason="leak"), office.clock())])


def test_an_entry_by_the_command_line_is_told_within_two_seconds(tmp_path: Path) -> None:
    store = str(tmp_path / "yard.db")

    async def follow(feed: Feed) -> None:
        one, two = feed.follow(), feed.follow()
        before = await told(one)
        assert await told(two) == before
        words = ("-m", "dipmark", "--store", store, "stop", "7", "leak at the mast")
        stopped = await asyncio.create_subprocess_exec(sys.executable, *words, stdout=asyncio.subprocess.DEVNULL)
        assert await stopped.wait() == 0
        async with asyncio.timeout(2):
            after = await told(one)
            assert await told(two) == after
        assert after != before
        feed.close()
        assert await told(one) == await told(two) == ""

    with served(store) as site:
        asyncio.run(follow(site.feed))


def test_what_is_no_fact_is_not_told(tmp_path: Path) -> None:
    store = str(tmp_path / "yard.db")

    async def follow(feed: Feed, office: Office) -> None:
        pages = feed.follow()
        await told(pages)
        with open_store(store, clock=office.clock, create=False) as other:
            other.sign_ins.count_try(["address:x"], 1, lambda *_: 0)
        with pytest.raises(TimeoutError):
            async with asyncio.timeout(1.3):
                await told(pages)

    with served(store) as site:
        asyncio.run(follow(site.feed, site.office))


def test_nobody_looks_while_no_page_follows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async def follow(feed: Feed, office: Office) -> None:
        pages = feed.follow()
        await told(pages)
        await pages.aclose()  # type: ignore[attr-defined]
        await asyncio.sleep(module.EVERY * 3)
        looks: list[int] = []

        def mark() -> str:
            looks.append(1)
            return "x"

        monkeypatch.setattr(office.store.database, "mark", mark)
        await asyncio.sleep(module.EVERY * 3)
        assert looks == []

    with served(str(tmp_path / "yard.db")) as site:
        asyncio.run(follow(site.feed, site.office))


def test_a_store_that_cannot_be_read_for_a_moment_is_asked_again(monkeypatch: pytest.MonkeyPatch) -> None:
    async def follow(feed: Feed, office: Office) -> None:
        pages = feed.follow()
        before = await told(pages)
        real, calls = office.store.database.mark, []

        def mark() -> str:
            calls.append(1)
            if len(calls) == 1:
                raise StoreError("busy")
            return real()

        monkeypatch.setattr(office.store.database, "mark", mark)
        hang(office)
        async with asyncio.timeout(3):
            assert await told(pages) != before
        assert len(calls) >= 2

    with served() as site:
        asyncio.run(follow(site.feed, site.office))


def test_a_page_that_is_told_nothing_is_told_that_the_server_is_there(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "ALIVE", 0.05)

    async def follow(feed: Feed) -> None:
        pages = feed.follow()
        sent = [await anext(pages) for _ in range(4)]
        assert sent[0] == b"retry: 2000\n\n"
        assert b": there\n\n" in sent

    with served() as site:
        asyncio.run(follow(site.feed))


def test_the_state_of_the_yard_is_another_after_every_fact() -> None:
    with served() as site:
        states = [site.feed.now()]
        for _ in range(3):
            hang(site.office)
            states.append(site.feed.now())
        assert len(set(states)) == 4
        assert site.feed.now() == states[-1]
