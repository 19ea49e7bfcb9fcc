"""The sheet as data for a phone: how a truck stands, what its open faults and hours weigh; and the verdict.

The yard compiles; the phone looks up, compares whole numbers and takes the worst. `verdict` here and `verdict.js` on
the phone are the same lines, and a test holds them equal.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from datetime import date, datetime, tzinfo
from decimal import Decimal
from functools import cache, partial
from itertools import pairwise
from typing import Final

import msgspec

from dipmark.derive.faults import FaultNow
from dipmark.derive.like import like_of
from dipmark.derive.measures import measures_now
from dipmark.derive.meter import micros
from dipmark.derive.past import Counted, Counting
from dipmark.derive.state import StateCode, WalkDone, state_now
from dipmark.derive.truck import TruckNow
from dipmark.facts.amend import PlainBody
from dipmark.facts.base import FIRST, UNNAMED, YARD, Accepted, BookId, Digest, Fact, FactId, FaultRef, PersonKey
from dipmark.facts.measure import Measured
from dipmark.facts.said import Word
from dipmark.facts.truck import PlateRead
from dipmark.facts.walk_round import Answer, WalkRound
from dipmark.facts.work import Worked
from dipmark.rules.model import Kind, Rules
from dipmark.views.walk_round import (
    CHECKED,
    HOURS,
    OUT,
    PLACES,
    STATES,
    UNCHECKED,
    WEIGHT,
    CheckList,
    CheckRow,
    Cuts,
    whole,
)
from dipmark.views.words import SERIOUSNESS
from dipmark.views.yard import state_words

FATES: Final = ("same", "worse", "gone")
"""What has become of an open fault, in the order of `FaultRow.ranks`."""

BEFORE: Final = ("shift", "full", "after-hit")
"""The sheets that make a truck checked; the others lean on the walk-round before them."""

LETTERS: Final = "ABCDEFGHJKLMNPRSTUVWXYZ"
"""What may stand on the small plate of a place: no letter that is taken for a number."""

VALUES: Final = 2
"""Values asked a day, beside the hour meter. Common practice, no source: one or two, changing."""

TENTHS: Final = 1
"""Digits after the point of a value asked for: no gauge on a truck shows more."""

LARGEST: Final = 15
"""Values asked for are tried up to 2 to the power of one less, in tenths."""

TRIAL: Final = FactId("00000000-0000-7000-8000-000000000000")
"""Stands for a reading that nobody has made."""


class Start(msgspec.Struct, frozen=True):
    """How the truck stands before the sheet: cards, services and examinations, nothing that the sheet asks.

    Args:
        rank: of that state.
        reasons: why.
        until: ms since 1970 from which it may be worse; None: never by itself.
        covered: ms since 1970 until which the last walk-round covers; None: it does not.
    """

    rank: int
    reasons: tuple[str, ...]
    until: int | None
    covered: int | None


class FaultRow(msgspec.Struct, frozen=True):
    """An open fault.

    Args:
        ref: its reference.
        text: what was seen.
        words: how serious, for people.
        by: who reported it.
        since: ms since 1970 since when.
        ranks: of the state it leads to, while the same, worse or gone.
        due: ms since 1970 at which its last day has ended; None: it has no deadline.
    """

    ref: FaultRef
    text: str
    words: str
    by: str
    since: int
    ranks: tuple[int, int, int]
    due: int | None


class MeterRow(msgspec.Struct, frozen=True):
    """The meter that is asked: its name, what it showed last and when (ms since 1970), where its hours tip."""

    name: str
    last: str | None
    read: int | None
    cuts: Cuts | None


class Sheet(msgspec.Struct, frozen=True):
    """One truck for a phone.

    Args:
        truck: its number.
        book: its book.
        kind: key of its kind.
        kind_text: its kind for people.
        place: where it works.
        list: id of its `CheckList`; None where its kind has no rules.
        rules: digest of the rules.
        seq: last number of its book.
        digest: of rules and number: what the sheet was made from.
        state: code of its state.
        words: its state for people.
        free: its key hangs.
        lock: who is working on it.
        cards: the cards that hang.
        start: how it stands before the sheet.
        faults: what is open.
        meter: the meter that is asked.
        cuts: where the values asked for tip, by check; a value that nothing limits is not there.
        turn: which place and values are asked first.
        like: equal on trucks that stand in for one another; empty: not known.
    """

    truck: str
    book: BookId
    kind: str
    kind_text: str
    place: str | None
    list: str | None
    rules: Digest
    seq: int
    digest: Digest
    state: StateCode
    words: str
    free: bool
    lock: str | None
    cards: tuple[str, ...]
    start: Start
    faults: tuple[FaultRow, ...]
    meter: MeterRow
    cuts: dict[str, Cuts]
    turn: int
    like: str


class Verdict(msgspec.Struct, frozen=True):
    """What the sheet says of the truck: the code of its state, and what it rests on; nothing where all is in order."""

    code: StateCode
    why: tuple[str, ...]


def verdict(sheet: Sheet, asked: CheckList, walk: WalkRound, now: int, celsius: int = 0) -> Verdict:
    """The verdict of a walk-round: look up, compare whole numbers, take the worst.

    Args:
        sheet: the truck.
        asked: its list.
        walk: what was answered.
        now: ms since 1970.
        celsius: °C, where a value depends on it.

    *Edge*: at the very instant a deadline or a cover ends it has ended.
    """
    start, fates = sheet.start, {one.fault: one.now for one in walk.open_faults}
    answers = {one.check: one for one in walk.answers}
    stale = start.until is not None and now >= start.until
    found = [("start", max(start.rank, UNCHECKED if stale else CHECKED))]
    if walk.sheet not in BEFORE:
        found.append(("cover", CHECKED if start.covered is not None and now < start.covered else UNCHECKED))
    for fault in sheet.faults:
        rank = fault.ranks[FATES.index(fates.get(fault.ref, "same"))]
        found.append((fault.ref, OUT if fault.due is not None and now >= fault.due else rank))
    for check in asked.checks(walk.sheet):
        answer = answers.get(check.id)
        found.append((check.id, _weight(check, answer, walk.sheet, sheet.cuts.get(check.id), celsius)))
    if walk.meter is not None and sheet.meter.cuts is not None:
        found.append(("meter", sheet.meter.cuts.rank(walk.meter.hours)))
    worst = max(rank for _, rank in found)
    return Verdict(STATES[worst], tuple(what for what, rank in found if rank == worst > CHECKED))


def _weight(check: CheckRow, answer: Answer | None, sheet: str, cuts: Cuts | None, celsius: int) -> int:
    """The rank of one answer: what was found and what was read, the worse of both."""
    if answer is None or answer.mark == "unseen":
        return UNCHECKED if check.must and sheet in BEFORE else CHECKED
    rank = cuts.rank(answer.value, celsius) if answer.value is not None and cuts is not None else CHECKED
    if answer.mark == "ok":
        return rank
    named = next((one for one in check.symptoms if one.id == answer.symptom), None)
    if named is not None and named.fix is not None and answer.put_right is not None:
        return rank if rank == OUT else CHECKED
    return max(rank, (named or check.symptoms[check.worst]).rank)


def compiled_sheet(
    truck: TruckNow,
    rules: Rules,
    names: Mapping[PersonKey, str],
    as_of: datetime,
    zone: tzinfo,
    asked: CheckList | None,
) -> Sheet:
    """Compile one truck.

    Args:
        truck: as it stands.
        rules: of today, in the language of the phone.
        names: of people, by key.
        as_of: the instant it was derived for.
        zone: the yard's.
        asked: its list; None where its kind has no rules.
    """
    kind, lock = rules.kind(truck.enrolled.what), next(iter(truck.locks), None)
    seq = max(one.item.seq for one in truck.counting)
    return Sheet(
        truck=truck.name,
        book=truck.book,
        kind=truck.enrolled.what,
        kind_text=kind.text if kind else truck.enrolled.what,
        place=truck.held.what.place if truck.held and truck.held.what.place else truck.enrolled.place,
        list=None if asked is None else asked.id,
        rules=rules.digest,
        seq=seq,
        digest=hashlib.sha256(f"{rules.digest}:{seq}".encode()).hexdigest(),
        state=truck.state.code,
        words=state_words(truck, names, zone, rules.word),
        free=truck.held is None or truck.held.what.who == "yard",
        lock=None if lock is None else names.get(lock.by, lock.by),
        cards=tuple(card.text for card in truck.cards),
        start=_start(truck, kind, as_of, zone, rules.word),
        faults=tuple(_fault(fault, rules, names) for fault in truck.faults if fault.open),
        meter=_meter(truck, kind),
        cuts={} if kind is None or asked is None else dict(_cuts(truck, rules, kind, asked, as_of, zone)),
        turn=turn_of(truck.book),
        like=like_of(truck, kind),
    )


def _start(truck: TruckNow, kind: Kind | None, as_of: datetime, zone: tzinfo, word: Word) -> Start:
    """The state without faults and walk-round: only services that change the state when late, and examinations."""
    ends = {service.id for service in kind.services if service.state_when_late} if kind else set()
    dues = (*(due for due in truck.dues if due.service in ends), *(one.due for one in truck.duties))
    fresh = WalkDone(fact=truck.counting[0].id, by="", done=as_of, until=datetime.max.replace(tzinfo=zone), missing=())
    state = state_now(kind, fresh, (), truck.cards, dues, as_of, zone, truck.barred, word)
    rank, walk = STATES.index(state.code), truck.walk
    until = None if state.holds_until in {None, fresh.until} else state.holds_until
    return Start(
        rank=rank,
        reasons=tuple(because.text for because in state.reasons) if rank else (),
        until=_ms(until),
        covered=_ms(walk.until) if walk is not None and not walk.missing else None,
    )


def _fault(fault: FaultNow, rules: Rules, names: Mapping[PersonKey, str]) -> FaultRow:
    weight = OUT if fault.stops else WEIGHT[fault.seriousness]
    return FaultRow(
        ref=fault.ref,
        text=fault.text,
        words=rules.word(SERIOUSNESS[fault.seriousness]),
        by=names.get(fault.by, fault.by),
        since=in_ms(fault.since),
        ranks=(weight, OUT, weight),
        due=_ms(fault.due),
    )


def _meter(truck: TruckNow, kind: Kind | None) -> MeterRow:
    """The first meter; where its hours make a service late that changes the state, its reading tips the verdict."""
    life = truck.meters[0]
    if not life.good:
        return MeterRow(life.name, None, None, None)
    last, tips = life.good[-1], {}
    for due in truck.dues:
        service = kind.service(due.service) if kind and due.service else None
        if service is not None and service.state_when_late and due.latest is not None and due.now == life.hours:
            shown = due.latest - last.hours + last.shown
            tips[whole(shown, PLACES) + 1] = STATES.index(service.state_when_late)
    return MeterRow(life.name, f"{last.shown:f}", last.end // 1000, _rising(tips))


def _cuts(
    truck: TruckNow, rules: Rules, kind: Kind, asked: CheckList, as_of: datetime, zone: tzinfo
) -> Iterator[tuple[str, Cuts]]:
    """Where each value asked for tips: made-up readings are judged as the record would judge them.

    They are tried at rising values, each twice the one before; between two that differ the edge is sought.
    """
    for check in asked.checks("full"):
        if check.asked is None or check.asked.quantity == HOURS:
            continue
        record = tuple(one for one in truck.counting if _bears_on(one.body, check.id, check.asked.quantity))
        rank = cache(partial(_rank_of, record, rules, kind, zone, as_of, check))
        tried = (0, *(1 << power for power in range(LARGEST)))
        edges = tuple(edge for low, high in pairwise(tried) for edge in _edges(rank, low, high))
        if edges:
            yield check.id, Cuts(at=(edges,), ranks=(rank(0), *map(rank, edges)), places=TENTHS)


def _bears_on(body: PlainBody, check: str, quantity: str) -> bool:
    """Whether a fact can say anything about a value: what the plate asks, earlier readings, what was renewed."""
    if isinstance(body, WalkRound):
        return any(answer.check == check and answer.value is not None for answer in body.answers)
    return body.subject == quantity if isinstance(body, Measured) else isinstance(body, PlateRead | Worked)


def _edges(rank: Callable[[int], int], low: int, high: int) -> Iterator[int]:
    """The values above `low`, up to `high`, from which another rank holds; none where both have the same."""
    if rank(low) == rank(high):
        return
    if high - low == 1:
        yield high
        return
    middle = (low + high) // 2
    yield from _edges(rank, low, middle)
    yield from _edges(rank, middle, high)


def _rank_of(
    record: tuple[Counted, ...], rules: Rules, kind: Kind, zone: tzinfo, as_of: datetime, check: CheckRow, value: int
) -> int:
    """The rank of a value, in tenths, if it were read now."""
    unit = None if check.asked is None else check.asked.unit
    body = WalkRound(answers=(Answer(check=check.id, value=Decimal(value).scaleb(-TENTHS), unit=unit),))
    fact = Fact(id=TRIAL, book=YARD, happened=as_of, by=UNNAMED, body=body)
    item = Accepted(fact=fact, received=as_of, seq=0, prev=FIRST, digest=FIRST)
    trial = Counted(item, body, as_of, whole_day=False, by=UNNAMED, effective=as_of)
    measures = measures_now(Counting((*record, trial)), rules, kind, zone)
    return max((WEIGHT[one.seriousness] for one in measures if one.fact == TRIAL and one.seriousness), default=CHECKED)


def _rising(tips: Mapping[int, int]) -> Cuts | None:
    """Cut points in rising order, each band at least as serious as the one below it."""
    ranks = [CHECKED]
    for cut in sorted(tips):
        ranks.append(max(ranks[-1], tips[cut]))
    return Cuts(at=(tuple(sorted(tips)),), ranks=tuple(ranks)) if tips else None


def _ms(instant: datetime | None) -> int | None:
    return None if instant is None else in_ms(instant)


def in_ms(instant: datetime) -> int:
    """An instant in whole ms since 1970, as a phone counts.

    Args:
        instant: with its offset.
    """
    return micros(instant) // 1000


def letter_of(book: BookId, place: str) -> str:
    """The letter on the small plate of a place: fixed for a truck, so that the plate can be screwed on.

    Args:
        book: the truck's.
        place: id of the place.
    """
    return LETTERS[hashlib.sha256(f"{book}#{place}".encode()).digest()[0] % len(LETTERS)]


def turn_of(book: BookId) -> int:
    """Which place and which values are asked of a truck first, so that not all trucks ask the same on one day.

    Args:
        book: the truck's.
    """
    return int.from_bytes(hashlib.sha256(book.encode()).digest()[:4], "big")


def place_asked(book: BookId, asked: CheckList, day: date) -> str:
    """The place whose letter is asked on a day; each place of the shift's list has its turn.

    Args:
        book: the truck's.
        asked: its list.
        day: the local day.
    """
    places = [place.id for place in asked.places if any("shift" in check.lists for check in place.checks)]
    return places[_turn(turn_of(book), day) % len(places)]


def values_asked(sheet: Sheet, asked: CheckList, day: date, of: str = "shift") -> tuple[str, ...]:
    """The checks whose value is asked on a day, `VALUES` at most; the hour meter is asked every time, and not here.

    Args:
        sheet: the truck.
        asked: its list.
        day: the local day.
        of: which of the sheets.
    """
    checks = [one.id for one in asked.checks(of) if one.asked is not None and one.asked.quantity != HOURS]
    first = _turn(sheet.turn, day)
    return tuple(dict.fromkeys(checks[(first + one) % len(checks)] for one in range(VALUES) if checks))


def _turn(first: int, day: date) -> int:
    return first + day.toordinal() - date(1970, 1, 1).toordinal()
