"""What a phone takes along: every truck, shared lists, people with what they may drive, and where values tip."""

from __future__ import annotations

import hashlib
import hmac
from datetime import date, time, timedelta
from decimal import Decimal
from typing import Any

import msgspec
import pytest

from dipmark.facts.base import UNNAMED, YARD, BookId, PersonKey, truck_book
from dipmark.facts.people import Permit, PersonSet, Shift, ShiftPattern, YardSet
from dipmark.facts.truck import Retired
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.office.access import asker_of
from dipmark.office.enter import enter
from dipmark.office.open import Office
from dipmark.office.plate import read_plate
from dipmark.office.sheet_for_phone import Compiled, ShiftTelephone, bundle
from dipmark.office.sign_in import issue_badge, set_pin
from dipmark.views.compiled_sheet import in_ms, verdict
from dipmark.views.walk_round import Cuts
from office.desk import airship, at, desk, state
from office.taking import NOW

LPG = "engine-pneumatic-lpg"


def person(office: Office, name: str, *permits: Permit) -> PersonKey:
    """A driver with badge, PIN and permits, from a lead hand."""
    lead = office.people.key_or_new("Ruth")
    key = office.people.key_or_new(name)
    bodies: list[Any] = [PersonSet(person=lead, roles=("lead",)), PersonSet(person=key, roles=("driver",))]
    bodies += [msgspec.structs.replace(permit, person=key) for permit in permits]
    office.append([office.fact(YARD, body, NOW - timedelta(days=1), by=lead) for body in bodies])
    office.append([office.fact(YARD, bodies[1], NOW - timedelta(days=1), by=key)])
    asker = asker_of(office.yard, lead, "Ruth")
    assert asker is not None
    issue_badge(office, asker, key)
    set_pin(office, key, "482913")
    return key


def permit(what: str = LPG, **more: Any) -> Permit:
    evaluated = date(2026, 5, 5)
    return Permit(person=UNNAMED, what=what, **{"trained": evaluated, "evaluated": evaluated, "by": UNNAMED, **more})


def test_trucks_of_one_kind_share_their_list() -> None:
    with desk() as office:
        airship(office)
        made = bundle(office, Compiled(), "en")
        assert [sheet.truck for sheet in made.sheets] == ["7", "12", "20", "99"]
        lists = [sheet.list for sheet in made.sheets]
        assert lists[0] == lists[2] != lists[1]
        assert lists[3] is None
        assert set(made.lists) == {lists[0], lists[1]}
        assert made.verdicts["checked"] == "The key may be turned."
        assert made.rules == office.rules.digest


def test_a_truck_that_has_left_is_not_there() -> None:
    with desk() as office:
        enter(office, [office.fact(truck_book("12"), Retired(how="sold"), NOW)])
        compiled = Compiled()
        assert [sheet.truck for sheet in bundle(office, compiled, "en").sheets] == ["7", "20"]
        assert compiled.truck(office, truck_book("12"), NOW) is None
        assert compiled.truck(office, BookId("truck:404"), NOW) is None


def test_a_sheet_is_compiled_once_until_something_changes() -> None:
    with desk() as office:
        compiled, book = Compiled(), truck_book("7")
        first = compiled.truck(office, book, NOW)
        assert compiled.truck(office, book, NOW) is first or compiled.truck(office, book, NOW) == first
        read_plate(office, "7", ["engine-oil=5 l"], "plate", at("2026-11-20T05:00"))
        second = compiled.truck(office, book, NOW)
        assert first is not None
        assert second is not None
        assert second[0].seq == first[0].seq + 1
        assert second[0].digest != first[0].digest
        assert compiled.truck(office, book, NOW, known=first[0].seq) == first


def test_only_so_many_are_held(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dipmark.office.sheet_for_phone.KEPT", 2)
    with desk() as office:
        compiled = Compiled()
        bundle(office, compiled, "en")
        assert len(compiled.held) == 2


def test_people_are_told_what_they_may_drive() -> None:
    with desk() as office:
        lost = permit("pallet", withdrawn="drove with the mast raised")
        learns = permit("reach", trainee_under=office.people.key_or_new("Leila"))
        key = person(office, "Dan", permit(), learns, lost)
        (row,) = bundle(office, Compiled(), "en").people
        assert row.who.person == key
        assert set(row.drives) == {LPG, "reach"}
        end = row.drives[LPG]
        assert end == in_ms(at("2029-05-06T00:00").happened)
        assert row.drives["reach"] is None
        assert row.under == {"reach": row.under["reach"]}
        assert "withdrawn: drove with the mast raised" in row.not_you["pallet"]


def test_a_day_card_ends_on_the_phone_with_its_shift() -> None:
    """Common practice, no source: the card of an agency's driver ends with the shift, not with the day."""
    ends = NOW + timedelta(hours=2)
    with desk() as office:
        person(office, "Ali", permit(ends=ends, certificate="card 4711"))
        (row,) = bundle(office, Compiled(), "en").people
        assert row.drives[LPG] == in_ms(ends)


def test_whom_to_call() -> None:
    with desk() as office:
        person(office, "Dan")
        assert bundle(office, Compiled(), "en").call == ("Ruth",)


def test_the_number_of_the_shift_is_called_to_its_end_then_the_yards() -> None:
    with desk() as office:
        none = bundle(office, Compiled(), "en")
        assert (none.telephone, none.shift_telephone) == (None, None)
        early = Shift(name="early", days=(5,), start=time(6), end=time(14), telephone="901")  # NOW is Friday, 6:00 UTC
        bodies = (YardSet(telephone="+44 900"), ShiftPattern(shifts=(early,)))
        office.append([office.fact(YARD, body, NOW - timedelta(days=1)) for body in bodies])
        made = bundle(office, Compiled(), "en")
        assert made.telephone == "+44 900"
        assert made.shift_telephone == ShiftTelephone("901", in_ms(at("2026-11-20T14:00").happened))
        plain = ShiftPattern(shifts=(msgspec.structs.replace(early, telephone=None),))
        office.append([office.fact(YARD, plain, NOW - timedelta(hours=1))])
        assert bundle(office, Compiled(), "en").shift_telephone is None


def test_a_pressure_tips_where_the_record_would_have_it() -> None:
    with desk() as office:
        read_plate(office, "7", ["tyre-pressure=8.5 bar"], "plate", at("2026-11-20T05:00"))
        compiled = Compiled()
        made = compiled.truck(office, truck_book("7"), NOW)
        assert made is not None
        sheet, asked = made
        assert asked is not None
        # 29 CFR 1910.177(f): 80 % or less of 8.5 bar is 6.8 bar; below 8.5 bar it is to be inflated
        assert sheet.cuts == {"tyres.pressure": Cuts(at=((69, 85),), ranks=(3, 1, 0), places=1)}
        for value, said in (
            ("8.5", "checked"),
            ("8.4", "restricted"),
            ("6.9", "restricted"),
            ("6.8", "out-of-service"),
        ):
            answers = tuple(
                Answer(check=one.id, value=Decimal(value), unit="bar") if one.asked and one.asked.unit == "bar"
                else Answer(check=one.id)
                for one in asked.checks("shift")
            )  # fmt: skip
            walk = WalkRound(answers=answers, rules=office.rules.digest)
            assert verdict(sheet, asked, walk, in_ms(NOW)).code == said
            with desk() as other:
                read_plate(other, "7", ["tyre-pressure=8.5 bar"], "plate", at("2026-11-20T05:00"))
                enter(other, [other.fact(truck_book("7"), walk, NOW)])
                assert state(other) == said


def test_a_truck_of_whose_tyres_nothing_is_known_has_no_cuts() -> None:
    with desk() as office:
        made = Compiled().truck(office, truck_book("7"), NOW)
        assert made is not None
        assert made[0].cuts == {}


def test_nothing_in_it_opens_a_door() -> None:
    with desk() as office:
        key = person(office, "Dan", permit())
        account = office.store.sign_ins.account(key)
        assert account is not None
        assert account.pin_key is not None
        data = msgspec.json.encode(bundle(office, Compiled(), "en"))
        assert account.pin_key.hex().encode() not in data
        assert hmac.digest(account.pin_key, b"", "sha256").hex().encode() not in data
        assert hashlib.sha256(account.pin_key).hexdigest().encode() not in data
