"""A service sheet at the desk."""

from __future__ import annotations

import re

from dipmark.faces.web.site import Site
from dipmark.facts.base import truck_book
from faces.web.running import Client, form, sign_in_as, text_of


def test_a_driver_reads_it_and_cannot_fill_it_in(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    page = client.get("/truck/7/service/150h").text
    assert "A service is noted by:" in page
    assert "<button>Note the service" not in page
    assert client.post("/truck/7/service/150h", data=form(token)).status_code == 403
    assert client.get("/truck/7/service/999h").status_code == 404


def test_nothing_is_ticked_beforehand_and_a_blank_stands_where_nobody_has_read_the_plate(
    client: Client, site: Site
) -> None:
    sign_in_as(client, site, "Mo", "mechanic")
    page = client.get("/truck/7/service/450h").text
    assert re.search(r"<input[^>]* checked", page) is None
    assert "from the plate or the manual" in page
    assert 'class="caution"' in page


def test_ticked_one_by_one_it_is_noted(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mo", "mechanic")
    tasks = re.findall(r'name="task" value="([^"]+)"', client.get("/truck/7/service/150h").text)
    first = client.post("/truck/7/service/150h", data=form(token, task=tasks[0], parts="oil filter"))
    assert first.status_code == 422
    assert f'name="task" value="{tasks[0]}" checked' in first.text
    assert 'value="oil filter"' in first.text
    assert 'id="text-wrong"' in first.text
    data = {**form(token, tests="road-test", hours="150", minutes="45", text="all well"), "task": tasks}
    done = client.post("/truck/7/service/150h", data=data)
    assert done.status_code == 303, text_of(done.text)
    body = site.office.book(truck_book("7"))[-1].fact.body
    assert (body.services, body.minutes) == (("150h",), 45)  # type: ignore[attr-defined]


def test_what_is_measured_in_it_is_judged_where_it_was_written(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mo", "mechanic")
    page = client.get("/truck/7/service/450h").text
    tasks = re.findall(r'name="task" value="([^"]+)"', page)
    assert 'name="m.chain.length"' in page
    data = {**form(token, tests="all", text="x", **{"m.chain.length": "left=3 miles"}), "task": tasks}
    bad = client.post("/truck/7/service/450h", data=data)
    assert bad.status_code == 422
    assert 'id="chain-wrong"' in bad.text
    assert "left=3 miles" in bad.text
