"""What a phone takes along: every truck's compiled sheet, who may walk round it, whom to call, in one language."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Iterator
from datetime import datetime, tzinfo
from typing import Final

import msgspec

from dipmark.derive.days import day_end
from dipmark.derive.driver import DriverNow, driver_now, evaluated_for
from dipmark.derive.item import ItemNow
from dipmark.derive.past import Counting, past
from dipmark.derive.state import options_of
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow, shift_now
from dipmark.facts.base import YARD, BookId, PersonKey
from dipmark.facts.people import Permit
from dipmark.office.items import items, not_so
from dipmark.office.open import Office, zone_of
from dipmark.office.sign_in import PhonePerson, phone_people
from dipmark.office.standings import by_number, is_truck
from dipmark.rules.model import Rules
from dipmark.views.battery import room_cautions
from dipmark.views.compiled_sheet import Sheet, compiled_sheet, in_ms
from dipmark.views.items import item_row
from dipmark.views.walk_round import CheckList, check_list
from dipmark.views.words import VERDICT

KEPT: Final = 2000
KEPT_LISTS: Final = 200
"""So many compiled sheets and lists are held, the oldest go first."""


class PersonRow(msgspec.Struct, frozen=True):
    """Somebody who may walk round a truck.

    Args:
        who: what the phone needs to know him without network.
        drives: by kind of truck, the ms since 1970 at which his permit ends; None: it does not by itself.
        under: by kind of truck, the trainer who must be with him.
        not_you: by kind of truck, why he may not drive it; a kind in neither is one he has no permit for.
    """

    who: PhonePerson
    drives: dict[str, int | None]
    under: dict[str, str]
    not_you: dict[str, str]


class ShiftTelephone(msgspec.Struct, frozen=True):
    """The number of the shift that is on, until its end in ms since 1970; after it the yard's own is called."""

    number: str
    until: int


class ItemRow(msgspec.Struct, frozen=True):
    """Something that hangs on trucks.

    Args:
        book: its book.
        name: its name.
        kind: its kind.
        what: its kind, in words.
        truck: the truck it hangs on; empty: none.
        where: where it is, in words.
    """

    book: BookId
    name: str
    kind: str
    what: str
    truck: str
    where: str


class Bundle(msgspec.Struct, frozen=True):
    """All of it.

    Args:
        yard: the yard's name.
        zone: its IANA time zone.
        language: in which all texts are.
        languages: those that may be chosen.
        heard: ms since 1970 at which it was made: "yard last heard".
        rules: digest of the rules.
        verdicts: what to do with the key, by state.
        words: what the phone's own screens say, by the English.
        lists: what is asked, by id.
        sheets: every truck.
        items: what may hang on them.
        not_so: by number, why a truck may not work with what hangs on it; its own state is apart.
        charging: what can hurt at a battery that is charged.
        people: who may walk round it.
        call: the names of the lead hands.
        telephone: at which somebody who may release is reached at any hour; None: none is known.
        shift_telephone: of the shift that is on, where it has one of its own.
    """

    yard: str | None
    zone: str
    language: str
    languages: tuple[str, ...]
    heard: int
    rules: str
    verdicts: dict[str, str]
    words: dict[str, str]
    lists: dict[str, CheckList]
    sheets: tuple[Sheet, ...]
    items: tuple[ItemRow, ...]
    not_so: dict[str, tuple[str, ...]]
    charging: tuple[str, ...]
    people: tuple[PersonRow, ...]
    call: tuple[str, ...]
    telephone: str | None
    shift_telephone: ShiftTelephone | None


class Compiled:
    """Compiles trucks, each once as long as nothing about it changes; several threads may ask."""

    def __init__(self) -> None:
        self.held: OrderedDict[tuple[str, ...], tuple[datetime | None, Sheet, CheckList | None]] = OrderedDict()
        self.lists: OrderedDict[tuple[object, ...], CheckList] = OrderedDict()
        self._lock = threading.Lock()

    def truck(
        self, office: Office, book: BookId, as_of: datetime, language: str = "en", known: int | None = None
    ) -> tuple[Sheet, CheckList | None] | None:
        """The sheet of a truck and its list; None where it is not enrolled, or has left.

        Args:
            office: the yard, its rules in the language.
            book: the truck's.
            as_of: the instant.
            language: of the rules.
            known: as the book stood at this number; None: as it stands.
        """
        record = office.book(book)
        seq = len(record) if known is None else min(known, len(record))
        key = (book, str(seq), str(len(office.book(YARD))), office.rules.digest, language)
        with self._lock:
            held = self.held.get(key)
        if held is not None and (held[0] is None or as_of < held[0]):
            return held[1], held[2]
        yard = office.yard
        truck = truck_now(record, office.rules, yard, zone_of(yard.zone), as_of, seq)
        if truck is None or truck.retired is not None:
            return None
        asked = self._list(office.rules, truck)
        sheet = compiled_sheet(truck, office.rules, office.people.names(), as_of, zone_of(yard.zone), asked)
        with self._lock:
            self.held[key] = (truck.state.holds_until, sheet, asked)
            while len(self.held) > KEPT:
                self.held.popitem(last=False)
        return sheet, asked

    def _list(self, rules: Rules, truck: TruckNow) -> CheckList | None:
        """What is asked at a truck: compiled once for all of its kind with its options and uses."""
        kind = rules.kind(truck.enrolled.what)
        if kind is None:
            return None
        options, uses = options_of(truck.counting, kind), truck.enrolled.uses
        key = (rules.digest, rules.wording, kind.key, options, uses)
        asked = self.lists.get(key) or check_list(rules, kind, options, uses)
        with self._lock:
            self.lists[key] = asked
            while len(self.lists) > KEPT_LISTS:
                self.lists.popitem(last=False)
        return asked


def bundle(
    office: Office,
    compiled: Compiled,
    language: str,
    languages: tuple[str, ...] = (),
    words: Callable[[], dict[str, str]] = dict,
) -> Bundle:
    """What a known phone takes along, as the yard stands now.

    Args:
        office: the yard, its rules in the language.
        compiled: what is compiled already.
        language: its tag.
        languages: those that may be chosen.
        words: what the phone's own screens say.
    """
    now, yard = office.clock(), office.yard
    books = sorted(filter(is_truck, office.store.books()), key=by_number)
    found = [one for book in books if (one := compiled.truck(office, book, now, language)) is not None]
    names = office.people.names()
    leads = [key for key, one in yard.people.items() if "lead" in one.roles and not one.gone]
    there = [one for one in items(office, now) if one.retired is None]
    return Bundle(
        yard=yard.name,
        zone=yard.zone,
        language=language,
        languages=languages,
        heard=in_ms(now),
        rules=office.rules.digest,
        verdicts={code: office.rules.word(text) for code, text in VERDICT.items()},
        words=words(),
        lists={asked.id: asked for _, asked in found if asked is not None},
        sheets=tuple(sheet for sheet, _ in found),
        items=tuple(_item(one, office) for one in there),
        not_so=not_so(office, now),
        charging=room_cautions(office.rules.subjects["battery"]),
        people=tuple(_people(office, yard, now)),
        call=tuple(sorted(names.get(key, key) for key in leads)),
        telephone=yard.telephone or None,
        shift_telephone=_of_shift(yard, now),
    )


def _item(one: ItemNow, office: Office) -> ItemRow:
    row = item_row(one, office.zone, office.rules.word)
    return ItemRow(one.book, row.name, one.enrolled.what, row.what, row.truck, row.where)


def _of_shift(yard: YardNow, now: datetime) -> ShiftTelephone | None:
    on = shift_now(yard, now, zone_of(yard.zone))
    return ShiftTelephone(on.shift.telephone, in_ms(on.end)) if on and on.shift.telephone else None


def _people(office: Office, yard: YardNow, now: datetime) -> Iterator[PersonRow]:
    """Who has badge and PIN, with what he may drive; trainees are told under whom."""
    counting, zone = past(office.book(YARD), now), zone_of(yard.zone)
    months = evaluated_for(office.rules, yard.country)
    kinds, names = _permits(counting), office.people.names()
    for who in phone_people(office):
        drives: dict[str, int | None] = {}
        under: dict[str, str] = {}
        not_you: dict[str, str] = {}
        for kind in kinds.get(who.person, ()):
            said = driver_now(counting, who.person, kind, months, now, zone, word=office.rules.word)
            if said.may:
                drives[kind] = _ends(said, zone)
                under |= {} if said.under is None else {kind: names.get(said.under, said.under)}
            else:
                not_you[kind] = said.reasons[0].text
        yield PersonRow(who, drives, under, not_you)


def _ends(said: DriverNow, zone: tzinfo) -> int | None:
    """When he may drive it no longer: a day card to its instant, any other permit to the end of its last day."""
    ends = [said.ends, None if said.until is None else day_end(said.until, zone)]
    return min((in_ms(one) for one in ends if one is not None), default=None)


def _permits(counting: Counting) -> dict[PersonKey, tuple[str, ...]]:
    """The kinds of truck that each person has ever had a permit for."""
    found: dict[PersonKey, dict[str, None]] = {}
    for one in counting:
        if isinstance(one.body, Permit):
            found.setdefault(one.body.person, {})[one.body.what] = None
    return {person: tuple(kinds) for person, kinds in found.items()}
