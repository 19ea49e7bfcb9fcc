"""The coolant: where it freezes by a named table, where it boils under its cap, how much to drain and refill."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Final

from msgspec.structs import replace

from dipmark.derive.judging import MISSING, NONSENSE, Given, Input, Judged, Measurement, judged, past, worked_out
from dipmark.facts.problems import Problem, Where
from dipmark.facts.quantity import Quantity, plain
from dipmark.facts.said import says
from dipmark.facts.units import convert
from dipmark.rules.limits import Rows, Subject

READ: Final = says("Read as freezing at {}.")
MIXED: Final = says("{} {} glycol by {}.")
FREEZES: Final = says("{} {} glycol by {} freezes at {} C ({}).")
DIFFER: Final = says("Tables differ: {} to {} C. The warmest is held against the frost.")
LOWEST: Final = says("The lowest temperature of the place is {}.")
BOILS: Final = says("{} {} glycol under {} boils at {} C.")
NO_CAP: Final = says("no cap")
BY_STEAM: Final = says("By the steam tables {} C: that is held against the hottest.")
AS_WATER: Final = says("Counted as water: at least this.")
HOTTEST: Final = says("The hottest coolant is {}.")
DRAIN: Final = says("From {} to {} %: drain {} l of {}, refill with {}.")
NEAT: Final = says("neat glycol")
WATER: Final = says("water")
MIX: Final = says("Let it run warm and mix, let it cool, measure again.")

KINDS: Final = ("ethylene", "propylene")
STEP: Final = Fraction(1, 10)
"""°C in which the tables are printed."""

PER_PSI: Final = 3
"""°F by which a cap of one psi raises the boiling point, as printed (a maker's page, seen); it reads high."""

PER_METRE: Final = Fraction("1.5") / 300
"""°C by which each metre above the sea lowers the boiling point (a coolant guide, secondary)."""


def tables(kind: str, by: str, subject: Subject) -> list[Rows]:
    """The tables of one glycol, the one that is named with a value first.

    Args:
        kind: one of `KINDS`.
        by: mass or volume.
        subject: all tables.
    """
    return [rows for name, rows in subject.rows.items() if name.startswith(f"{kind}-{by}")]


def freezes(percent: Fraction, rows: Rows) -> Fraction:
    """Where a mixture freezes, °C, straight between the rows of a table.

    Args:
        percent: of glycol, up to the table's last row.
        rows: the table.
    """
    return rows.between(percent, "glycol %", "freezes C")


def judge_coolant(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """Where the coolant freezes, against the lowest temperature of the place.

    Args:
        given: ``glycol``, ``by`` and ``percent``, or ``freezes`` read off the refractometer; ``lowest`` of the place.
        subject: tables and limits.

    *Edge*: 60 % still passes, and so does 5 °C below the lowest temperature; where tables differ the warmest counts.

    *Source*: the table is named in the answer: a maker's table of the first slush differs by up to 9 °C.
    """
    read, percent = given.maybe("freezes"), given.maybe("percent")
    if read is not None:
        return _frost(given, subject, read, subject.say(READ, read))
    if percent is None or "by" not in given.words:
        asked = "by" if percent is not None else "percent"
        hint = f"Add it: {asked}."
        return (Problem(MISSING, f"no {asked}", "percent with by, or freezes", hint, Where(column=asked)),)
    kind, by, most = given.words["glycol"], given.words["by"], subject.limits["glycol"]
    glycol, measured = subject.named(kind), subject.named(by)
    if past(percent, most.exact, most.unit, most.edge):
        return judged(
            "coolant",
            subject,
            None,
            most.unit,
            subject.say(MIXED, percent, glycol, measured),
            held=[most],
            passed=[most],
        )
    share = percent.in_("%")
    known = [rows for rows in tables(kind, by, subject) if share <= rows.column("glycol %")[-1]]
    points = [freezes(share, rows) for rows in known]
    because = subject.say(FREEZES, percent, glycol, measured, plain(points[0], 1), known[0].text)
    warmest = Quantity(max(points), "C", STEP)
    found = replace(_frost(given, subject, warmest, because), value=plain(points[0], 1))
    if found.source is None:
        found = replace(found, source=known[0].source)
    if len(points) == 1:
        return found
    low, high = plain(min(points), 1), plain(max(points), 1)
    return replace(found, low=low, high=high, notes=(subject.say(DIFFER, low, high),))


def _frost(given: Given, subject: Subject, point: Quantity, because: str) -> Judged:
    """A freezing point against the lowest temperature of the place; without it there is no limit."""
    lowest, limit = given.maybe("lowest"), subject.limits["frost"]
    if lowest is None:
        value = plain(point.in_("C"), 1)
        return Judged(subject="coolant", value=value, unit="C", verdict=None, because=because)
    bound = lowest.in_("C") - limit.exact
    held = worked_out(limit, bound, "C")
    passed = [held] if past(point, bound, "C", limit.edge) else []
    because = f"{because} {subject.say(LOWEST, lowest)}"
    return judged("coolant", subject, point.in_("C"), "C", because, held=[held], passed=passed)


def judge_boiling(given: Given, subject: Subject) -> Judged:
    """Where the coolant boils under its cap, against how hot it gets.

    Args:
        given: ``glycol``, ``percent`` by volume; ``cap``, ``altitude``, ``hottest``.
        subject: tables and limits.

    *Edge*: exactly 5.6 °C over the hottest still passes; the lower of rule and steam tables counts.

    *Source*: half and half 223 °F, 3 °F for each psi of the cap (seen), which reads high: the steam tables give water
    under 15 psi 250 °F, not 257. Of propylene glycol nothing is known here: it counts as water, which boils sooner.
    """
    percent, cap, altitude = given.one("percent"), given.maybe("cap"), given.maybe("altitude")
    psi = cap.in_("psi") if cap else Fraction(0)
    lost = PER_METRE * altitude.in_("m") if altitude else Fraction(0)
    share = percent.in_("%") if given.words["glycol"] == "ethylene" else Fraction(0)
    bare = subject.rows["boiling"].between(share, "glycol %", "boils F")
    steam = subject.rows["steam"]
    raised = steam.between(psi, "cap psi", "boils F") - steam.column("boils F")[0]
    rule = convert(bare + PER_PSI * psi, "F", "C") - lost
    low = min(rule, convert(bare + raised, "F", "C") - lost)
    hottest, limit = given.maybe("hottest"), subject.limits["boiling"]
    glycol = subject.named(given.words["glycol"])
    because = subject.say(BOILS, percent, glycol, cap or subject.say(NO_CAP), plain(rule, 1))
    notes = [subject.say(BY_STEAM, plain(low, 1))] if low < rule else []
    if given.words["glycol"] == "propylene":
        notes.append(subject.say(AS_WATER))
    if hottest is None:
        source = subject.rows["boiling"].source
        found = Judged(
            subject="coolant-boiling", value=plain(rule), unit="C", verdict=None, because=because, source=source
        )
    else:
        bound = hottest.in_("C") + limit.exact
        held = worked_out(limit, bound, "C")
        passed = [held] if past(Quantity(low, "C", STEP), bound, "C", limit.edge) else []
        because = f"{because} {subject.say(HOTTEST, hottest)}"
        found = judged("coolant-boiling", subject, rule, "C", because, held=[held], passed=passed)
    return replace(found, low=plain(low), high=plain(rule), notes=tuple(notes))


def judge_refill(given: Given, subject: Subject) -> Judged | tuple[Problem, ...]:
    """How much to drain, and refill neat or with water, so that the mixture comes right.

    Args:
        given: ``system``, ``now`` and ``wanted``.
        subject: the limits.

    *Source*: what stays and what is filled add up: own arithmetic.
    """
    system, now, wanted = given.one("system"), given.one("now").in_("%"), given.one("wanted").in_("%")
    most = subject.limits["glycol"]
    if past(given.one("wanted"), most.exact, most.unit, most.edge):
        found, expected = f"wanted {given.one('wanted')}", f"at most {most.value} %"
        return (Problem(NONSENSE, found, expected, most.text, Where(column="wanted")),)
    stronger = wanted >= now
    share = (wanted - now) / (100 - now) if stronger else (now - wanted) / now
    litres = system.in_("l") * share
    fill = subject.say(NEAT if stronger else WATER)
    more: dict[str, Decimal | str] = {"refill": fill}
    return Judged(
        subject="coolant-refill",
        value=plain(litres),
        unit="l",
        verdict=None,
        because=subject.say(DRAIN, plain(now), plain(wanted), plain(litres, 2), system, fill),
        notes=(subject.say(MIX),),
        more=more,
    )


def _percent(name: str, text: str, *, needed: bool = True) -> Input:
    return Input(name, text, "share", "%", needed=needed, least="0 %", most="100 %")


def _temperature(name: str, text: str, most: str, *, kept: bool = False) -> Input:
    return Input(name, text, "temperature", kept=kept, needed=False, least="-90 C", most=most)


_GLYCOL: Final = Input("glycol", "ethylene or propylene", words=KINDS, kept=True)

MEASUREMENTS: Final = (
    Measurement(
        name="coolant",
        subject="coolant",
        text="Coolant: where it freezes",
        judge=judge_coolant,
        inputs=(
            _GLYCOL,
            Input("by", "mass or volume", words=("mass", "volume"), needed=False),
            _percent("percent", "share of glycol", needed=False),
            _temperature("freezes", "freezing point read off the refractometer", "0 C"),
            _temperature("lowest", "lowest temperature of the place", "40 C", kept=True),
        ),
    ),
    Measurement(
        name="coolant-boiling",
        subject="coolant",
        text="Coolant: where it boils under its cap",
        judge=judge_boiling,
        inputs=(
            _GLYCOL,
            _percent("percent", "share of glycol by volume"),
            Input("cap", "what stands on the cap", "pressure", kept=True, needed=False, least="0 psi", most="30 psi"),
            Input("altitude", "height above the sea", "length", kept=True, needed=False, least="0 m", most="6000 m"),
            _temperature("hottest", "the hottest the coolant gets", "200 C"),
        ),
    ),
    Measurement(
        name="coolant-refill",
        subject="coolant",
        text="Coolant: drain and refill to a mixture",
        judge=judge_refill,
        inputs=(
            Input("system", "coolant in the whole system", "volume", kept=True, over="0 l", most="500 l"),
            Input("now", "share of glycol now", "share", "%", least="0 %", most="99 %"),
            _percent("wanted", "share of glycol wanted"),
        ),
    ),
)
