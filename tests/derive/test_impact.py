"""Hits and near misses: released or not, hours in between, the seal."""

from __future__ import annotations

from decimal import Decimal

import msgspec
import pytest

from derive.builders import ENROLLED, ZONE, at, fid, record
from derive.measuring import SHIPPED
from dipmark.derive.impact import Hit, hits_of, seal_holds
from dipmark.derive.meter import meters_of
from dipmark.derive.past import past
from dipmark.facts.base import Accepted
from dipmark.facts.codec import book_code

HIT = """
incident truck:7 2026-02-01T22:00:00+01:00 dan
  what hit
  text "into rack 14"
"""
LATER = "2026-03-01T00:00:00"


def read(when: str, hours: str) -> str:
    return f"\nmeter-read truck:7 {when}:00+01:00 dan\n  hours {hours}\n"


def release(when: str, clears: str = "") -> str:
    return f"\nreleased truck:7 {when}:00+01:00 lead\n  tests - brakes\n" + (f"  clears - {clears}\n" if clears else "")


LISTS = [one for one in SHIPPED.kinds["engine-pneumatic-lpg"].services if one.after == "hit"]


def hits(text: str) -> tuple[Hit, ...]:
    book = record(ENROLLED + text)
    counting = past(book, at(LATER))
    return hits_of(book, counting, meters_of(counting, ZONE), LISTS)


@pytest.mark.parametrize(
    ("when", "clears", "released"),
    [
        ("2026-02-01T22:00", "", False),  # at that very instant: not after it
        ("2026-02-01T22:01", "", True),
        ("2026-02-01T21:00", "", False),
        ("2026-02-02T08:00", fid(2), True),
        ("2026-02-02T08:00", fid(9), False),  # it clears something else
    ],
)
def test_a_release_after_it_ends_it(when: str, clears: str, released: bool) -> None:
    (hit,) = hits(HIT + release(when, clears))
    assert (hit.released is not None) is released


def test_the_latest_comes_first_and_nobody_has_sealed_it() -> None:
    near = HIT.replace("what hit", "what near-miss").replace("02-01", "02-05")
    found = hits(HIT + near)
    assert [one.body.what for one in found] == ["near-miss", "hit"]
    assert [one.sealed for one in found] == [None, None]
    assert [one.ran for one in found] == [0, 0]


AT = read("2026-02-01T22:00", "100.0")


@pytest.mark.parametrize(
    ("text", "ran"),
    [
        (AT, "0"),
        (AT + read("2026-02-04T08:00", "103.0"), "2.9"),  # still standing there, and it ran: less the roundings
        (AT + read("2026-02-02T08:00", "101.0") + release("2026-02-02T08:00"), "0.9"),
        (AT + read("2026-02-02T08:00", "100.0") + release("2026-02-02T08:00") + read("2026-02-03T08:00", "108.0"), "0"),
        (AT + release("2026-02-02T08:00"), "0"),
    ],
)
def test_no_hours_lie_between_a_hit_and_its_release(text: str, ran: str) -> None:
    """29 CFR 1910.178(p)(1): out of service until restored. Only what the readings prove is told."""
    (hit,) = hits(HIT + text)
    assert abs(hit.ran - Decimal(ran)) <= Decimal("0.1")
    assert (hit.ran > 0) is (ran != "0")


def sealed(book: tuple[Accepted, ...], seq: int) -> str:
    return book_code(seq, book[seq - 1].digest)


def test_a_seal_holds_whatever_comes_later_and_breaks_with_a_byte_before() -> None:
    book = record(ENROLLED + AT + HIT)
    seal = sealed(book, 2)
    assert seal_holds(seal, book[:2])
    withdrawn = f"\nwithdrawn truck:7 2026-02-09T08:00:00+01:00 lead\n  target {fid(2)}\n  reason wrong\n"
    assert seal_holds(seal, record(ENROLLED + AT + HIT + withdrawn))
    changed = record(ENROLLED + AT.replace("100.0", "100.1") + HIT)
    assert not seal_holds(seal, changed)
    forged = (book[0], msgspec.structs.replace(changed[1], digest=book[1].digest), *book[2:])
    assert not seal_holds(seal, forged)
    assert not seal_holds(seal, book[:1])
    assert not seal_holds(seal, book[1:])
    assert not seal_holds("no code", book)
    assert not seal_holds(seal.replace("2-", "0-", 1), book)


def test_a_sealed_hit_says_so() -> None:
    before = record(ENROLLED + AT)
    told = HIT + f"  seal {sealed(before, 2)}\n"
    (hit,) = hits(AT + told)
    assert hit.sealed is True
    (broken,) = hits(AT.replace("100.0", "100.1") + told)
    assert broken.sealed is False


TICKED = "\nworked truck:7 2026-02-02T09:00:00+01:00 carl\n  services - after-hit\n"
REPORT = """
document truck:7 2026-02-03T09:00:00+01:00 hugh
  what examination
  title "Report"
  fit true
  lines - {"text": "whole", "duty": "thorough-examination"}
"""


def test_each_step_after_it_is_found() -> None:
    """The steps: LOLER 1998, regulation 9(3)(a)(iv): examined; the list: common practice."""
    (hit,) = hits(HIT + TICKED + REPORT)
    assert (hit.looked, hit.examined, hit.released) == (fid(3), fid(4), None)
    (hit,) = hits(HIT)
    assert (hit.looked, hit.examined) == (None, None)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("02-03T", "01-03T"),  # before it
        ("fit true", "fit false"),
        ("what examination", "what job-sheet"),
        (', "duty": "thorough-examination"', ""),
    ],
)
def test_what_is_no_report_that_finds_it_fit_does_not_count(old: str, new: str) -> None:
    (hit,) = hits(HIT + REPORT.replace(old, new))
    assert hit.examined is None


def test_a_list_not_ticked_whole_does_not_count() -> None:
    (hit,) = hits(HIT + TICKED + "  left_out - forks.struck\n")
    assert hit.looked is None
