"""The yard's own settings as people type them: where it lies, how it speaks, its shifts, whom to call."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import date, time
from typing import Any, Final

import msgspec

from dipmark.derive.yard import shift_now, telephone_now
from dipmark.facts.base import YARD, folded
from dipmark.facts.errors import Refused
from dipmark.facts.people import Shift, ShiftPattern, Telephone, Weekday, YardSet
from dipmark.facts.problems import Problem, Where, code
from dipmark.office.access import MAY, Asker
from dipmark.office.enter import enter
from dipmark.office.open import Office, told
from dipmark.office.take_yard import country_problems, zone_problems

UNITS: Final = ("metric", "us")

SETTING_UNFIT: Final = code("setting-unfit", "A setting of the yard is to be blank, or something that it cannot be.")
LANGUAGE_WORDLESS: Final = code("language-wordless", "There are no words of a language that the yard is to speak.")
LAW_UNKNOWN: Final = code("law-unknown", "No legal duty is known of the yard's country.")
TELEPHONE_UNREADABLE: Final = code("telephone-unreadable", "A telephone number is not written as it is dialled.")
SHIFT_UNFIT: Final = code("shift-unfit", "A shift lacks its name, weekdays or times, or another has the same name.")
CLOSED_UNREADABLE: Final = code("closed-day-unreadable", "A closed day cannot be read.")
SHIFT_GONE: Final = code("shift-gone", "Somebody works a shift that the yard does not have.")


class YardTyped(msgspec.Struct, frozen=True, kw_only=True):
    """Settings as typed; see `facts.people.YardSet`."""

    zone: str
    country: str
    units: str
    languages: str
    name: str
    telephone: str


class ShiftTyped(msgspec.Struct, frozen=True, kw_only=True):
    """A shift as typed; see `facts.people.Shift`. One of which nothing is typed is none."""

    name: str = ""
    days: tuple[str, ...] = ()
    start: str = ""
    end: str = ""
    telephone: str = ""


class Reach(msgspec.Struct, frozen=True):
    """Who may give a truck back just now, by name, and the number at which one of them is reached."""

    names: tuple[str, ...]
    telephone: str | None


def set_yard(office: Office, asker: Asker, typed: YardTyped, spoken: Collection[str]) -> None:
    """Write what was changed, and nothing where nothing was.

    Args:
        office: the yard.
        asker: who changes it.
        typed: all settings; those that stand so already are not judged again.
        spoken: the tags of the languages that there are words of.

    Raises:
        NotAllowed: that is not for the one who asks to do.
        Refused: everything that is wrong, each with its field; nothing was written.
    """
    asker.must("rules")
    yard = office.yard
    stands: dict[str, Any] = {name: getattr(yard, name) for name in YardSet.__struct_fields__}
    wanted: dict[str, Any] = {name: " ".join(getattr(typed, name).split()) for name in YardSet.__struct_fields__}
    wanted |= {"country": wanted["country"].upper(), "languages": words(typed.languages)}
    changed = {name: value for name, value in wanted.items() if value != (stands[name] or type(value)())}
    problems = [problem for name, value in changed.items() for problem in _unfit(name, value, spoken)]
    if problems:
        raise Refused(told(problems), problems)
    if changed:
        enter(office, [office.fact(YARD, YardSet(**changed), office.clock())])


def words(text: str) -> tuple[str, ...]:
    """Words set apart by commas, semicolons or blanks."""
    return tuple(text.replace(",", " ").replace(";", " ").split())


def _unfit(name: str, value: Any, spoken: Collection[str]) -> Iterator[Problem]:
    where = Where(column=name)
    if name == "telephone":
        yield from _telephone_problems(value, where)
    elif not value:
        yield Problem(SETTING_UNFIT, f"{name} blank", "what it is to be", "Once set it can only be changed.", where)
    elif name in {"zone", "country"}:
        found = zone_problems(value) if name == "zone" else country_problems(value)
        yield from (msgspec.structs.replace(problem, where=where) for problem in found)
    elif name == "units" and value not in UNITS:
        yield Problem(SETTING_UNFIT, f"units {value!r}", " or ".join(UNITS), "Choose.", where)
    elif name == "languages":
        for tag in value:
            if not {tag, tag.partition("-")[0]} & set(spoken):
                there = ", ".join(spoken)
                yield Problem(
                    LANGUAGE_WORDLESS, f"language {tag!r}", f"one that there are words of: {there}", "", where
                )


def _telephone_problems(number: str, where: Where) -> Iterator[Problem]:
    try:
        msgspec.convert(number, Telephone)
    except msgspec.ValidationError:
        hint = "Write it as it is dialled: digits and blanks, a + in front of the code of a country."
        yield Problem(TELEPHONE_UNREADABLE, f"telephone {number!r}", "2 to 15 digits", hint, where)


def set_shifts(office: Office, asker: Asker, typed: Sequence[ShiftTyped], closed: str) -> None:
    """Write the shifts that are worked from now on, and the days on which nobody works.

    Args:
        office: the yard.
        asker: who changes them.
        typed: all shifts, each at its place on the form.
        closed: days as in 2026-12-25, set apart by commas, blanks or lines.

    Raises:
        NotAllowed: that is not for the one who asks to do.
        Refused: everything that is wrong, each with its field; nothing was written.
    """
    asker.must("rules")
    problems: list[Problem] = []
    shifts: list[Shift] = []
    for place, one in enumerate(typed):
        if one != ShiftTyped():
            found = tuple(_shift_problems(one, f"shift-{place}", {folded(shift.name) for shift in shifts}))
            problems += found
            if not found:
                shifts.append(_shift(one))
    days: list[date] = []
    for word in words(closed):
        day = _read(date, word)
        if day is None:
            where = Where(column="closed")
            problems.append(Problem(CLOSED_UNREADABLE, f"closed day {word!r}", "a day such as 2026-12-25", "", where))
        else:
            days.append(day)
    if problems:
        raise Refused(told(problems), problems)
    pattern, yard = ShiftPattern(shifts=tuple(shifts), closed=tuple(sorted(set(days)))), office.yard
    if (pattern.shifts, pattern.closed) != (yard.shifts, yard.closed):
        enter(office, [office.fact(YARD, pattern, office.clock())])


def _shift_problems(one: ShiftTyped, field: str, taken: Collection[str]) -> Iterator[Problem]:
    if not folded(one.name) or folded(one.name) in taken:
        found = f"the name {one.name!r} twice" if folded(one.name) else "a shift without name"
        yield Problem(SHIFT_UNFIT, found, "a name that no other shift has", "", Where(column=f"{field}-name"))
    if not one.days or any(_day(day) is None for day in one.days):
        found = "a shift on no day of the week" if not one.days else f"the weekdays {', '.join(one.days)}"
        yield Problem(SHIFT_UNFIT, found, "the days on which it starts", "Choose.", Where(column=f"{field}-days"))
    for name in ("start", "end"):
        text = getattr(one, name)
        if _read(time, text) is None:
            expected = "a time such as 06:00, by the yard's clock"
            yield Problem(SHIFT_UNFIT, f"{name} {text!r}", expected, "", Where(column=f"{field}-{name}"))
    yield from _telephone_problems(" ".join(one.telephone.split()), Where(column=f"{field}-telephone"))


def _shift(one: ShiftTyped) -> Shift:
    return Shift(
        name=" ".join(one.name.split()),
        days=tuple(sorted({int(day) for day in one.days})),
        start=_read(time, one.start),
        end=_read(time, one.end),
        telephone=" ".join(one.telephone.split()) or None,
    )


def _day(text: str) -> int | None:
    try:
        return msgspec.convert(text, Weekday, strict=False)
    except msgspec.ValidationError:
        return None


def _read(kind: type[Any], text: str) -> Any:
    """A date or a time without zone; None where it cannot be read."""
    try:
        read = kind.fromisoformat(text.strip())
    except ValueError:
        return None
    return None if getattr(read, "tzinfo", None) else read


def standing_doubts(office: Office) -> tuple[Problem, ...]:
    """What of the settings as they stand should be looked at."""
    yard, names = office.yard, office.people.names()
    found: list[Problem] = []
    if yard.country is None or office.rules.law_of(yard.country) is None:
        hint = "No examination falls due by law here. Ask which are asked for, and lay them in by rules of your own."
        country = yard.country or "no country"
        found.append(Problem(LAW_UNKNOWN, country, "one whose legal duties are entered", hint, hard=False))
    worked = {shift.name for shift in yard.shifts}
    for one in yard.people.values():
        gone = [name for name in one.shifts if name not in worked]
        if gone and not one.gone:
            shifts, who = ", ".join(gone), names.get(one.person, one.person)
            hint = "Change it at the person, or name the shift as before."
            found.append(Problem(SHIFT_GONE, f"{who} in {shifts}", "a shift of the yard", hint, hard=False))
    return tuple(found)


def who_releases(office: Office) -> Reach:
    """Who may give a truck back just now: whoever works the shift that is on, or no shift in particular."""
    now, yard, names = office.clock(), office.yard, office.people.names()
    on = shift_now(yard, now, office.zone)
    held = [
        names.get(one.person, one.person)
        for one in yard.people.values()
        if not one.gone
        and any("release" in MAY[role] for role in one.roles)
        and (on is None or not one.shifts or on.shift.name in one.shifts)
    ]
    return Reach(tuple(sorted(held, key=str.casefold)), telephone_now(yard, now, office.zone))
