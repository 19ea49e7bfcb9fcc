from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from decimal import Decimal

import msgspec
import pytest

from dipmark.facts.amend import Corrected
from dipmark.facts.base import Body, BookId, Fact, FactId, FaultRef, PersonKey, Reading, Value
from dipmark.facts.codec import ID_UNFIT, NOT_A_FACT, NUMBER_UNBOUNDED, TEXT_UNFIT, TIME_UNFIT, fact_of, faults_of
from dipmark.facts.fault import Released
from dipmark.facts.fitted import Fitted
from dipmark.facts.measure import Measured
from dipmark.facts.meter import MeterRead
from dipmark.facts.people import Permit, Shift, ShiftPattern
from dipmark.facts.truck import Enrolled
from dipmark.facts.work import Worked, WorkEnded
from facts.bodies import FACT

NOON = datetime(2026, 11, 20, 12, tzinfo=UTC)


class Zoneless(tzinfo):
    """A zone that knows no offset."""

    def utcoffset(self, dt: datetime | None) -> None:
        return None

    def dst(self, dt: datetime | None) -> None:
        return None

    def tzname(self, dt: datetime | None) -> None:
        return None


def of(body: msgspec.Struct) -> Fact:
    return fact_of(FACT, "truck:7", NOON, "ana", body)


def codes(fact: Fact) -> set[str]:
    found = faults_of(fact)
    msgspec.json.encode(found)  # whatever a fact holds, what is said of it can be written
    assert all(len(problem.message) < 600 for problem in found)
    return {problem.code for problem in found}


@pytest.mark.parametrize("hours", ["0", "0.0", "-5", "999999999999.999999", "-999999999999", "0.000001", "0.000000"])
def test_numbers_within_bounds(hours: str) -> None:
    assert codes(of(MeterRead(hours=Decimal(hours)))) == set()


@pytest.mark.parametrize(
    "hours",
    ["NaN", "sNaN", "-NaN123", "Infinity", "-Infinity", "1E+3", "1E+999999", "-0", "-0.00", "1000000000000",
     "-1000000000000", "999999999999.9999999999", "0.0000001", "0.1234567891", "0E-7", "0E+1", "9" * 5000],
)  # fmt: skip
def test_numbers_that_no_record_may_hold(hours: str) -> None:
    assert codes(of(MeterRead(hours=Decimal(hours)))) == {NUMBER_UNBOUNDED}


@pytest.mark.parametrize("note", ["", "x" * 4001])
def test_texts_of_the_wrong_length(note: str) -> None:
    assert codes(of(MeterRead(hours=Decimal(1), note=note))) == {NOT_A_FACT}


def test_texts_that_cannot_be_written() -> None:
    assert codes(of(MeterRead(hours=Decimal(1), note="a\x00b"))) == {TEXT_UNFIT}
    assert codes(of(MeterRead(hours=Decimal(1), note="a\udc80"))) == {TEXT_UNFIT, NOT_A_FACT}


def test_every_fault_is_found_with_its_path() -> None:
    values = (Value(quantity="a", value=Decimal(1), unit="mm"), Value(quantity="b", value=Decimal("NaN"), unit="\x00"))
    found = faults_of(of(Measured(subject="chain", values=values, meter=Reading(hours=Decimal("1E+3")))))
    assert [problem.found.partition(" ")[0] for problem in found] == [
        "values[1].value",
        "values[1].unit",
        "meter.hours",
    ]
    assert {problem.where.fact for problem in found} == {FACT}
    assert {problem.where.book for problem in found} == {"truck:7"}


@pytest.mark.parametrize("year", [1900, 2199])
def test_the_first_and_the_last_year(year: int) -> None:
    fact = msgspec.structs.replace(
        of(Enrolled(what="reach", commissioned=date(year, 1, 1))), happened=NOON.replace(year=year)
    )
    assert codes(fact) == set()


@pytest.mark.parametrize("year", [1899, 2200])
def test_years_out_of_reach(year: int) -> None:
    assert codes(msgspec.structs.replace(of(Worked()), happened=NOON.replace(year=year))) == {TIME_UNFIT}
    assert codes(of(Enrolled(what="reach", commissioned=date(year, 1, 1)))) == {TIME_UNFIT}
    assert codes(of(Permit(person=PersonKey("a"), what="b", ends=NOON.replace(year=year)))) == {TIME_UNFIT}


@pytest.mark.parametrize("zone", [None, Zoneless(), timezone(timedelta(minutes=19, seconds=32))])
def test_times_without_a_whole_offset(zone: tzinfo | None) -> None:
    assert codes(msgspec.structs.replace(of(Worked()), happened=NOON.replace(tzinfo=zone))) == {TIME_UNFIT}


def test_a_correction_is_looked_into() -> None:
    body = Corrected(target=FactId(FACT), reason="r", body=MeterRead(hours=Decimal("-0")), by=PersonKey(""))
    assert codes(of(body)) == {NUMBER_UNBOUNDED, ID_UNFIT}


@pytest.mark.parametrize("id_", ["", "1", FACT.upper(), FACT + "\n", FACT.replace("-", ""), "٣" + FACT[1:], "\ud800"])
def test_ids_that_are_none(id_: str) -> None:
    assert ID_UNFIT in codes(msgspec.structs.replace(of(Worked()), id=FactId(id_)))
    assert ID_UNFIT in codes(of(WorkEnded(begun=FactId(id_))))
    assert ID_UNFIT in codes(of(Released(clears=(FaultRef(FACT), FaultRef(id_)))))


@pytest.mark.parametrize("ref", [FACT, f"{FACT}#horn", f"{FACT}#2", f"{FACT}#a#b", f"{FACT}#{'x' * 120}"])
def test_what_can_be_mended(ref: str) -> None:
    assert codes(of(Worked(mends=(FaultRef(ref),)))) == set()


@pytest.mark.parametrize("ref", [f"{FACT}#", f"{FACT}#{'x' * 121}", "#horn"])
def test_what_is_no_fault(ref: str) -> None:
    assert codes(of(Worked(mends=(FaultRef(ref),)))) == {ID_UNFIT}


@pytest.mark.parametrize(
    "book", ["yard", "truck:7", "item:a b", "truck:" + "x" * 80, "truck:7:8", "truck:Größe", "truck:車"]
)
def test_books(book: str) -> None:
    assert codes(msgspec.structs.replace(of(Worked()), book=BookId(book))) == set()
    assert codes(of(Fitted(item=BookId(book)))) == set()


@pytest.mark.parametrize(
    "book",
    ["", "Yard", "yard:1", "truck:", "truck: 7", "truck:7 ", "lorry:7", "truck:" + "x" * 81, "truck:a\nb",
     "truck:a\u2028b", "truck:\ufeff7", "truck:7\x00", "truck:\ud800", "truck:a\u00a0b", "truck:\u202e7", "yard\n"],
)  # fmt: skip
def test_books_that_are_none(book: str) -> None:
    found = faults_of(msgspec.structs.replace(of(Worked()), book=BookId(book)))
    assert ID_UNFIT in {problem.code for problem in found}
    assert found[0].where.book is None
    assert ID_UNFIT in codes(of(Fitted(item=BookId(book))))


@pytest.mark.parametrize("by", ["", "x" * 121])
def test_persons_that_are_none(by: str) -> None:
    assert codes(msgspec.structs.replace(of(Worked()), by=PersonKey(by))) == {ID_UNFIT}


def test_a_person_that_cannot_be_written() -> None:
    assert codes(msgspec.structs.replace(of(Worked()), by=PersonKey("\ud800"))) == {TEXT_UNFIT, NOT_A_FACT}
    assert codes(msgspec.structs.replace(of(Worked()), by=PersonKey("a\x00"))) == {TEXT_UNFIT}


def test_facts_made_in_the_program_are_held_to_the_same_shape() -> None:
    shift = Shift(name="a", days=(9,), start=NOON.timetz(), end=NOON.time())
    wrong: list[msgspec.Struct] = [
        Body(),
        Worked(minutes=-1),
        Worked(minutes=2**70),
        Worked(text=object()),  # type: ignore[arg-type]
        Worked(services=["150h"]),  # type: ignore[arg-type]
        Worked(tasks=("x" * 100,) * 10_000),
        ShiftPattern(shifts=(shift,)),
        Enrolled(what="reach", capacity_kg=2500),  # type: ignore[arg-type]
    ]
    for body in wrong:
        assert codes(of(body)) == {NOT_A_FACT}, body
