"""What was set aside: settled with a word, or entered put right; never lost, never entered twice."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import pytest

from dipmark.adapters.clock import new_id
from dipmark.adapters.store import Blob
from dipmark.facts.base import Body, Fact, PersonKey, Reading, truck_book
from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.fault import Fault
from dipmark.facts.meter import MeterRead
from dipmark.facts.problems import Problem
from dipmark.facts.walk_round import WalkRound
from dipmark.office.amend import NO_HOURS
from dipmark.office.open import Office
from dipmark.office.receive import PROOF_WRONG
from dipmark.office.set_aside import NOTE_MISSING, enter_anyway, hours_of, one_of, pictures, settle, waiting
from office.desk import desk, now

DAN = PersonKey("dan")
WHEN = datetime(2026, 11, 20, 5, 0, tzinfo=UTC)


def put(office: Office, body: Body, code: str = "meter-doubtful", book: str = "7") -> str:
    """Set a fact aside, and give back its digest."""
    fact = Fact(id=new_id(), book=truck_book(book), happened=WHEN, by=DAN, body=body)
    return office.store.set_aside(fact, [Problem(code, "something", "something else")]).digest


def test_it_is_settled_with_a_word_and_stays() -> None:
    with desk() as office:
        first = put(office, MeterRead(hours=Decimal(5)))
        second = put(office, MeterRead(hours=Decimal(6)))
        settle(office, first, "  a slip  of the thumb ")
        rows = waiting(office)
        assert [row.digest for row in rows] == [second, first]
        assert rows[1].settled == "a slip of the thumb"
        with pytest.raises(Refused) as refusal:
            settle(office, second, " ")
        assert [problem.code for problem in refusal.value.problems] == [NOTE_MISSING]
        with pytest.raises(NotFound):
            settle(office, first, "again")
        with pytest.raises(NotFound):
            one_of(office, "0" * 64)


def test_it_is_entered_put_right_in_the_name_of_whoever_wrote_it() -> None:
    with desk() as office:
        digest = put(office, MeterRead(hours=Decimal(90000)))
        done = enter_anyway(office, digest, "point forgotten", hours=Decimal("900.0"))
        (accepted,) = done.accepted
        assert (accepted.fact.by, accepted.fact.happened) == (DAN, WHEN)
        assert now(office).meters[0].hours == Decimal("900.0")
        settled = one_of(office, digest).settled
        assert settled is not None
        assert settled.startswith("point forgotten Entered as fact ")
        with pytest.raises(NotFound):
            enter_anyway(office, digest, "once more")


def test_what_he_did_not_sign_is_entered_in_the_name_of_whoever_enters_it() -> None:
    with desk() as office:
        digest = put(office, Fault(text="horn weak", seriousness="stop"), PROOF_WRONG)
        later = datetime(2026, 11, 20, 5, 30, tzinfo=UTC)
        (accepted,) = enter_anyway(office, digest, "I heard it myself", happened=later).accepted
        assert (accepted.fact.by, accepted.fact.happened) == (office.by, later)


def test_what_still_does_not_fit_is_refused_and_waits_on() -> None:
    with desk() as office:
        digest = put(office, MeterRead(hours=Decimal(5)), "not-enrolled", "404")
        with pytest.raises(Refused):
            enter_anyway(office, digest, "try")
        assert one_of(office, digest).settled is None


def test_hours_stand_in_a_reading_or_beside_something_else_or_nowhere() -> None:
    with desk() as office:
        assert hours_of(MeterRead(hours=Decimal(5))) == 5
        assert hours_of(WalkRound(meter=Reading(hours=Decimal(6)))) == 6
        assert hours_of(Fault(text="x", seriousness="stop")) is None
        digest = put(office, Fault(text="x", seriousness="stop", meter=Reading(hours=Decimal(6))))
        (accepted,) = enter_anyway(office, digest, "read again", hours=Decimal(7)).accepted
        assert hours_of(accepted.fact.body) == 7
        bare = put(office, Fault(text="y", seriousness="stop"))
        with pytest.raises(Refused) as refusal:
            enter_anyway(office, bare, "hours?", hours=Decimal(7))
        assert [problem.code for problem in refusal.value.problems] == [NO_HOURS]


def test_only_pictures_that_came_are_shown() -> None:
    with desk() as office:
        kept = office.store.put_blob(b"a picture", "image/png")
        lost = Blob(b"another", "image/png").digest
        digest = put(office, Fault(text="x", seriousness="stop", pictures=(kept, lost)))
        assert pictures(office, one_of(office, digest)) == (kept,)
