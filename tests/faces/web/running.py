"""A served yard for tests: its own store, a fixed clock, people who have signed in."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Any

from litestar.testing import TestClient

from dipmark.faces.paper.press import press
from dipmark.faces.web.app import create_app
from dipmark.faces.web.guard import FIELD, form_token
from dipmark.faces.web.site import Site
from dipmark.facts.base import YARD, BookId, PersonKey
from dipmark.facts.people import PersonSet
from dipmark.office.access import Role
from dipmark.office.open import Office
from dipmark.office.sign_in import begin_session
from office.desk import desk
from office.taking import NOW

BASE = "http://127.0.0.1"
Client = TestClient[Any]


def enter_person(office: Office, name: str, *roles: Role, books: tuple[str, ...] = ()) -> PersonKey:
    """Somebody in the yard's book."""
    key = office.people.key_or_new(name)
    body = PersonSet(person=key, roles=roles, books=tuple(BookId(book) for book in books))
    office.append([office.fact(YARD, body, office.clock(), by=key)])
    return key


@contextmanager
def served(address: str = ":memory:", now: datetime = NOW, *, secure: bool = False) -> Iterator[Site]:
    """Trucks 7, 12 and 20, and the site over them."""
    with desk(address=address, now=now) as office:
        site = Site(office, secure=secure, press=press)
        try:
            yield site
        finally:
            site.feed.close()
            site.batch.close()


@contextmanager
def asking(site: Site) -> Iterator[Client]:
    """A browser that follows no redirects and says where its forms stand."""
    with TestClient(create_app(site), base_url=BASE, raise_server_exceptions=False) as client:
        client.follow_redirects = False
        client.headers["origin"] = BASE
        yield client


def sign_in_as(client: Client, site: Site, name: str, *roles: Role, books: tuple[str, ...] = ()) -> str:
    """Sign somebody in without typing, and give back the token that his forms carry."""
    key = enter_person(site.office, name, *roles, books=books)
    session = begin_session(site.office, key)
    client.cookies.set("dipmark_session", session)
    return form_token(session)


def form(token: str, **fields: str) -> dict[str, str]:
    """A form with its token."""
    return {FIELD: token, **fields}


def text_of(page: str) -> str:
    """What a page says, without its tags."""
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())
