"""Hits and near misses on a page: what happened, what ran since, whether the seal holds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import tzinfo
from typing import Final

import msgspec

from dipmark.derive.faults import INCIDENT
from dipmark.derive.impact import Hit
from dipmark.facts.base import PersonKey
from dipmark.facts.said import Word, says
from dipmark.views.words import hours, moment

SEALED: Final = says("The record up to it is as it was sealed: {}.")
BROKEN: Final = says("The record up to it is NOT as it was sealed: {}. Keep every copy, and prove the store.")
NOT_SEALED: Final = says("Nobody sealed the record.")
RAN: Final = says("It ran at least {} between this and its release. Find out who drove it.")


class HitRow(msgspec.Struct, frozen=True):
    """What happened.

    Args:
        title: what it was, and when.
        text: in the words of whoever noted it.
        struck: what was struck.
        driver: who drove; empty: nobody is named.
        hurt: True where somebody was hurt.
        seal: whether the record before it is as it was.
        ran: hours that should not be there; empty: none are proved.
    """

    title: str
    text: str
    struck: str
    driver: str
    hurt: bool
    seal: str
    ran: str


def hit_rows(hits: Sequence[Hit], names: Mapping[PersonKey, str], zone: tzinfo, word: Word = str) -> tuple[HitRow, ...]:
    """What happened to a truck, as people read it.

    Args:
        hits: as derived.
        names: of people, by key.
        zone: the yard's.
        word: says a word in the reader's language.
    """
    return tuple(hit_row(one, names, zone, word) for one in hits)


def hit_row(hit: Hit, names: Mapping[PersonKey, str], zone: tzinfo, word: Word = str) -> HitRow:
    """One of them; see `hit_rows`."""
    body, stops = hit.body, hit.body.what != "near-miss"
    told = NOT_SEALED if hit.sealed is None else SEALED if hit.sealed else BROKEN
    return HitRow(
        title=f"{word(INCIDENT[body.what]).capitalize()}, {moment(hit.one.effective, zone, word)}",
        text=body.text,
        struck=", ".join(body.struck),
        driver="" if body.person is None else names.get(body.person, body.person),
        hurt=body.hurt,
        seal=word(told).format(body.seal),
        ran=word(RAN).format(hours(hit.ran)) if stops and hit.ran > 0 else "",
    )
