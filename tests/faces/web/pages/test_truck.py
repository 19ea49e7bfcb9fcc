"""One truck as a page: what it says, what one may do to it, and why not."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

from dipmark.faces.web.site import Site
from dipmark.facts.base import truck_book
from dipmark.facts.fault import Fault
from dipmark.facts.meter import MeterRead
from dipmark.office.enter import When, read_meter, report_fault, stop
from dipmark.office.measure import measure
from faces.web.running import Client, sign_in_as, text_of

NOON = When(datetime(2026, 11, 20, 5, 30, tzinfo=UTC))


def test_it_says_the_state_why_and_where_from(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Lena", "lead")
    stop(site.office, "7", "bent mast", NOON)
    said = text_of(client.get("/truck/7").text)
    for one in ("Truck 7", "Out of service", "bent mast", "in the locked box", "29 CFR", "Release the truck"):
        assert one in said, one


def test_a_driver_sees_what_is_not_for_him_and_for_whom(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Dan", "driver")
    report_fault(site.office, "7", "horn dead", NOON)
    page = client.get("/truck/7").text
    assert "horn dead" in page
    assert 'href="/truck/7/repair' not in page
    assert 'href="/truck/7/release"' not in page
    said = text_of(page)
    assert "A repair is noted by: mechanic, lead, owner, outside mechanic" in said
    assert "Release the truck: mechanic, lead, owner" in said
    assert client.get("/truck/7/release").status_code == 403


def test_a_mechanic_is_led_to_the_repair_of_each_fault(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Mo", "mechanic")
    report_fault(site.office, "7", "horn dead", NOON)
    fault = site.office.book(truck_book("7"))[-1].fact.id
    assert f'href="/truck/7/repair?fault={fault}"' in client.get("/truck/7").text
    form = client.get(f"/truck/7/repair?fault={fault}").text
    assert f'value="{fault}" checked' in form


def test_meters_and_wear_are_drawn_and_told_in_a_table(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Mo", "mechanic")
    for month, hours in ((2, 100), (4, 300), (6, 500), (8, 700)):
        when = When(datetime(2026, month, 1, 8, tzinfo=UTC))
        read_meter(site.office, "7", Decimal(hours), when)
        said = {"length": (f"left={305 + hours / 200} mm",), "new-length": ("304.8 mm",), "pitches": ("12",)}
        measure(site.office, "7", "chain", said, when, hours=Decimal(hours))
    page = client.get("/truck/7").text
    assert page.count('<figure class="chart">') == 2
    assert "readings, from 2026-01-05 (0 h) to 2026-08-01 (700 h)" in page
    assert "The limit is 3 %." in page
    assert "<table>" in page
    assert "style=" not in page


def test_a_reading_in_doubt_leads_to_its_correction_for_who_may(client: Client, site: Site) -> None:
    for day, hours in ((1, "100"), (5, "140"), (9, "180"), (11, "9000"), (13, "220")):
        read_meter(site.office, "7", Decimal(hours), When(datetime(2026, 11, day, 8, tzinfo=UTC)))
    sign_in_as(client, site, "Dan", "driver")
    page = client.get("/truck/7").text
    assert "9,000 h" in page
    assert "/correct?fact=" not in page
    sign_in_as(client, site, "Lena", "lead")
    assert "/correct?fact=" in client.get("/truck/7").text


def test_the_logbook_shows_both_times_and_what_became_of_an_entry(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Lena", "lead")
    read_meter(site.office, "7", Decimal(100), NOON)
    fact = site.office.book(truck_book("7"))[-1].fact
    page = client.get("/truck/7/log").text
    said = text_of(page)
    assert "Fri 2026-11-20 05:30" in said
    assert "Received: Fri 2026-11-20 06:00" in said
    assert f"/truck/7/withdraw?fact={fact.id}" in page
    only = text_of(client.get("/truck/7/log?only=enrolled").text)
    assert "hours 100" not in only
    assert "what engine-pneumatic-lpg" in only


def test_a_picture_is_shown_only_from_its_own_book(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Lena", "lead")
    digest = site.office.store.put_blob(b"not looked at here", "image/png")
    body = Fault(text="see", seriousness="stop", pictures=(digest,))
    site.office.append([site.office.fact(truck_book("7"), body, NOON.happened)])
    assert f"/truck/7/picture/{digest}" in client.get("/truck/7/log").text
    answer = client.get(f"/truck/7/picture/{digest}")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/png")
    assert client.get(f"/truck/12/picture/{digest}").status_code == 404
    assert client.get("/truck/7/picture/0").status_code == 404


def test_stored_markup_stays_text(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Lena", "lead")
    stop(site.office, "7", "<script>alert(1)</script>", NOON)
    site.office.append([site.office.fact(truck_book("7"), MeterRead(hours=Decimal(1), note="<b>x</b>"), NOON.happened)])
    for path in ("/truck/7", "/truck/7/log", "/faults", "/find?q=script"):
        page = client.get(path).text
        assert "<script>alert" not in page, path
        assert "<b>x</b>" not in page, path
