"""What the workshop has, as people write it: one line a thing."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any, Final

import msgspec

from dipmark.facts.base import WEEKDAYS
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, Where, code
from dipmark.facts.work import Money
from dipmark.facts.workshop import Asks, Bays, Outside, Wanted, WorkshopSet
from dipmark.office.open import told as told_problems
from dipmark.rules.model import Rules

LINE_UNREADABLE: Final = code("workshop-line-unreadable", "A line on what the workshop has cannot be read.")

EXPECTED: Final = (
    "one of: minutes 330 · overtime 45 · set-up 15 · level 95 · hour 35 GBP · extra 48 GBP · bay pit 1 · "
    "want reach 2 early · want reach 2 1600kg · ask 900h bay pit · ask 900h skill gas · ask reach permit reach · "
    "firm NAME: thorough-examination, inspection; Tue Thu; 240"
)
"""Every kind of line, by example."""

NUMBERS: Final = {"minutes": "minutes", "overtime": "overtime", "set-up": "set_up", "level": "level"}
MONEY: Final = ("hour", "extra")


def lines_of(told: WorkshopSet) -> str:
    """What has been told, line by line, as `told_from` reads it.

    Args:
        told: all of it.
    """
    return "\n".join(_lines(told))


def _lines(told: WorkshopSet) -> Iterator[str]:
    for word, name in NUMBERS.items():
        value = getattr(told, name)
        if value is not None:
            yield f"{word} {value}"
    for word in MONEY:
        money: Money | None = getattr(told, word)
        if money is not None:
            yield f"{word} {money.amount:f} {money.currency}"
    for bay in told.bays or ():
        yield f"bay {bay.kind} {bay.count}"
    for want in told.wanted or ():
        more = [] if want.capacity_kg is None else [f"{want.capacity_kg:f}kg"]
        yield " ".join((f"want {want.what} {want.trucks}", *more, *([want.shift] if want.shift else [])))
    for ask in told.asks or ():
        for what in ("bay", "skill", "permit"):
            if getattr(ask, what):
                yield f"ask {ask.of} {what} {getattr(ask, what)}"
    for firm in told.firms or ():
        days = " ".join(WEEKDAYS[day - 1] for day in firm.days)
        yield f"firm {firm.firm}: {', '.join(firm.work)}; {days}; {firm.minutes}"


def told_from(text: str, rules: Rules) -> WorkshopSet:
    """What the workshop has, from lines; what no line says is not there any more.

    Args:
        text: the lines; blank ones and those that begin with # say nothing.
        rules: of today: services, examinations and kinds of truck that lines name must be known.

    Raises:
        Refused: lines that cannot be read, each with its number.
    """
    known = set(rules.kinds)
    known |= {service.id for kind in rules.kinds.values() for service in kind.services}
    known |= {duty.id for duties in rules.duties.values() for duty in duties}
    found: dict[str, Any] = {"bays": [], "wanted": [], "asks": [], "firms": []}
    problems = []
    for number, line in enumerate(text.splitlines(), start=1):
        plain = " ".join(line.split())
        if not plain or plain.startswith("#"):
            continue
        word, _, rest = plain.partition(" ")
        read = READ.get(word)
        if read is None or not read(word, rest, found, known):
            hint = "Services, examinations and kinds of truck are those of the rules: dipmark rules list."
            problems.append(Problem(LINE_UNREADABLE, plain, EXPECTED, hint, Where(line=number)))
    if problems:
        raise Refused(told_problems(problems), problems)
    told: WorkshopSet = msgspec.structs.replace(
        WorkshopSet(), **{name: tuple(value) if isinstance(value, list) else value for name, value in found.items()}
    )
    return told


def _number(word: str, rest: str, found: dict[str, Any], _known: set[str]) -> bool:
    most = {"level": 99, "set-up": 600}.get(word, 1440)
    if not re.fullmatch(r"\d{1,4}", rest) or int(rest) > most or (word == "level" and int(rest) < 50):
        return False
    found[NUMBERS[word]] = int(rest)
    return True


def money_of(text: str) -> Money | None:
    """An amount of money as it is written, such as ``164.00 GBP``; None where it reads as none."""
    match = re.fullmatch(r"(\d{1,7}(?:\.\d{1,2})?) ([A-Z]{3})", text)
    return None if match is None else Money(amount=Decimal(match[1]), currency=match[2])


def _money(word: str, rest: str, found: dict[str, Any], _known: set[str]) -> bool:
    found[word] = money_of(rest)
    return found[word] is not None


def _bay(_word: str, rest: str, found: dict[str, Any], _known: set[str]) -> bool:
    match = re.fullmatch(r"(.{1,40}) (\d{1,2})", rest)
    if match is None:
        return False
    found["bays"].append(Bays(kind=match[1], count=int(match[2])))
    return True


def _want(_word: str, rest: str, found: dict[str, Any], known: set[str]) -> bool:
    match = re.fullmatch(r"(\S{1,60}) (\d{1,3})(?: (\d{1,6}) ?kg)?(?: (.{1,40}))?", rest)
    if match is None or match[1] not in known:
        return False
    capacity = Decimal(match[3]) if match[3] else None
    found["wanted"].append(Wanted(what=match[1], trucks=int(match[2]), capacity_kg=capacity, shift=match[4]))
    return True


def _ask(_word: str, rest: str, found: dict[str, Any], known: set[str]) -> bool:
    match = re.fullmatch(r"(\S{1,60}) (bay|skill|permit) (.{1,60})", rest)
    if match is None or match[1] not in known:
        return False
    found["asks"].append(Asks(of=match[1], **{match[2]: match[3]}))
    return True


def _firm(_word: str, rest: str, found: dict[str, Any], known: set[str]) -> bool:
    match = re.fullmatch(r"([^:;]{1,80}): ?([^;]+); ?([^;]+); ?(\d{1,4})", rest)
    if match is None:
        return False
    work = tuple(one.strip() for one in match[2].split(",") if one.strip())
    days = [WEEKDAYS.index(day) + 1 for day in match[3].split() if day in WEEKDAYS]
    if not work or not set(work) <= known or len(days) != len(match[3].split()) or not days:
        return False
    found["firms"].append(Outside(firm=match[1].strip(), work=work, days=tuple(days), minutes=int(match[4])))
    return True


READ: Final[dict[str, Callable[[str, str, dict[str, Any], set[str]], bool]]] = {
    **dict.fromkeys(NUMBERS, _number),
    **dict.fromkeys(MONEY, _money),
    "bay": _bay,
    "want": _want,
    "ask": _ask,
    "firm": _firm,
}
"""How each kind of line is read."""
