"""From what people write to a verdict: what is asked, what is refused all at once, which side an edge falls on."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import msgspec
import pytest

from dipmark.derive.judging import Given, Input, Judged, Measurement, Read, fit, judged, past, strictest, worked_out
from dipmark.facts.quantity import Quantity, parse_quantity
from dipmark.rules.limits import Edge, Limit, Subject
from rules.small import measured, rules, shipped

BELT = rules(*shipped(), measured()).subjects["belt"]
SLACK, WORN, TIGHT = (BELT.limits[id] for id in ("slack", "worn", "tight"))


def read(text: str, dimension: str = "length") -> Quantity:
    found = parse_quantity(text, dimension)
    assert isinstance(found, Quantity), found
    return found


def judge(given: Given, subject: Subject) -> Judged:
    return judged("slack", subject, given.one("now").in_("mm"), "mm", "Read.", held=[SLACK], passed=[])


SAG = Measurement(
    name="slack",
    subject="belt",
    text="Belt: slack",
    judge=judge,
    inputs=(
        Input("now", "slack", "length", many=True, over="0 mm", most="100 mm"),
        Input("span", "length of the run", "length", "mm", kept=True, least="50 mm"),
        Input("new", "slack when new", "length", kept=True, needed=False),
        Input("type", "kind of belt", words=("flat", "vee"), kept=True, needed=False),
        Input("maker", "what stands on it", needed=False),
        Input("warm", "slack and how warm it was", "length", at="temperature", many=True, needed=False),
    ),
)


def fitted(said: dict[str, Any], known: Given | None = None) -> Given:
    found = fit(SAG, {name: [text] if isinstance(text, str) else text for name, text in said.items()}, known)
    assert isinstance(found, Given), found
    return found


def problems(**said: Any) -> list[tuple[str, str | None]]:
    found = fit(SAG, {name: [text] if isinstance(text, str) else text for name, text in said.items()})
    assert isinstance(found, tuple)
    return [(problem.code, problem.where.column) for problem in found]


def test_what_was_said_as_the_measurement_needs_it() -> None:
    given = fitted(
        {"now": ["left = 12.5mm", "1/2in"], "span": "300", "type": " Vee ", "maker": "A  1", "warm": "13mm@40C"}
    )
    assert given.all("now") == (Read(read("12.5mm"), "left"), Read(read("1/2in")))
    assert given.one("now") == read("12.5mm")
    assert given.maybe("span") == read("300mm")
    assert given.maybe("new") is None
    assert given.all("new") == ()
    assert given.words == {"type": "vee", "maker": "A 1"}
    assert given.all("warm") == (Read(read("13mm"), None, read("40C", "temperature")),)
    outcome = SAG.judge(given, BELT)
    assert isinstance(outcome, Judged)
    assert outcome.value == Decimal("12.5")


def test_a_place_of_one_letter_and_one_with_an_equals_sign() -> None:
    assert [one.place for one in fitted({"now": ["=5mm", "a=b=5mm"], "span": "300"}).all("now")] == [None, "a=b"]
    assert SAG.input("now") is SAG.inputs[0]
    assert SAG.input("then") is None


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ({}, [("measure-missing", "now"), ("measure-missing", "span")]),
        ({"now": " ", "span": []}, [("measure-missing", "now"), ("measure-missing", "span")]),
        ({"now": "5mm", "span": ["60mm", "70mm"]}, [("measure-not-asked", "span")]),
        ({"now": "5mm", "span": "60", "spam": "1"}, [("measure-not-asked", "spam")]),
        ({"now": "5mm", "span": "60", "zzz": "1"}, [("measure-not-asked", "zzz")]),
        ({"now": "0mm", "span": "49.9"}, [("measure-nonsense", "now"), ("measure-nonsense", "span")]),
        ({"now": "100mm", "span": "50"}, None),
        ({"now": "100.01mm", "span": "60"}, [("measure-nonsense", "now")]),
        ({"now": "4in", "span": "60"}, [("measure-nonsense", "now")]),
        ({"now": ["5mm", "-5mm", "5kg", "x"], "span": "60"}, [
            ("measure-nonsense", "now"), ("quantity-unit", "now"), ("quantity-unreadable", "now"),
        ]),
        ({"now": "5mm", "span": "60", "type": "veee"}, [("measure-word", "type")]),
        ({"now": "5mm", "span": "60", "type": "quartz"}, [("measure-word", "type")]),
        ({"now": "5mm", "span": "60", "warm": "13mm"}, [("measure-missing", "warm")]),
        ({"now": "5mm", "span": "60", "warm": "13@40"}, [("quantity-unit", "warm"), ("quantity-unit", "warm")]),
        ({"now": "5mm", "span": "60", "warm": "13mm@"}, [("quantity-unreadable", "warm")]),
        ({"now": "5mm", "span": "60", "warm": "13mm@NaN"}, [("quantity-unreadable", "warm")]),
        ({"now": "5mm@20C", "span": "60"}, [("quantity-unit", "now")]),
        ({"now": "5mm", "span": "left=60mm"}, [("quantity-unreadable", "span")]),
    ],
)  # fmt: skip
def test_every_problem_at_once(said: dict[str, Any], found: list[tuple[str, str]] | None) -> None:
    if found is None:
        fitted(said)
    else:
        assert problems(**said) == found


def test_what_to_do_is_said() -> None:
    found = fit(SAG, {"npw": ["5mm"], "span": ["60"], "type": ["vea"], "now": []})
    assert isinstance(found, tuple)
    hints = {problem.where.column: problem.hint for problem in found}
    assert hints == {"npw": "Is it now?", "now": "Add it: now.", "type": "Is it vee?"}
    nothing_near = fit(SAG, {"now": ["5mm"], "span": ["60"], "type": ["quartz"]})
    assert isinstance(nothing_near, tuple)
    assert [(one.expected, one.hint) for one in nothing_near] == [("flat, vee", "Write one of them.")]


def test_what_stays_the_same_is_known_once() -> None:
    known = fitted({"now": "5mm", "span": "300", "new": "4mm", "type": "vee", "maker": "A1"})
    again = fitted({"now": "6mm"}, known)
    assert again.one("now") == read("6mm")
    assert again.one("span") == read("300mm")
    assert again.maybe("new") == read("4mm")
    assert again.words == {"type": "vee"}
    assert fitted({"now": "6mm", "span": "310", "type": "flat"}, known).words == {"type": "flat"}
    missing = fit(SAG, {}, known)
    assert isinstance(missing, tuple)
    assert [one.where.column for one in missing] == ["now"]
    assert isinstance(fit(SAG, {"now": ["5mm"]}, Given({})), tuple)


@pytest.mark.parametrize(
    ("text", "limit", "unit", "edge", "is_past"),
    [
        ("19.9mm", "20", "mm", "at-or-above", False),
        ("20.0mm", "20", "mm", "at-or-above", True),
        ("20.0mm", "20", "mm", "above", False),
        ("20.1mm", "20", "mm", "above", True),
        ("20.1mm", "20", "mm", "at-or-below", False),
        ("20.0mm", "20", "mm", "at-or-below", True),
        ("20.0mm", "20", "mm", "below", False),
        ("19.9mm", "20", "mm", "below", True),
        # the limit is rounded to the step of the reading towards the safe side
        ("313.94mm", "313.944", "mm", "at-or-above", True),
        ("313.93mm", "313.944", "mm", "at-or-above", False),
        ("22.93mm", "22.9235", "mm", "at-or-below", True),
        ("22.94mm", "22.9235", "mm", "at-or-below", False),
        # with "above" and "below" the reading stands as it is
        ("313.94mm", "313.944", "mm", "above", False),
        ("22.93mm", "22.9235", "mm", "below", False),
        # in mixed units and in steps of a fraction
        ("12.36in", "313.944", "mm", "at-or-above", True),
        ("12.35in", "313.944", "mm", "at-or-above", False),
        ("12 5/16in", "313.944", "mm", "at-or-above", True),
        ("12 1/4in", "313.944", "mm", "at-or-above", True),  # a rule in quarters shows no less than the limit
        ("12 4/16in", "313.944", "mm", "at-or-above", False),
        ("31.394cm", "313.944", "mm", "at-or-above", True),
    ],
)
def test_which_side_of_a_limit(text: str, limit: str, unit: str, edge: Edge, *, is_past: bool) -> None:
    assert past(read(text), Fraction(limit), unit, edge) is is_past


@pytest.mark.parametrize(
    ("text", "error", "edge", "is_past"),
    [
        ("19.4mm", "0.5mm", "at-or-above", False),
        ("19.5mm", "0.5mm", "at-or-above", True),
        ("19.5mm", "0.5mm", "above", False),
        ("19.6mm", "0.5mm", "above", True),
        ("20.6mm", "0.5mm", "at-or-below", False),
        ("20.5mm", "0.5mm", "at-or-below", True),
        ("20.4mm", "0.5mm", "below", True),
        ("19.5mm", "0.02in", "at-or-above", True),
    ],
)
def test_the_doubt_of_an_instrument_counts_against_the_part(
    text: str, error: str, edge: Edge, *, is_past: bool
) -> None:
    assert past(read(text), Fraction(20), "mm", edge, read(error)) is is_past


def test_the_doubt_of_a_thermometer_is_a_difference() -> None:
    reading, doubt = read("58 C", "temperature"), read("2 C", "temperature")
    for unit in ("C", "F"):
        assert past(reading.to(unit), Fraction(60), "C", "at-or-above", doubt)
        assert not past(reading.to(unit), Fraction(61), "C", "at-or-above", doubt)


def test_the_most_serious_limit_counts() -> None:
    assert strictest([]) is None
    assert strictest([TIGHT, SLACK, WORN]) is SLACK


def verdict(held: list[Limit], passed: list[Limit], value: Fraction | None = Fraction(7, 3)) -> Judged:
    more: dict[str, Decimal | str] = {"expected": Decimal(1)}
    return judged("slack", BELT, value, "mm", "Read.", held=held, passed=passed, notes=["Look."], more=more)


def test_in_its_limits_the_most_serious_is_shown() -> None:
    found = verdict([TIGHT, SLACK], [])
    assert (found.verdict, found.limit, found.rule, found.because) == ("in", Decimal(20), "belt.slack", "Read.")
    assert (found.subject, found.value, found.unit) == ("slack", Decimal("2.333333"), "mm")
    assert (found.source, found.notes, found.more) == ("practice", ("Look.",), {"expected": Decimal(1)})
    assert (found.low, found.high) == (None, None)


def test_past_a_limit_that_limit_says_what_follows() -> None:
    found = verdict([TIGHT, SLACK], [TIGHT], None)
    assert (found.verdict, found.limit, found.rule, found.value) == ("watch", Decimal(3), "belt.tight", None)
    assert found.because == "Read. Look."
    assert verdict([TIGHT, SLACK], [TIGHT, SLACK]).verdict == "stop"
    assert msgspec.json.encode(found)


def test_a_limit_worked_out_for_one_thing_keeps_all_but_its_value() -> None:
    out = worked_out(SLACK, Fraction(1, 3), "kPa")
    assert (out.value, out.unit) == (Decimal("0.333333"), "kPa")
    assert msgspec.structs.replace(out, value=SLACK.value, unit=SLACK.unit) == SLACK
