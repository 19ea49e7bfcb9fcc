"""May this driver drive this kind of truck? Judged apart from the truck's own state."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, tzinfo
from typing import Final

import msgspec

from dipmark.derive.because import Because
from dipmark.derive.days import add_months, local_day
from dipmark.derive.faults import INCIDENT
from dipmark.derive.past import Counted, Counting
from dipmark.facts.base import FactId, PersonKey
from dipmark.facts.incident import Incident
from dipmark.facts.people import Permit, PersonSet
from dipmark.facts.said import Word, says
from dipmark.rules.model import Rules

EVALUATED: Final = 36
"""Months for which an evaluation holds at most; a country or a yard may set fewer. 29 CFR 1910.178(l)(4)(iii)."""

L: Final = "us-178-l"
L4: Final = "us-178-l4"
REFRESHER: Final = "us-178-l4-refresher"
L6: Final = "us-178-l6"

NO_PERMIT: Final = says("Not you: no permit for {} is in the record. Ask the lead hand.")
NOT_YOU: Final = says("Not you: {}. Ask the lead hand.")
GONE: Final = says("he has left the yard")
WITHDRAWN: Final = says("the permit was withdrawn: {}")
ENDED: Final = says("the permit ended on {}")
DAY_CARD: Final = says("the day card has ended with its shift")
NO_TRAINING: Final = says("no completed training is in the record")
NO_EVALUATION: Final = says("no evaluation is in the record")
OVER: Final = says("the evaluation of {} held to {}")
LEARNING: Final = says("Learning {}: only with the named trainer beside you")
EVALUATED_ON: Final = says("Evaluated on {}, holds to {}")
NOT_NAMED: Final = says("Who trained or evaluated him is not named on his certificate: add it")
REFRESH: Final = says("{} on {}: a refresher and a new evaluation")


class DriverNow(msgspec.Struct, frozen=True):
    """A driver and a kind of truck at an instant.

    Args:
        may: True where he may drive it; False: *not you*, whatever the truck's state.
        reasons: why, and what would change it; at least one.
        asks: what is wanted of the yard whether or not he may drive: a refresher, a name missing on his certificate.
        under: the trainer who must be with him; None: he drives alone or not at all.
        until: the last day it holds; None: no day is set, or he may not.
        ends: the instant at which a day card ends; None: it is none, or he may not.
    """

    may: bool
    reasons: tuple[Because, ...]
    asks: tuple[Because, ...] = ()
    under: PersonKey | None = None
    until: date | None = None
    ends: datetime | None = None


def driver_now(
    yard: Counting,
    person: PersonKey,
    kind: str,
    months: int,
    as_of: datetime,
    zone: tzinfo,
    incidents: Iterable[Counted] = (),
    word: Word = str,
) -> DriverNow:
    """May this person drive this kind of truck? The last word on him and that kind counts.

    He may where training and evaluation are completed and the evaluation holds, or where he is a trainee under a named
    trainer; no longer once it is withdrawn, its last day is past, or he has left.

    Args:
        yard: the yard's own book.
        person: who.
        kind: key of the kind of truck; another kind asks for its own permit.
        months: calendar months for which an evaluation holds: `evaluated_for`.
        as_of: the instant.
        zone: the yard's.
        incidents: facts of trucks' books in which he may be named.
        word: says a sentence in the reader's language.

    *Edge*: on its last day a permit and an evaluation still hold; a day card no longer holds at the instant it ends.
    An incident on the day of the evaluation asks for a refresher.
    *Source*: 29 CFR 1910.178(l)(1)(ii), (l)(2)(i), (l)(4)(ii), (l)(4)(iii), (l)(6).
    """
    if (last_word := _last_word(yard, person, kind)) is None:
        return DriverNow(may=False, reasons=(Because(word(NO_PERMIT).format(kind), "driver.permit", L),))
    one, permit = last_word
    today, facts = local_day(as_of, zone), (one.id,)
    against = list(_against(permit, months, as_of, today, word))
    if _gone(yard, person):
        against.insert(0, (word(GONE), "driver.gone", L))
    if against:
        reasons = tuple(Because(word(NOT_YOU).format(what), rule, source, facts) for what, rule, source in against)
        refresh = tuple(_refreshers(permit.evaluated or today, person, incidents, zone, word))
        return DriverNow(may=False, reasons=reasons, asks=refresh)
    if permit.trainee_under is not None:
        because = Because(word(LEARNING).format(kind), "driver.trainee", L, facts)
        return DriverNow(may=True, reasons=(because,), under=permit.trainee_under, until=permit.until, ends=permit.ends)
    evaluated = permit.evaluated or today
    last = add_months(evaluated, months)
    until = min(last, permit.until or last)
    text = word(EVALUATED_ON).format(evaluated.isoformat(), until.isoformat())
    because = Because(text, "driver.evaluated", L4, facts)
    asks = tuple(_asks(permit, evaluated, facts, person, incidents, zone, word))
    return DriverNow(may=True, reasons=(because,), asks=asks, until=until, ends=permit.ends)


def evaluated_for(rules: Rules, country: str | None) -> int:
    """For how many months an evaluation holds in a yard.

    Args:
        rules: of today.
        country: the yard's.

    Returns:
        36, or fewer where the country's duties or the yard's own rules say so.
    """
    law = rules.law_of(country)
    duties = rules.duties[law] if law else ()
    return min([EVALUATED, *(one.every_months for one in duties if one.about == "driver" and one.every_months)])


def _last_word(yard: Counting, person: PersonKey, kind: str) -> tuple[Counted, Permit] | None:
    found = [(one, one.body) for one in yard if isinstance(one.body, Permit)]
    words = [(one, permit) for one, permit in found if permit.person == person and permit.what == kind]
    return words[-1] if words else None


def _gone(yard: Counting, person: PersonKey) -> bool:
    """Whether the last word on a person is that he has left."""
    words = [one.body.gone for one in yard if isinstance(one.body, PersonSet) and one.body.person == person]
    return words[-1] if words else False


def _against(permit: Permit, months: int, as_of: datetime, today: date, word: Word) -> Iterator[tuple[str, str, str]]:
    """Everything that stands against driving."""
    if permit.withdrawn is not None:
        yield word(WITHDRAWN).format(permit.withdrawn), "driver.withdrawn", REFRESHER
    if permit.until is not None and today > permit.until:
        yield word(ENDED).format(permit.until.isoformat()), "driver.until", L
    if permit.ends is not None and as_of >= permit.ends:
        yield word(DAY_CARD), "driver.ends", L
    if permit.trainee_under is not None:
        return
    if permit.trained is None or permit.trained > today:
        yield word(NO_TRAINING), "driver.trained", L
    if permit.evaluated is None or permit.evaluated > today:
        yield word(NO_EVALUATION), "driver.evaluated", L
    elif today > (last := add_months(permit.evaluated, months)):
        yield word(OVER).format(permit.evaluated.isoformat(), last.isoformat()), "driver.evaluated", L4


def _asks(
    permit: Permit,
    evaluated: date,
    facts: tuple[FactId, ...],
    person: PersonKey,
    incidents: Iterable[Counted],
    zone: tzinfo,
    word: Word,
) -> Iterator[Because]:
    if permit.by is None:
        yield Because(word(NOT_NAMED), "driver.by", L6, facts)
    yield from _refreshers(evaluated, person, incidents, zone, word)


def _refreshers(
    evaluated: date, person: PersonKey, incidents: Iterable[Counted], zone: tzinfo, word: Word
) -> Iterator[Because]:
    """What a hit or a near miss since his evaluation asks for, whether or not he may drive today."""
    for one in incidents:
        if isinstance(one.body, Incident) and one.body.person == person and one.day(zone) >= evaluated:
            what = word(INCIDENT[one.body.what]).capitalize()
            text = word(REFRESH).format(what, one.day(zone).isoformat())
            yield Because(text, "driver.refresher", REFRESHER, (one.id,))
