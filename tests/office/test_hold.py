"""The key: given, back on its hook, and kept from whoever may not drive."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dipmark.derive.custody import Owes, owes, spans_of
from dipmark.facts.base import YARD, PersonKey
from dipmark.facts.errors import Refused
from dipmark.facts.people import Permit
from dipmark.office.enter import stop
from dipmark.office.hold import HOLDER_MISSING, KEY_LOCKED, KEY_NOT_HIS, OWED_BY_NOBODY, hold, may_drive
from dipmark.office.open import Office
from office.desk import LPG, at, desk, now

NOON = at("2026-11-20T05:30")


def driver(office: Office, name: str = "Dan") -> PersonKey:
    """Somebody trained for the truck."""
    key = office.people.key_or_new(name)
    body = Permit(person=key, what=LPG, trained=date(2026, 1, 1), evaluated=date(2026, 1, 2), by=key)
    office.append([office.fact(YARD, body, NOON.happened, by=key)])
    return key


def codes(refusal: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [problem.code for problem in refusal.value.problems]


def test_a_key_goes_to_a_driver_and_comes_back() -> None:
    with desk() as office:
        dan = driver(office)
        hold(office, "7", "driver", NOON, person=dan, hours=Decimal(12), note="bay 3")
        held = now(office).held
        assert held is not None
        assert (held.what.who, held.what.person, held.what.note) == ("driver", dan, "bay 3")
        assert held.what.meter is not None
        hold(office, "7", "yard", NOON)
        back = now(office).held
        assert back is not None
        assert back.what.who == "yard"


def test_it_is_not_given_to_whoever_may_not_drive_it_and_says_why() -> None:
    with desk() as office:
        eve = office.people.key_or_new("Eve")
        with pytest.raises(Refused, match="no permit for engine-pneumatic-lpg") as refusal:
            hold(office, "7", "driver", NOON, person=eve)
        assert codes(refusal) == [KEY_NOT_HIS]
        assert not may_drive(office, eve, LPG).may
        assert now(office).held is None


def test_the_key_of_a_truck_out_of_service_stays_in_its_box() -> None:
    with desk() as office:
        dan = driver(office)
        stop(office, "7", "bent mast", NOON)
        with pytest.raises(Refused, match="bent mast") as refusal:
            hold(office, "7", "driver", NOON, person=dan)
        assert codes(refusal) == [KEY_LOCKED]
        hold(office, "7", "hired-out", NOON, firm="Tollgate", until=date(2026, 12, 1), place="Quay 2")
        held = now(office).held
        assert held is not None
        assert (held.what.firm, str(held.what.until), held.what.place) == ("Tollgate", "2026-12-01", "Quay 2")


def test_somebody_must_be_named() -> None:
    with desk() as office:
        for who in ("driver", "hired-out", "hired-in"):
            with pytest.raises(Refused) as refusal:
                hold(office, "7", who, NOON)
            assert codes(refusal) == [HOLDER_MISSING]


def test_what_a_firm_owes_is_kept_and_somebody_must_owe_it() -> None:
    with desk() as office:
        with pytest.raises(Refused) as refusal:
            hold(office, "7", "other-site", NOON, owes=("150h",))
        assert codes(refusal) == [OWED_BY_NOBODY]
        hold(office, "7", "hired-out", NOON, firm="Brook Timber", owes=("150h",))
        spans = spans_of(now(office).counting)
        assert owes(spans, "150h", NOON.happened) == Owes("firm", firm="Brook Timber")
        assert owes(spans, "8h", NOON.happened) == Owes("yard")
