"""Signs of careless sheets: each on a small record, and how many are false."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from random import Random

import msgspec
import pytest

from derive.builders import ZONE, at
from derive.lessons.made import fault, fid, made, walk, when
from dipmark.derive.lessons.repeats import missed
from dipmark.derive.lessons.vigilance import (
    FEWEST,
    LOOKS,
    SIGNS,
    YEARLY,
    Seen,
    Shown,
    Sign,
    judged,
    judged_at,
    signs,
)
from dipmark.derive.lessons.watched import Watched, watched
from dipmark.facts.base import FactId, PersonKey, Reading
from dipmark.facts.kinds import AnyBody
from dipmark.facts.walk_round import WalkRound
from dipmark.facts.work import Worked
from lessons.seeded import RULES

KIM, LEE = PersonKey("kim"), PersonKey("lee")


def watched_by(*events: tuple[float, AnyBody, str]) -> Watched:
    """A truck whose facts are of several people."""
    truck = made(*((hours, body) for hours, body, _ in events), end=900)
    people = ["lead", *(by for _, _, by in events), "lead"]
    counting = tuple(msgspec.structs.replace(one, by=PersonKey(by)) for one, by in
                     zip(truck.counting, people, strict=True))  # fmt: skip
    found = watched(msgspec.structs.replace(truck, counting=counting))
    assert found is not None
    return found


def found_of(truck: Watched, sign: Sign, wrong: set[FactId] | None = None) -> dict[str, tuple[int, int, int, int]]:
    """Of each person: marked, of, those of the others, of."""
    shown = signs([truck], missed([truck], RULES), wrong or set(), when(900) + timedelta(days=31), ZONE)
    return {one.by: (one.marked, one.of, one.others_marked, one.others_of) for one in shown if one.sign == sign}


def each(count: int, kim: WalkRound, lee: WalkRound) -> list[tuple[float, AnyBody, str]]:
    """Sheets in turn, a day apart."""
    return [(12 * number + 1, kim if number % 2 else lee, KIM if number % 2 else LEE) for number in range(2 * count)]


def test_too_quick() -> None:
    slow = [(1 + 12 * number, walk(seconds=240), LEE) for number in range(8)]
    quick = [(200 + 12 * number, walk(seconds=79 if number else 3), KIM) for number in range(6)]
    fine = [(400 + 12 * number, walk(seconds=80), KIM) for number in range(2)]
    assert found_of(watched_by(*slow, *quick, *fine), "quick") == {KIM: (6, 8, 0, 8), LEE: (0, 8, 6, 8)}


def test_always_the_same_seconds() -> None:
    lee = [(1 + 12 * number, walk(seconds=200 + number), LEE) for number in range(8)]
    kim = [(200 + 12 * number, walk(seconds=31), KIM) for number in range(6)]
    assert found_of(watched_by(*lee, *kim, (500, walk(), KIM)), "same-seconds") == {
        KIM: (5, 5, 0, 7),
        LEE: (0, 7, 5, 5),
    }


def test_nothing_ever_found() -> None:
    truck = watched_by(*each(6, walk(), walk("lamp.work")))
    assert found_of(truck, "nothing-found") == {KIM: (6, 6, 0, 6)}


def test_called_ok_and_found_at_the_service() -> None:
    events: list[tuple[float, AnyBody, str]] = []
    for number in range(6):
        start = 100 * number + 1
        events += [(start, walk(), KIM), (start + 2, Worked(services=("250h",)), "mona")]
        events += [(start + 3, fault("lamp.work", fid("1", len(events))), "mona")]
        events += [(start + 4, Worked(mends=(fid("1", len(events)),)), "mona")]  # type: ignore[arg-type]
        events += [(start + 30, walk("horn.sound"), LEE)]
        events += [(start + 31, Worked(mends=(f"{fid('1', len(events))}#horn.sound",)), "mona")]  # type: ignore[arg-type]
    assert found_of(watched_by(*events), "missed") == {KIM: (6, 6, 0, 6), LEE: (0, 6, 6, 6)}


def test_meter_not_read_and_meter_copied() -> None:
    unread = WalkRound(answers=walk().answers, meter=None)
    truck = watched_by(*((hours, walk(), by) for hours, _, by in each(6, unread, walk())))
    bare = tuple(
        msgspec.structs.replace(one, body=msgspec.structs.replace(one.body, meter=None))
        if one.by == KIM and isinstance(one.body, WalkRound)
        else one
        for one in truck.truck.counting
    )
    truck = msgspec.structs.replace(truck, truck=msgspec.structs.replace(truck.truck, counting=bare))
    assert found_of(truck, "meter-unread")[KIM] == (6, 6, 0, 6)
    assert found_of(truck, "meter-copied") == {}


def test_the_hours_of_the_sheet_before() -> None:
    events: list[tuple[float, AnyBody, str]] = []
    for number in range(6):
        start = 24 * number + 1
        before = Reading(hours=Decimal(start))
        events += [(start, walk(), LEE), (start + 12, walk(meter=before), KIM), (start + 14, walk(), KIM)]
    found = found_of(watched_by(*events), "meter-copied")
    assert found == {KIM: (6, 6, 0, 5), LEE: (0, 5, 6, 6)}  # within 12 hours a meter may well stand still


def test_letters_and_values() -> None:
    def sheet(value: int, letter: str | None = None) -> WalkRound:
        answers = tuple(
            msgspec.structs.replace(answer, value=Decimal(value), unit="mm") if answer.check == "lamp.work" else answer
            for answer in walk().answers
        )
        return WalkRound(answers=answers, letter=letter)

    events: list[tuple[float, AnyBody, str]] = []
    for number in range(6):
        events += [(24 * number + 1, sheet(number, "A"), LEE), (24 * number + 13, sheet(number, "B"), KIM)]
    truck = watched_by(*events)
    wrong = {one.id for one in truck.truck.counting if one.by == KIM}
    assert found_of(truck, "letter", wrong) == {KIM: (6, 6, 0, 6), LEE: (0, 6, 6, 6)}
    assert found_of(truck, "values-copied") == {KIM: (6, 6, 0, 5), LEE: (0, 5, 6, 6)}


def test_paper_take_overs_and_old_sheets_are_left_out() -> None:
    kept = [(hours, walk(), by) for hours, _, by in each(5, walk(), walk())]
    odd: list[tuple[float, AnyBody, str]] = [
        (300, walk(paper=True), KIM), (312, walk(sheet="take-over"), KIM), (324, walk(sheet="after-shift"), KIM),
        (336, WalkRound(), KIM),
    ]  # fmt: skip
    assert found_of(watched_by(*kept, *odd), "meter-unread")[KIM] == (0, 5, 0, 5)
    late: list[tuple[float, AnyBody, str]] = [(400, walk(paper=True), KIM), (402, Worked(services=("250h",)), "mona")]
    found = watched_by((1, walk(), LEE), *late, (403, fault("lamp.work", fid("1", 3)), "mona"))
    assert len(missed([found], RULES)) == 1
    assert found_of(found, "missed") == {}
    truck = watched_by(*kept)
    assert signs([truck], (), set(), when(0) + timedelta(days=500), ZONE) == ()


def test_signs_are_judged_at_the_first_of_the_month() -> None:
    assert judged_at(at("2026-11-20T06:00"), ZONE) == at("2026-11-01T00:00")
    assert judged_at(at("2026-11-01T00:00"), ZONE) == at("2026-11-01T00:00")


def test_few_sheets_nobody_beside_or_few_marked_say_nothing() -> None:
    def sheets(by: PersonKey, marked: int, of: int) -> list[Seen]:
        return [Seen("letter", by, "", number < marked, FactId(f"{by}{number}")) for number in range(of)]

    assert judged(sheets(KIM, 4, 4)) == ()
    assert judged(sheets(KIM, 40, 40)) == ()
    few, _ = judged([*sheets(KIM, FEWEST - 1, 40), *sheets(LEE, 0, 400)])
    assert (few.chance, few.said) == (1, False)
    many = judged([*sheets(KIM, 20, 40), *sheets(LEE, 0, 400)])
    assert [(one.by, one.said) for one in many] == [(KIM, True), (LEE, False)]
    assert many[0].facts == tuple(FactId(f"kim{number}") for number in range(20))


def honest(rng: Random) -> Iterator[Seen]:
    """A year of five people who all do as well as one another, each sign as often seen as it may be."""
    often = dict(zip(SIGNS, (0.02, 0.01, 0.9, 0.05, 0.1, 0.1, 0.02, 0.3), strict=True))
    for person in range(5):
        for sheet in range(80):
            for sign, share in often.items():
                yield Seen(sign, PersonKey(f"p{person}"), f"t{sheet % 4}", rng.random() < share, FactId("x"))


def test_false_signs_are_fewer_than_is_said() -> None:
    rng, looks = Random(3), 200
    said: list[Shown] = [one for _ in range(looks) for one in judged(tuple(honest(rng))) if one.said]
    assert len(said) <= looks * YEARLY / LOOKS + 3 * (looks * YEARLY / LOOKS) ** 0.5


@pytest.mark.parametrize("sign", SIGNS)
def test_every_sign_can_be_said(sign: Sign) -> None:
    bad = [Seen(sign, KIM, "1", marked=True, fact=FactId("x")) for _ in range(40)]
    good = [Seen(sign, LEE, "1", marked=number < 20, fact=FactId("x")) for number in range(200)]
    assert judged([*bad, *good])[0].said
