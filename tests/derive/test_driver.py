"""May this driver drive this kind? The last word counts, at every edge."""

from __future__ import annotations

import pytest

from derive.builders import LATER, ZONE, at, fid, record
from dipmark.derive.driver import EVALUATED, DriverNow, driver_now, evaluated_for
from dipmark.derive.past import past
from dipmark.facts.base import PersonKey
from dipmark.rules.duty import Duty
from dipmark.rules.model import rules_of

ANA = PersonKey("ana")
FULL = "  trained 2023-03-01\n  evaluated 2023-03-14\n  by bob\n"


def permit(rest: str = FULL, day: str = "2023-03-15", *, what: str = "reach", person: str = "ana") -> str:
    return f"\npermit yard {day}T08:00:00+01:00 lead\n  person {person}\n  what {what}\n{rest}"


def driver(text: str, as_of: str, months: int = EVALUATED, incidents: str = "") -> DriverNow:
    happened = past(record(incidents), at(as_of)) if incidents else ()
    return driver_now(past(record(text), at(as_of)), ANA, "reach", months, at(as_of), ZONE, happened)


def rules_said(found: DriverNow) -> list[str]:
    return [reason.rule for reason in found.reasons]


def test_trained_and_evaluated_he_may() -> None:
    found = driver(permit(), "2024-01-01")
    assert (found.may, str(found.until), found.under, found.asks) == (True, "2026-03-14", None, ())
    (reason,) = found.reasons
    assert reason.text == "Evaluated on 2023-03-14, holds to 2026-03-14"
    assert (reason.source, reason.facts) == ("us-178-l4", (fid(1),))


@pytest.mark.parametrize(("as_of", "may"), [("2026-03-14T23:59:59", True), ("2026-03-15T00:00:00", False)])
def test_on_its_last_day_an_evaluation_still_holds(as_of: str, may: bool) -> None:
    found = driver(permit(), as_of)
    assert found.may is may
    assert may or found.reasons[0].text == (
        "Not you: the evaluation of 2023-03-14 held to 2026-03-14. Ask the lead hand."
    )


def test_a_yard_may_ask_for_it_more_often() -> None:
    assert str(driver(permit(), "2024-01-01", 12).until) == "2024-03-14"
    assert not driver(permit(), "2024-03-15", 12).may


@pytest.mark.parametrize("text", ["", permit(what="pallet"), permit(person="eva")])
def test_without_a_permit_for_this_kind_it_is_not_him(text: str) -> None:
    found = driver(text, "2024-01-01")
    assert (found.may, rules_said(found), found.until) == (False, ["driver.permit"], None)


@pytest.mark.parametrize(
    ("rest", "said"),
    [
        ("", ["driver.trained", "driver.evaluated"]),
        ("  trained 2023-03-01\n", ["driver.evaluated"]),
        ("  evaluated 2023-03-14\n", ["driver.trained"]),
        ("  trained 2024-01-02\n  evaluated 2024-01-02\n", ["driver.trained", "driver.evaluated"]),
    ],
)
def test_both_training_and_evaluation_are_completed(rest: str, said: list[str]) -> None:
    found = driver(permit(rest), "2024-01-01")
    assert (found.may, rules_said(found)) == (False, said)


def test_completed_on_the_day_it_counts() -> None:
    assert driver(permit("  trained 2023-03-15\n  evaluated 2023-03-15\n"), "2023-03-15T09:00:00").may


@pytest.mark.parametrize(("as_of", "may"), [("2024-06-30T23:59:59", True), ("2024-07-01T00:00:00", False)])
def test_a_permit_holds_to_its_own_last_day(as_of: str, may: bool) -> None:
    found = driver(permit(FULL + "  until 2024-06-30\n"), as_of)
    assert (found.may, str(found.until)) == (may, "2024-06-30" if may else "None")
    assert may or rules_said(found) == ["driver.until"]


def test_a_later_last_day_does_not_stretch_the_evaluation() -> None:
    assert str(driver(permit(FULL + "  until 2030-01-01\n"), "2024-01-01").until) == "2026-03-14"


@pytest.mark.parametrize(("as_of", "may"), [("2024-01-01T13:59:59", True), ("2024-01-01T14:00:00", False)])
def test_a_day_card_ends_with_its_shift(as_of: str, may: bool) -> None:
    found = driver(permit(FULL + "  ends 2024-01-01T14:00:00+01:00\n"), as_of)
    assert found.may is may
    assert may or rules_said(found) == ["driver.ends"]


def test_a_trainee_drives_under_his_trainer() -> None:
    learner = permit("  trainee_under bob\n  until 2023-04-30\n")
    found = driver(learner, "2023-04-30T12:00:00")
    assert (found.may, found.under, str(found.until), rules_said(found)) == (
        True,
        "bob",
        "2023-04-30",
        ["driver.trainee"],
    )
    assert not driver(learner, "2023-05-01").may


def test_withdrawn_he_may_not_until_the_next_word() -> None:
    lost = permit(FULL + '  withdrawn "mast raised"\n', "2023-12-01")
    found = driver(permit() + lost, "2023-12-01T08:00:00")
    assert (found.may, found.reasons[0].text) == (
        False,
        "Not you: the permit was withdrawn: mast raised. Ask the lead hand.",
    )
    assert driver(permit() + lost, "2023-12-01T07:59:59").may
    assert driver(permit() + lost + permit(FULL, "2023-12-02"), "2023-12-02T08:00:00").may


def test_one_who_has_left_may_not() -> None:
    person = "\nperson-set yard {}T08:00:00+01:00 lead\n  person {}\n  roles - driver\n{}"
    here = person.format("2023-01-01", "ana", "")
    gone = person.format("2023-07-01", "ana", "  gone true\n")
    other = person.format("2023-07-01", "eva", "  gone true\n")
    assert driver(here + other + permit(), "2023-08-01").may
    assert rules_said(driver(here + permit() + gone, "2023-08-01")) == ["driver.gone"]
    back = person.format("2023-09-01", "ana", "")
    assert driver(here + permit() + gone + back, "2023-09-02").may


def test_a_certificate_names_who_evaluated() -> None:
    (ask,) = driver(permit(FULL.replace("  by bob\n", "")), "2024-01-01").asks
    assert (ask.rule, ask.source) == ("driver.by", "us-178-l6")


@pytest.mark.parametrize(
    ("day", "rest", "asked"),
    [
        ("2023-03-14", "  person ana\n", True),
        ("2023-03-13", "  person ana\n", False),
        ("2023-05-01", "  person eva\n", False),
        ("2023-05-01", "", False),
    ],
)
def test_an_incident_asks_for_a_refresher(day: str, rest: str, asked: bool) -> None:
    enrolled = "\nenrolled truck:7 2023-01-01T08:00:00+01:00 lead\n  what reach\n"
    hit = f'{enrolled}\nincident truck:7 {day}T22:00:00+01:00 ana\n  what near-miss\n  text "rack"\n{rest}'
    found = driver(permit(), "2024-01-01", incidents=hit)
    assert found.may
    assert [ask.text for ask in found.asks] == [f"Near miss on {day}: a refresher and a new evaluation"] * asked


def test_how_long_an_evaluation_holds() -> None:
    def duty(months: int | None, about: str = "driver") -> Duty:
        return Duty(
            id="x",
            country="GB",
            text="x",
            who="x",
            kept="x",
            when_lapsed="not-you",
            about=about,  # type: ignore[arg-type]
            every_months=months,
            source="x",
            mark="seen",
        )

    found = rules_of({}, {"GB": (duty(24), duty(None), duty(6, "truck")), "US": (duty(60),), "DE": ()}, {}, "1")
    assert [evaluated_for(found, country) for country in ("GB", "US", "DE", None)] == [24, 36, 36, 36]
    assert past((), LATER) == ()


def test_a_refresher_is_asked_for_though_his_day_card_has_ended() -> None:
    """29 CFR 1910.178(l)(4)(ii): after an incident, whether or not he comes again tomorrow."""
    enrolled = "\nenrolled truck:7 2023-01-01T06:00:00+01:00 ana\n  what reach\n"
    hit = f'{enrolled}\nincident truck:7 2023-12-01T22:00:00+01:00 ana\n  what hit\n  text "rack"\n  person ana\n'
    found = driver(permit(FULL + "  ends 2023-12-02T06:00:00+01:00\n"), "2024-01-01", incidents=hit)
    assert not found.may
    assert [one.rule for one in found.asks] == ["driver.refresher"]


def test_a_day_card_says_at_which_instant_it_ends() -> None:
    found = driver(permit(FULL + "  ends 2024-01-02T06:00:00+01:00\n"), "2024-01-02T05:59:59")
    assert (found.may, found.ends) == (True, at("2024-01-02T06:00:00"))
    assert driver(permit(), "2024-01-01").ends is None
