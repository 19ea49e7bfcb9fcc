"""The legal examinations of a truck: which the yard's country asks for, what proves the last one, when it lapses."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date, datetime, tzinfo
from typing import Final

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.called import HARMS
from dipmark.derive.days import add_months, local_day
from dipmark.derive.due import Due, DueState
from dipmark.derive.past import Counted, Counting
from dipmark.facts.document import Document
from dipmark.facts.incident import Incident
from dipmark.facts.said import Word, says
from dipmark.rules.duty import About, Duty
from dipmark.rules.model import Rules

NOTICE: Final = 1
"""Months before its last day from which an examination may be asked for. Common practice, no source."""

PROVES: Final = frozenset({"examination", "certificate"})
"""The papers that prove an examination; a job sheet or a letter does not. Common practice, no source."""

UNFIT: Final = "us-178-p1"

NOT_FIT: Final = says(
    "{} of {}: the examiner says it is not fit. To be put right and examined again; a report that it is fit clears it."
)
HARMED: Final = says("{} of {}, and on {} something happened that may have harmed it")
NO_PROOF: Final = says("no proof of it is in the record")
HOLDS: Final = says("{} of {} holds to {}, {}")
HELD: Final = says("{} of {} held to {}, {}")
EXAMINERS: Final = says("the examiner's date")
MONTHS: Final = says("{} months")
EXAMINE: Final = says("{}: {}. To be examined by {}; the report, filed with its date, clears it.")


class Proof(msgspec.Struct, frozen=True):
    """The last paper that proves a duty.

    Args:
        item: the paper's fact.
        title: as printed on it.
        day: the day of the examination.
        last: the last day it holds; None where neither the law nor the examiner sets one.
        examiner: True where the examiner's date comes before the law's.
    """

    item: Counted
    title: str
    day: date
    last: date | None
    examiner: bool


class DutyNow(msgspec.Struct, frozen=True):
    """One duty of one truck.

    Args:
        duty: what the law asks for.
        due: when it falls due, as a row of the due list.
        stops: why it keeps the truck out of service; None: it does not.
    """

    duty: Duty
    due: Due
    stops: Because | None = None


def duties_now(
    counting: Counting,
    kind: str,
    has: Collection[str],
    rules: Rules,
    country: str | None,
    as_of: datetime,
    zone: tzinfo,
    about: About = "truck",
) -> tuple[DutyNow, ...]:
    """The legal examinations of a truck that fall on a day, in the order of the rules.

    What is done before each shift is the walk-round's, and what is about drivers or items is theirs. A duty without a
    fixed rhythm is counted once a paper sets a date.

    Args:
        counting: the truck's record; a report or certificate proves a duty by a line that names it.
        kind: key of its kind.
        has: its options and uses.
        rules: of today.
        country: the yard's; None: no legal duty is known.
        as_of: the instant.
        zone: the yard's.
        about: ``item`` where the record is an item's.

    *Edge*: on its last day a proof still holds and the duty is `due`; from the next midnight it is late, and the truck
    out of service where the law asks for the proof. An examiner's date counts as written where it is the earlier one;
    a later one never moves the law's. Where the duty asks for it, what may have harmed the truck ends every proof made
    before it; of one day the later written is the later.
    *Source*: of each duty; month ends as in `days.add_months`.
    """
    today = local_day(as_of, zone)
    found = [
        _duty(duty, counting, duty.months(kind, has), today, zone, rules.word)
        for duty in rules.examinations(country, about)
        if duty.trucks.hold(kind, has)
    ]
    return tuple(one for one in found if one is not None)


def unfit_by(counting: Counting, zone: tzinfo, word: Word = str) -> tuple[Because, ...]:
    """Examiners' words that the truck is not fit, whatever the country; a later word that it is, on the same, ends one.

    Args:
        counting: the truck's record.
        zone: the yard's.
        word: says a sentence in the reader's language.

    *Edge*: of two reports of one day the later written is the later.
    *Source*: 29 CFR 1910.178(p)(1); in Great Britain regulation 10 of LOLER 1998.
    """
    words = sorted(
        (
            (paper_day(one, one.body, zone), one.order, one, one.body)
            for one in counting
            if isinstance(one.body, Document)
        ),
        key=lambda word: word[:2],
    )
    unfit: list[tuple[Counted, Document]] = []
    for *_, one, paper in words:
        if paper.what == "examination" and paper.fit is not None:
            unfit = [(before, old) for before, old in unfit if not duties_of(old) <= duties_of(paper)]
            if not paper.fit:
                unfit.append((one, paper))
    return tuple(
        Because(
            word(NOT_FIT).format(paper.title, paper_day(one, paper, zone).isoformat()),
            "duty.unfit",
            UNFIT,
            (one.id,),
        )
        for one, paper in unfit
    )


def duties_of(paper: Document) -> set[str]:
    """The duties that a paper's lines name, by id.

    Args:
        paper: any.
    """
    return {line.duty for line in paper.lines if line.duty is not None}


def paper_day(one: Counted, paper: Document, zone: tzinfo) -> date:
    """The day a paper is of, such as that of the examination: as it says, never after it was filed.

    Args:
        one: the paper's fact.
        paper: what it says.
        zone: the yard's.
    """
    return min(one.day(zone), paper.valid_from or date.max)


def _duty(duty: Duty, counting: Counting, months: int | None, today: date, zone: tzinfo, word: Word) -> DutyNow | None:
    harm = max(_harms(duty, counting), key=lambda one: one.order, default=None)
    proof = max(_proofs(duty, counting, months, zone), key=lambda one: (one.day, one.item.order), default=None)
    rule = f"duty.{duty.id}"
    if proof is None:
        because = Because(word(NO_PROOF), rule, duty.source)
        return None if months is None else DutyNow(duty, Due(duty.id, "unknown", because), _stops(duty, because, word))
    if harm is not None and not _after(proof, harm, zone):
        return _again(duty, proof, harm, zone, word)
    if proof.last is None:
        return None
    opens = add_months(proof.last, -NOTICE)
    state = _place(today, opens, proof.last)
    why = word(EXAMINERS) if proof.examiner else word(MONTHS).format(months)
    holds = word(HELD if state == "late" else HOLDS)
    text = holds.format(proof.title, proof.day.isoformat(), proof.last.isoformat(), why)
    because = Because(text, rule, duty.source, (proof.item.id,))
    due = Due(duty.id, state, because, day=proof.last, opens_day=opens, latest_day=proof.last, last=proof.item.id)
    return DutyNow(duty, due, _stops(duty, because, word) if state == "late" else None)


def _harms(duty: Duty, counting: Counting) -> Iterator[Counted]:
    """What may have harmed the truck, where the duty asks for an examination then."""
    if duty.after_harm:
        yield from (one for one in counting if isinstance(one.body, Incident) and one.body.what in HARMS)


def _after(proof: Proof, harm: Counted, zone: tzinfo) -> bool:
    """Whether an examination was made after a hit; of one day the later written is the later."""
    return (proof.day, proof.item.order) > (harm.day(zone), harm.order)


def _again(duty: Duty, proof: Proof, harm: Counted, zone: tzinfo, word: Word) -> DutyNow:
    """The last proof is older than what may have harmed the truck."""
    day = harm.day(zone)
    text = word(HARMED).format(proof.title, proof.day.isoformat(), day.isoformat())
    because = Because(text, f"duty.{duty.id}", duty.source, (proof.item.id, harm.id))
    due = Due(duty.id, "late", because, day=day, opens_day=day, latest_day=day, last=proof.item.id)
    return DutyNow(duty, due, _stops(duty, because, word))


def _proofs(duty: Duty, counting: Counting, months: int | None, zone: tzinfo) -> Iterator[Proof]:
    """Every report and certificate with a line that names the duty."""
    for one in counting:
        paper = one.body
        if isinstance(paper, Document) and paper.what in PROVES and duty.id in duties_of(paper):
            day = paper_day(one, paper, zone)
            law = add_months(day, months) if months else None
            lines = [line.until for line in paper.lines if line.duty in (None, duty.id) and not line.answered]
            dates = [until for until in (law, paper.valid_until, *lines) if until is not None]
            last = min(dates, default=None)
            yield Proof(one, paper.title, day, last, last != law)


def _place(today: date, opens: date, last: date) -> DueState:
    if today < opens:
        return "later"
    if today < last:
        return "open"
    return "due" if today == last else "late"


def _stops(duty: Duty, because: Because, word: Word) -> Because | None:
    """Out of service, with the way out of it, where the duty says so."""
    if duty.when_lapsed != "out-of-service":
        return None
    who = duty.who[0].lower() + duty.who[1:]
    text = word(EXAMINE).format(word(duty.name), because.text, who)
    return msgspec.structs.replace(because, text=text)
