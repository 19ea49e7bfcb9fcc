"""What is done to a truck at the desk: it is written, or the form comes back with all that was typed."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dipmark.faces.web.site import Site
from dipmark.facts.base import YARD, truck_book
from dipmark.facts.people import Permit
from dipmark.office.look import truck
from faces.web.running import Client, form, sign_in_as, text_of


def state(site: Site, name: str = "7") -> str:
    return truck(site.office, name, site.office.clock()).state.code


def test_a_reading_is_noted_and_the_truck_says_so(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    answer = client.post("/truck/7/read", data=form(token, hours="1250.5"))
    assert (answer.status_code, answer.headers["location"]) == (303, "/truck/7?noted=read")
    assert truck(site.office, "7", site.office.clock()).meters[0].hours == Decimal("1250.5")
    assert "Noted: Read the meter." in text_of(client.get("/truck/7?noted=read").text)


def test_what_cannot_be_read_comes_back_beside_its_field(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    answer = client.post("/truck/7/read", data=form(token, hours="a lot", when="2026-11-20T05:00"))
    assert answer.status_code == 422
    assert 'value="a lot"' in answer.text
    assert 'value="2026-11-20T05:00"' in answer.text
    assert 'aria-invalid="true"' in answer.text
    assert 'aria-describedby="hours-note hours-wrong"' in answer.text
    late = client.post("/truck/7/read", data=form(token, hours="5", when="yesterday"))
    assert late.status_code == 422
    assert 'id="when-wrong"' in late.text


def test_a_truck_of_two_meters_asks_which(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    assert 'name="meter"' in client.get("/truck/20/read").text
    client.post("/truck/20/read", data=form(token, hours="7", meter="drive"))
    lives = {life.name: life.hours for life in truck(site.office, "20", site.office.clock()).meters}
    assert lives == {"engine": None, "drive": Decimal(7)}


def test_a_changed_meter_runs_on(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    client.post("/truck/7/read", data=form(token, hours="100", when="2026-11-10"))
    client.post("/truck/7/read", data=form(token, hours="2", changed="yes", old="130"))
    assert truck(site.office, "7", site.office.clock()).meters[0].hours == Decimal(130)


def test_fault_repair_test_and_release(client: Client, site: Site) -> None:
    driver = sign_in_as(client, site, "Dan", "driver")
    assert "Lift chains" in client.get("/truck/7/fault").text
    sent = client.post("/truck/7/fault", data=form(driver, text="slack on the left", finding="chain.tension|slack"))
    assert sent.status_code == 303, text_of(sent.text)
    assert state(site) == "out-of-service"
    fault = truck(site.office, "7", site.office.clock()).faults[0].ref
    assert client.post("/truck/7/repair", data=form(driver, text="x")).status_code == 403

    mechanic = sign_in_as(client, site, "Mo", "mechanic")
    empty = client.post("/truck/7/repair", data=form(mechanic, text="adjusted"))
    assert empty.status_code == 422
    assert "adjusted" in empty.text
    assert client.post("/truck/7/repair", data=form(mechanic, fault=fault, text="adjusted")).status_code == 303
    early = client.post("/truck/7/release", data=form(mechanic))
    assert early.status_code == 422
    assert 'id="tests-wrong"' in early.text
    done = client.post("/truck/7/release", data=form(mechanic, tests="lift-test", note="held"))
    assert done.status_code == 303, text_of(done.text)
    assert state(site) == "not-checked"


def test_a_fault_to_mend_by_a_day_wants_its_days_and_empty_words_are_refused(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    answer = client.post("/truck/7/fault", data=form(token, text="mirror", seriousness="repair-by"))
    assert answer.status_code == 422
    assert 'id="days-wrong"' in answer.text
    assert 'value="repair-by" selected' in answer.text
    assert client.post("/truck/7/fault", data=form(token, text=" ")).status_code == 422
    assert client.post("/truck/7/fault", data=form(token, text="x", finding="no.such|thing")).status_code == 422
    days = form(token, text="mirror", seriousness="repair-by", days="5")
    assert client.post("/truck/7/fault", data=days).status_code == 303


def test_the_card(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    assert client.post("/truck/7/stop", data=form(token, reason="")).status_code == 422
    assert client.post("/truck/7/stop", data=form(token, reason="smoke")).status_code == 303
    assert state(site) == "out-of-service"


def test_a_lock_is_taken_off_by_its_owner_or_by_a_written_exception(client: Client, site: Site) -> None:
    mechanic = sign_in_as(client, site, "Mo", "mechanic")
    client.post("/truck/7/begin", data=form(mechanic, text="oil"))
    assert "Being worked on by" in text_of(client.get("/truck/7").text)
    assert client.post("/truck/7/end", data=form(mechanic)).status_code == 422

    other = sign_in_as(client, site, "Carl", "mechanic")
    refused = client.post("/truck/7/end", data=form(other, clear="yes"))
    assert refused.status_code == 422
    assert "Mo" in refused.text
    assert client.post("/truck/7/except", data=form(other, text="he went home")).status_code == 403

    owner = sign_in_as(client, site, "Olga", "owner")
    assert client.post("/truck/7/except", data=form(owner, text=" ")).status_code == 422
    assert client.post("/truck/7/except", data=form(owner, text="he rang, he is home")).status_code == 303
    assert truck(site.office, "7", site.office.clock()).locks == ()

    client.post("/truck/7/begin", data=form(owner))
    assert client.post("/truck/7/end", data=form(owner, clear="yes")).status_code == 303


def test_the_key_goes_only_to_whoever_may_drive(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    office = site.office
    dan = office.people.key_of("Dan") or ""
    refused = client.post("/truck/7/key", data=form(token, who="driver", person=dan))
    assert refused.status_code == 422
    assert 'id="person-wrong"' in refused.text
    days = {"trained": date(2026, 1, 1), "evaluated": date(2026, 1, 1)}
    body = Permit(person=dan, what="engine-pneumatic-lpg", **days)  # type: ignore[arg-type]
    office.append([office.fact(YARD, body, office.clock())])
    assert "May drive this kind of truck" in client.get("/truck/7/key").text
    assert (
        client.post("/truck/7/key", data=form(token, who="driver", person=dan, until="2026-11-21")).status_code == 303
    )
    held = truck(office, "7", office.clock()).held
    assert held is not None
    assert (held.what.person, str(held.what.until)) == (dan, "2026-11-21")
    assert 'value="yard" selected' in client.get("/truck/7/key").text
    assert client.post("/truck/7/key", data=form(token, who="nowhere")).status_code == 422


def test_the_plate_is_noted_line_by_line(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Mo", "mechanic")
    assert "engine-oil=" in client.get("/truck/7/plate?what=engine-oil").text
    bad = client.post("/truck/7/plate", data=form(token, pairs="engine-oil", source="plate"))
    assert bad.status_code == 422
    assert 'id="pairs-wrong"' in bad.text
    assert client.post("/truck/7/plate", data=form(token, pairs="")).status_code == 422
    lines = form(token, pairs="engine-oil=5.5 l\ncapacity-plate=2500 kg, 500 mm", source="manual")
    assert client.post("/truck/7/plate", data=lines).status_code == 303
    assert "engine oil: 5.5 l (read in its manual by Mo" in text_of(client.get("/truck/7").text)


def test_a_wrong_reading_is_corrected_or_withdrawn_with_its_reason(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    client.post("/truck/7/read", data=form(token, hours="9000"))
    fact = site.office.book(truck_book("7"))[-1].fact.id
    assert f'value="{fact}" selected' in client.get(f"/truck/7/correct?fact={fact}").text
    assert client.post("/truck/7/correct", data=form(token, fact=fact, hours="900", reason="")).status_code == 422
    fixed = form(token, fact=fact, hours="900", reason="read again")
    assert client.post("/truck/7/correct", data=fixed).status_code == 303
    assert truck(site.office, "7", site.office.clock()).meters[0].hours == Decimal(900)
    assert "Corrected: another fact says how it was." in text_of(client.get("/truck/7/log").text)
    gone = form(token, fact=fact, reason="another truck")
    assert client.post("/truck/7/withdraw", data=gone).status_code == 303
    assert truck(site.office, "7", site.office.clock()).meters[0].hours == 0
    assert client.post("/truck/7/withdraw", data=form(token, fact="ffff", reason="x")).status_code == 422


@pytest.mark.parametrize("path", ["/truck/404/read", "/truck/12/fault"])
def test_a_truck_that_is_not_his_is_not_there(client: Client, site: Site, path: str) -> None:
    token = sign_in_as(client, site, "Glen", "outside-mechanic", books=("truck:7",))
    assert client.get(path).status_code == 404
    assert client.post(path, data=form(token, hours="5")).status_code == 404
    assert client.get("/truck/7/read").status_code == 200


def test_what_a_firm_sees_to_is_chosen_with_the_hire(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Lena", "lead")
    assert "What the firm sees to meanwhile" in text_of(client.get("/truck/7/key").text)
    wrong = client.post("/truck/7/key", data=form(token, who="other-site", owes="150h"))
    assert wrong.status_code == 422
    sent = form(token, who="hired-out", firm="Brook Timber", owes="150h")
    assert client.post("/truck/7/key", data=sent).status_code == 303
    assert "theirs meanwhile: 150h" in text_of(client.get("/truck/7").text)
