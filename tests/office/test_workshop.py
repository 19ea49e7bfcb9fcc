"""Jobs and room from the record of the invented yard."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal

import pytest

from dipmark.facts.base import YARD, PersonKey, truck_book
from dipmark.facts.stock import Stock
from dipmark.facts.workshop import Asks, Away, Bays, Outside, Planned, PlannedVisit, Wanted, WorkshopSet
from dipmark.office.enter import enter, report_fault, stop
from dipmark.office.open import Office
from dipmark.office.parts import note
from dipmark.office.plan import published, set_away, set_workshop
from dipmark.office.workshop import workshop_of
from dipmark.plan.jobs import Job
from office.demo_desk import demo_desk, noon


@pytest.fixture(name="office")
def _office() -> Iterator[Office]:
    with demo_desk() as office:
        yield office


def jobs_of(office: Office) -> dict[str, Job]:
    return {job.id: job for job in workshop_of(office, office.clock()).jobs}


def test_services_examinations_and_faults(office: Office) -> None:
    now = workshop_of(office, office.clock())
    jobs = {job.id: job for job in now.jobs}
    today = now.room.first
    late = jobs["5 450h"]
    assert (late.work, late.truck, late.opens, late.hard) == ("service", "truck:5", today, False)
    assert late.due.about < today
    assert late.bay is None
    assert late.skills == {"gas"}
    assert late.minutes > 60
    examined = jobs["3 thorough-examination"]
    assert (examined.work, examined.firm, examined.hard, examined.skills) == (
        "examination",
        "Wain Examinations",
        True,
        frozenset(),
    )
    assert jobs["4 thorough-examination"].standing
    faults = [job for job in now.jobs if job.work == "fault"]
    assert {job.truck for job in faults} >= {"truck:4", "truck:5"}
    assert all(now.texts[job.id] for job in now.jobs)
    assert "5 450h" in now.gauges
    assert not now.guessed
    assert all(job.opens <= now.room.last or job.latest <= now.room.last for job in now.jobs)
    assert not any(job.truck == "truck:12" for job in now.jobs)


def test_who_works_when(office: Office) -> None:
    now = workshop_of(office, office.clock())
    names = {one.id: now.names.get(one.id, one.id) for one in now.room.mechanics}
    assert sorted(names.values()) == ["Carl Voss", "Priya Nair", "Wain Examinations"]
    carl, priya = (next(key for key, name in names.items() if name == who) for who in ("Carl Voss", "Priya Nair"))
    days = {one.day for one in now.room.stretches if one.mechanic == carl}
    away = days - {one.day for one in now.room.stretches if one.mechanic == priya}
    assert len(away) == 2
    assert all(one.day.isoweekday() in {2, 4} for one in now.room.stretches if one.mechanic == "Wain Examinations")
    assert {one.shift for one in now.room.stretches if one.mechanic == carl} == {"early", "Saturday"}
    later = [one for one in now.room.stretches if one.mechanic == carl and one.day > now.room.first]
    assert all((one.minutes, one.overtime) == (330, 45) for one in later)
    free = now.room.first + timedelta(days=1)
    set_away(office, Away(person=office.people.key_or_new("Carl Voss"), first=free, last=free), noon(office))
    after = workshop_of(office, office.clock())
    assert not any(one.mechanic == carl and one.day == free for one in after.room.stretches)
    assert len(after.room.stretches) == len(now.room.stretches) - 1


def test_a_shift_that_is_worked_has_its_rest_and_one_that_is_over_has_none(office: Office) -> None:
    noon_now, evening = office.clock(), office.clock() + timedelta(hours=6)
    today = noon_now.date()
    now = workshop_of(office, noon_now)
    assert {one.minutes for one in now.room.stretches if one.day == today} == {180}
    first = now.room.stretches[0]
    told = Planned(
        first=today,
        days=14,
        visits=(
            PlannedVisit(
                truck=truck_book("5"), jobs=("5 450h",), day=today, shift="early", person=PersonKey(first.mechanic)
            ),
        ),
    )
    enter(office, [office.fact(YARD, told, noon_now)])
    planned = workshop_of(office, noon_now + timedelta(hours=2)).room.stretches[0]
    assert (planned.mechanic, planned.minutes) == (first.mechanic, 178)
    late = workshop_of(office, evening)
    assert min(one.day for one in late.room.stretches) > today
    assert [one.name for one in late.room.shifts if one.day == today] == ["late"]
    page = published(office, evening)
    assert page is not None
    assert page.complaints == ()
    assert "5" in {row.truck for row in page.left if row.due}


def test_the_trucks_that_cannot_be_spared_and_the_rest(office: Office) -> None:
    now = workshop_of(office, office.clock())
    groups = {group.id: group for group in now.room.groups}
    assert "truck:4" in groups["engine-pneumatic-lpg"].standing
    needs = {need.group: need for need in now.room.shifts[0].needs}
    assert needs["engine-pneumatic-lpg"].trucks == 4
    assert needs["pallet"].trucks == 0
    every = [truck for group in now.room.groups for truck in group.trucks]
    assert len(every) == len(set(every))


def test_what_the_workshop_is_told(office: Office) -> None:
    told = WorkshopSet(
        bays=(Bays(kind="pit", count=2),),
        asks=(Asks(of="450h", bay="pit", permit="engine-pneumatic-lpg"),),
        wanted=(
            Wanted(what="engine-pneumatic-lpg", trucks=1, capacity_kg=Decimal(1)),
            Wanted(what="engine-pneumatic-lpg", trucks=2, capacity_kg=Decimal(1), shift="early"),
            Wanted(what="engine-pneumatic-lpg", trucks=1),
        ),
        firms=(Outside(firm="Tollgate", work=("450h",), days=(1,), minutes=100),),
    )
    set_workshop(office, told, noon(office))
    now = workshop_of(office, office.clock())
    jobs = {job.id: job for job in now.jobs}
    assert (jobs["5 450h"].firm, jobs["5 450h"].bay) == ("Tollgate", None)
    assert jobs["3 thorough-examination"].firm == "examiner"
    assert {shift.bays[0].count for shift in now.room.shifts} == {2}
    early = next(shift for shift in now.room.shifts if shift.name == "early")
    assert {need.trucks for need in early.needs if need.group.endswith("kg")} == {2}
    set_workshop(office, WorkshopSet(firms=()), noon(office))
    asked = jobs_of(office)["5 450h"]
    assert (asked.firm, asked.bay, *asked.permits) == (None, "pit", "engine-pneumatic-lpg")


def test_the_shelf_serves_the_most_urgent_job_first(office: Office) -> None:
    note(office, Stock(part="engine oil filter", what="counted", quantity=Decimal(2)), noon(office))
    jobs = jobs_of(office)
    waiting = {name for name, job in jobs.items() if any(part.name == "engine oil filter" for part in job.parts)}
    wanted = sorted(
        (job for job in jobs.values() if job.subject in {"150h", "450h"}), key=lambda job: (job.latest, job.id)
    )
    assert waiting == {job.id for job in wanted[2:] if job.truck != "truck:9"}
    today = office.clock().date()
    ready = next(part.ready for part in jobs[wanted[-1].id].parts if part.name == "engine oil filter")
    assert ready == today + timedelta(days=6)
    note(
        office,
        Stock(part="engine oil filter", what="ordered", quantity=Decimal(9), expected=today + timedelta(days=2)),
        noon(office),
    )
    sooner = next(part.ready for part in jobs_of(office)[wanted[-1].id].parts if part.name == "engine oil filter")
    assert sooner == today + timedelta(days=2)


def test_a_truck_that_is_stopped_comes_into_the_plan(office: Office) -> None:
    before = set(jobs_of(office))
    stop(office, "2", "fork cracked", noon(office))
    report_fault(office, "2", "fork cracked", noon(office), seriousness="stop")
    (new,) = set(jobs_of(office)) - before
    job = jobs_of(office)[new]
    assert (job.truck, job.work, job.standing) == ("truck:2", "fault", True)
