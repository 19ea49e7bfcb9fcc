"""Search."""

from __future__ import annotations

from dipmark.faces.web.site import Site
from dipmark.office.enter import report_fault
from faces.web.pages.test_truck import NOON
from faces.web.running import Client, sign_in_as, text_of


def test_it_finds_and_leads_there(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Lena", "lead")
    report_fault(site.office, "7", "puddle under the axle", NOON)
    page = client.get("/find?q=puddle").text
    assert 'href="/truck/7#faults"' in page
    assert 'href="/truck/7/log"' in page
    assert 'href="/people/' in client.get("/find?q=lena").text
    assert "/rules/kind/" in client.get("/find?q=chain").text


def test_nothing_found_is_said_and_an_empty_search_finds_nothing(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Lena", "lead")
    assert "Nothing is found." in text_of(client.get("/find?q=zzzz").text)
    assert "Nothing is found." not in text_of(client.get("/find").text)
    assert client.get("/find?q=" + "x" * 5000).status_code == 200
