"""The list as data: what stands on which sheet, what it weighs, and what may be wrong during the day."""

from __future__ import annotations

import doctest
from decimal import Decimal

import msgspec
import pytest

from derive.builders import CHECKS, KIND, rules
from dipmark.facts.base import RANK
from dipmark.rules.model import Asked, Check, Kind, Place, rules_of
from dipmark.rules.symptoms import System, Trouble
from dipmark.views import walk_round
from dipmark.views.walk_round import CHECKED, OUT, RESTRICTED, WEIGHT, CheckList, check_list, whole

BELT = frozenset({"seat-belt"})


def compiled(*checks: Check, options: frozenset[str] = BELT) -> CheckList:
    return check_list(rules(), msgspec.structs.replace(KIND, checks=checks or CHECKS), options)


def on(sheet: str, asked: CheckList) -> list[str]:
    return [check.id for check in asked.checks(sheet)]


def changed(check: Check, **more: object) -> Check:
    return msgspec.structs.replace(check, **more)


def test_what_is_not_on_the_truck_is_not_on_the_list() -> None:
    assert "belt.seat" in on("full", compiled())
    assert "belt.seat" not in on("full", compiled(options=frozenset()))


def test_each_sheet_has_its_checks() -> None:
    end = changed(CHECKS[0], id="park.brake", when="shift-end", shift=False)
    asked = compiled(*CHECKS, end)
    assert on("shift", asked) == ["tyre.pressure", "brake.pedal", "lamp.work", "belt.seat", "paint.gone"]
    assert on("full", asked) == on("after-hit", asked) == [check.id for check in CHECKS]
    assert on("after-shift", asked) == ["park.brake"]


def test_a_take_over_is_what_one_drives_by_and_then_the_quickest_up_to_a_minute() -> None:
    worthy = CHECKS[1]
    rows = [("slow", 61, "key-off"), ("long", 30, "key-off"), ("drive", 25, "drive"), ("quick", 5, "key-off")]
    checks = [changed(worthy, id=id, seconds=seconds, when=when) for id, seconds, when in rows]
    assert on("take-over", compiled(*checks, changed(CHECKS[2], id="lamp", seconds=1))) == ["long", "drive", "quick"]
    just = [changed(worthy, id=id, seconds=30) for id in ("one", "two")]
    assert on("take-over", compiled(*just)) == ["one", "two"]
    over = [changed(worthy, id="one", seconds=30), changed(worthy, id="two", seconds=31)]
    assert on("take-over", compiled(*over)) == ["one"]


def test_what_must_be_answered_and_what_has_a_button_of_its_own() -> None:
    rows = {check.id: check for check in compiled().checks("full")}
    assert [id for id, row in rows.items() if row.must] == ["tyre.pressure", "brake.pedal", "belt.seat"]
    assert [id for id, row in rows.items() if row.stop and not row.must] == ["mast.play"]
    assert not rows["lamp.work"].stop


def test_symptoms_weigh_what_the_rules_say_and_safety_never_less_than_a_stop() -> None:
    tyre = next(compiled().checks("shift"))
    assert [(one.id, one.rank, one.days, one.fix) for one in tyre.symptoms] == [
        ("flat", OUT, None, None),
        ("soft", RESTRICTED, 3, "Inflate it."),
    ]
    assert tyre.worst == 0
    assert {word: WEIGHT[word] for word in RANK} == {"watch": CHECKED, "repair-by": RESTRICTED, "stop": OUT, "now": OUT}
    light = msgspec.structs.replace(CHECKS[2].symptoms[0], affects_safety=True)
    odd = next(compiled(changed(CHECKS[2], symptoms=(light, CHECKS[1].symptoms[0]))).checks("shift"))
    assert (odd.symptoms[0].rank, odd.worst) == (OUT, 1)


@pytest.mark.parametrize(
    ("quantity", "text"), [("hour-meter", "Hour meter"), ("tyre-pressure", "Tyre pressure"), ("own-gauge", "own gauge")]
)
def test_a_value_asked_for_has_a_name(quantity: str, text: str) -> None:
    check = next(compiled(changed(CHECKS[0], asked=Asked(quantity=quantity, unit="bar"))).checks("shift"))
    assert check.asked is not None
    assert (check.asked.text, check.asked.unit) == (text, "bar")


def test_places_come_in_walking_order_and_empty_ones_are_left_out() -> None:
    kind = msgspec.structs.replace(
        KIND,
        places=(*KIND.places, Place(id="approach", text="Coming up", number=-1), Place(id="bare", text="-", number=5)),
        checks=(*CHECKS, changed(CHECKS[2], id="ground", place="approach")),
    )
    assert [place.id for place in check_list(rules(), kind, BELT).places] == ["approach", "front"]


def test_the_same_list_has_the_same_name_and_another_another() -> None:
    assert compiled().id == compiled().id
    assert compiled().id != compiled(options=frozenset()).id


def test_what_may_be_wrong_during_the_day_comes_with_what_to_do() -> None:
    trouble = Trouble(
        id="soft",
        text="Soft pedal",
        sense="felt",
        causes=(),
        first=("Look at the bottle",),
        seriousness="repair-by",
        affects_safety=False,
        days=3,
        source="practice",
        mark="seen",
    )
    system = System(id="brakes", text="Brakes", number=0, troubles=(trouble,))
    with_it = rules_of({KIND.key: KIND}, {}, rules().sources, "1", {"brakes": system})
    ((name, (row,)),) = check_list(with_it, KIND, BELT).troubles
    assert (name, row.text, row.sense, row.days, row.words) == (
        "Brakes",
        "Soft pedal",
        "felt",
        3,
        "Repair within 3 days",
    )
    assert row.first == ("Look at the bottle",)


def test_examples_in_the_text_hold() -> None:
    assert doctest.testmod(walk_round).failed == 0
    assert whole(Decimal("-1.29"), 1) == -12
    assert isinstance(KIND, Kind)
