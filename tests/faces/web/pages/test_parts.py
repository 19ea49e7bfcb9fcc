"""The stores on their page."""

from __future__ import annotations

from dipmark.faces.web.site import Site
from dipmark.office.parts import parts_page
from faces.web.running import Client, form, sign_in_as, text_of


def test_what_happened_on_the_shelf_is_noted(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mia", "mechanic")
    assert "Nothing has to be ordered" in text_of(client.get("/parts").text)
    sent = form(token, part="hose", what="counted", amount="4", place="B1", use_by="2030-01-31")
    assert client.post("/parts", data=sent).headers["location"] == "/parts"
    sent = form(token, part="hose", what="ordered", amount="2", expected="2026-12-24")
    assert client.post("/parts", data=sent).status_code == 303
    (row,) = parts_page(site.office, site.office.clock()).shelf
    assert (row.part, str(row.there), row.place, len(row.coming)) == ("hose", "4", "B1", 1)
    page = text_of(client.get("/parts").text)
    assert "hose B1" in page
    assert "How a part is bought" not in page


def test_what_cannot_be_is_shown_again(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    for wrong in (
        {"amount": "many"},
        {"amount": "-1"},
        {"amount": "1", "use_by": "soon"},
        {"amount": "1", "part": " "},
    ):
        again = client.post("/parts", data=form(token, **({"part": "belt", "what": "counted"} | wrong)))
        assert again.status_code == 422
    assert 'value="belt"' in client.post("/parts", data=form(token, part="belt", what="issued", amount="x")).text
    assert parts_page(site.office, site.office.clock()).shelf == ()


def test_how_a_part_is_bought_is_for_the_lead_hand(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    told = form(token, part="belt", lead="4", longest="6", pack="2", level="90", supplier="Parts Counter")
    assert client.post("/parts/bought", data=told).status_code == 303
    assert parts_page(site.office, site.office.clock()).shelf[0].lead_days == 4
    again = client.post("/parts/bought", data=form(token, part="belt", lead="9", longest="6"))
    assert (again.status_code, "9 days or more" in again.text) == (422, True)
    token = sign_in_as(client, site, "Mia", "mechanic")
    assert client.post("/parts/bought", data=told).status_code == 403
    token = sign_in_as(client, site, "Dan", "driver")
    assert client.post("/parts", data=form(token)).status_code == 403
