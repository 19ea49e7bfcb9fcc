"""Receive a sheet that a phone has sent: whoever signed it, whatever is wrong with it, nothing of it is lost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Future
from datetime import datetime, timedelta
from typing import Final, Literal

import msgspec

from dipmark.adapters.store import Appended, Blob, Device
from dipmark.derive.admit import admit, meter_problems
from dipmark.derive.meter import meters_of
from dipmark.derive.past import past
from dipmark.facts.base import FIRST, Accepted, BookId, Digest, Fact, FactId, Instant, PersonKey, Reading
from dipmark.facts.charging import Charged
from dipmark.facts.codec import accept, book_code, decode_body, fact_of, same_fact
from dipmark.facts.custody import HeldBy
from dipmark.facts.errors import Refused
from dipmark.facts.fault import Fault
from dipmark.facts.fitted import Fitted, Removed
from dipmark.facts.incident import Incident
from dipmark.facts.kinds import kind_of
from dipmark.facts.measure import ToppedUp
from dipmark.facts.meter import MeterRead
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.walk_round import WalkRound
from dipmark.office.access import Act, asker_of
from dipmark.office.items import is_item
from dipmark.office.open import Office
from dipmark.office.pictures import faults_of_picture
from dipmark.office.sheet_for_phone import Compiled
from dipmark.office.sign_in import proof_holds
from dipmark.views.compiled_sheet import in_ms, letter_of, place_asked, verdict
from dipmark.views.walk_round import CheckList

ENVELOPE_UNREADABLE: Final = code("envelope-unreadable", "What a phone sent cannot be read as a sheet.")
PROOF_WRONG: Final = code("proof-wrong", "A sheet from a phone was not signed with the PIN of the person it names.")
NOT_FROM_A_PHONE: Final = code("not-from-a-phone", "A phone sent a fact that is written at a desk only.")
NOT_HIS: Final = code("not-his-to-write", "The person who signed a sheet may not write what stands in it.")
ID_TWICE: Final = code("id-twice", "A phone sent a fact under the id of another one.")
VERDICT_DIFFERS: Final = code("verdict-differs", "The record gives another verdict than the phone did.")
LETTER_WRONG: Final = code("letter-wrong", "The letter read off the plate of a place is not the one that is there.")
PHOTO_MISSING: Final = code("photo-missing", "A fact names a picture that did not come with it.")
ITEM_UNKNOWN: Final = code("item-unknown", "What a phone says was hung or taken off has no book in the yard.")
CLOCK_OFF: Final = code("clock-off", "A phone's clock is not the yard's.")

MOST_BYTES: Final = 6_000_000
"""A sheet with its pictures is not larger."""

SKEW: Final = timedelta(minutes=2)
"""A phone's clock may be so far off before anybody is told."""

ACTS: Final[dict[type, Act]] = {
    WalkRound: "walk",
    Fault: "walk",
    MeterRead: "walk",
    HeldBy: "hold",
    Incident: "walk",
    Fitted: "walk",
    Removed: "walk",
    Charged: "walk",
    ToppedUp: "walk",
}
"""What a phone may send, and the act it is."""

Fate = Literal["taken", "known", "set-aside"]


class Picture(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A photo, made small on the phone."""

    media: str
    data: bytes


class Sent(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A fact as the phone made it."""

    id: FactId
    book: BookId
    happened: Instant
    body: msgspec.Raw


class Sheet(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What was signed.

    Args:
        made_from: digest of the compiled sheet.
        seq: number of the truck's book it was compiled at.
        facts: in their order.
    """

    made_from: Digest
    seq: int
    facts: tuple[Sent, ...]


class Envelope(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a phone sends.

    Args:
        person: who signed.
        proof: HMAC-SHA256 over the bytes of `sheet`, in hexadecimal.
        sent: the phone's clock as it sends.
        sheet: the text that was signed.
        pictures: those that its facts name.
    """

    person: PersonKey
    proof: str
    sent: Instant
    sheet: str
    pictures: tuple[Picture, ...] = ()


class Receipt(msgspec.Struct, frozen=True):
    """What became of one fact.

    Args:
        id: its id.
        fate: taken, known already, or set aside for the lead hand.
        problems: what stands against it, or is asked.
        phone: the phone's verdict.
        yard: the yard's own verdict on the same answers.
    """

    id: FactId
    fate: Fate
    problems: tuple[Problem, ...] = ()
    phone: str | None = None
    yard: str | None = None


class Received(msgspec.Struct, frozen=True):
    """The acknowledgement.

    Args:
        facts: a receipt for each.
        skew: how many seconds the phone's clock is ahead of the yard's; negative: behind.
    """

    facts: tuple[Receipt, ...]
    skew: int


class Weighed(msgspec.Struct, frozen=True):
    """A sheet looked at, and not written yet.

    Args:
        facts: all that came.
        new: those that are not in the record.
        judged: what stands against each of them, or is asked.
        write: as they are to be written, in one transaction with `blobs`.
        known: those that were there before.
        blobs: the pictures that may be kept.
        skew: how many seconds the phone's clock is ahead of the yard's.
    """

    facts: tuple[Fact, ...]
    new: tuple[Fact, ...]
    judged: dict[FactId, list[Problem]]
    write: dict[FactId, Fact]
    known: dict[FactId, Fact]
    blobs: tuple[Blob, ...]
    skew: int


def weigh(office: Office, compiled: Compiled, device: Device, data: bytes) -> Weighed:
    """Look at a sheet: who signed it, what fits, what the yard makes of it. Nothing is written.

    Args:
        office: the yard.
        compiled: the sheets compiled before.
        device: the phone.
        data: the envelope, JSON.

    Raises:
        Refused: it is no sheet at all; the phone keeps it and shows it.
        Paused: too many wrong PINs; the phone sends it again.
    """
    envelope, sheet, facts = _read(data)
    now = office.clock()
    there = {fact.id: item.fact for fact in facts if (item := office.store.fact(fact.id)) is not None}
    new = [fact for fact in facts if fact.id not in there or not same_fact(_as_sent(there[fact.id]), fact)]
    stranger = list(_stranger(office, envelope, device)) if new else []
    judged = {fact.id: [*stranger, *_may(office, fact)] for fact in new}
    pictures = {blob.digest: (blob, faults) for blob, faults in _pictures(office, envelope)}
    records = {book: office.book(book) for book in {fact.book for fact in facts}}
    for fact in new:
        judged[fact.id] += [_twice(fact)] if fact.id in there else admit(fact, None, records[fact.book], now)
    write = {}
    for fact in new:
        if not _hard(judged[fact.id]):
            record = records[fact.book]
            judged[fact.id] += _asked(office, envelope, fact, record, pictures, now)
            write[fact.id] = _looked_over(office, compiled, sheet.seq, fact, record, judged[fact.id])
    blobs = tuple(blob for blob, faults in pictures.values() if not faults)
    skew = round((envelope.sent - now).total_seconds())
    return Weighed(facts, tuple(new), judged, write, there, blobs, skew)


def written(done: Future[Appended]) -> tuple[Problem, ...]:
    """What the store had against a sheet that was handed to it; nothing where it is durable.

    What is no picture, or carries its position, was not among it; the fact that names it was.

    Args:
        done: of `Batch.submit`, finished.

    Raises:
        StoreError: nothing was written; the phone sends it again.
    """
    try:
        done.result()
    except Refused as fault:
        return fault.problems
    return ()


def settle(office: Office, weighed: Weighed, late: Sequence[Problem] = ()) -> Received:
    """Answer for a sheet once it is durable; what did not fit is set aside, and nothing of it is lost.

    Args:
        office: the yard.
        weighed: the sheet.
        late: what the store had against it; then none of it was written.
    """
    for fact in weighed.new:
        if late or fact.id not in weighed.write:
            weighed.judged[fact.id] += late
            office.store.set_aside(fact, weighed.judged[fact.id])
    kept = weighed.known | weighed.write
    receipts = (_receipt(kept.get(fact.id, fact), weighed.judged.get(fact.id)) for fact in weighed.facts)
    return Received(tuple(receipts), weighed.skew)


def _hard(problems: Sequence[Problem]) -> bool:
    return any(problem.hard for problem in problems)


def _read(data: bytes) -> tuple[Envelope, Sheet, tuple[Fact, ...]]:
    try:
        envelope = msgspec.json.decode(data, type=Envelope)
        sheet = msgspec.json.decode(envelope.sheet, type=Sheet)
        facts = tuple(
            _as_sent(fact_of(one.id, one.book, one.happened, envelope.person, decode_body(bytes(one.body))))
            for one in sheet.facts
        )
    except (msgspec.MsgspecError, ValueError) as fault:
        problem = Problem(ENVELOPE_UNREADABLE, str(fault), "a sheet of this program", "Show it to the lead hand.")
        raise Refused(problem.message, [problem]) from fault
    return envelope, sheet, facts


def _twice(fact: Fact) -> Problem:
    return Problem(ID_TWICE, "an id that another fact has", "an id of its own", "Ask who sent it.", _at(fact))


def _pictures(office: Office, envelope: Envelope) -> Iterator[tuple[Blob, tuple[Problem, ...]]]:
    """The pictures that came, each with what stands against keeping it."""
    for one in envelope.pictures:
        yield Blob(one.data, one.media), tuple(faults_of_picture(office, one.data, one.media))


def _stranger(office: Office, envelope: Envelope, device: Device) -> Iterator[Problem]:
    """What stands against whoever signed."""
    person = envelope.person
    if not proof_holds(office, person, envelope.sheet.encode(), envelope.proof, device.id):
        hint = f"It came from {device.name}. Ask him whether it is his."
        yield Problem(PROOF_WRONG, "a signature that is not his", "one made with his PIN", hint)


def _may(office: Office, fact: Fact) -> Iterator[Problem]:
    """Kinds of fact that a phone may send, and the role that each of them needs."""
    act, where = ACTS.get(type(fact.body)), _at(fact)
    if act is None:
        yield Problem(NOT_FROM_A_PHONE, kind_of(fact.body), "a sheet, a fault, who has the key", where=where)
        return
    asker = asker_of(office.yard, fact.by, fact.by)
    if isinstance(fact.body, Fitted | Removed) and not (is_item(fact.body.item) and office.book(fact.body.item)):
        hint = "Enrol it, then hang it."
        yield Problem(ITEM_UNKNOWN, fact.body.item, "an item with a book", hint, where)
    if asker is None or not asker.may(act) or not asker.sees(fact.book):
        found = "somebody who has left, or has no role" if asker is None else ", ".join(asker.roles)
        yield Problem(NOT_HIS, found, f"somebody who may: {act}", "See to his role, then write it for him.", where)


def _asked(
    office: Office,
    envelope: Envelope,
    fact: Fact,
    record: tuple[Accepted, ...],
    pictures: Mapping[str, tuple[Blob, tuple[Problem, ...]]],
    now: datetime,
) -> Iterator[Problem]:
    """What is taken and asked about all the same: hours, pictures, the letter of a plate, the phone's clock."""
    where, body = _at(fact), fact.body
    if isinstance(getattr(body, "meter", None), Reading) or isinstance(body, MeterRead):
        trial = (*record, accept(fact, now, len(record) + 1, FIRST))
        meters = meters_of(past(trial, max(item.effective for item in trial)), office.zone)
        yield from meter_problems(fact.book, meters, {fact.id})
    for digest in sorted(pictures_of(body)):
        if digest in pictures:
            for problem in pictures[digest][1]:
                yield msgspec.structs.replace(problem, where=where, hard=False)
        elif office.store.blob(digest) is None:
            found = f"photo {digest[:12]}… without itself"
            yield Problem(PHOTO_MISSING, found, "the photo", "Ask for it.", where, hard=False)
    if abs(envelope.sent - now) > SKEW:
        found = f"the phone's clock {envelope.sent.isoformat()}"
        hint = "What it wrote counts from its receipt where it is ahead. Set the phone's clock."
        yield Problem(CLOCK_OFF, found, f"the yard's {now.isoformat(timespec='seconds')}", hint, where, hard=False)


def pictures_of(body: object) -> set[str]:
    """The digests of the pictures that a body names."""
    named = {one.picture for one in getattr(body, "answers", ())} | {getattr(body, "picture", None)}
    more = (*getattr(body, "pictures", ()), *getattr(body, "pages", ()))
    return {digest for digest in (*named, *more) if digest is not None}


def _as_sent(fact: Fact) -> Fact:
    """A fact without what the yard adds to it as it comes in: no phone says that for the yard."""
    match fact.body:
        case WalkRound() as walk:
            return msgspec.structs.replace(fact, body=msgspec.structs.replace(walk, yard_verdict=None, doubts=()))
        case Incident() as hit:
            return msgspec.structs.replace(fact, body=msgspec.structs.replace(hit, seal=None))
    return fact


def _looked_over(
    office: Office,
    compiled: Compiled,
    seq: int,
    fact: Fact,
    record: tuple[Accepted, ...],
    problems: list[Problem],
) -> Fact:
    """A fact as it is written.

    A walk-round gets the yard's own verdict beside the phone's, and what is asked; a hit the seal of the book as the
    yard has it when the word of it comes in.
    """
    body = fact.body
    if isinstance(body, Incident) and record:
        seal = book_code(record[-1].seq, record[-1].digest)
        return msgspec.structs.replace(fact, body=msgspec.structs.replace(body, seal=seal))
    if not isinstance(body, WalkRound):
        return fact
    known, yard = record[:seq], None
    as_of = max([fact.happened, *(item.received for item in known[-1:])])  # it cannot have known of it before
    made = compiled.truck(office, fact.book, as_of, known=seq)
    if made is not None and made[1] is not None:
        problems += _letter(fact, body, made[1])
        yard = verdict(made[0], made[1], body, in_ms(fact.happened)).code
        if yard != body.verdict:
            found, expected = f"the phone's verdict {body.verdict}", f"{yard}, by the record as the phone had it"
            problems.append(
                Problem(VERDICT_DIFFERS, found, expected, "Hold to the stricter one.", _at(fact), hard=False)
            )
    doubts = tuple(problem.message for problem in problems)
    return msgspec.structs.replace(fact, body=msgspec.structs.replace(body, yard_verdict=yard, doubts=doubts))


def _receipt(fact: Fact, problems: Sequence[Problem] | None) -> Receipt:
    """What became of a fact; of a walk-round both verdicts."""
    fate: Fate = "known" if problems is None else "set-aside" if _hard(problems) else "taken"
    body = fact.body
    both = (body.verdict, body.yard_verdict) if isinstance(body, WalkRound) else (None, None)
    return Receipt(fact.id, fate, tuple(problems or ()), *both)


def _letter(fact: Fact, walk: WalkRound, asked: CheckList) -> Iterator[Problem]:
    """The letter on the plate of the place that had its turn that day says that somebody stood there."""
    place = place_asked(fact.book, asked, fact.happened.date())
    if walk.letter is not None and walk.letter != letter_of(fact.book, place):
        expected = "the letter that is there"  # the phone is told, and whoever holds it shall go and look
        yield Problem(LETTER_WRONG, f"letter {walk.letter} at {place}", expected, "", _at(fact), hard=False)


def _at(fact: Fact) -> Where:
    return Where(book=fact.book, fact=fact.id)
