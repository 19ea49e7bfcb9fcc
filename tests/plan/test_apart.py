"""Parts of a plan that share nothing."""

from __future__ import annotations

from dipmark.plan.apart import apart
from dipmark.plan.jobs import Job, Visit
from dipmark.plan.places import ground
from dipmark.plan.room import Group, Mechanic, Room
from plan.workshop import job, room

PEOPLE = (Mechanic("Ann"), Mechanic("Bob", places=frozenset({"south"})), Mechanic("Cem", places=frozenset({"west"})))


def parts(jobs: list[Job], its: Room) -> list[list[str]]:
    found = apart([Visit(one.truck, (one.id,)) for one in jobs], ground(jobs, its))
    return [[name for visit in part.visits for name in visit.jobs] for part in found]


def test_two_yards_are_two_parts_and_what_nobody_needs_is_a_last_one() -> None:
    jobs = [job("a"), job("b", place="south"), job("c")]
    its = room(2, PEOPLE, groups=(Group("east", frozenset({"truck of a"})), Group("idle", frozenset({"X"}))))
    assert parts(jobs, its) == [["a", "c"], ["b"], []]
    first, second, rest = apart([Visit(one.truck, (one.id,)) for one in jobs], ground(jobs, its))
    assert {one.mechanic for one in first.about.room.stretches} == {"Ann"}
    assert {one.mechanic for one in second.about.room.stretches} == {"Bob"}
    assert {one.mechanic for one in rest.about.room.stretches} == {"Cem"}
    assert [[one.id for one in part.about.room.groups] for part in (first, second, rest)] == [["east"], [], ["idle"]]


def test_a_truck_a_group_or_a_bay_ties_them() -> None:
    its = room(2, PEOPLE)
    assert len(parts([job("a", truck="T"), job("b", truck="T", place="south")], its)) == 2
    tied = room(2, PEOPLE, groups=(Group("all", frozenset({"truck of a", "truck of b"})),))
    assert len(parts([job("a"), job("b", place="south")], tied)) == 2
    people = (Mechanic("Ann"), Mechanic("Outside", firm="Outside"))
    bays = [job("a", bay="pit"), job("b", bay="pit", firm="Outside"), job("c", firm="Outside")]
    assert parts(bays, room(2, people)) == [["a", "b", "c"], []]


def test_nothing_to_do_is_one_part() -> None:
    assert parts([], room()) == [[]]
