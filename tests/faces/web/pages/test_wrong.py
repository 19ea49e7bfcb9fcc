"""Something is wrong: chosen by sense and system, answered at once, and a fault is made of it."""

from __future__ import annotations

from dipmark.faces.web.site import Site
from dipmark.office.look import truck
from faces.web.running import Client, form, sign_in_as, text_of


def test_what_was_noticed_is_chosen_by_sense_and_system(client: Client, site: Site) -> None:
    sign_in_as(client, site, "Dan", "driver")
    page = client.get("/truck/7/wrong").text
    assert "system=brakes&amp;trouble=soft" in page
    smelt = client.get("/truck/7/wrong?sense=smelt").text
    assert 0 < smelt.count("trouble=") < page.count("trouble=")
    assert client.get("/truck/7/wrong?system=brakes&trouble=nonsense").status_code == 200


def test_it_says_whether_to_stop_and_what_to_look_at_and_the_causes_are_for_the_mechanic(
    client: Client, site: Site
) -> None:
    sign_in_as(client, site, "Dan", "driver")
    answer = client.get("/truck/7/wrong?system=brakes&trouble=soft").text
    said = text_of(answer)
    assert "Out of service" in said
    assert "Look first" in said
    assert 'class="caution"' in answer
    assert "for the mechanic" not in said
    sign_in_as(client, site, "Mo", "mechanic")
    assert "for the mechanic" in text_of(client.get("/truck/7/wrong?system=brakes&trouble=soft").text)


def test_the_fault_is_made(client: Client, site: Site) -> None:
    token = sign_in_as(client, site, "Dan", "driver")
    bad = client.post("/truck/7/wrong", data=form(token, system="brakes", trouble="nonsense", words="soft"))
    assert bad.status_code == 422
    done = client.post("/truck/7/wrong", data=form(token, system="brakes", trouble="soft", words="since noon"))
    assert done.status_code == 303, text_of(done.text)
    now = truck(site.office, "7", site.office.clock())
    assert now.state.code == "out-of-service"
    assert now.faults[0].text.endswith("since noon")
