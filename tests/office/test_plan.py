"""The fortnight of the invented yard: suggested, published, changed by hand, made anew when a mechanic falls ill."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import msgspec
import pytest

from dipmark.derive.workshop import workshop_now
from dipmark.facts.base import YARD
from dipmark.facts.errors import Refused
from dipmark.facts.workshop import Away
from dipmark.office.open import Office
from dipmark.office.plan import considered, publish, published, set_away, suggested
from dipmark.office.workshop import workshop_of
from dipmark.plan.fortnight import Placed
from dipmark.views.workshop import CardRow, PlanPage
from office.demo_desk import demo_desk, noon
from office.taking import yard


@pytest.fixture(name="office")
def _office() -> Iterator[Office]:
    with demo_desk() as office:
        yield office


def cards(page: PlanPage) -> list[tuple[date, str, str, CardRow]]:
    return [(day.day, cell.shift, cell.who, card) for day in page.days for cell in day.cells for card in cell.cards]


def test_a_plan_is_suggested_published_and_stays(office: Office) -> None:
    assert published(office, office.clock()) is not None
    page = suggested(office, office.clock(), 2.0)
    assert page.complaints == ()
    assert page.sure.startswith("No plan of these visits costs less")
    assert cards(page)
    assert all(card.why for *_, card in cards(page))
    publish(office, page.visits, noon(office), words="short week")
    kept = published(office, office.clock())
    assert kept is not None
    assert [one[:3] for one in cards(kept)] == [one[:3] for one in cards(page)]
    assert not any(card.moved for *_, card in cards(kept))
    plan = workshop_now(office.book(YARD), office.clock()).plan
    assert plan is not None
    assert (plan.by, plan.plan.note, plan.plan.days) == (office.by, "short week", 14)
    again = suggested(office, office.clock(), 2.0)
    assert again.changes == "Nothing changes."
    firms = [visit.firm for visit in plan.plan.visits if visit.firm]
    assert set(firms) <= {"Wain Examinations"}


def test_when_a_mechanic_falls_ill_only_his_jobs_move(office: Office) -> None:
    before = suggested(office, office.clock(), 2.0)
    publish(office, before.visits, noon(office))
    day, _, who, _ = next(
        one for one in cards(before) if before.people[one[2]] == "Carl Voss" and one[0] > office.clock().date()
    )
    set_away(office, Away(person=who, first=day, last=day), noon(office))  # type: ignore[arg-type]
    stands = published(office, office.clock())
    assert stands is not None
    assert any("Carl Voss does not work" in complaint for complaint in stands.complaints)
    after = suggested(office, office.clock(), 2.0)
    assert after.complaints == ()
    was = {(one[3].truck, one[3].jobs): one[:3] for one in cards(before)}
    for place in cards(after):
        old = was.get((place[3].truck, place[3].jobs))
        if old is not None and (old[0], old[2]) != (day, who):
            assert place[:3] == old
    assert not any((one[0], one[2]) == (day, who) for one in cards(after))


def test_a_visit_moved_shows_what_that_does(office: Office) -> None:
    page = suggested(office, office.clock(), 2.0)
    day, shift, who, card = cards(page)[0]
    later = next(
        one.day for one in page.days if one.day > day + timedelta(days=3) and any(c.who == who for c in one.cells)
    )
    moved = considered(office, office.clock(), page.visits, card.key, (later, shift, who))
    assert moved.changes.startswith("The plan gets dearer by")
    assert (later, shift, who) in [one[:3] for one in cards(moved) if one[3].truck == card.truck]
    gone = considered(office, office.clock(), page.visits, card.key, None)
    assert len(cards(gone)) == len(cards(page)) - 1
    assert gone.changes.startswith("The plan gets dearer by")
    nobody = considered(office, office.clock(), page.visits, card.key, (day, shift, "nobody"))
    assert nobody.complaints


def test_what_cannot_be_is_not_published(office: Office) -> None:
    page = suggested(office, office.clock(), 2.0)
    visits = msgspec.json.decode(page.visits, type=list[Placed])
    bad = [msgspec.structs.replace(visits[0], mechanic="nobody"), *visits[1:]]
    before = len(office.book(YARD))
    with pytest.raises(Refused, match="nobody does not work on"):
        publish(office, msgspec.json.encode(bad).decode(), noon(office))
    for text in ("", "[{}]", "no plan"):
        with pytest.raises(Refused, match="Open the plan again"):
            publish(office, text, noon(office))
    with pytest.raises(Refused, match="Open the plan again"):
        considered(office, office.clock(), page.visits, "none", None)
    assert len(office.book(YARD)) == before


def test_an_absence_has_its_days_in_order(office: Office) -> None:
    today = workshop_of(office, office.clock()).room.first
    with pytest.raises(Refused, match="Turn them"):
        set_away(office, Away(person=office.by, first=today, last=today - timedelta(days=1)), noon(office))


def test_a_yard_without_a_plan_and_without_mechanics() -> None:
    with yard() as office:
        assert published(office, office.clock()) is None
        page = suggested(office, office.clock(), 1.0)
        assert (cards(page), page.changes) == ([], "")
        assert page.guessed
