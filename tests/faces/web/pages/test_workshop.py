"""The fortnight on its page: published, suggested, moved, refused; absences, what the workshop has, feeds."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator

import pytest
import vobject

from dipmark.derive.workshop import workshop_now
from dipmark.faces.web.site import Site
from dipmark.facts.base import YARD
from dipmark.office.sign_in import begin_session
from faces.web.running import Client, asking, form, sign_in_as, text_of
from office.demo_desk import demo_desk


@pytest.fixture(name="site", scope="module")
def _site() -> Iterator[Site]:
    with demo_desk() as office:
        site = Site(office, secure=False)
        try:
            yield site
        finally:
            site.feed.close()
            site.batch.close()


@pytest.fixture(name="client")
def _client(site: Site) -> Iterator[Client]:
    with asking(site) as client:
        yield client


def field_of(page: str, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]*)"', page)
    assert found is not None
    return html.unescape(found[1])


def test_a_plan_is_suggested_moved_and_published(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    assert "Look for the best plan" in text_of(client.get("/workshop").text)
    suggested = client.post("/workshop/suggest", data=form(token))
    assert suggested.status_code == 200
    said = text_of(suggested.text)
    assert "nobody goes by it before it is published" in said
    visits = field_of(suggested.text, "visits")
    visit = html.unescape(re.findall(r'<option value="([^"]*\|[^"]*\|[^"]*\|[^"]*)">', suggested.text)[0])
    moved = client.post("/workshop/move", data=form(token, visits=visits, visit=visit, to="out"))
    assert "The plan gets dearer by" in text_of(moved.text)
    bad = client.post("/workshop/move", data=form(token, visits=visits, visit=visit, to="nowhere"))
    assert bad.status_code == 422
    assert client.post("/workshop/publish", data=form(token, visits=visits)).headers["location"] == "/workshop"
    kept = text_of(client.get("/workshop").text)
    assert "Carl Voss" in kept
    assert "The meter and the limits decide, never the plan" in kept


def test_what_cannot_be_is_shown_and_not_published(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    visits = field_of(client.post("/workshop/suggest", data=form(token)).text, "visits")
    bad = re.sub(r'"mechanic":"[^"]*"', '"mechanic":"nobody"', visits, count=1)
    before = len(site.office.book(YARD))
    refused = client.post("/workshop/publish", data=form(token, visits=bad))
    assert refused.status_code == 422
    assert "nobody does not work on" in text_of(refused.text)
    assert len(site.office.book(YARD)) == before


def test_somebody_is_away(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    who = next(key for key, name in site.office.people.names().items() if name == "Carl Voss")
    day = site.office.clock().date().isoformat()
    assert client.post("/workshop/away", data=form(token, person=who, first=day)).status_code == 303
    away = workshop_now(site.office.book(YARD), site.office.clock()).away
    assert (away[-1].person, away[-1].first, away[-1].last) == (who, away[-1].last, away[-1].first)
    assert client.post("/workshop/away", data=form(token, person=who, first="soon")).status_code == 422


def test_what_the_workshop_has(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    refused = client.post("/workshop/has", data=form(token, told="minutes 300\ntea 5"))
    assert refused.status_code == 422
    assert "tea 5" in refused.text
    assert client.post("/workshop/has", data=form(token, told="minutes 300")).status_code == 303
    assert workshop_now(site.office.book(YARD), site.office.clock()).told.minutes == 300


def test_a_feed_by_a_secret_address(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    made = client.post("/workshop/feed", data=form(token, subject="due", step="make"))
    address = re.search(r"<code>[^<]*(/calendar/[^<]*)</code>", made.text)
    assert address is not None
    client.cookies.clear()
    feed = client.get(address[1])
    assert (feed.status_code, feed.headers["content-type"]) == (200, "text/calendar; charset=utf-8")
    assert vobject.readOne(feed.text).vevent_list
    token = sign_in_as(client, site, "Lena", "lead")
    assert client.post("/workshop/feed", data=form(token, subject="due", step="end")).status_code == 200
    assert client.get(address[1]).status_code == 404


def test_who_works_by_the_plan_sees_his_own_first(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    visits = field_of(client.post("/workshop/suggest", data=form(token)).text, "visits")
    assert client.post("/workshop/publish", data=form(token, visits=visits)).status_code == 303
    carl = site.office.people.key_or_new("Carl Voss")
    client.cookies.set("dipmark_session", begin_session(site.office, carl))
    own = client.get("/workshop").text
    assert "plan-visit" in own
    assert "<h3>Priya Nair" not in own
    assert "<h3>Priya Nair" in client.get("/workshop?who=all").text


def test_an_outsider_sees_his_trucks_only(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    visits = field_of(client.post("/workshop/suggest", data=form(token)).text, "visits")
    assert client.post("/workshop/publish", data=form(token, visits=visits)).status_code == 303
    every = set(re.findall(r'href="/truck/(\w+)"', client.get("/workshop").text))
    sign_in_as(client, site, "Olaf", "outside-mechanic", books=("truck:5",))
    for path in ("/workshop", "/workshop?who=all", "/parts"):
        assert set(re.findall(r'href="/truck/(\w+)"', client.get(path).text)) <= {"5"} < every


@pytest.mark.parametrize("path", ["suggest", "move", "publish", "away", "has", "feed"])
def test_planning_is_for_the_lead_hand(client: Client, site: Site, path: str) -> None:
    token = sign_in_as(client, site, "Mia", "mechanic")
    assert client.post(f"/workshop/{path}", data=form(token)).status_code == 403
    page = client.get("/workshop").text
    assert "/workshop/suggest" not in page
