"""A sheet from a phone: taken once, judged again, and set aside whole where it cannot be taken."""

from __future__ import annotations

import base64
import hashlib
import hmac
import io
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import msgspec
import pytest
from PIL import ExifTags, Image

from dipmark.adapters.store import Device
from dipmark.derive.impact import seal_holds
from dipmark.facts.base import YARD, FactId, PersonKey
from dipmark.facts.codec import book_code
from dipmark.facts.errors import Paused, Refused
from dipmark.facts.incident import Incident
from dipmark.facts.people import PersonSet
from dipmark.facts.walk_round import WalkRound
from dipmark.office.access import Role
from dipmark.office.batch import Batch
from dipmark.office.battery import room_of
from dipmark.office.enter import When, report_fault
from dipmark.office.items import enrol_item, fit, item, not_so
from dipmark.office.open import Office
from dipmark.office.receive import Received, settle, weigh, written
from dipmark.office.sheet_for_phone import Compiled
from dipmark.office.sign_in import set_pin
from dipmark.views.compiled_sheet import Sheet, letter_of, place_asked
from dipmark.views.walk_round import CheckList
from office.desk import airship, at, desk, state
from office.taking import NOW, bodies

PIN = "482913"
DEVICE = Device(token="t", id="d1", name="gate phone", by_key=PersonKey("lead"), made_us=0)


def photo(where: tuple[float, ...] = ()) -> bytes:
    """A small photo; with its position where one is given."""
    exif, out = Image.Exif(), io.BytesIO()
    if where:
        exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = where
    Image.new("RGB", (8, 6), "brown").save(out, "JPEG", exif=exif)
    return out.getvalue()


PHOTO = photo()


class Phone:
    """A phone with the sheet of one truck, and somebody at it.

    Args:
        office: the yard.
        who: his name.
        role: what he does.
    """

    def __init__(self, office: Office, who: str = "Dan", role: Role = "driver") -> None:
        self.office = office
        self.person = office.people.key_or_new(who)
        body = PersonSet(person=self.person, roles=(role,))
        office.append([office.fact(YARD, body, NOW - timedelta(days=9), by=self.person)])
        set_pin(office, self.person, PIN)
        self.compiled = Compiled()
        self.batch = Batch(office)
        self.count = 0

    def sheet(self, truck: str = "7") -> tuple[Sheet, CheckList]:
        made = self.compiled.truck(self.office, truck_book(truck), NOW)
        assert made is not None
        assert made[1] is not None
        return made[0], made[1]

    def walk(self, **more: Any) -> dict[str, Any]:
        sheet, asked = self.sheet()
        answers = [{"check": one.id, "mark": "ok"} for one in asked.checks("shift")]
        return {"kind": "walk-round", "answers": answers, "rules": sheet.rules, "verdict": "checked", **more}

    def fact(self, body: dict[str, Any], id_: str = "", book: str = "truck:7") -> dict[str, Any]:
        self.count += 1
        id_ = id_ or f"0193a000-0000-7000-8000-{self.count:012x}"
        return {"id": id_, "book": book, "happened": "2026-11-20T05:58:00+00:00", "body": body}

    def envelope(
        self,
        *facts: dict[str, Any],
        pin: str = PIN,
        sent: str = "2026-11-20T06:00:00+00:00",
        photos: tuple[bytes, ...] = (),
    ) -> bytes:
        sheet, _ = self.sheet()
        text = msgspec.json.encode({"made_from": sheet.digest, "seq": sheet.seq, "facts": facts}).decode()
        account = self.office.store.sign_ins.account(self.person)
        assert account is not None
        assert account.pin_key is not None
        key = account.pin_key if pin == PIN else b"another PIN"
        proof = hmac.digest(key, text.encode(), "sha256").hex()
        pictures = [{"media": "image/jpeg", "data": base64.b64encode(one).decode()} for one in photos]
        return msgspec.json.encode(
            {"person": self.person, "proof": proof, "sent": sent, "sheet": text, "pictures": pictures}
        )

    def send(self, data: bytes) -> Received:
        weighed = weigh(self.office, self.compiled, DEVICE, data)
        done = self.batch.submit(tuple(weighed.write.values()), weighed.blobs)
        return settle(self.office, weighed, written(done))


@pytest.fixture
def phone() -> Iterator[Phone]:
    with desk() as office:
        made = Phone(office)
        yield made
        made.batch.close()


def truck_book(name: str) -> Any:
    return f"truck:{name}"


def fates(received: Received) -> list[tuple[str, list[str]]]:
    return [(one.fate, [problem.code for problem in one.problems]) for one in received.facts]


def aside(office: Office) -> list[tuple[str, list[str]]]:
    return [(one.fact.id, [problem.code for problem in one.problems]) for one in office.store.set_aside_list()]


def test_a_clean_sheet_makes_the_truck_checked_and_both_verdicts_agree(phone: Phone) -> None:
    received = phone.send(phone.envelope(phone.fact(phone.walk())))
    assert fates(received) == [("taken", [])]
    (one,) = received.facts
    assert (one.phone, one.yard, received.skew) == ("checked", "checked", 0)
    assert state(phone.office) == "checked"
    (walk,) = bodies(phone.office, WalkRound)
    assert (walk.by, walk.id) == (phone.person, one.id)


def test_sent_again_it_is_known_and_written_once(phone: Phone) -> None:
    data = phone.envelope(phone.fact(phone.walk()))
    phone.send(data)
    assert fates(phone.send(data)) == [("known", [])]
    assert len(bodies(phone.office, WalkRound)) == 1
    assert aside(phone.office) == []


def test_another_sheet_under_the_same_id_is_set_aside(phone: Phone) -> None:
    fact = phone.fact(phone.walk())
    phone.send(phone.envelope(fact))
    other = phone.envelope({**fact, "body": phone.walk(seconds=9)})
    assert fates(phone.send(other)) == [("set-aside", ["id-twice"])]
    assert fates(phone.send(other)) == [("set-aside", ["id-twice"])]
    assert aside(phone.office) == [(fact["id"], ["id-twice"])]


def test_one_that_another_phone_wrote_meanwhile_is_set_aside(phone: Phone, monkeypatch: pytest.MonkeyPatch) -> None:
    fact = phone.fact(phone.walk())
    phone.send(phone.envelope(fact))
    monkeypatch.setattr(phone.office.store, "fact", lambda id_: None)
    other = phone.envelope({**fact, "body": phone.walk(seconds=9)})
    assert fates(phone.send(other)) == [("set-aside", ["id-taken"])]
    assert aside(phone.office) == [(fact["id"], ["id-taken"])]


def test_a_phone_whose_clock_is_behind_is_judged_by_what_it_knew(phone: Phone) -> None:
    fact = {**phone.fact(phone.walk()), "happened": "2025-01-01T05:58:00+00:00"}
    received = phone.send(phone.envelope(fact, sent="2025-01-01T06:00:00+00:00"))
    assert fates(received) == [("taken", ["clock-off"])]
    assert received.facts[0].yard == "checked"


def test_a_wrong_pin_sets_it_aside_and_pauses_who_guesses(phone: Phone) -> None:
    data = phone.envelope(phone.fact(phone.walk()), pin="000000")
    assert fates(phone.send(data)) == [("set-aside", ["proof-wrong"])]
    assert bodies(phone.office, WalkRound) == []
    for _ in range(4):
        phone.send(phone.envelope(phone.fact(phone.walk()), pin="000000"))
    with pytest.raises(Paused):
        phone.send(phone.envelope(phone.fact(phone.walk())))


@pytest.mark.parametrize(
    ("role", "body", "codes"),
    [
        ("auditor", None, ["not-his-to-write"]),
        ("mechanic", {"kind": "released"}, ["not-from-a-phone"]),
        ("driver", {"kind": "fault", "text": "x", "seriousness": "watch", "affects_safety": True}, ["too-lenient"]),
    ],
)
def test_what_may_not_be_written_is_kept_for_the_lead_hand(
    role: Role, body: dict[str, Any] | None, codes: list[str]
) -> None:
    with desk() as office:
        phone = Phone(office, "Eve", role)
        received = phone.send(phone.envelope(phone.fact(body or phone.walk())))
        assert fates(received) == [("set-aside", codes)]
        assert [said for _, said in aside(office)] == [codes]
        phone.batch.close()


def test_somebody_who_has_left_writes_nothing_more(phone: Phone) -> None:
    left = PersonSet(person=phone.person, roles=("driver",), gone=True)
    phone.office.append([phone.office.fact(YARD, left, NOW, by=phone.person)])
    assert fates(phone.send(phone.envelope(phone.fact(phone.walk())))) == [("set-aside", ["not-his-to-write"])]


def test_of_several_facts_each_has_its_own_fate(phone: Phone) -> None:
    facts = (
        phone.fact(phone.walk()),
        phone.fact({"kind": "held-by", "who": "driver", "person": phone.person}),
        phone.fact({"kind": "fault", "text": "x", "seriousness": "stop"}, book="truck:404"),
    )
    assert [fate for fate, _ in fates(phone.send(phone.envelope(*facts)))] == ["taken", "taken", "set-aside"]
    assert [said for _, said in aside(phone.office)] == [["not-enrolled"]]
    assert state(phone.office) == "checked"


def test_two_phones_on_one_truck_are_both_taken(phone: Phone) -> None:
    stop = phone.walk(verdict="out-of-service")
    stop["answers"][2] |= {"mark": "fault", "symptom": "falling", "seriousness": "stop", "affects_safety": True}
    one, other = phone.envelope(phone.fact(phone.walk())), phone.envelope(phone.fact(stop))
    assert fates(phone.send(one)) == [("taken", [])]
    assert fates(phone.send(other)) == [("taken", [])]
    assert len(bodies(phone.office, WalkRound)) == 2
    assert state(phone.office) == "out-of-service"


def test_a_verdict_that_the_record_does_not_give_is_told(phone: Phone) -> None:
    stop = phone.walk()
    stop["answers"][2] |= {"mark": "fault", "symptom": "falling", "seriousness": "stop", "affects_safety": True}
    received = phone.send(phone.envelope(phone.fact(stop)))
    assert fates(received) == [("taken", ["verdict-differs"])]
    assert (received.facts[0].phone, received.facts[0].yard) == ("checked", "out-of-service")
    (kept,) = (one.body for one in bodies(phone.office, WalkRound) if isinstance(one.body, WalkRound))
    assert (kept.verdict, kept.yard_verdict) == ("checked", "out-of-service")
    assert [doubt for doubt in kept.doubts if "verdict" in doubt] == [received.facts[0].problems[0].message]


def test_no_phone_says_what_the_yard_made_of_it(phone: Phone) -> None:
    claimed = phone.walk() | {"yard_verdict": "restricted", "doubts": ["nothing"]}
    envelope = phone.envelope(phone.fact(claimed))
    assert fates(phone.send(envelope)) == [("taken", [])]
    (kept,) = (one.body for one in bodies(phone.office, WalkRound) if isinstance(one.body, WalkRound))
    assert (kept.yard_verdict, kept.doubts) == ("checked", ())
    assert fates(phone.send(envelope)) == [("known", [])]


def test_the_yard_judges_by_what_the_phone_knew(phone: Phone) -> None:
    data = phone.envelope(phone.fact(phone.walk()))
    report_fault(phone.office, "7", "Seat torn off", at("2026-11-20T05:30"), seriousness="stop")
    assert fates(phone.send(data)) == [("taken", [])]
    assert state(phone.office) == "out-of-service"


def test_hours_pictures_letter_and_clock_are_asked_about(phone: Phone) -> None:
    sheet, asked = phone.sheet()
    wrong = "A" if letter_of(sheet.book, place_asked(sheet.book, asked, NOW.date())) != "A" else "B"
    body = phone.walk(meter={"hours": "99999"}, letter=wrong)
    body["answers"][0] |= {"picture": "0" * 64}
    received = phone.send(phone.envelope(phone.fact(body), sent="2026-11-20T06:05:00+00:00"))
    assert fates(received) == [("taken", ["meter-doubtful", "photo-missing", "clock-off", "letter-wrong"])]
    assert received.skew == 300
    right = phone.walk(letter=letter_of(sheet.book, place_asked(sheet.book, asked, NOW.date())))
    assert fates(phone.send(phone.envelope(phone.fact(right)))) == [("taken", [])]


def test_a_picture_comes_with_its_fact(phone: Phone) -> None:
    name = hashlib.sha256(PHOTO).hexdigest()
    body = {"kind": "fault", "text": "Wet", "seriousness": "stop", "pictures": [name]}
    assert fates(phone.send(phone.envelope(phone.fact(body), photos=(PHOTO,)))) == [("taken", [])]
    kept = phone.office.store.blob(name)
    assert kept is not None
    assert kept.data == PHOTO
    later = phone.fact({**body, "text": "Wet again"})
    assert fates(phone.send(phone.envelope(later))) == [("taken", [])]
    twice = phone.envelope(phone.fact({**body, "text": "Wet here"}), photos=(PHOTO,))
    assert fates(phone.send(twice)) == [("taken", ["picture-known"])]


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        (photo((51.0, 30.0, 0.0)), "picture-placed"),
        (b"GIF89a", "picture-unreadable"),
        (b"<svg/>", "picture-unreadable"),
    ],
)
def test_a_picture_that_may_not_be_kept_keeps_no_fault_back(phone: Phone, data: bytes, problem: str) -> None:
    name = hashlib.sha256(data).hexdigest()
    fact = phone.fact({"kind": "fault", "text": "Wet", "seriousness": "stop", "pictures": [name]})
    assert fates(phone.send(phone.envelope(fact, photos=(data,)))) == [("taken", [problem])]
    assert phone.office.store.blob(name) is None
    assert state(phone.office) == "out-of-service"


@pytest.mark.parametrize("data", [b"", b"{}", b"[1]", b"\xff", b'{"person":"p","proof":"","sent":"x","sheet":""}'])
def test_what_is_no_sheet_is_refused_with_what_is_wrong(phone: Phone, data: bytes) -> None:
    with pytest.raises(Refused) as refusal:
        phone.send(data)
    assert [problem.code for problem in refusal.value.problems] == ["envelope-unreadable"]


def test_a_body_of_no_known_kind_is_refused(phone: Phone) -> None:
    with pytest.raises(Refused):
        phone.send(phone.envelope(phone.fact({"kind": "walk-round", "nonsense": 1})))


def test_what_no_record_may_hold_is_set_aside(phone: Phone) -> None:
    body = {"kind": "fault", "text": "x", "seriousness": "stop"}
    received = phone.send(phone.envelope(phone.fact(body, id_="NO-UUID")))
    assert [fate for fate, _ in fates(received)] == ["set-aside"]
    assert received.facts[0].id == FactId("NO-UUID")


def test_a_kind_without_rules_has_no_verdict_of_the_yard(phone: Phone) -> None:
    name = airship(phone.office)
    received = phone.send(phone.envelope(phone.fact(phone.walk(), book=f"truck:{name}")))
    assert (received.facts[0].fate, received.facts[0].yard) == ("taken", None)


HIT: dict[str, Any] = {"kind": "incident", "what": "hit", "text": "rack 14", "struck": ["mast"], "seal": "1-FORGED"}


def test_a_hit_from_a_phone_stops_the_truck_and_is_sealed_by_the_yard(phone: Phone) -> None:
    """29 CFR 1910.178(p)(1): out of service at once; the seal is the yard's, whatever the phone says."""
    before = phone.office.book(truck_book("7"))
    data = phone.envelope(phone.fact(HIT))
    assert fates(phone.send(data)) == [("taken", [])]
    assert state(phone.office) == "out-of-service"
    (hit,) = bodies(phone.office, Incident)
    assert isinstance(hit.body, Incident)
    assert hit.body.seal == book_code(before[-1].seq, before[-1].digest)
    assert seal_holds(hit.body.seal, phone.office.book(truck_book("7")))
    assert fates(phone.send(data)) == [("known", [])]


def test_what_hangs_is_noted_from_a_phone(phone: Phone) -> None:
    fit(phone.office, "7", "clamp-3", When(NOW - timedelta(hours=2)), what="attachment")
    off = phone.fact({"kind": "removed", "item": "item:clamp-3"})
    assert fates(phone.send(phone.envelope(off))) == [("taken", [])]
    assert item(phone.office, "clamp-3", NOW).on is None
    on = phone.fact({"kind": "fitted", "item": "item:clamp-3"})
    assert fates(phone.send(phone.envelope(on))) == [("taken", [])]
    assert list(not_so(phone.office, NOW)) == ["7"]


def test_an_item_that_nobody_knows_is_set_aside(phone: Phone) -> None:
    found = phone.send(phone.envelope(phone.fact({"kind": "fitted", "item": "item:clamp-9"})))
    assert fates(found) == [("set-aside", ["item-unknown"])]
    assert fates(phone.send(phone.envelope(phone.fact({"kind": "fitted", "item": "truck:7"})))) == [
        ("set-aside", ["item-unknown"])
    ]


def test_a_charge_and_its_water_are_noted_from_a_phone_in_the_batterys_book(phone: Phone) -> None:
    enrol_item(phone.office, "b-1", "traction-battery", When(NOW - timedelta(days=2)))
    charge = phone.fact({"kind": "charged", "what": "equalise", "percent": 30}, book="item:b-1")
    went = {"kind": "topped-up", "fluid": "distilled water", "amount": "2.5", "unit": "l"}
    found = phone.send(phone.envelope(charge, phone.fact(went, book="item:b-1")))
    assert fates(found) == [("taken", []), ("taken", [])]
    room = room_of(phone.office, item(phone.office, "b-1", NOW), NOW)
    assert room is not None
    assert (room.charges, room.asks) == (1, ())
