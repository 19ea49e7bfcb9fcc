"""The fortnight: suggested, looked over, changed by hand, published."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Final

import msgspec

from dipmark.adapters.solver import solve
from dipmark.derive.workshop import workshop_now
from dipmark.facts.base import YARD, BookId, PersonKey
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, code
from dipmark.facts.workshop import Away, Planned, PlannedVisit, WorkshopSet
from dipmark.office.enter import Entered, When, enter
from dipmark.office.open import Office, told
from dipmark.office.workshop import DAYS, Workshop, workshop_of
from dipmark.plan.check import Checked, check
from dipmark.plan.explain import unmet, why
from dipmark.plan.fortnight import Cost, Fortnight, Placed
from dipmark.plan.jobs import Visit
from dipmark.plan.make import Solve, make
from dipmark.plan.rows import Arrays, Floats
from dipmark.views.workshop import Naming, PlanPage, plan_page

SECONDS: Final = 6.0
"""So long a plan is looked for. Project rule."""

ASKING: Final = 2.0
"""So long the smallest changes are looked for, in all. Project rule."""

PLAN_UNFIT: Final = code(
    "plan-unfit", "A plan that is to be published cannot be: a job too late, a mechanic not there."
)
PLAN_UNREADABLE: Final = code("plan-unreadable", "What was sent back as a plan is none.")
VISIT_UNKNOWN: Final = code("visit-unknown", "A visit is to be moved that is not in the plan.")
DAYS_TURNED: Final = code("days-turned", "The last day of an absence lies before its first.")


def solver(seconds: float) -> Solve:
    """The solver, for so long in all."""

    def run(its: Arrays, share: float, first: Floats | None) -> tuple[Floats | None, float]:
        found = solve(its, seconds=seconds * share, gap=0.001, first=first)
        return found.values, found.bound

    return run


def suggested(office: Office, as_of: datetime, seconds: float = SECONDS) -> PlanPage:
    """The best plan that is found, held against the published one.

    Args:
        office: the yard.
        as_of: the instant.
        seconds: so long it is looked for.
    """
    now = workshop_of(office, as_of)
    plan = make(now.jobs, now.room, solver(seconds), now.published)
    return _page(office, now, plan, _held(now))


def published(office: Office, as_of: datetime) -> PlanPage | None:
    """The plan people go by, from today on, as it stands; None: there is none yet."""
    if workshop_now(office.book(YARD), as_of).plan is None:
        return None
    now = workshop_of(office, as_of)
    return _page(office, now, _kept(now, now.published), None)


def considered(office: Office, as_of: datetime, visits: str, key: str, to: tuple[date, str, str] | None) -> PlanPage:
    """A plan with one visit moved or taken out: what that would do.

    Args:
        office: the yard.
        as_of: the instant.
        visits: the plan as a page sent it back.
        key: of the visit, as on its card.
        to: day, shift and mechanic; None: out of the plan.

    Raises:
        Refused: no such plan, no such visit.
    """
    now, placed = workshop_of(office, as_of), _read(visits)
    at = next((number for number, one in enumerate(placed) if _key(one) == key), None)
    if at is None:
        problem = Problem(VISIT_UNKNOWN, key, "a visit of this plan", "Open the plan again.")
        raise Refused(told([problem]), [problem])
    before = _kept(now, placed)
    placed[at : at + 1] = (
        [] if to is None else [msgspec.structs.replace(placed[at], day=to[0], shift=to[1], mechanic=to[2])]
    )
    held = check(before, now.jobs, now.room, now.published).cost
    return _page(office, now, _kept(now, placed), held)


def publish(office: Office, visits: str, when: When, *, words: str | None = None) -> Entered:
    """Make it the plan that people go by.

    Args:
        office: the yard.
        visits: the plan as a page sent it back.
        when: from when.
        words: anything else.

    Raises:
        Refused: something in it cannot be; nothing was written.
    """
    now = workshop_of(office, when.happened)
    plan = _kept(now, _read(visits))
    found = check(plan, now.jobs, now.room, now.published)
    if found.complaints:
        naming = _naming(office, now)
        problems = [
            Problem(
                PLAN_UNFIT,
                one.sentence.read(office.rules.word, naming),
                "a plan that can be",
                "Move it, or take it out.",
            )
            for one in found.complaints
        ]
        raise Refused(told(problems), problems)
    firms = {one.id for one in now.room.mechanics if one.firm is not None}
    body = Planned(
        first=now.room.first,
        days=DAYS,
        visits=tuple(
            PlannedVisit(
                truck=BookId(one.visit.truck),
                jobs=one.visit.jobs,
                day=one.day,
                shift=one.shift,
                person=None if one.mechanic in firms else PersonKey(one.mechanic),
                firm=one.mechanic if one.mechanic in firms else None,
            )
            for one in plan.placed
        ),
        note=words,
    )
    return enter(office, [office.fact(YARD, body, when.happened)])


def set_away(office: Office, body: Away, when: When) -> Entered:
    """Somebody does not work on some days.

    Raises:
        Refused: the last day lies before the first; nothing was written.
    """
    if body.last < body.first:
        problem = Problem(DAYS_TURNED, f"{body.first} to {body.last}", "a last day not before the first", "Turn them.")
        raise Refused(told([problem]), [problem])
    return enter(office, [office.fact(YARD, body, when.happened)])


def set_workshop(office: Office, body: WorkshopSet, when: When) -> Entered:
    """Say what the workshop has from here on."""
    return enter(office, [office.fact(YARD, body, when.happened)])


def _page(office: Office, now: Workshop, plan: Fortnight, held: Cost | None) -> PlanPage:
    found = check(plan, now.jobs, now.room, now.published)
    sound, left = _sound(now, plan, found), set(plan.left)
    due = sum(job.id in left and job.latest <= now.room.last for job in now.jobs)
    asking = solver(ASKING / (4 * due + 1))
    return plan_page(
        plan,
        found,
        now.jobs,
        now.room,
        whys=why(sound, now.jobs, now.room, now.published),
        unmet=unmet(msgspec.structs.replace(sound, left=plan.left), now.jobs, now.room, asking, now.published),
        published=now.published,
        naming=_naming(office, now),
        gauges=now.gauges,
        guessed=now.guessed,
        held=held,
        visits=_written(plan.placed),
    )


def _sound(now: Workshop, plan: Fortnight, found: Checked) -> Fortnight:
    """The part of a plan that nothing stands against: the rest explains itself by its complaints."""
    bad = {job for one in found.complaints for job in one.jobs}
    there = {(one.mechanic, one.day, one.shift) for one in now.room.stretches}
    good = tuple(
        one for one in plan.placed if not bad & set(one.visit.jobs) and (one.mechanic, one.day, one.shift) in there
    )
    return msgspec.structs.replace(plan, placed=good)


def _naming(office: Office, now: Workshop) -> Naming:
    return Naming(now.texts, now.names, now.room.first, office.rules.word)


def _held(now: Workshop) -> Cost | None:
    return check(_kept(now, now.published), now.jobs, now.room, now.published).cost if now.published else None


def _kept(now: Workshop, placed: Sequence[Placed]) -> Fortnight:
    """Visits as a plan of today's jobs: what is done or past is no longer in it."""
    known = {job.id for job in now.jobs}
    today = {shift.name for shift in now.room.shifts if shift.day == now.room.first}
    kept = [
        msgspec.structs.replace(one, visit=Visit(one.visit.truck, tuple(job for job in one.visit.jobs if job in known)))
        for one in placed
        if one.day > now.room.first or (one.day == now.room.first and one.shift in today)
    ]
    kept = [one for one in kept if one.visit.jobs]
    done = {job for one in kept for job in one.visit.jobs}
    return Fortnight(tuple(kept), tuple(job.id for job in now.jobs if job.id not in done))


def _key(one: Placed) -> str:
    return f"{one.visit.truck}|{one.day.isoformat()}|{one.shift}|{one.mechanic}"


def _written(placed: Sequence[Placed]) -> str:
    return msgspec.json.encode(placed).decode()


def _read(visits: str) -> list[Placed]:
    try:
        return msgspec.json.decode(visits, type=list[Placed])
    except msgspec.MsgspecError as error:
        problem = Problem(PLAN_UNREADABLE, str(error), "the plan as the page had it", "Open the plan again.")
        raise Refused(told([problem]), [problem]) from None
