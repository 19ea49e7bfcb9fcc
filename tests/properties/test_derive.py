"""What holds for any record: floor 2 under made-up lives of a truck."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from derive.builders import KIND, RULES, ZONE, at, fid, taken
from dipmark.derive.faults import faults_now
from dipmark.derive.meter import meters_of
from dipmark.derive.past import Counting, past
from dipmark.derive.truck import TruckNow, truck_now
from dipmark.derive.yard import YardNow
from dipmark.facts.amend import Corrected, PlainBody, Withdrawn
from dipmark.facts.base import RANK, Accepted, Body, Fact, FaultRef, PersonKey, Reading, truck_book
from dipmark.facts.document import Document, Line
from dipmark.facts.fault import Fault, OutOfService, Released
from dipmark.facts.incident import Incident
from dipmark.facts.meter import MeterChanged, MeterRead
from dipmark.facts.truck import Enrolled, Meter
from dipmark.facts.walk_round import Answer, OpenFault, WalkRound
from dipmark.facts.work import WorkBegun, Worked, WorkEnded

pytestmark = pytest.mark.property
quick = settings(max_examples=80, deadline=None, derandomize=True)

START = at("2026-01-01T00:00:00")
END = START + timedelta(days=400)
TICK = timedelta(microseconds=1)
YARD = YardNow()
NEW = Enrolled(what=KIND.key, commissioned=START.date(), start_hours=Decimal(2))
Told = tuple[Fact, datetime]

_seriousness = st.sampled_from(("watch", "repair-by", "stop", "now"))
_hours = st.integers(0, 20_000).map(lambda tenths: Decimal(tenths) / 10)
_targets = st.integers(2, 9).map(fid)
_refs = st.lists(_targets.map(FaultRef), max_size=2).map(tuple)
_days = st.integers(0, 9)
_answers = st.builds(
    Answer,
    check=st.sampled_from([check.id for check in KIND.checks]),
    mark=st.sampled_from(("ok", "fault", "unseen")),
    symptom=st.sampled_from(("flat", "soft", "slack", "out", "dim")),
    seriousness=_seriousness,
    days=_days,
)
_bodies: st.SearchStrategy[PlainBody] = st.one_of(
    st.builds(MeterRead, hours=_hours),
    st.builds(MeterChanged, new=_hours, old=st.none() | _hours, digits=st.none() | st.integers(0, 6)),
    st.builds(Incident, what=st.sampled_from(("hit", "near-miss")), text=st.just("rack")),
    st.builds(
        Document,
        what=st.just("job-sheet"),
        title=st.just("sheet"),
        lines=st.builds(Line, text=st.just("done"), fault=_targets.map(FaultRef), answered=st.booleans()).map(
            lambda line: (line,)
        ),
    ),
    st.builds(
        WalkRound,
        answers=st.lists(_answers, max_size=2).map(tuple),
        meter=st.none() | st.builds(Reading, hours=_hours),
        open_faults=st.builds(
            OpenFault, fault=_targets.map(FaultRef), now=st.sampled_from(("same", "worse", "gone"))
        ).map(lambda seen: (seen,)),
    ),
    st.builds(Fault, text=st.just("seen"), seriousness=_seriousness, days=_days, affects_safety=st.booleans()),
    st.builds(OutOfService, reason=st.just("oil")),
    st.builds(Released, clears=_refs),
    st.builds(
        Worked,
        services=st.lists(st.sampled_from([service.id for service in KIND.services]), max_size=1).map(tuple),
        mends=_refs,
    ),
    st.builds(WorkBegun),
    st.builds(WorkEnded, begun=_targets),
)
_moments = st.integers(0, 60 * 24 * 60).map(lambda minutes: START + timedelta(minutes=minutes))


def _fact(number: int, body: Body, happened: datetime = START, *, whole_day: bool = False) -> Fact:
    by = PersonKey("ana" if number % 2 else "mia")
    return Fact(id=fid(number), book=truck_book("7"), happened=happened, by=by, body=body, whole_day=whole_day)


@st.composite
def _lives(draw: st.DrawFn, *, amended: bool = True) -> list[Told]:
    """A new truck, up to seven facts of its life and up to three amendments, each with a receipt before or after."""
    life: list[Told] = [(_fact(1, NEW), START)]
    for number in range(2, 2 + draw(st.integers(0, 7))):
        moment = draw(_moments)
        life.append((_fact(number, draw(_bodies), moment), moment + timedelta(minutes=draw(st.integers(-600, 3000)))))
    for number in range(50, 50 + draw(st.integers(0, 3 if amended else 0))):
        target = draw(st.integers(2, 9) | st.integers(50, 52))
        body: Body = Withdrawn(target=fid(target), reason="never was")
        told = {fact.id: fact for fact, _ in life}.get(fid(target))
        if draw(st.booleans()) and told is not None and not isinstance(told.body, Withdrawn | Corrected):
            other = draw(_bodies)
            body = Corrected(target=fid(target), body=other, reason="wrong")
        moment = draw(_moments)
        life.append((_fact(number, body, moment), moment))
    return life


def _seen(counting: Counting) -> list[tuple[object, ...]]:
    """What counts, without place in the chain and without what was amended."""
    return [(one.id, one.body, one.happened, one.whole_day, one.by, one.effective) for one in counting]


def _truck(life: list[Told] | tuple[Accepted, ...], as_of: datetime = END) -> TruckNow:
    record = life if isinstance(life, tuple) else taken(life)
    now = truck_now(record, RULES, YARD, ZONE, as_of)
    assert now is not None
    return msgspec.structs.replace(now, counting=Counting(()))


@quick
@given(_lives(), st.randoms(use_true_random=False), _moments)
def test_the_order_of_arrival_does_not_matter(life: list[Told], rng: object, as_of: datetime) -> None:
    other = list(life)
    rng.shuffle(other)  # type: ignore[attr-defined]
    assert _seen(past(taken(life), as_of)) == _seen(past(taken(other), as_of))
    assert _truck(life) == _truck(other)


@quick
@given(_lives(amended=False), st.data())
def test_a_correction_equals_never_having_erred(life: list[Told], data: st.DataObject) -> None:
    index = data.draw(st.integers(0, len(life) - 1))
    fact, received = life[index]
    erred = data.draw(_bodies.filter(lambda body: type(body) is type(fact.body)) if index else st.just(NEW))
    wrong = [
        *life[:index],
        (msgspec.structs.replace(fact, body=erred, by=PersonKey("bob")), received),
        *life[index + 1 :],
    ]
    body = fact.body
    assert not isinstance(body, Corrected | Withdrawn)
    repair = Corrected(target=fact.id, body=body, reason="wrong", by=fact.by)  # type: ignore[arg-type]
    mended = [*wrong, (_fact(60, repair, END), END)]
    assert _seen(past(taken(mended), END)) == _seen(past(taken(life), END))
    assert _truck(mended) == _truck(life)


@quick
@given(_lives(amended=False), _moments, _moments)
def test_withdrawing_twice_is_once_and_equals_never_having_been(life: list[Told], one: datetime, two: datetime) -> None:
    told = _fact(2, MeterRead(hours=Decimal(7)), START)
    without = [item for item in life if item[0].id != told.id]
    gone = Withdrawn(target=told.id, reason="twice")
    once = [*without, (told, START), (_fact(60, gone, one), one)]
    twice = [*once, (_fact(61, gone, two), two)]
    assert _seen(past(taken(twice), END)) == _seen(past(taken(once), END)) == _seen(past(taken(without), END))
    assert _truck(twice) == _truck(once) == _truck(without)


@quick
@given(_lives(), _moments, _targets)
def test_withdrawing_a_withdrawal_equals_neither(life: list[Told], moment: datetime, target: str) -> None:
    both = [
        *life,
        (_fact(60, Withdrawn(target=fid(int(target[-2:], 16)), reason="gone"), moment), moment),
        (_fact(61, Withdrawn(target=fid(60), reason="not gone"), moment + TICK), moment + TICK),
    ]
    assert past(taken(both)[: len(life)], END) == past(taken(life), END)
    assert _seen(past(taken(both), END)) == _seen(past(taken(life), END))


@quick
@given(_lives(), _moments, st.integers(0, 12))
def test_known_is_the_record_cut_off(life: list[Told], as_of: datetime, known: int) -> None:
    record = taken(life)
    assert past(record, as_of, known) == past(record[:known], as_of)
    assert past(record, as_of, len(record)) == past(record, as_of)


@quick
@given(_lives(), st.integers(0, 100))
def test_a_state_holds_until_it_says(life: list[Told], share: int) -> None:
    instant = max(moment for fact, received in life for moment in (fact.happened, received))
    for _ in range(4):
        now = _truck(life, instant)
        until = now.state.holds_until
        last = until - TICK if until is not None else instant + timedelta(days=3650)
        assert last >= instant
        for moment in (last, instant + (last - instant) * share // 100):
            assert _truck(life, moment) == now
        if until is None:
            break
        instant = until


@quick
@given(_lives(amended=False), _moments, st.integers(0, 9000))
def test_a_clock_ahead_hides_no_stop(life: list[Told], received: datetime, ahead: int) -> None:
    card = _fact(70, OutOfService(reason="oil"), received + timedelta(minutes=ahead))
    unreleased = [(fact, taken_at) for fact, taken_at in life if not isinstance(fact.body, Released)]
    too_early = _fact(71, Released(), received + timedelta(minutes=2 * ahead))
    record = [*unreleased, (too_early, received - TICK), (card, received)]
    for as_of in (received, received + timedelta(minutes=ahead), END):
        assert _truck(record, as_of).state.code == "out-of-service"


@quick
@given(_lives())
def test_later_rules_only_tighten_a_fault(life: list[Told]) -> None:
    counting = past(taken(life), END)
    free, held = faults_now(counting, None, ZONE), faults_now(counting, KIND, ZONE)
    assert [fault.ref for fault in free] == [fault.ref for fault in held]
    for loose, tight in zip(free, held, strict=True):
        assert RANK[tight.seriousness] >= RANK[loose.seriousness]
        assert loose.deadline is None or tight.deadline is None or tight.deadline <= loose.deadline


@st.composite
def _honest(draw: st.DrawFn) -> list[Told]:
    """A new truck and true daily readings, each a date or an instant, in tenths or rounded to whole hours."""
    life: list[Told] = [(_fact(1, NEW), START)]
    tenths = 20
    for number in range(2, 2 + draw(st.integers(1, 25))):
        tenths += draw(st.integers(0, 120))
        day = START + timedelta(days=number)
        whole = draw(st.booleans())
        shown = draw(st.sampled_from((Decimal(tenths) / 10, Decimal(tenths // 10), Decimal(-(-tenths // 10)))))
        body = MeterRead(hours=shown)
        life.append((_fact(number, body, day + timedelta(hours=0 if whole else 20), whole_day=whole), day))
    return life


@quick
@given(_honest())
def test_honest_readings_are_never_doubted(life: list[Told]) -> None:
    record = taken((fact, fact.happened) for fact, _ in life)
    (meter,) = meters_of(past(record, END), ZONE)
    assert meter.doubtful == ()
    assert len(meter.good) == len(life)


@quick
@given(_honest(), st.integers(0, 999))
def test_a_meter_that_starts_again_at_zero_runs_on(life: list[Told], ahead: int) -> None:
    enrolled = Enrolled(what=KIND.key, meters=(Meter(digits=3),))
    told: list[Told] = [(_fact(1, enrolled), START)]
    true = []
    for fact, _ in life[1:]:
        assert isinstance(fact.body, MeterRead)
        true.append(fact.body.hours + ahead)
        told.append((msgspec.structs.replace(fact, body=MeterRead(hours=true[-1] % 1000)), fact.happened))
    (meter,) = meters_of(past(taken(told), END), ZONE)
    assert meter.doubtful == ()
    assert meter.hours_of(fid(2)) is not None
    run = (meter.hours or Decimal(0)) - (meter.hours_of(fid(2)) or Decimal(0))
    assert abs(run - (true[-1] - true[0])) <= 2


@quick
@given(_honest(), st.sampled_from(KIND.services), st.integers(0, 30), st.integers(0, 30))
def test_a_due_date_never_moves_back_when_a_service_is_added_or_done_later(
    life: list[Told], service: object, day: int, later: int
) -> None:
    facts = [(fact, fact.happened) for fact, _ in life]
    body = Worked(services=(service.id,))  # type: ignore[attr-defined]

    def with_service(days: int) -> list[Told]:
        moment = START + timedelta(days=days, hours=21)
        return [*facts, (_fact(90, body, moment), moment)]

    before = {due.service: due for due in _truck(facts).dues}
    early = {due.service: due for due in _truck(with_service(day)).dues}
    late = {due.service: due for due in _truck(with_service(day + later)).dues}
    for name, last in late.items():
        for one, two in ((before[name], early[name]), (early[name], last)):
            assert one.hours is None or (two.hours is not None and two.hours >= one.hours)
            assert one.day is None or (two.day is not None and two.day >= one.day)


@quick
@given(st.integers(5, 12), st.data())
def test_a_slip_that_contradicts_two_good_readings_is_pinned(days: int, data: st.DataObject) -> None:
    slipped = data.draw(st.integers(3, days - 2))
    below, by = data.draw(st.booleans()), data.draw(st.integers(1, 900))
    life: list[Told] = [(_fact(1, Enrolled(what=KIND.key)), START)]
    for day in range(1, days + 1):
        hours = Decimal(day * 80) / 10
        if day == slipped:  # under the reading two days before, or over the one two days after
            hours = hours - 16 - min(by, int(hours) - 16) - Decimal("0.2") if below else hours + 16 + by
        moment = START + timedelta(days=day)
        life.append((_fact(day + 1, MeterRead(hours=hours.quantize(Decimal("0.1"))), moment), moment))
    (meter,) = meters_of(past(taken(life), END), ZONE)
    assert [(one.fact, one.why) for one in meter.doubtful] == [(fid(slipped + 1), "contradicts")]
    assert len(meter.good) == days - 1
