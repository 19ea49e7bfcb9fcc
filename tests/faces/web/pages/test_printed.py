"""Sheets set into a PDF where somebody stands; each sees his own trucks only."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pypdfium2
import pytest

from dipmark.faces.web.site import Site
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import Worked
from dipmark.office.enter import When, enrol, stop
from faces.web.running import Client, enter_person, form, sign_in_as, text_of
from office.desk import clean_walk
from office.taking import bodies


@pytest.mark.parametrize("sheet", ["out", "service", "card", "labels", "file"])
def test_a_lead_prints_every_sheet_about_a_truck(client: Client, site: Site, sheet: str) -> None:
    sign_in_as(client, site, "Lena", "lead")
    found = client.get(f"/truck/7/print/{sheet}?paper=letter")
    assert (found.status_code, found.headers["content-type"]) == (200, "application/pdf")
    assert found.content.startswith(b"%PDF")
    assert found.headers["content-disposition"] == f'inline; filename="{sheet}-7.pdf"'


def test_what_is_no_sheet_is_not_there(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Lena", "lead")
    assert client.get("/truck/7/print/week").status_code == 404
    assert client.get("/truck/77/print/out").status_code == 404
    site.press = None
    assert client.get("/truck/7/print/out").status_code == 404


def test_an_outside_mechanic_prints_his_own_job_and_no_other_trucks(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Glen", "outside-mechanic", books=("truck:7",))
    assert client.get("/truck/7/print/job").status_code == 422
    sheet = client.get("/truck/7/service/after-hit").text
    assert "Tick each task as it is done" in sheet
    sent = form(token, tests="road test", text="the rest is not on it") | {"task": ["struck.what", "truck.tried"]}
    assert client.post("/truck/7/service/after-hit", data=sent).status_code == 303
    (fact,) = bodies(site.office, Worked)
    page = client.get("/truck/7").text
    assert f"/truck/7/print/job?fact={fact.id}" in page
    assert "/print/file" not in page
    assert client.get(f"/truck/7/print/job?fact={fact.id}").content.startswith(b"%PDF")
    assert client.get("/truck/7/print/job?fact=x").status_code == 422
    assert client.get("/truck/12/print/job").status_code == 404
    assert client.get("/truck/7/print/file").status_code == 403


def test_who_sees_some_trucks_only_is_told_of_no_other(client: Client, site: Site) -> None:
    office, rated = site.office, Enrolled(what="engine-pneumatic-lpg", capacity_kg=Decimal(2500))
    for name in ("31", "32"):
        enrol(office, name, rated, When(office.clock() - timedelta(days=3)))
    clean_walk(office, When(office.clock() - timedelta(hours=1)), "32")
    stop(office, "31", "leak", When(office.clock() - timedelta(minutes=5)))
    sign_in_as(client, site, "Lena", "lead")
    assert "Take instead: 32" in text_of(client.get("/truck/31").text)
    assert "Take instead" in printed(client.get("/truck/31/print/out").content)
    sign_in_as(client, site, "Glen", "outside-mechanic", books=("truck:31",))
    assert "Take instead" not in text_of(client.get("/truck/31").text)
    assert "Take instead" not in printed(client.get("/truck/31/print/out").content)


def printed(data: bytes) -> str:
    with pypdfium2.PdfDocument(data) as book:
        return " ".join(page.get_textpage().get_text_bounded() for page in book)


def test_a_day_card_is_given_with_its_certificate_and_printed(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    dan = enter_person(site.office, "Dan", "driver")
    assert client.get(f"/people/{dan}/print").status_code == 200
    sent = {"kind": "engine-pneumatic-lpg", "sort": "day", "trained": "2026-01-01", "evaluated": "2026-01-02"}
    wrong = client.post(f"/people/{dan}/permit", data=form(token, **sent))
    assert wrong.status_code == 422
    assert "the certificate that was seen" in wrong.text
    sent["certificate"] = "agency card 4711"
    assert client.post(f"/people/{dan}/permit", data=form(token, **sent)).status_code == 303
    page = client.get(f"/people/{dan}").text
    assert "agency card 4711 (Lena)" in page
    assert f"/people/{dan}/print" in page
    assert client.get(f"/people/{dan}/print").content.startswith(b"%PDF")
    sign_in_as(client, site, "Dan", "driver")
    assert client.get(f"/people/{dan}/print").status_code == 403
