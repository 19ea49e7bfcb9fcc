"""Who has had a truck, and who owed each duty and service, at any minute."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, tzinfo
from decimal import Decimal
from typing import Final, Literal

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.days import day_end, local_day
from dipmark.derive.due import WALK_ROUND, Due
from dipmark.derive.meter import MeterLife
from dipmark.derive.past import Counted, Counting
from dipmark.facts.base import FactId, PersonKey
from dipmark.facts.custody import HeldBy
from dipmark.facts.said import Word, says
from dipmark.facts.truck import Enrolled, Retired

PRACTICE: Final = "practice"

AWAY: Final = frozenset({"hired-out", "other-site"})
"""Where a truck is not in the yard."""

OVERDUE: Final = {
    "hired-in": says("Hired in until {}, and still here, {} days over. Give it back, or have the hire made longer."),
    "hired-out": says("Hired out until {}, and not back, {} days over. Ask for it."),
    "other-site": says("At another site until {}, and not back, {} days over. Ask for it."),
}
RAN_OVER: Final = says("It ran at least {} h after that day.")


class Span(msgspec.Struct, frozen=True):
    """A time in which one had the truck.

    Args:
        start: since when; the instant itself belongs to it.
        end: until when, that instant no longer; None: it lasts.
        held: what was said; None: nobody has said, so it is the yard's.
        agreed: the hire or loan that lasts meanwhile; None: none does.
        fact: where that was agreed.
    """

    start: datetime
    end: datetime | None = None
    held: HeldBy | None = None
    agreed: HeldBy | None = None
    fact: FactId | None = None

    def holds(self, instant: datetime) -> bool:
        """Whether an instant lies in it."""
        return self.start <= instant and (self.end is None or instant < self.end)


class Owes(msgspec.Struct, frozen=True):
    """Who owes a duty or a service.

    Args:
        who: the yard, the firm that is named, or the driver with the key.
        firm: which.
        person: which.
    """

    who: Literal["yard", "firm", "driver"]
    firm: str | None = None
    person: PersonKey | None = None


def spans_of(counting: Counting) -> tuple[Span, ...]:
    """Who has had a truck, from its enrolment to the day it left, without gap or overlap; anew where it came back.

    Args:
        counting: the truck's record.

    Returns:
        In order; none where it was not enrolled.

    A truck hired in stays so whoever takes its key, until it leaves or is hired in anew; one hired out or at another
    site stays so until it is back on its hook or laid up. Hired out while it is hired in, it is hired in again after.

    *Edge*: at the instant of a word on it the new holder has it; of two words of one instant the later by id.
    """
    spans: list[Span] = []
    here = False
    came: Counted | None = None
    went: Counted | None = None
    for one in counting:
        if isinstance(one.body, Enrolled) and not here:
            here, came, went = True, None, None
            spans.append(Span(one.effective))
        if not here or not isinstance(one.body, HeldBy | Retired):
            continue
        before = spans.pop()
        when = max(one.effective, before.start)
        if before.start < when:
            spans.append(msgspec.structs.replace(before, end=when))
        if isinstance(one.body, Retired):
            here = False
            continue
        if one.body.who == "hired-in":
            came, went = one, None
        elif one.body.who != "driver":
            went = one if one.body.who in AWAY else None
        agreed = went or came
        terms = agreed.body if agreed is not None and isinstance(agreed.body, HeldBy) else None
        spans.append(Span(when, None, one.body, terms, None if agreed is None else agreed.id))
    return tuple(spans)


def held_at(spans: Iterable[Span], instant: datetime) -> Span | None:
    """Who had it at an instant; None before it was enrolled and after it left."""
    return next((one for one in spans if one.holds(instant)), None)


def owes(spans: Iterable[Span], what: str, instant: datetime) -> Owes | None:
    """Who owed a duty or a service of a truck at an instant: just one at every minute between coming and leaving.

    What was agreed with a firm is the firm's while it lasts; the walk-round is his who has the key; all else is the
    yard's, wherever the truck stands.

    Args:
        spans: of `spans_of`.
        what: id of the duty or service.
        instant: any.

    *Source*: 29 CFR 1910.178(q)(7): examined before it is placed in service; who does it is common practice.
    """
    span = held_at(spans, instant)
    if span is None:
        return None
    held, agreed = span.held, span.agreed
    if held is not None and held.who == "driver" and what == WALK_ROUND:
        return Owes("driver", person=held.person)
    if agreed is not None and agreed.firm is not None and what in agreed.owes:
        return Owes("firm", firm=agreed.firm)
    return Owes("yard")


def off_hire(
    spans: Sequence[Span], meters: Sequence[MeterLife], as_of: datetime, zone: tzinfo, word: Word = str
) -> Because | None:
    """A hired or lent truck past the day that was agreed, and the hours it has surely run since.

    Args:
        spans: of `spans_of`.
        meters: the truck's hour meters.
        as_of: the instant.
        zone: the yard's.
        word: says a sentence in the reader's language.

    *Edge*: the day agreed still belongs to the hire.
    *Source*: common practice, no source.
    """
    now = held_at(spans, as_of)
    if now is None or now.agreed is None or now.agreed.until is None:
        return None
    until, over = now.agreed.until, (local_day(as_of, zone) - now.agreed.until).days
    if over <= 0:
        return None
    text = word(OVERDUE[now.agreed.who]).format(until.isoformat(), over)
    end = day_end(until, zone)
    ran = max((_since(life, end) for life in meters), default=Decimal(0))
    if ran > 0:
        text = f"{text} {word(RAN_OVER).format(f'{ran:f}')}"
    return Because(text, "custody.until", PRACTICE, () if now.fact is None else (now.fact,))


def _since(life: MeterLife, instant: datetime) -> Decimal:
    sure = life.sure_at(instant)
    return Decimal(0) if sure is None or life.hours is None else max(life.hours - sure.high, Decimal(0))


def fell_due(spans: Sequence[Span], dues: Iterable[Due], as_of: datetime) -> tuple[Due, ...]:
    """What fell due while a truck was laid up and waits for the day it is woken; nothing where it is not laid up.

    Args:
        spans: of `spans_of`.
        dues: its services and examinations.
        as_of: the instant.
    """
    now = held_at(spans, as_of)
    if now is None or now.held is None or now.held.who != "laid-up":
        return ()
    return tuple(one for one in dues if one.state in {"due", "late", "unknown"})
