"""Items on their pages and on the page of the truck they hang on."""

from __future__ import annotations

from dipmark.faces.web.site import Site
from dipmark.facts.base import YARD, truck_book
from dipmark.facts.people import PersonSet
from dipmark.office.items import item
from faces.web.running import Client, form, sign_in_as, text_of


def test_an_item_gets_a_book_hangs_on_a_truck_and_comes_off(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    assert "Nothing has a book of its own yet." in text_of(client.get("/items").text)
    assert "Battery room" not in client.get("/items").text
    sent = form(token, name=" clamp  3", what="attachment", serial="K-9")
    assert client.post("/items", data=sent).headers["location"] == "/item/clamp%25203"
    assert "On no truck yet." in text_of(client.get("/item/clamp%203").text)
    assert client.post("/items", data=sent).status_code == 422
    asked = client.get("/truck/7/fit").text
    assert "clamp 3: attachment, on no truck" in text_of(asked)
    assert "Nobody under what hangs." in text_of(asked)
    sent = form(token, item="clamp 3", position="carriage", hours="12")
    assert client.post("/truck/7/fit", data=sent).headers["location"] == "/truck/7?noted=fit"
    page = text_of(client.get("/truck/7?noted=fit").text)
    assert "What hangs on it" in page
    assert "clamp 3 on it: no capacity plate read on this truck names that." in page
    assert "on truck 7 since" in text_of(client.get("/items").text)
    assert "clamp 3" not in text_of(client.get("/truck/12/take-off").text)
    wrong = client.post("/truck/12/fit", data=form(token, item="clamp 3"))
    assert wrong.status_code == 422
    assert "Take it off there first." in wrong.text
    plate = form(token, source="plate", pairs="capacity=1800 kg", fitted="clamp 3")
    assert client.post("/truck/7/plate", data=plate).status_code == 303
    page = text_of(client.get("/truck/7").text)
    assert "A plate read on this truck names what hangs on it." in page
    assert "no capacity plate" not in page
    sent = form(token, item="clamp 3", note="for the night")
    assert client.post("/truck/7/take-off", data=sent).headers["location"] == "/truck/7?noted=take-off"
    assert item(site.office, "clamp 3", site.office.clock()).on is None
    assert "What hangs on it" not in text_of(client.get("/truck/7").text)


def test_who_may_not_enrol_sees_no_form_and_outside_people_see_their_own(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    client.post("/items", data=form(token, name="forks 1", what="fork-pair"))
    client.post("/items", data=form(token, name="forks 2", what="fork-pair"))
    client.post("/items", data=form(token, name="forks 3", what="fork-pair"))
    client.post("/truck/7/fit", data=form(token, item="forks 1"))
    client.post("/truck/12/fit", data=form(token, item="forks 3"))
    sign_in_as(client, site, "Dan", "driver")
    assert "Give something a book of its own" not in text_of(client.get("/items").text)
    sign_in_as(client, site, "Glen", "outside-mechanic")
    office = site.office
    glen = office.people.key_or_new("Glen")
    body = PersonSet(person=glen, roles=("outside-mechanic",), books=(truck_book("7"),))
    office.append([office.fact(YARD, body, office.clock())])
    page = text_of(client.get("/items").text)
    assert ("forks 1" in page, "forks 2" in page) == (True, False)
    assert client.get("/item/forks%201").status_code == 200
    assert client.get("/item/forks%202").status_code == 404
    asked = text_of(client.get("/truck/7/fit").text)
    assert ("forks 2" in asked, "forks 3" in asked) == (True, False)  # free; on a truck that is not his


def test_a_battery_is_charged_and_watered_on_its_page_with_the_cautions_beside_it(client: Client, site: Site) -> None:
    """29 CFR 1910.178(g): no flame, water for the eyes, protection; shown where the charge is noted."""
    token = sign_in_as(client, site, "Lena", "lead")
    client.post("/items", data=form(token, name="b-1", what="traction-battery"))
    client.post("/items", data=form(token, name="charger 1", what="charger"))
    sign_in_as(client, site, "Dan", "driver")
    page = client.get("/item/b-1").text
    assert "no smoking, flame or spark" in page
    assert "not noted" in text_of(page)
    token = sign_in_as(client, site, "Dan", "driver")
    sent = form(token, what="equalise", percent="30", charger="charger 1", water="1.5 l")
    assert client.post("/item/b-1/charge", data=sent).headers["location"] == "/item/b-1#room"
    assert "charges noted: 1" in text_of(client.get("/item/b-1").text)
    listed = client.get("/items").text
    assert 'href="/item/b-1#room"' in listed
    assert "vent caps on and clear" in listed
    late = client.post("/item/b-1/charge", data=form(token, what="charge", begun="2199-01-01T00:00"))
    assert late.status_code == 422
    assert 'value="2199-01-01T00:00"' in late.text
    wrong = client.post("/item/b-1/charge", data=form(token, what="charge", percent="130"))
    assert wrong.status_code == 422
    assert "0 to 100 % left before" in text_of(wrong.text)
    assert 'value="130"' in wrong.text
    assert "Battery room" not in client.get("/item/charger%201").text


def test_an_outside_mechanic_charges_no_battery_that_is_not_his_to_see(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    client.post("/items", data=form(token, name="b-1", what="traction-battery"))
    sign_in_as(client, site, "Glen", "outside-mechanic")
    glen = site.office.people.key_or_new("Glen")
    body = PersonSet(person=glen, roles=("outside-mechanic",), books=(truck_book("7"),))
    site.office.append([site.office.fact(YARD, body, site.office.clock())])
    token = sign_in_as(client, site, "Glen", "outside-mechanic")
    assert client.post("/item/b-1/charge", data=form(token, what="charge")).status_code == 404
