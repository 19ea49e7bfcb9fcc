"""A hit noted at a desk: at once out of service, the record sealed, the driver asked for a refresher."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dipmark.derive.impact import hits_of
from dipmark.facts.base import YARD
from dipmark.facts.errors import Refused
from dipmark.facts.people import Permit, PersonSet
from dipmark.office.amend import correct_hours
from dipmark.office.appoint import people_of
from dipmark.office.enter import WORDS_MISSING, read_meter
from dipmark.office.hit import HIT_UNFIT, note_hit
from dipmark.office.open import Office
from dipmark.views.people import person_row
from office.desk import LPG, at, desk, now

NIGHT = at("2026-11-20T02:00")


def sealed(office: Office) -> bool | None:
    found = now(office)
    return hits_of(office.book(found.book), found.counting, found.meters)[0].sealed


def test_a_hit_stops_the_truck_and_seals_its_record() -> None:
    """29 CFR 1910.178(p)(1)."""
    with desk() as office:
        read_meter(office, "7", Decimal(100), at("2026-11-19T05:00"))
        entered = note_hit(office, "7", "hit", " into rack 14 ", NIGHT, struck=("mast",), hurt=True, hours=Decimal(104))
        assert now(office).state.code == "out-of-service"
        body = entered.accepted[0].fact.body
        assert (body.text, body.seal.split("-")[0]) == ("into rack 14", "2")  # type: ignore[attr-defined]
        assert sealed(office) is True
        (reading,) = (one.fact.id for one in office.book(now(office).book) if one.seq == 2)
        correct_hours(office, "7", reading, Decimal(101), "misread", at("2026-11-20T04:00"))
        assert sealed(office) is True


def test_a_near_miss_leaves_it_and_its_driver_is_asked_for_a_refresher() -> None:
    """29 CFR 1910.178(l)(4)(ii)(B): an accident or a near miss asks for refresher training."""
    with desk() as office:
        dan, day = office.people.key_or_new("Dan"), date(2026, 1, 2)
        permit = Permit(person=dan, what=LPG, trained=day, evaluated=day, by=dan)
        told = (permit, PersonSet(person=dan, roles=("driver",)))
        office.append([office.fact(YARD, body, at("2026-01-05T09:00").happened) for body in told])
        before = now(office).state.code
        note_hit(office, "7", "near-miss", "a man stepped out", NIGHT, person=dan)
        assert now(office).state.code == before
        row = person_row(people_of(office, office.clock()), dan)
        asks = [ask.text for one in row.permits for ask in one.asks]
        assert asks == ["Near miss on 2026-11-20: a refresher and a new evaluation"]


def test_what_is_no_incident_or_has_no_words_is_refused() -> None:
    with desk() as office:
        with pytest.raises(Refused) as refusal:
            note_hit(office, "7", "bump", " ", NIGHT)
        assert [one.code for one in refusal.value.problems] == [HIT_UNFIT, WORDS_MISSING]
        with pytest.raises(Refused, match="what happened"):
            note_hit(office, "7", "hit", "", NIGHT)
