"""What a hit, a rest and the end call for: when it is there, when it is done, what it does to the truck's state."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from derive.builders import ENROLLED, ZONE, counting, fid, truck
from derive.measuring import SHIPPED
from dipmark.derive.called import Call, call_for
from dipmark.derive.due import Due
from dipmark.rules.model import After

KIND = SHIPPED.kinds["engine-pneumatic-lpg"]
HIT = '\nincident truck:7 2026-02-01T22:00:00+01:00 dan\n  what hit\n  text "rack 14"\n'
LAID = "\nheld-by truck:7 2026-02-01T08:00:00+01:00 lead\n  who laid-up\n"
BACK = "\nheld-by truck:7 2026-03-01T08:00:00+01:00 lead\n  who yard\n"
SOLD = "\nretired truck:7 2026-05-01T12:00:00+01:00 lead\n  how sold\n"
NOW = "2026-06-01T00:00:00"


def worked(when: str, service: str, rest: str = "") -> str:
    return f"\nworked truck:7 {when}:00+01:00 mia\n  services - {service}\n{rest}"


def call(after: After, text: str) -> Call | None:
    return call_for(after, counting(ENROLLED + text), KIND, ZONE)


def dues(text: str) -> dict[str | None, Due]:
    found = truck(ENROLLED + text, NOW, KIND).dues
    return {due.service: due for due in found if due.service in {"after-hit", "wake-up", "leaving"}}


def test_nothing_is_called_for_where_nothing_happened() -> None:
    assert [call(after, "") for after in ("hit", "rest", "leaving")] == [None, None, None]
    assert dues("") == {}


@pytest.mark.parametrize("what", ["hit", "overload", "tip-over", "fire"])
def test_what_may_have_harmed_it_calls_for_the_list_at_once(what: str) -> None:
    """Common practice, no source; that it is examined again: LOLER 1998, regulation 9(3)(a)(iv)."""
    due = dues(HIT.replace("what hit", f"what {what}"))["after-hit"]
    assert (due.state, due.day, due.because.facts) == ("late", date(2026, 2, 1), (fid(2),))
    assert due.because.text.endswith(" on 2026-02-01")


@pytest.mark.parametrize("what", ["near-miss", "other"])
def test_what_has_harmed_nothing_calls_for_nothing(what: str) -> None:
    assert dues(HIT.replace("what hit", f"what {what}")) == {}


def test_the_list_is_done_when_it_was_ticked_after_the_hit_and_whole() -> None:
    assert dues(HIT + worked("2026-02-02T08:00", "after-hit")) == {}
    assert "after-hit" in dues(worked("2026-01-02T08:00", "after-hit") + HIT)
    assert "after-hit" in dues(HIT + worked("2026-02-02T08:00", "after-hit", "  left_out - forks.struck\n"))
    assert "after-hit" in dues(HIT + worked("2026-02-02T08:00", "900h"))
    twice = HIT + worked("2026-02-02T08:00", "after-hit") + HIT.replace("02-01", "03-01")
    assert dues(twice)["after-hit"].day == date(2026, 3, 1)


def test_a_truck_that_was_hit_stays_out_of_service_until_the_list_is_done_though_it_is_released() -> None:
    """29 CFR 1910.178(p)(1): out of service until restored to safe operating condition; the list: common practice."""
    released = "\nreleased truck:7 2026-02-03T08:00:00+01:00 lead\n  tests - road-test\n"
    before = truck(ENROLLED + HIT + released, NOW, KIND).state
    assert before.code == "out-of-service"
    assert [one.text for one in before.reasons] == [
        "After a hit: every part looked at: asked for since: hit on 2026-02-01. Do it."
    ]
    after = truck(ENROLLED + HIT + worked("2026-02-02T08:00", "after-hit") + released, NOW, KIND).state
    assert after.code == "not-checked"


def test_a_laid_up_truck_has_its_list_that_waits_until_it_is_back() -> None:
    found = call("rest", LAID)
    assert found is not None
    assert (found.waits, found.text) == (True, "laid up on 2026-02-01")
    assert (dues(LAID)["wake-up"].state, dues(LAID)["wake-up"].day) == ("open", None)
    assert (dues(LAID + BACK)["wake-up"].state, dues(LAID + BACK)["wake-up"].day) == ("late", date(2026, 2, 1))
    assert dues(LAID + worked("2026-02-20T08:00", "wake-up") + BACK) == {}
    assert truck(ENROLLED + LAID + BACK, NOW, KIND).state.code == "not-checked"


def test_a_sold_or_scrapped_truck_has_its_list_and_one_given_back_has_none() -> None:
    assert dues(SOLD)["leaving"].because.text == "sold on 2026-05-01"
    assert dues(SOLD.replace("sold", "scrapped"))["leaving"].state == "late"
    assert dues(SOLD.replace("sold", "given-back")) == {}
    assert dues(SOLD + worked("2026-05-02T08:00", "leaving")) == {}


SET = '\nfitted truck:7 2026-02-01T08:00:00+01:00 mia\n  item item:set-1\n  what wheel-set\n  meter {"hours": "100"}\n'


def recheck(text: str) -> Due | None:
    found = truck(ENROLLED + text, NOW, KIND).dues
    return next((due for due in found if due.service == "nut-recheck"), None)


def read(hours: str) -> str:
    return f"\nmeter-read truck:7 2026-02-03T08:00:00+01:00 mia\n  hours {hours}\n"


@pytest.mark.parametrize(
    ("hours", "state"), [("102.4", "later"), ("102.5", "open"), ("105", "due"), ("105.1", "late"), ("150", "late")]
)
def test_nuts_are_checked_again_within_five_hours_of_a_wheel_put_on(hours: str, state: str) -> None:
    """Manuals of makers (seen): 2 to 5 hours after any refit, then again after 8 until none moves, 50 at the latest."""
    due = recheck(SET + read(hours))
    assert due is not None
    assert (due.state, due.hours, due.because.text) == (state, Decimal(105), "wheel fitted on 2026-02-01")
    stops = [one.rule for one in truck(ENROLLED + SET + read(hours), NOW, KIND).state.reasons]
    assert ("due.nut-recheck" in stops) is (state == "late")


def test_the_recheck_is_done_once_it_is_ticked_and_opens_anew_with_the_next_wheel() -> None:
    done = worked("2026-02-03T09:00", "nut-recheck")
    assert recheck(SET + read("104") + done) is None
    assert recheck(SET + read("104") + done + SET.replace("02-01", "03-01")) is not None
    assert recheck("") is None


@pytest.mark.parametrize(
    ("fact", "called"),
    [
        ("  tasks - wheels.repack\n", True),
        ('  parts - {"part": "tyre, rear left"}\n', True),
        ('  parts - {"part": "Llanta"}\n', True),
        ('  parts - {"part": "wheel cylinder"}\n', True),
        ('  parts - {"part": "steering wheel"}\n', False),
        ('  parts - {"part": "flywheel"}\n', False),
        ("  tasks - wheels.nuts\n", False),
        ("  services - 1800h\n", True),
        ("  services - 2400h\n  left_out - lpg.seals\n", True),
        ("  services - 1800h\n  left_out - wheels.repack\n", False),
        ("  services - 1800h\n  tasks - engine-oil.change\n", False),
        ("  services - 900h\n", False),
        ("  services - 77h\n", False),
    ],
)
def test_what_takes_a_wheel_off_calls_for_the_recheck(fact: str, called: bool) -> None:
    due = recheck("\nworked truck:7 2026-02-01T08:00:00+01:00 mia\n  text done\n" + fact)
    assert (due is not None) is called
    assert due is None or due.state == "due"  # nobody has read its meter: asked for at once, never later


def test_other_items_call_for_nothing() -> None:
    assert recheck(SET.replace("wheel-set", "fork-pair")) is None


@pytest.mark.parametrize("key", sorted(SHIPPED.kinds))
def test_every_kind_has_the_three_lists_and_each_names_what_the_truck_has(key: str) -> None:
    """Common practice, no source: mast, forks, chains, axle, guard after a hit; gas purged and battery receipt last."""
    kind = SHIPPED.kinds[key]
    lists = {one.after: {task.id for task in kind.all_tasks(one)} for one in kind.services if one.after}
    bolted = {"wheel"} if kind.task("wheels.nuts") else set()
    assert set(lists) == {"hit", "rest", "leaving"} | bolted
    fitted = {"struck.what", "truck.tried"}
    fitted |= {"mast.struck", "chain.struck"} if "mast.rollers" in {task.id for task in kind.tasks} else set()
    fitted |= {"forks.struck"} if key != "tow-tractor" else {"coupler.struck"}
    assert fitted <= lists["hit"]
    gas = "lpg.cylinder" in {task.id for task in kind.tasks}
    traction = "battery.fill" in {task.id for task in kind.tasks}
    assert ("lpg.purged" in lists["leaving"], "battery.receipt" in lists["leaving"]) == (gas, traction)


def test_gas_is_purged_only_off_a_truck_that_runs_on_it() -> None:
    kind = SHIPPED.kinds["engine-cushion"]
    leaving = next(one for one in kind.services if one.after == "leaving")
    has = {fuel: {task.id for task in kind.all_tasks(leaving, kind.fitted(None, fuel))} for fuel in ("lpg", "diesel")}
    assert ("lpg.purged" in has["lpg"], "lpg.purged" in has["diesel"]) == (True, False)
    assert ("fuel.drained" in has["lpg"], "fuel.drained" in has["diesel"]) == (False, True)
