"""Papers line by line: what is answered and what is not, and which trucks a bulletin speaks of."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Final, Literal

import msgspec

from dipmark.derive.duty import PROVES
from dipmark.derive.faults import FaultNow
from dipmark.derive.past import Counted, Counting, enrolled_in
from dipmark.facts.base import BookId, FaultRef, folded
from dipmark.facts.document import Document, Line, Serials
from dipmark.facts.work import Worked

_SERIAL: Final = re.compile(r"(.*?)(\d+)(\D*)")

Answer = Literal["answered", "unanswered", "ask", "not ours"]


class LineNow(msgspec.Struct, frozen=True):
    """A line of a paper.

    Args:
        one: the paper's fact.
        paper: what it says.
        number: the line's turn on it, from 1.
        line: the line.
        answered: True where it proves a duty, its fault is closed, its service was done, or somebody dealt with it.
    """

    one: Counted
    paper: Document
    number: int
    line: Line
    answered: bool


def lines_now(counting: Counting, faults: Iterable[FaultNow] = ()) -> tuple[LineNow, ...]:
    """Every line of every paper of a book, in order.

    Args:
        counting: what counts of the book.
        faults: of the truck.

    *Edge*: a service done at the very instant of the paper answers a line that names it; one done before does not, nor
    does the end of a fault that came before the paper. A line with a duty stays open on a report that it is not fit,
    and on a paper that proves none.
    """
    placed = {one.id: one.order for one in counting}
    ends = {fault.ref: fault.released or fault.mended for fault in faults if not fault.open}
    closed = {ref: placed[end] for ref, end in ends.items() if end is not None}
    return tuple(
        LineNow(one, one.body, number, line, _answered(one, one.body, line, counting, closed))
        for one in counting
        if isinstance(one.body, Document)
        for number, line in enumerate(one.body.lines, start=1)
    )


def unanswered(counting: Counting, faults: Iterable[FaultNow]) -> tuple[LineNow, ...]:
    """The lines that nobody has dealt with; see `lines_now`."""
    return tuple(one for one in lines_now(counting, faults) if not one.answered)


def _answered(
    one: Counted,
    paper: Document,
    line: Line,
    counting: Counting,
    closed: Mapping[FaultRef, tuple[datetime, str]],
) -> bool:
    if line.answered or _proves(paper, line):
        return True
    if line.fault is not None and line.fault in closed and closed[line.fault] > one.order:
        return True
    return line.service is not None and any(
        isinstance(done.body, Worked) and line.service in done.body.services and done.effective >= one.effective
        for done in counting
    )


def _proves(paper: Document, line: Line) -> bool:
    return line.duty is not None and paper.what in PROVES and paper.fit is not False


def in_range(serial: str | None, ranges: Sequence[Serials]) -> bool | None:
    """Whether a serial number lies in one of the ranges, both ends included.

    Serial numbers are compared as people read them: what stands before and after the last digits must be the same,
    these count as a number; case does not matter, a space is a hyphen.

    Args:
        serial: as noted; None where it is not.
        ranges: as the paper has them.

    Returns:
        None where it cannot be told and is asked: no serial number, none with digits, a range whose ends do not match,
        the same letters with other hyphens, or no range at all.
    """
    read = _read(serial or "")
    if read is None:
        return None
    found = [_within(read, one) for one in ranges]
    if not found:
        return None
    return True if True in found else None if None in found else False


def _within(read: tuple[str, int, str], one: Serials) -> bool | None:
    first, last = _read(one.first), _read(one.last) if one.last is not None else None
    if first is None or (one.last is not None and (last is None or (last[0], last[2]) != (first[0], first[2]))):
        return None
    if last is not None and last[1] < first[1]:
        return None
    if (read[0], read[2]) == (first[0], first[2]):
        return first[1] <= read[1] and (last is None or read[1] <= last[1])
    return None if _letters(read) == _letters(first) and read[0].count("-") != first[0].count("-") else False


def _read(serial: str) -> tuple[str, int, str] | None:
    match = _SERIAL.fullmatch(re.sub(r"[\s-]+", "-", folded(serial)))
    return None if match is None else (match[1], int(match[2]), match[3])


def _letters(read: tuple[str, int, str]) -> str:
    return re.sub(r"[\d-]", "", read[0] + read[2])


def bulletin_now(paper: Document, trucks: Mapping[BookId, Counting]) -> dict[BookId, Answer]:
    """What a bulletin or recall is for each truck of the yard; none is left out.

    A truck has answered once its own book holds work that names the bulletin's number as a word of its own, or another
    paper of that number with all its lines answered; a number of digits alone is not looked for among words.

    Args:
        paper: the bulletin.
        trucks: what counts in the book of each truck.
    """
    found: dict[BookId, Answer] = {}
    for book, counting in trucks.items():
        enrolled = enrolled_in(counting)
        within = in_range(enrolled.serial if enrolled else None, paper.serials)
        if any(_answers(one, paper) for one in counting):
            found[book] = "answered"
        else:
            found[book] = "not ours" if within is False else "ask" if within is None else "unanswered"
    return found


def _answers(one: Counted, paper: Document) -> bool:
    if paper.number is None:
        return False
    number, body = folded(paper.number), one.body
    if isinstance(body, Worked):
        named = re.search(rf"(?<![\w-]){re.escape(number)}(?![\w-])", folded(body.text or ""))
        return named is not None and not number.isdecimal()
    if not isinstance(body, Document) or body.number is None or folded(body.number) != number:
        return False
    return bool(body.lines) and all(line.answered for line in body.lines)
