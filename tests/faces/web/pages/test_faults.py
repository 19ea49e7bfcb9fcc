"""All open faults, and what falls due."""

from __future__ import annotations

from dipmark.faces.web.site import Site
from dipmark.office.enter import report_fault, stop
from faces.web.pages.test_truck import NOON
from faces.web.running import Client, sign_in_as, text_of


def test_the_most_serious_comes_first_and_cards_stand_above(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Mo", "mechanic")
    assert "No fault is open." in text_of(client.get("/faults").text)
    report_fault(site.office, "7", "paint dull", NOON, seriousness="watch")
    report_fault(site.office, "12", "mast bent", NOON)
    stop(site.office, "20", "gas leak", NOON)
    page = client.get("/faults").text
    said = text_of(page)
    assert said.index("gas leak") < said.index("mast bent") < said.index("paint dull")
    assert "/truck/12/repair?fault=" in page
    assert "/truck/20/release" in page


def test_a_driver_is_offered_no_repair_and_an_outsider_only_sees_his(client: Client, site: Site) -> None:
    report_fault(site.office, "7", "horn", NOON)
    report_fault(site.office, "12", "mast bent", NOON)
    sign_in_as(client, site, "Dan", "driver")
    assert "/repair?" not in client.get("/faults").text
    sign_in_as(client, site, "Glen", "outside-mechanic", books=("truck:7",))
    said = text_of(client.get("/faults").text)
    assert "horn" in said
    assert "mast bent" not in said
    due = client.get("/due").text
    assert "/truck/7" in due
    assert "/truck/12" not in due


def test_the_due_list_is_grouped_and_leads_to_the_sheet(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Mo", "mechanic")
    page = client.get("/due").text
    assert "What falls due" in page
    assert "/service/150h" in page
    assert "No country is set for this yard" in page
