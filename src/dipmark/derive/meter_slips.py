"""What a doubtful reading was probably meant to be: the nearest in a model of slips that agrees with those around it.

People swap two neighbouring digits, lose or add the decimal point, type a digit twice or not at all, copy the day
before, write a wrong date, misread a digit. A proposal is a question to a person, never a correction.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Final, Literal

import msgspec

from dipmark.derive.days import add_months
from dipmark.derive.meter import Doubtful, Good, MeterLife, bounds_of
from dipmark.derive.meter_chain import HOUR, rounding_of
from dipmark.facts.said import Word, says

SlipKind = Literal["copied", "point", "swapped", "extra", "date", "misread", "missing"]
"""What may have gone wrong in writing a reading down."""

TEXTS: Final[dict[SlipKind, str]] = {
    "copied": says("Probably the reading before, copied."),
    "point": says("Probably {} h (the decimal point)."),
    "swapped": says("Probably {} h (two digits swapped)."),
    "extra": says("Probably {} h (a digit too many)."),
    "date": says("Probably read on {} (another date)."),
    "misread": says("Probably {} h (a digit misread)."),
    "missing": says("Probably {} h (a digit left out)."),
}
"""Each slip in words."""

STARTED_AGAIN: Final = says("The meter seems to have started again at {}: if so, note how many digits it has.")

NEAR: Final = 8
"""So many good readings before and after are asked."""

_DAY: Final = 24 * HOUR


class Slip(msgspec.Struct, frozen=True):
    """A likely slip.

    Args:
        kind: what went wrong.
        hours: what the meter probably showed, in h; None where it is not told.
        day: the date it was probably read on; None where the date is not in question.
    """

    kind: SlipKind
    hours: Decimal | None = None
    day: date | None = None

    def text(self, word: Word = str) -> str:
        """The proposal for a person.

        Args:
            word: says a sentence in the reader's language.

        Example:
            >>> Slip("swapped", Decimal("1240.5")).text()
            'Probably 1,240.5 h (two digits swapped).'
        """
        shown = self.day.isoformat() if self.day is not None else "" if self.hours is None else f"{self.hours:,f}"
        return word(TEXTS[self.kind]).format(shown)


def what_to_ask(life: MeterLife, doubt: Doubtful, word: Word = str) -> str:
    """What to ask a person about a doubtful reading; empty where nothing is likely.

    Args:
        life: its meter.
        doubt: the reading.
        word: says a sentence in the reader's language.
    """
    if life.starts_again is not None:
        return word(STARTED_AGAIN).format(f"{life.starts_again:,}")
    slip = likely_slip(life, doubt)
    return slip.text(word) if slip else ""


def likely_slip(life: MeterLife, doubt: Doubtful) -> Slip | None:
    """The likeliest slip behind a doubtful reading; None where no slip makes it agree.

    It is the one that would agree by chance the least: the fewer ways there are to make a slip of its kind, and the
    closer together the good readings around leave the hours, the better. Of several of one kind the nearest to the
    straight line between those readings is taken, after the last reading the nearest to that.

    Args:
        life: its meter.
        doubt: the reading; of two that contradict each other it is held against the other one as well.

    *Edge*: a proposal agrees where a reading of that value would, roundings included.
    *Source*: project rule, common practice.
    """
    good = [*life.good]
    if doubt.why == "one of two":
        good += [_as_good(life.good, other) for other in life.doubtful if other.fact == doubt.against[0]]
    good.sort(key=lambda one: one.start)
    around = _Around.of(good, doubt)
    if doubt.why == "contradicts" and around.copied:
        return Slip("copied")
    fits = [*_other_days(good, doubt)]
    for kind, changes in _CHANGES.items():
        made = set(changes(doubt.shown)) - {doubt.shown}
        if kind == "point":
            made = {hours for hours in made if hours.as_tuple().exponent in around.places}
        chance = len(made) * (around.high - around.low)
        found = ((around.off(hours), hours) for hours in made)
        fits += [(chance, off, Slip(kind, hours)) for off, hours in found if off is not None]
    return min(fits, key=_order, default=(0, 0, None))[2]


_Fit = tuple[int, int, Slip]
"""How easily it comes by chance, how far off the line it lies, and the slip."""


def _order(fit: _Fit) -> tuple[int, int, str]:
    return fit[0], fit[1], fit[2].text()


class _Around(msgspec.Struct, frozen=True):
    """What a reading of an interval would have to agree with.

    Args:
        low: least true hours, in µs.
        high: most true hours, in µs.
        line: true hours on the straight line between the good readings before and after, in µs.
        added: true hours less those shown, before and after, in h.
        places: exponents of the last digit shown, before and after.
        copied: True where the reading before showed the same.
    """

    low: int
    high: int
    line: int
    added: frozenset[Decimal]
    places: frozenset[int | str]
    copied: bool

    @staticmethod
    def of(good: Sequence[Good], doubt: Doubtful) -> _Around:
        at = bisect_left([one.start for one in good], doubt.start)
        good = good[max(0, at - NEAR) : at + NEAR]
        low, high = bounds_of(good, doubt.start, doubt.end)
        middle = doubt.start + doubt.end
        before = max((one for one in good if one.start + one.end <= middle), key=_middle, default=None)
        after = min((one for one in good if one.start + one.end > middle), key=_middle, default=None)
        first, last = before or after, after or before
        if first is None or last is None:
            return _Around(low, high, low, frozenset(), frozenset(), copied=False)
        line, length = int(first.hours * HOUR), _middle(last) - _middle(first)
        if length:
            line += int((last.hours - first.hours) * HOUR) * (middle - _middle(first)) // length
        added = frozenset(one.hours - one.shown for one in (first, last))
        places = frozenset(one.shown.as_tuple().exponent for one in (first, last))
        return _Around(low, high, line, added, places, before is not None and before.shown == doubt.shown)

    def off(self, hours: Decimal) -> int | None:
        """How far hours shown would lie off the line, in µs; None where they do not agree."""
        rounding = rounding_of(hours)
        low, high = self.low - rounding, self.high + rounding
        true = (int((hours + more) * HOUR) for more in self.added)
        return min((abs(one - self.line) for one in true if low < one < high), default=None)


def _middle(one: Good) -> int:
    return one.start + one.end


def _as_good(good: Sequence[Good], other: Doubtful) -> Good:
    """The other one of two, as if it were right."""
    near = min(good, key=lambda one: abs(one.start - other.start), default=None)
    more = near.hours - near.shown if near else Decimal(0)
    return Good(other.fact, other.shown, other.shown + more, other.start, other.end, other.day)


def _other_days(good: Sequence[Good], doubt: Doubtful) -> Iterator[_Fit]:
    """Day and month swapped, or the day, the month, the year beside; between good readings only."""
    day = doubt.day
    days = {day + timedelta(days=1), day - timedelta(days=1), *(add_months(day, months) for months in (-12, -1, 1, 12))}
    if day.day <= 12:
        days.add(date(day.year, day.day, day.month))
    for other in days - {day}:
        if not good or not good[0].day < other < good[-1].day:
            continue
        ahead = (other - day).days * _DAY
        moved = msgspec.structs.replace(doubt, start=doubt.start + ahead, end=doubt.end + ahead)
        around = _Around.of(good, moved)
        if (off := around.off(doubt.shown)) is not None:
            yield len(days) * (around.high - around.low), off, Slip("date", day=other)


def _points(hours: Decimal) -> Iterator[Decimal]:
    """The point lost, of one place or two; or set one place too far to the left."""
    for places in (-1, -2, 1):
        yield hours.scaleb(places)


def _swapped(hours: Decimal) -> Iterator[Decimal]:
    digits, exponent = _digits(hours)
    for at in range(len(digits) - 1):
        yield _hours((*digits[:at], digits[at + 1], digits[at], *digits[at + 2 :]), exponent)


def _extra(hours: Decimal) -> Iterator[Decimal]:
    digits, exponent = _digits(hours)
    for at in range(len(digits)):
        yield _hours((*digits[:at], *digits[at + 1 :]), exponent)


def _misread(hours: Decimal) -> Iterator[Decimal]:
    digits, exponent = _digits(hours)
    for at in range(len(digits)):
        for digit in range(10):
            yield _hours((*digits[:at], digit, *digits[at + 1 :]), exponent)


def _missing(hours: Decimal) -> Iterator[Decimal]:
    digits, exponent = _digits(hours)
    for at in range(len(digits) + 1):
        for digit in range(10):
            yield _hours((*digits[:at], digit, *digits[at:]), exponent)


def _digits(hours: Decimal) -> tuple[tuple[int, ...], int]:
    parts = hours.as_tuple()
    return parts.digits, int(parts.exponent)


def _hours(digits: tuple[int, ...], exponent: int) -> Decimal:
    return Decimal((0, digits, exponent))


_CHANGES: Final[dict[SlipKind, Callable[[Decimal], Iterator[Decimal]]]] = {
    "point": _points,
    "swapped": _swapped,
    "extra": _extra,
    "misread": _misread,
    "missing": _missing,
}
"""What a value may have been before the slip."""
