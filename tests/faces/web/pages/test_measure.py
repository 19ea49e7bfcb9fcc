"""Measuring at the desk."""

from __future__ import annotations

from dipmark.faces.web.site import Site
from dipmark.office.look import truck
from faces.web.running import Client, form, sign_in_as, text_of

CHAIN = {"m.chain.length": "left=308 mm\nright=307 mm", "m.chain.new-length": "304.8 mm", "m.chain.pitches": "12"}


def test_what_is_measured_is_chosen_then_asked_with_its_cautions(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Mo", "mechanic")
    assert "/truck/7/measure?what=chain" in client.get("/truck/7/measure").text
    page = client.get("/truck/7/measure?what=chain").text
    assert 'name="m.chain.length"' in page
    assert 'class="caution"' in page
    assert client.get("/truck/7/measure?what=nonsense").status_code == 404


def test_it_is_judged_and_written(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mo", "mechanic")
    sent = client.post("/truck/7/measure", data=form(token, what="chain", instrument="steel rule", **CHAIN))
    assert sent.status_code == 303, text_of(sent.text)
    (found,) = truck(site.office, "7", site.office.clock()).measures
    assert (found.name, found.places) == ("chain", ("left", "right"))


def test_what_does_not_fit_comes_back_with_all_that_was_typed(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mo", "mechanic")
    bad = client.post(
        "/truck/7/measure", data=form(token, what="chain", until="2026-12-01", **{"m.chain.length": "12"})
    )
    assert bad.status_code == 422
    assert 'value="2026-12-01"' in bad.text
    assert ">12</textarea>" in bad.text
    assert client.post("/truck/7/measure", data=form(token, what="nonsense")).status_code == 422
