"""A hit noted on its form, and told on the page of the truck."""

from __future__ import annotations

from dipmark.faces.web.site import Site
from dipmark.office.look import truck
from faces.web.running import Client, form, sign_in_as, text_of


def test_a_hit_is_noted_and_the_truck_tells_what_to_look_at(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    asked = text_of(client.get("/truck/7/hit").text)
    assert "First the people: help, call, warn." in asked
    sent = form(token, what="hit", text="into rack 14 in the dark", struck="mast, rack 14", hurt="yes", hours="12")
    assert client.post("/truck/7/hit", data=sent).headers["location"] == "/truck/7?noted=hit"
    assert truck(site.office, "7", site.office.clock()).state.code == "out-of-service"
    page = text_of(client.get("/truck/7").text)
    for said in (
        "Hits and near misses",
        "Somebody was hurt.",
        "Struck: mast, rack 14",
        "as it was sealed",
        "Forks: bent",
    ):
        assert said in page, said


def test_what_cannot_be_comes_back(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    again = client.post("/truck/7/hit", data=form(token, what="hit", text=" ", struck="mast"))
    assert again.status_code == 422
    assert 'value="mast"' in again.text
