"""The sentences of the lessons: advice in plain words, and how far each figure goes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from dipmark.derive.lessons.intervals import Interval
from dipmark.derive.lessons.parts import Part
from dipmark.derive.lessons.repeats import Missed, Returns
from dipmark.derive.lessons.upkeep import Upkeep, YearSpent
from dipmark.derive.lessons.vigilance import LEAST_SECONDS, Shown, Sign
from dipmark.derive.lessons.watched import BACK
from dipmark.derive.lessons.wearing import Bad, Fails, Wears
from dipmark.facts.base import PersonKey
from dipmark.rules.model import Rules

LOOSER: Final = (
    "Longer than the maker's book, a warranty or a duty allows is for the maker or a competent person to say."
)

STEP: Final = 1.25
"""What nobody has tried nobody knows: an interval is made longer by so much at a time. Common practice, no source."""

FOOLED: Final = {
    "intervals": "Faults found at a service are left out: when they came nobody knows. It is fooled where a service is "
    "brought forward because of a fault, where people look harder before or after one, and where standstill or damage "
    "costs far more than the labour that was written down. The rate is taken to rise in a straight line. "
    "A duty, and what affects safety, are never weighed by cost.",
    "trucks": "Counted over the hours of the meter. It is fooled where faults were not written down in the early days, "
    "or where the truck was given harder work.",
    "bad": "Trucks of a kind are taken to do the same work. It is fooled where one has the worst floor or the longest "
    "runs, or where its drivers look harder: then the others are the worse ones.",
    "parts": "A part renewed by work that mends a fault has failed; parts of one name renewed together are one life. "
    "It is fooled by renewals that nobody wrote down, and by parts of one name that do not do the same work. "
    "What affects safety is renewed by its limit and the manual, never by cost.",
    "repairs": f"The same check of the same truck within {BACK} h of its repair. It is fooled where a fault comes "
    "often for a while whatever is done, as on a truck that wears out, and by a part that was bad from new.",
    "missed": "What a service found at a check that the walk-round before it had called OK. Some came in between, "
    "as oil leaks out overnight.",
    "upkeep": "Terms after EN 13306 and EN 15341 (from memory). Out of service: from the card, or the fault that "
    "stops it, to the release. What is not written down is not counted.",
}
"""What could fool each figure, in plain words."""

SIGN: Final[dict[Sign, str]] = {
    "quick": "made too quickly to have walked",
    "same-seconds": "took as many seconds as the sheet before",
    "nothing-found": "found nothing",
    "missed": "faults called OK and found at the next service",
    "meter-unread": "without hours",
    "meter-copied": "with the hours of the sheet before",
    "letter": "with a letter that is not there",
    "values-copied": "with the values of the sheet before",
}

RULE: Final[dict[Sign, str]] = {
    "quick": f"under {LEAST_SECONDS} s a check, or under a third of what others take on that truck; fooled by sheets "
    "entered afterwards",
    "same-seconds": "as many seconds as the same person's sheet before; fooled by a device that rounds",
    "nothing-found": "no fault on any sheet, where others found some on the same trucks; fooled by a shift that "
    "follows a good finder",
    "missed": "found in the course of work at a check that the last walk-round had called OK; fooled by what comes "
    "overnight",
    "meter-unread": "no hours on the sheet; fooled by a meter that cannot be read in the dark",
    "meter-copied": "the hours of the sheet before on that truck, 12 h or more later; fooled by a truck that stood",
    "letter": "not the letter on the small plate of the place asked; fooled by a plate that hangs in the wrong place",
    "values-copied": "all values as on the sheet before on that truck; fooled by values that do not change",
}
"""Each sign's rule and what fools it; posted, so that everybody knows what is looked at."""

WATCH: Final = "A reason to go and watch a walk-round, no proof, and no score."


def number(value: float | None, places: int = 0) -> str:
    """A number with thousands set apart; a dash where there is none.

    Example:
        >>> number(1234.5), number(0.456, 1), number(None)
        ('1,234', '0.5', '–')
    """
    return "–" if value is None else f"{value:,.{places}f}"


def figure(value: float) -> str:
    """A number to two or three figures.

    Example:
        >>> figure(0.0456), figure(3.14159), figure(31.4159), figure(1234.5)
        ('0.046', '3.1', '31.4', '1,234')
    """
    places = 0 if value == 0 or abs(value) >= 100 else 1 if abs(value) >= 1 else 2 if abs(value) >= 0.1 else 3
    return number(value, places)


def counted(count: int, word: str) -> str:
    """A count with its word.

    Example:
        >>> counted(1, "fault"), counted(1200, "fault")
        ('1 fault', '1,200 faults')
    """
    return f"{count:,} {word}{'' if count == 1 else 's'}"


def between(low: float | None, high: float | None) -> str:
    """Limits in brackets.

    Example:
        >>> between(1.25, 3), between(2, None)
        ('(1.2 to 3.0)', '(2.0 or more)')
    """
    low_said = figure(low or 0)
    return f"({low_said} or more)" if high is None else f"({low_said} to {figure(high)})"


def more_words(more: float | None, hours: float, so_far: str, of: str = "") -> str:
    """That it is not enough to tell, and how much more it takes; more than a hundredfold is no help to anybody.

    Args:
        more: hours.
        hours: so far.
        so_far: what there is.
        of: whose hours.
    """
    if more is None or more > 100 * hours:
        return f"not enough to tell: {so_far}."
    return f"not enough to tell: {so_far}; with about {figure(more)} more hours{of} it would be."


def kind_words(kind: str, rules: Rules) -> str:
    """A kind of truck as people call it.

    Args:
        kind: its key.
        rules: with its name.
    """
    known = rules.kind(kind)
    return known.text if known is not None else kind


def interval_words(one: Interval, rules: Rules) -> str:
    """What is said of an interval."""
    name = f"{one.service} service ({kind_words(one.kind, rules)})"
    halves = (
        f"late in the interval {figure(one.late[0])} faults in 1,000 h {between(*one.late[1:])}, "
        f"early {figure(one.early[0])} {between(*one.early[1:])}"
    )
    so_far = f"{counted(one.faults, 'fault')} between services in {number(one.hours)} h"
    if one.done is None or one.leans is None:
        if one.price is None and one.more is None:
            so_far += "; what services and repairs take is written down too seldom (labour in minutes, or cost)"
        return f"The {name}: {more_words(one.more, one.hours, so_far, ' of such trucks')}"
    range_ = f"about {figure(one.best)} h {between(one.low, one.high)}" if one.best is not None else ""
    if one.said and one.leans == "shorter":
        return f"Do the {name} sooner: at {range_}, not every {number(one.done)} h: {halves}."
    if one.said:
        tried = f"try it at {number(one.done * STEP)} h, and look again"
        return f"The {name} could wait longer than {number(one.done)} h: {halves}; {tried}. {LOOSER}"
    if one.more is None:
        least = f"services and faults together cost least at {range_}" if range_ else "faults come no faster late"
        if (one.high or one.done) < one.done or (one.low or one.done) > one.done:
            return f"The {name}, done every {number(one.done)} h: {least}; too unsure to say aloud, look again later."
        return f"Keep the {name} at {number(one.done)} h: {least}; {halves}."
    return f"The {name}: {more_words(one.more, one.hours, so_far, ' of such trucks')}"


def wears_words(one: Wears) -> str:
    """What is said of a truck and its wear."""
    rate = f"{figure(one.rate)} in 1,000 h {between(one.low, one.high)}"
    so_far = f"{counted(one.faults, 'fault')} in {number(one.hours)} h, {rate}"
    if one.said:
        ahead = ""
        if one.law is not None:
            end = one.hours
            ahead = f" About {figure(one.law.expected(end + 1000) - one.law.expected(end))} in the next 1,000 h."
        return f"Truck {one.truck} wears out: its faults come closer and closer together. {so_far}.{ahead}"
    if one.more is not None or not one.faults:
        return f"Truck {one.truck}: {more_words(one.more, one.hours, so_far)}"
    return f"Truck {one.truck}: no wear to be seen; {so_far}."


def bad_words(one: Bad) -> str:
    """What is said of a truck beside its like."""
    worst = ", ".join(f"{part} {count}" for part, count in one.worst)
    if one.times is None:
        return f"Truck {one.truck}: the others of its kind had no fault, it had {len(one.facts)}."
    times = f"{figure(one.times)} times as often as the others of its kind {between(one.low, one.high)}"
    if one.said:
        return f"Truck {one.truck} fails {times}. Most of it: {worst}."
    return f"Truck {one.truck} fails {times}."


def part_words(one: Part, rules: Rules) -> str:
    """What is said of a part."""
    name, so_far = (
        f"{one.part} ({kind_words(one.kind, rules)})",
        f"{counted(one.failed, 'failure')} in {number(one.hours)} h",
    )
    if one.law is None or one.limits is None or one.tenth is None:
        return f"The {name}: {more_words(one.more, one.hours, so_far, ' of all together')}"
    limits = between(one.limits.shape_low, one.limits.shape_high)
    shape = f"shape {figure(one.law.shape)} {limits}, {so_far}"
    if one.said:
        ages = [f"{figure(at)} h where a failure costs {times:.0f} times as much" for times, at in one.ahead if at]
        renew = f" Renewing it ahead costs least at {', '.join(ages)}." if ages else ""
        return f"The {name} wears out: one in ten has failed by {figure(one.tenth)} h ({shape}).{renew}"
    if one.limits.shape_low > 1:
        return f"The {name} seems to wear out ({shape})."
    return (
        f"The {name} fails by chance as far as can be told ({shape}): renewing it ahead would save nothing that shows."
    )


def returns_words(one: Returns, rules: Rules) -> str:
    """What is said of the repairs of a check; the truck and the repair, never who made it."""
    kind = rules.kind(one.kind)
    check = kind.check(one.check) if kind is not None else None
    what = f"“{check.text if check else one.check}” of truck {one.truck}"
    count = f"{one.back} of {one.repairs} {'was' if one.back == 1 else 'were'} back within {BACK} h"
    if one.said:
        return f"Repairs of {what} do not hold: {count}. Look for what is behind it, and at how it is mended."
    return f"Repairs of {what}: {count}."


def missed_words(one: Missed) -> str:
    """What is said of a fault that a walk-round should have found; not who made it."""
    return f"Truck {one.truck}: {one.text.rstrip('.')}; found at work, called OK {figure(one.hours)} h before."


def fails_words(one: Fails, rules: Rules) -> str:
    """What is said of a kind of truck."""
    kind = kind_words(one.kind, rules)
    beside = f"{counted(one.trucks, 'truck')}, {number(one.hours)} h"
    few = "; too few trucks for limits of the curve" if one.few else ""
    if one.of == "labour":
        spent = float(one.mean.value[-1])
        return f"{kind}: {figure(spent)} h of labour on faults a truck, {beside}{few}."
    what = kind if one.part is None else f"{kind}, {one.part}"
    rate = f"{figure(one.rate)} in 1,000 h {between(one.low, one.high)}"
    return f"{what}: {counted(one.faults, 'fault')}, {rate}; {beside}{few}."


def upkeep_words(one: Upkeep) -> str:
    """What is said of what a truck takes."""
    wanted = "its shifts" if one.by_shift else "the whole time, for no shifts are known"
    year = one.years[0]
    said = [
        f"Truck {one.truck}: {number(year.hours)} h in {number(one.span)} days, {_spent(year)}",
        f"available {100 * one.availability:.1f} % of {wanted}",
    ]
    if one.restore is not None:
        said.append(f"out of service {_times(one.stops)}, on average {figure(one.restore)} h until it was back")
    text = "; ".join(said) + "."
    if one.life is not None:
        kept, coming = one.life.kept, one.life.next
        years = counted(kept.best_year, "year")
        more = ", or longer" if kept.last else ""
        text += f" It costs least a year kept {years}{more}: {number(kept.least)}. Another year costs about "
        text += f"{number(coming.marginal)}: {coming.choice} it."
    return text


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _spent(year: YearSpent) -> str:
    """Labour and money, and for an hour worked."""
    told = f"{figure(year.minutes / 60)} h of labour"
    told += f" ({figure(year.minutes / year.hours)} min an hour worked)" if year.hours > 0 else ""
    if not year.costs:
        return f"{told}, no cost written down"
    for currency, cost in sorted(year.costs.items()):
        an_hour = f" ({figure(cost / year.hours)} an hour worked)" if year.hours > 0 else ""
        told += f", {number(cost)} {currency}{an_hour}"
    return told + (f", {year.unpriced} of {year.jobs} jobs without cost" if year.unpriced else "")


def shown_words(one: Shown, names: Mapping[PersonKey, str]) -> str:
    """What is said of somebody's sheets."""
    what = SIGN[one.sign] if one.sign == "missed" else f"sheets {SIGN[one.sign]}"
    beside = f"{one.marked} of {one.of} {what}; of the others {one.others_marked} of {one.others_of}"
    said = f". {WATCH}" if one.said else "."
    return f"{names.get(one.by, one.by)}: {beside}{said}"
