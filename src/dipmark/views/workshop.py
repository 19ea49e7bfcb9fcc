"""The fortnight as people read it: who does what when, why there, what does not fit, and what a change would do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from typing import Final

import msgspec

from dipmark.facts.said import Word, says
from dipmark.plan.check import Checked
from dipmark.plan.explain import PAYS, Unmet, Why
from dipmark.plan.fortnight import Cost, Fortnight, Placed
from dipmark.plan.group import least
from dipmark.plan.jobs import Job
from dipmark.plan.room import Room
from dipmark.plan.sentence import Sentence, Value
from dipmark.views.expected import near_day
from dipmark.views.gauge import Gauge
from dipmark.views.words import CAUTION

COST: Final = {
    "late": says("days late"),
    "early": says("interval thrown away"),
    "standing": says("trucks standing out of service"),
    "busy": says("wanted trucks in the workshop"),
    "overtime": says("overtime"),
    "missing": says("trucks missing in a shift"),
    "moved": says("jobs moved from the published plan"),
    "left": says("jobs left out that belong in"),
}
"""What a plan is paid for; all costs are for comparing only."""

BEST: Final = says("No plan of these visits costs less.")
NEAR: Final = says("No plan of these visits costs less by more than {} %.")
STOPS: Final = says("Stops: {}. The fewest that would do, each job in time: {}.")
UNPROVEN: Final = says("Nobody has looked whether a better one exists.")
EXPECTED: Final = says("due {} to {}")
DUE_ON: Final = says("due {}")
SAME: Final = says("Nothing changes.")
DEARER: Final = says("The plan gets dearer by {}: {}.")
ROOM: Final = says("there is room for it: look for the best plan")
CHEAPER: Final = says("The plan gets cheaper by {}: {}.")
MORE: Final = says("{} {} more")
LESS: Final = says("{} {} less")
DUE_NAME: Final = says("What falls due")
PLAN_NAME: Final = says("Workshop")
TRUCK: Final = says("Truck {}: {}")
METER: Final = says("The meter decides, never the date.")
KIT: Final = says("Parts to have there: {}.")
GUESSED: Final = says(
    "Bays, outside firms and the trucks the yard cannot spare have not been told: the plan reckons with none. Set them."
)
DECIDES: Final = says("The meter and the limits decide, never the plan; a competent person may always put a job first.")


class CardRow(msgspec.Struct, frozen=True):
    """One visit.

    Args:
        key: names it in forms.
        truck: its number.
        jobs: what is done, with the day it is due.
        minutes: with setting up.
        gauges: what is left of each service.
        parts: that have to come first.
        why: why it stands there.
        moved: the published plan has it elsewhere.
    """

    key: str
    truck: str
    jobs: tuple[str, ...]
    minutes: int
    gauges: tuple[Gauge, ...]
    parts: tuple[str, ...]
    why: tuple[str, ...]
    moved: bool


class CellRow(msgspec.Struct, frozen=True):
    """One mechanic in one shift.

    Args:
        who: the mechanic, by key.
        shift: its name.
        cards: his visits, in order.
        minutes: planned.
        room: there are, overtime left out.
        over: with overtime.
    """

    who: str
    shift: str
    cards: tuple[CardRow, ...]
    minutes: int
    room: int
    over: int


class DayRow(msgspec.Struct, frozen=True):
    """One day.

    Args:
        day: which.
        words: as people say it.
        cells: by mechanic and shift; nobody works: none.
    """

    day: date
    words: str
    cells: tuple[CellRow, ...]


class LeftRow(msgspec.Struct, frozen=True):
    """A job that is not in the plan.

    Args:
        truck: its number.
        job: what.
        due: it belongs in the plan.
        changes: for that, each a smallest change that would let it in; else when it has to be done.
        fits: where nothing has to change for it: why it is not in.
    """

    truck: str
    job: str
    due: bool
    changes: tuple[str, ...]
    fits: str = ""


class PlanPage(msgspec.Struct, frozen=True, kw_only=True):
    """A plan.

    Args:
        first: its first day.
        people: mechanics and firms by key, in order.
        days: all of them.
        left: what is not in it, what belongs in first.
        complaints: what cannot be in it.
        cost: what it is paid for, in whole units of money.
        sure: how near the best it is.
        guessed: what the plan reckons with because nobody has said.
        visits: all of it as a form sends it back.
        changes: what it does beside the plan it is held against.
        cautions: beside the work.
    """

    first: date
    people: dict[str, str]
    days: tuple[DayRow, ...]
    left: tuple[LeftRow, ...]
    complaints: tuple[str, ...]
    cost: tuple[tuple[str, str], ...]
    sure: str
    guessed: str
    visits: str
    changes: str
    cautions: tuple[str, ...]


class Naming(msgspec.Struct, frozen=True):
    """What ids are called.

    Args:
        texts: of jobs.
        names: of trucks, people and firms.
        today: beside which days are said.
        word: says a sentence in the reader's language.
    """

    texts: Mapping[str, str]
    names: Mapping[str, str]
    today: date
    word: Word

    def __call__(self, value: Value) -> str:
        """An id, a number or a day as people say it; amounts are cents only where `money` says them."""
        if isinstance(value, date):
            return near_day(value, self.today, self.word)
        if isinstance(value, str):
            truck, _, _ = value.partition(" ")
            text = self.texts.get(value)
            return f"{truck}, {text}" if text else self.names.get(value, value)
        return str(value)


def money(mills: int) -> str:
    """Mills as people write money, without a currency.

    Example:
        >>> money(1234567), money(-40)
        ('1,234.57', '-0.04')
    """
    return f"{mills / 1000:,.2f}"


def cost_rows(cost: Cost, word: Word = str) -> tuple[tuple[str, str], ...]:
    """What a plan is paid for, the dearest first; what costs nothing is left out.

    Args:
        cost: of a plan.
        word: says a word in the reader's language.
    """
    found = [(getattr(cost, name), word(text)) for name, text in COST.items()]
    return tuple((text, money(mills)) for mills, text in sorted(found, reverse=True) if mills)


def changes_words(before: Cost, after: Cost, word: Word = str) -> str:
    """What a change does, in words.

    Args:
        before: the cost of the plan it is held against.
        after: that of the plan it makes.
        word: says a sentence in the reader's language.
    """
    found = []
    for name, text in COST.items():
        more = getattr(after, name) - getattr(before, name)
        if more:
            found.append(word(MORE if more > 0 else LESS).format(word(text), money(abs(more))))
    if not found:
        return word(SAME)
    total = after.total - before.total
    return word(DEARER if total > 0 else CHEAPER).format(money(abs(total)), "; ".join(found))


def sure_words(plan: Fortnight, word: Word = str) -> str:
    """How near the best a plan is.

    Args:
        plan: which.
        word: says a sentence in the reader's language.
    """
    if plan.gap is None:
        return word(UNPROVEN)
    return word(BEST) if plan.gap < 5e-5 else word(NEAR).format(f"{100 * plan.gap:.2f}")


def stops_words(plan: Fortnight, jobs: Mapping[str, Job], room: Room, word: Word = str) -> str:
    """In how many stops a plan does what is in it, and how few would do; nothing of an empty plan.

    Args:
        plan: which.
        jobs: by id.
        room: whose days count.
        word: says a sentence in the reader's language.
    """
    inside = [jobs[job] for one in plan.placed for job in one.visit.jobs if job in jobs]
    return word(STOPS).format(len(plan.placed), least(inside, room)) if inside else ""


def plan_page(
    plan: Fortnight,
    checked: Checked,
    jobs: Sequence[Job],
    room: Room,
    *,
    whys: Sequence[Why],
    unmet: Sequence[Unmet],
    published: Sequence[Placed],
    naming: Naming,
    gauges: Mapping[str, Gauge],
    guessed: bool,
    held: Cost | None,
    visits: str,
) -> PlanPage:
    """A plan as people read it.

    Args:
        plan: which.
        checked: what the checker found.
        jobs: all there are.
        room: what there is to do them with.
        whys: why each visit stands where it does.
        unmet: what is not in it.
        published: the plan people go by.
        naming: what ids are called.
        gauges: of services, what is left.
        guessed: nobody has told bays, firms or needs.
        held: the cost of the plan it is held against; None: of none.
        visits: all of it as a form sends it back.
    """
    word, by_id = naming.word, {job.id: job for job in jobs}
    was = {job: (one.day, one.shift, one.mechanic) for one in published for job in one.visit.jobs}
    shown = _Shown(plan, room, by_id, was, {one.placed: one.sentences for one in whys}, naming, gauges)
    days = (date.fromordinal(room.first.toordinal() + at) for at in range(room.days))
    left = sorted((_left(one, by_id, naming, plan) for one in unmet), key=lambda row: (not row.due, row.truck, row.job))
    return PlanPage(
        first=room.first,
        people={one.id: naming(one.id) for one in room.mechanics},
        days=tuple(DayRow(day, near_day(day, naming.today, word), tuple(shown.cells(day))) for day in days),
        left=tuple(left),
        complaints=tuple(one.sentence.read(word, naming) for one in checked.complaints),
        cost=cost_rows(checked.cost, word),
        sure=f"{sure_words(plan, word)} {stops_words(plan, by_id, room, word)}".strip(),
        guessed=word(GUESSED) if guessed else "",
        visits=visits,
        changes="" if held is None else changes_words(held, checked.cost, word),
        cautions=(word(DECIDES), word(CAUTION)),
    )


def part_of(page: PlanPage, *, who: str | None = None, sees: Callable[[str], bool] | None = None) -> PlanPage:
    """What somebody sees of a plan.

    Args:
        page: all of it.
        who: only what this person does; None: what everybody does.
        sees: whether a truck, by its number, is his to see; None: every one. Who does not see all of them sees neither
            costs nor what else is in it.
    """

    def cells(day: DayRow) -> Iterator[CellRow]:
        for cell in day.cells:
            if who is not None and cell.who != who:
                continue
            if sees is None:
                yield cell
            elif cards := tuple(card for card in cell.cards if sees(card.truck)):
                minutes = sum(card.minutes for card in cards)
                yield msgspec.structs.replace(cell, cards=cards, minutes=minutes)

    part = msgspec.structs.replace(page, days=tuple(DayRow(day.day, day.words, tuple(cells(day))) for day in page.days))
    if sees is None:
        return part
    left = tuple(row for row in page.left if sees(row.truck))
    return msgspec.structs.replace(part, left=left, complaints=(), cost=(), visits="[]", changes="")


class _Shown(msgspec.Struct, frozen=True):
    """A plan with what its cards are made of."""

    plan: Fortnight
    room: Room
    jobs: Mapping[str, Job]
    was: Mapping[str, tuple[date, str, str]]
    reasons: Mapping[Placed, tuple[Sentence, ...]]
    naming: Naming
    gauges: Mapping[str, Gauge]

    def cells(self, day: date) -> Iterator[CellRow]:
        for stretch in self.room.stretches:
            if stretch.day == day:
                place = (day, stretch.shift, stretch.mechanic)
                own = (one for one in self.plan.placed if (one.day, one.shift, one.mechanic) == place)
                cards = tuple(self.card(one) for one in own)
                spent, whole = sum(one.minutes for one in cards), stretch.minutes + stretch.overtime
                yield CellRow(stretch.mechanic, stretch.shift, cards, spent, stretch.minutes, whole)

    def card(self, one: Placed) -> CardRow:
        own = [self.jobs[job] for job in one.visit.jobs if job in self.jobs]
        here = (one.day, one.shift, one.mechanic)
        return CardRow(
            key=f"{one.visit.truck}|{one.day.isoformat()}|{one.shift}|{one.mechanic}",
            truck=self.naming(one.visit.truck),
            jobs=tuple(_job(job, self.naming) for job in own),
            minutes=self.room.set_up + sum(job.minutes for job in own),
            gauges=tuple(self.gauges[job.id] for job in own if job.id in self.gauges),
            parts=tuple(part.name for job in own for part in job.parts),
            why=tuple(sentence.read(self.naming.word, self.naming) for sentence in self.reasons.get(one, ())),
            moved=any(job in self.was and self.was[job] != here for job in one.visit.jobs),
        )


def _job(job: Job, naming: Naming) -> str:
    text = naming(job.id).partition(", ")[2] or job.subject
    return f"{text} ({_due(job, naming)})"


def _due(job: Job, naming: Naming) -> str:
    word = naming.word
    if job.due.early == job.due.late:
        return word(DUE_ON).format(naming(job.due.about))
    return word(EXPECTED).format(naming(job.due.early), naming(job.due.late))


def _left(one: Unmet, jobs: Mapping[str, Job], naming: Naming, plan: Fortnight) -> LeftRow:
    job = jobs[one.job]
    if one.changes == ((Sentence(PAYS),),):
        fits = naming.word(ROOM if plan.gap is None else PAYS)
        return LeftRow(naming(job.truck), _job(job, naming), one.due, (), fits)
    changes = ("; ".join(sentence.read(naming.word, naming) for sentence in change) for change in one.changes)
    return LeftRow(naming(job.truck), _job(job, naming), one.due, tuple(changes))
