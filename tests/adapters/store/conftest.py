"""The three places a store may lie in; the suite runs on each."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from adapters.store.builders import Place
from dipmark.adapters.store import Store


@pytest.fixture(params=["memory", "file", pytest.param("postgres", marks=pytest.mark.postgres)])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Place]:
    yield from _placed(request, tmp_path, request.param)


@pytest.fixture(params=["file", pytest.param("postgres", marks=pytest.mark.postgres)])
def lasting(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Place]:
    """A place that outlives the store opened on it."""
    yield from _placed(request, tmp_path, request.param)


@pytest.fixture
def store(place: Place) -> Iterator[Store]:
    with place.open() as opened:
        yield opened


def _placed(request: pytest.FixtureRequest, tmp_path: Path, kind: str) -> Iterator[Place]:
    if kind == "memory":
        yield Place(kind, ":memory:")
    elif kind == "file":
        yield Place(kind, str(tmp_path / "yard.dip"))
    else:
        server = request.getfixturevalue("postgres_server")
        name = server.fresh()
        yield Place(kind, server.address(name))
        server.drop(name)
