"""The forms of whoever mends: lock, repair, release, plate, correction."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from dipmark.derive.admit import NOT_MENDED, NOT_TESTED, NOT_YOUR_LOCK
from dipmark.derive.meter import Doubtful, Good
from dipmark.derive.truck import TruckNow
from dipmark.faces.web.deeds import WHEN, Asks, Choice, Deed, number_of, when_of, words_of
from dipmark.faces.web.forms import field, fields
from dipmark.faces.web.words import said
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, Where
from dipmark.office.access import Asker
from dipmark.office.amend import NO_HOURS, correct_hours, withdraw
from dipmark.office.enter import HOURS_UNFIT, NOTHING_OPEN, WORDS_MISSING, begin, end, hours_from, release, repair
from dipmark.office.open import TIME_UNREADABLE, Office
from dipmark.office.plate import PLATE_UNFIT, read_plate
from dipmark.views.words import hours

NUMBERS: Final = dict.fromkeys((HOURS_UNFIT, "number-unreadable", "number-ambiguous"), "hours")
TIMES: Final = {TIME_UNREADABLE: "when"}
TEXT: Final = {WORDS_MISSING: "text"}

HOURS: Final = Asks(
    name="hours",
    text=said("Hours on the meter"),
    shape="number",
    note=said("As it shows, in plain digits. Blank: not read."),
)
TESTS: Final = Asks(
    name="tests",
    text=said("What was tested, and held"),
    note=said("Brakes, steering, lift, mast, forks and chain need a recorded test. Set words apart by commas."),
)


def _repair_asks(_: Office, now: TruckNow, query: dict[str, str]) -> Iterator[Asks]:
    live = [fault for fault in now.faults if fault.mended is None]
    yield Asks(
        name="fault",
        text=said("Which faults it mends"),
        shape="many",
        choices=tuple(Choice(fault.ref, fault.text) for fault in live),
        value=query.get("fault", ""),
        needed=True,
        plain=True,
    )
    yield Asks(name="text", text=said("What was done, and what was the cause"), shape="words", needed=True)
    yield TESTS
    yield Asks(name="renewed", text=said("Parts renewed"), note=said("Set apart by commas. Each begins a new life."))
    yield HOURS
    yield WHEN


def _repair(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    chosen = fields(data, "fault")
    return repair(
        office,
        name,
        chosen or ("nothing is ticked",),
        field(data, "text"),
        when_of(office, data),
        tests=words_of(data, "tests"),
        hours=number_of(data, "hours", "hours"),
        renewed=words_of(data, "renewed"),
    )


def _release_asks(*_: object) -> Sequence[Asks]:
    return (TESTS, Asks(name="note", text=said("A note"), shape="words"), WHEN)


def _release(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    tests, note = words_of(data, "tests"), field(data, "note").strip() or None
    return release(office, name, when_of(office, data), tests=tests, note=note)


def _begin_asks(*_: object) -> Sequence[Asks]:
    return (Asks(name="text", text=said("At what")), WHEN)


def _begin(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    return begin(office, name, field(data, "text").strip() or None, when_of(office, data))


def _end_asks(*_: object) -> Sequence[Asks]:
    return (
        Asks(
            name="clear",
            text=said("Before it comes off"),
            shape="many",
            needed=True,
            choices=(Choice("yes", said("Everybody and every tool is clear of the truck")),),
        ),
        WHEN,
    )


def _end(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    _needed(data, "clear")
    return end(office, name, when_of(office, data), exception=None)


def _except_asks(*_: object) -> Sequence[Asks]:
    return (
        Asks(
            name="text",
            text=said("Why the lock of another is taken off, and how it is sure that he is clear of the truck"),
            shape="words",
            needed=True,
        ),
        WHEN,
    )


def _except(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    return end(office, name, when_of(office, data), exception=_needed(data, "text"))


def _plate_asks(_: Office, __: TruckNow, query: dict[str, str]) -> Iterator[Asks]:
    name = query.get("what", "")
    yield Asks(
        name="source",
        text=said("Where it stands"),
        shape="choice",
        choices=(
            Choice("plate", said("on the truck's plate")),
            Choice("manual", said("in its manual")),
            Choice("counted", said("counted on the truck")),
        ),
    )
    yield Asks(
        name="pairs",
        text=said("What stands there, one a line"),
        shape="words",
        needed=True,
        value=f"{name}=" if name else "",
        note=said("Such as grease-fittings.rear-wheel-left=2 or engine-oil=5.5 l. It carries your name and the day."),
    )
    yield Asks(
        name="fitted",
        text=said("What the plate says must hang on it for that"),
        note=said("Names or kinds of items, set apart by commas. Blank: the bare truck."),
    )
    yield WHEN


def _plate(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    pairs = [line.strip() for line in field(data, "pairs").splitlines() if line.strip()]
    source = field(data, "source")
    where = source if source in ("plate", "manual", "counted") else "plate"
    hung = words_of(data, "fitted")
    return read_plate(office, name, pairs or [""], where, when_of(office, data), hung)  # type: ignore[arg-type]


def _correct_asks(_: Office, now: TruckNow, query: dict[str, str]) -> Iterator[Asks]:
    read: list[Good | Doubtful] = [one for life in now.meters for one in life.good[-40:]]
    read += [one for life in now.meters for one in life.doubtful]
    read.sort(key=lambda one: one.day, reverse=True)
    choices = tuple(Choice(one.fact, f"{one.day.isoformat()}: {hours(one.shown)}") for one in read)
    yield Asks(
        name="fact",
        text=said("Which reading is wrong"),
        shape="choice",
        choices=choices,
        value=query.get("fact", ""),
        plain=True,
    )
    yield Asks(name="hours", text=said("What the meter showed then"), shape="number", needed=True)
    yield Asks(name="reason", text=said("How it is known"), needed=True)


def _correct(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    read = hours_from(field(data, "hours"))
    now = when_of(office, {})
    return correct_hours(office, name, field(data, "fact"), read, _needed(data, "reason"), now)


def _withdraw_asks(_: Office, __: TruckNow, query: dict[str, str]) -> Sequence[Asks]:
    return (
        Asks(
            name="fact",
            text=said("Number of the entry"),
            needed=True,
            value=query.get("fact", ""),
            note=said("From the logbook."),
        ),
        Asks(name="reason", text=said("Why it never was"), needed=True),
    )


def _withdraw(office: Office, _: Asker, name: str, data: dict[str, Any]) -> object:
    return withdraw(office, name, field(data, "fact"), _needed(data, "reason"), when_of(office, {}))


def _needed(data: dict[str, Any], name: str) -> str:
    """Words that may not be missing.

    Raises:
        Refused: there are none.
    """
    text = " ".join(field(data, name).split())
    if not text:
        problem = Problem(WORDS_MISSING, "nothing", "a word on it", "Fill it in.", Where(column=name))
        raise Refused(problem.message, [problem])
    return text


MENDING: Final = (
    Deed(
        id="begin",
        act="mend",
        title=said("Put my lock on"),
        button=said("Put my lock on"),
        about=said("While it is on nobody starts or drives the truck. Only you take it off."),
        asks=_begin_asks,
        do=_begin,
        beside=TIMES,
    ),
    Deed(
        id="end",
        act="mend",
        title=said("Take my lock off"),
        button=said("Take my lock off"),
        asks=_end_asks,
        do=_end,
        beside=TIMES | {NOT_YOUR_LOCK: "clear", NOTHING_OPEN: "clear"},
    ),
    Deed(
        id="repair",
        act="mend",
        title=said("Note a repair"),
        button=said("Note the repair"),
        cautions=(
            said("Key out, your own lock on, battery or gas off, mast down or propped before anybody reaches in."),
            said("Never under a raised load or raised forks. By the maker's manual, by a competent person."),
        ),
        asks=_repair_asks,
        do=_repair,
        beside=NUMBERS | TIMES | TEXT | {NOTHING_OPEN: "fault"},
    ),
    Deed(
        id="release",
        act="release",
        title=said("Release the truck"),
        button=said("Release it"),
        about=said(
            "Every fault that keeps it must be mended, and tested where the rules ask for it. The card then comes off."
        ),
        asks=_release_asks,
        do=_release,
        beside=TIMES | {NOT_TESTED: "tests", NOT_MENDED: "tests"},
    ),
    Deed(
        id="plate",
        act="mend",
        title=said("Note what the plate says"),
        button=said("Note it"),
        asks=_plate_asks,
        do=_plate,
        beside=TIMES | {PLATE_UNFIT: "pairs", "number-ambiguous": "pairs"},
    ),
    Deed(
        id="correct",
        act="correct",
        title=said("Correct a meter reading"),
        button=said("Correct it"),
        about=said("Nothing is deleted: a new entry says how it was, with its reason."),
        asks=_correct_asks,
        do=_correct,
        beside=NUMBERS | {NO_HOURS: "fact"},
    ),
    Deed(
        id="withdraw",
        act="correct",
        title=said("Withdraw an entry"),
        button=said("Withdraw it"),
        about=said("Nothing is deleted: a new entry says that this one never was, with its reason."),
        asks=_withdraw_asks,
        do=_withdraw,
    ),
    Deed(
        id="except",
        act="except",
        title=said("Take another's lock off"),
        button=said("Take it off, in my name"),
        about=said("The owner's written exception. It stands in the record with your name."),
        cautions=(said("Make sure with your own eyes that nobody is at, in or under the truck, and reach him first."),),
        asks=_except_asks,
        do=_except,
        beside=TEXT | TIMES | {NOT_YOUR_LOCK: "text", NOTHING_OPEN: "text"},
    ),
)
"""In the order in which a truck's page names them."""
