"""The sentences of the lessons: advice in plain words, and how far each figure goes."""

from __future__ import annotations

from typing import Final, Literal

from dipmark.derive.lessons.intervals import Interval
from dipmark.derive.lessons.parts import Part
from dipmark.derive.lessons.repeats import Missed, Returns
from dipmark.derive.lessons.upkeep import Upkeep, YearSpent
from dipmark.derive.lessons.watched import BACK
from dipmark.derive.lessons.wearing import Bad, Fails, Wears
from dipmark.facts.said import Word, says
from dipmark.rules.model import Rules
from dipmark.views.part_names import part_named

LOOSER: Final = says(
    "Longer than the maker's book, a warranty or a duty allows is for the maker or a competent person to say."
)

STEP: Final = 1.25
"""What nobody has tried nobody knows: an interval is made longer by so much at a time. Common practice, no source."""

Counted = Literal["fault", "failure", "truck", "year"]

COUNTED: Final[dict[Counted, tuple[str, str]]] = {
    "fault": (says("{} fault"), says("{} faults")),
    "failure": (says("{} failure"), says("{} failures")),
    "truck": (says("{} truck"), says("{} trucks")),
    "year": (says("{} year"), says("{} years")),
}

NOT_ENOUGH: Final = says("not enough to tell: {}.")
NOT_YET: Final = says("not enough to tell: {}; with about {} more hours it would be.")
NOT_YET_SUCH: Final = says("not enough to tell: {}; with about {} more hours of such trucks it would be.")
NOT_YET_ALL: Final = says("not enough to tell: {}; with about {} more hours of all together it would be.")

OR_MORE: Final = says("({} or more)")
TO: Final = says("({} to {})")
RATE: Final = says("{} in 1,000 h {}")
TRUCK: Final = says("Truck {}: {}")
THE: Final = says("The {}: {}")

SERVICE: Final = says("{} service ({})")
HALVES: Final = says("late in the interval {} faults in 1,000 h {}, early {} {}")
BETWEEN: Final = says("{} between services in {} h")
SELDOM: Final = says("{}; what services and repairs take is written down too seldom (labour in minutes, or cost)")
ABOUT: Final = says("about {} h {}")
SOONER: Final = says("Do the {} sooner: at {}, not every {} h: {}.")
LONGER: Final = says("The {} could wait longer than {} h: {}; try it at {} h, and look again. {}")
LEAST: Final = says("services and faults together cost least at {}")
NO_FASTER: Final = says("faults come no faster late")
UNSURE: Final = says("The {}, done every {} h: {}; too unsure to say aloud, look again later.")
KEEP: Final = says("Keep the {} at {} h: {}; {}.")

IN_HOURS: Final = says("{} in {} h, {}")
WEARS: Final = says("Truck {} wears out: its faults come closer and closer together. {}.")
AHEAD: Final = says("About {} in the next 1,000 h.")
NO_WEAR: Final = says("Truck {}: no wear to be seen; {}.")

OTHERS_NONE: Final = says("Truck {}: the others of its kind had no fault, it had {}.")
FAILS: Final = says("Truck {} fails {} times as often as the others of its kind {}.")
MOST: Final = says("Most of it: {}.")

SO_FAR: Final = says("{} in {} h")
SHAPE: Final = says("shape {} {}, {}")
PART_WEARS: Final = says("The {} wears out: one in ten has failed by {} h ({}).")
RENEW: Final = says("Renewing it ahead costs least at {}.")
AT_TIMES: Final = says("{} h where a failure costs {} times as much")
SEEMS: Final = says("The {} seems to wear out ({}).")
BY_CHANCE: Final = says(
    "The {} fails by chance as far as can be told ({}): renewing it ahead would save nothing that shows."
)

OF_TRUCK: Final = says("“{}” of truck {}")
WAS_BACK: Final = says("{} of {} was back within {} h")
WERE_BACK: Final = says("{} of {} were back within {} h")
NOT_HOLD: Final = says("Repairs of {} do not hold: {}. Look for what is behind it, and at how it is mended.")
REPAIRS: Final = says("Repairs of {}: {}.")
MISSED: Final = says("Truck {}: {}; found at work, called OK {} h before.")

BESIDE: Final = says("{}, {} h")
FEW_TRUCKS: Final = says("too few trucks for limits of the curve")
LABOUR: Final = says("{} h of labour on faults a truck, {}")

TAKES: Final = says("Truck {}: {} h in {} days, {}")
OF_SHIFTS: Final = says("available {} % of its shifts")
OF_ALL: Final = says("available {} % of the whole time, for no shifts are known")
STOPS: Final = says("out of service {}, on average {} h until it was back")
ONCE: Final = says("once")
TIMES: Final = says("{} times")
KEPT: Final = says("It costs least a year kept {}: {}.")
KEPT_LONGER: Final = says("It costs least a year kept {}, or longer: {}.")
CHOICE: Final = {
    "keep": says("Another year costs about {}: keep it."),
    "replace": says("Another year costs about {}: replace it."),
}
OF_LABOUR: Final = says("{} h of labour")
OF_LABOUR_AN_HOUR: Final = says("{} h of labour ({} min an hour worked)")
NO_COST: Final = says("no cost written down")
AN_HOUR: Final = says("{} ({} an hour worked)")
WITHOUT: Final = says("{} of {} jobs without cost")


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


def counted(count: int, what: Counted, word: Word = str) -> str:
    """A count with its word.

    Example:
        >>> counted(1, "fault"), counted(1200, "fault")
        ('1 fault', '1,200 faults')
    """
    return word(COUNTED[what][count != 1]).format(f"{count:,}")


def between(low: float | None, high: float | None, word: Word = str) -> str:
    """Limits in brackets.

    Example:
        >>> between(1.25, 3), between(2, None)
        ('(1.2 to 3.0)', '(2.0 or more)')
    """
    low_said = figure(low or 0)
    return word(OR_MORE).format(low_said) if high is None else word(TO).format(low_said, figure(high))


def more_words(more: float | None, hours: float, so_far: str, yet: str = NOT_YET, word: Word = str) -> str:
    """That it is not enough to tell, and how much more it takes; more than a hundredfold is no help to anybody.

    Args:
        more: hours.
        hours: so far.
        so_far: what there is.
        yet: the sentence, for whose hours they are.
        word: says a sentence in the reader's language.
    """
    if more is None or more > 100 * hours:
        return word(NOT_ENOUGH).format(so_far)
    return word(yet).format(so_far, figure(more))


def kind_words(kind: str, rules: Rules) -> str:
    """A kind of truck as people call it.

    Args:
        kind: its key.
        rules: with its name.
    """
    known = rules.kind(kind)
    return known.text if known is not None else kind


def check_words(kind: str, check: str, rules: Rules) -> str:
    """A check as its list has it.

    Args:
        kind: key of the kind of truck.
        check: its id.
        rules: with its text.
    """
    known = rules.kind(kind)
    found = known.check(check) if known is not None else None
    return found.text if found is not None else check


def interval_words(one: Interval, rules: Rules) -> str:
    """What is said of an interval."""
    word = rules.word
    name = word(SERVICE).format(one.service, kind_words(one.kind, rules))
    halves = word(HALVES).format(
        figure(one.late[0]), between(*one.late[1:], word), figure(one.early[0]), between(*one.early[1:], word)
    )
    so_far = word(BETWEEN).format(counted(one.faults, "fault", word), number(one.hours))
    if one.done is None or one.leans is None:
        if one.price is None and one.more is None:
            so_far = word(SELDOM).format(so_far)
        return word(THE).format(name, more_words(one.more, one.hours, so_far, NOT_YET_SUCH, word))
    range_ = word(ABOUT).format(figure(one.best), between(one.low, one.high, word)) if one.best is not None else ""
    done = number(one.done)
    if one.said and one.leans == "shorter":
        return word(SOONER).format(name, range_, done, halves)
    if one.said:
        return word(LONGER).format(name, done, halves, number(one.done * STEP), word(LOOSER))
    if one.more is None:
        least = word(LEAST).format(range_) if range_ else word(NO_FASTER)
        if (one.high or one.done) < one.done or (one.low or one.done) > one.done:
            return word(UNSURE).format(name, done, least)
        return word(KEEP).format(name, done, least, halves)
    return word(THE).format(name, more_words(one.more, one.hours, so_far, NOT_YET_SUCH, word))


def wears_words(one: Wears, word: Word = str) -> str:
    """What is said of a truck and its wear."""
    rate = word(RATE).format(figure(one.rate), between(one.low, one.high, word))
    so_far = word(IN_HOURS).format(counted(one.faults, "fault", word), number(one.hours), rate)
    if one.said:
        said = word(WEARS).format(one.truck, so_far)
        if one.law is not None:
            end = one.hours
            said += " " + word(AHEAD).format(figure(one.law.expected(end + 1000) - one.law.expected(end)))
        return said
    if one.more is not None or not one.faults:
        return word(TRUCK).format(one.truck, more_words(one.more, one.hours, so_far, NOT_YET, word))
    return word(NO_WEAR).format(one.truck, so_far)


def bad_words(one: Bad, word: Word = str) -> str:
    """What is said of a truck beside its like."""
    if one.times is None:
        return word(OTHERS_NONE).format(one.truck, len(one.facts))
    said = word(FAILS).format(one.truck, figure(one.times), between(one.low, one.high, word))
    if one.said:
        said += " " + word(MOST).format(worst_words(one, word))
    return said


def worst_words(one: Bad, word: Word = str) -> str:
    """The parts of a truck with the most faults, and how many."""
    return ", ".join(f"{part_named(part, word)} {count}" for part, count in one.worst)


def part_words(one: Part, rules: Rules) -> str:
    """What is said of a part."""
    word = rules.word
    name = f"{one.part} ({kind_words(one.kind, rules)})"
    so_far = word(SO_FAR).format(counted(one.failed, "failure", word), number(one.hours))
    if one.law is None or one.limits is None or one.tenth is None:
        return word(THE).format(name, more_words(one.more, one.hours, so_far, NOT_YET_ALL, word))
    limits = between(one.limits.shape_low, one.limits.shape_high, word)
    shape = word(SHAPE).format(figure(one.law.shape), limits, so_far)
    if one.said:
        said = word(PART_WEARS).format(name, figure(one.tenth), shape)
        ages = [word(AT_TIMES).format(figure(at), f"{times:.0f}") for times, at in one.ahead if at]
        return f"{said} {word(RENEW).format(', '.join(ages))}" if ages else said
    return word(SEEMS if one.limits.shape_low > 1 else BY_CHANCE).format(name, shape)


def returns_words(one: Returns, rules: Rules) -> str:
    """What is said of the repairs of a check; the truck and the repair, never who made it."""
    word = rules.word
    what = word(OF_TRUCK).format(check_words(one.kind, one.check, rules), one.truck)
    count = word(WAS_BACK if one.back == 1 else WERE_BACK).format(one.back, one.repairs, BACK)
    return word(NOT_HOLD if one.said else REPAIRS).format(what, count)


def missed_words(one: Missed, word: Word = str) -> str:
    """What is said of a fault that a walk-round should have found; not who made it."""
    return word(MISSED).format(one.truck, one.text.rstrip("."), figure(one.hours))


def fails_words(one: Fails, rules: Rules) -> str:
    """What is said of a kind of truck."""
    word = rules.word
    kind = kind_words(one.kind, rules)
    beside = word(BESIDE).format(counted(one.trucks, "truck", word), number(one.hours))
    few = f"; {word(FEW_TRUCKS)}" if one.few else ""
    if one.of == "labour":
        return f"{kind}: {word(LABOUR).format(figure(float(one.mean.value[-1])), beside)}{few}."
    what = kind if one.part is None else f"{kind}, {part_named(one.part, word)}"
    rate = word(RATE).format(figure(one.rate), between(one.low, one.high, word))
    return f"{what}: {counted(one.faults, 'fault', word)}, {rate}; {beside}{few}."


def upkeep_words(one: Upkeep, word: Word = str) -> str:
    """What is said of what a truck takes."""
    year = one.years[0]
    said = [
        word(TAKES).format(one.truck, number(year.hours), number(one.span), _spent(year, word)),
        word(OF_SHIFTS if one.by_shift else OF_ALL).format(f"{100 * one.availability:.1f}"),
    ]
    if one.restore is not None:
        times = word(ONCE) if one.stops == 1 else word(TIMES).format(one.stops)
        said.append(word(STOPS).format(times, figure(one.restore)))
    text = "; ".join(said) + "."
    if one.life is not None:
        kept, coming = one.life.kept, one.life.next
        years = counted(kept.best_year, "year", word)
        text += " " + word(KEPT_LONGER if kept.last else KEPT).format(years, number(kept.least))
        text += " " + word(CHOICE[coming.choice]).format(number(coming.marginal))
    return text


def _spent(year: YearSpent, word: Word) -> str:
    """Labour and money, and for an hour worked."""
    labour = figure(year.minutes / 60)
    told = [
        word(OF_LABOUR_AN_HOUR).format(labour, figure(year.minutes / year.hours))
        if year.hours > 0
        else word(OF_LABOUR).format(labour)
    ]
    for currency, cost in sorted(year.costs.items()):
        money = f"{number(cost)} {currency}"
        told.append(word(AN_HOUR).format(money, figure(cost / year.hours)) if year.hours > 0 else money)
    if not year.costs:
        told.append(word(NO_COST))
    elif year.unpriced:
        told.append(word(WITHOUT).format(year.unpriced, year.jobs))
    return ", ".join(told)
