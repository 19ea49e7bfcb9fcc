"""What was set aside, looked into by the lead hand."""

from __future__ import annotations

from decimal import Decimal

from dipmark.faces.web.site import Site
from dipmark.facts.fault import Fault
from dipmark.facts.meter import MeterRead
from dipmark.office.look import truck
from dipmark.office.set_aside import one_of
from faces.web.running import Client, form, sign_in_as, text_of
from office.test_set_aside import put


def test_it_is_for_the_lead_hand_the_owner_and_the_auditors_eyes(client: Client, site: Site) -> None:
    digest = put(site.office, MeterRead(hours=Decimal(5)))
    sign_in_as(client, site, "Dan", "driver")
    assert client.get("/set-aside").status_code == 403
    assert 'href="/set-aside"' not in client.get("/").text
    token = sign_in_as(client, site, "Beth", "auditor")
    page = client.get("/set-aside")
    assert "something else" in page.text
    assert "Look into it" not in page.text
    assert client.get(f"/set-aside/{digest}").status_code == 200
    assert client.post(f"/set-aside/{digest}", data=form(token, note="x")).status_code == 403


def test_it_is_settled_with_a_word(client: Client, site: Site) -> None:
    digest = put(site.office, MeterRead(hours=Decimal(5)))
    token = sign_in_as(client, site, "Lena", "lead")
    assert client.post(f"/set-aside/{digest}", data=form(token, note=" ")).status_code == 422
    assert client.post(f"/set-aside/{digest}", data=form(token, note="a slip")).status_code == 303
    said = text_of(client.get("/set-aside").text)
    assert "Nothing waits." in said
    assert "Settled: a slip" in said
    assert client.post(f"/set-aside/{digest}", data=form(token, note="again")).status_code == 404
    assert client.get("/set-aside/0").status_code == 404


def test_or_it_is_entered_put_right(client: Client, site: Site) -> None:
    digest = put(site.office, MeterRead(hours=Decimal(90000)))
    token = sign_in_as(client, site, "Lena", "lead")
    assert 'name="hours"' in client.get(f"/set-aside/{digest}").text
    bad = client.post(f"/set-aside/{digest}", data=form(token, step="enter", hours="lots", note="point"))
    assert bad.status_code == 422
    assert 'value="lots"' in bad.text
    sent = form(token, step="enter", hours="900", note="point forgotten", when="2026-11-20T05:00")
    done = client.post(f"/set-aside/{digest}", data=sent)
    assert done.status_code == 303, text_of(done.text)
    assert truck(site.office, "7", site.office.clock()).meters[0].hours == Decimal(900)


def test_its_pictures_are_shown(client: Client, site: Site) -> None:
    kept = site.office.store.put_blob(b"a picture", "image/png")
    other = site.office.store.put_blob(b"another", "image/png")
    digest = put(site.office, Fault(text="x", seriousness="stop", pictures=(kept,)))
    sign_in_as(client, site, "Lena", "lead")
    assert f"/set-aside/{digest}/picture/{kept}" in client.get(f"/set-aside/{digest}").text
    assert client.get(f"/set-aside/{digest}/picture/{kept}").headers["content-type"] == "image/png"
    assert client.get(f"/set-aside/{digest}/picture/{other}").status_code == 404
    assert one_of(site.office, digest).settled is None
