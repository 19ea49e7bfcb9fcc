"""What is measured: its limits, tables and cautions read whole, and what a yard may change of them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import msgspec
import pytest

from dipmark.rules.limits import EDGES, LARGEST, LONGEST_DAYS, Limit, Rows, loosened, looser
from dipmark.rules.merge import RuleFile, lay
from dipmark.rules.read import read
from rules.small import Content, measured, rules, said, shipped

BELT = rules(*shipped(), measured()).subjects["belt"]
SLACK, WORN, TIGHT = (BELT.limits[id] for id in ("slack", "worn", "tight"))


def faults(change: Content) -> list[tuple[str, str | None]]:
    found, problems = read(lay([*shipped(), measured(change)]))
    assert (found is None) == bool(problems)
    return said(problems)


def test_a_subject_is_read_whole() -> None:
    assert (BELT.id, BELT.text, len(BELT.how)) == ("belt", "Belt", 2)
    assert list(BELT.limits) == ["slack", "worn", "tight"]
    assert (WORN.value, WORN.unit, WORN.edge, WORN.verdict, WORN.days) == (
        Decimal("1.5"),
        "mm",
        "below",
        "repair-by",
        30,
    )
    assert (WORN.legal, SLACK.legal, SLACK.days) == (True, False, None)
    assert (WORN.source, WORN.mark) == ("practice", "common practice")
    assert WORN.exact == Fraction(3, 2)
    assert (SLACK.upper, WORN.upper) == (True, False)
    assert [one.id for one in BELT.cautions] == ["fingers"]


def test_a_table_by_column_and_exactly() -> None:
    sizes = BELT.rows["sizes"]
    assert sizes.columns == ("size mm", "sag mm")
    assert sizes.column("size mm") == (Fraction(10), Fraction(13))
    assert sizes.column("sag mm") == (Fraction(5), Fraction(13, 2))
    with pytest.raises(ValueError, match="not in"):
        sizes.column("width")


@pytest.mark.parametrize(
    ("value", "of", "to", "found"),
    [
        ("15", "x", "y", "-2"),
        ("10", "x", "y", "-1"),
        ("20", "x", "y", "-3"),
        ("25", "x", "y", "-4"),
        ("1", "x", "y", "-1"),
        ("99", "x", "y", "-5"),
        ("-4", "y", "x", "25"),
        ("-9", "y", "x", "30"),
        ("0", "y", "x", "10"),
    ],
)
def test_a_table_goes_straight_between_its_rows_and_level_beyond_its_ends(
    value: str, of: str, to: str, found: str
) -> None:
    numbers = ((10, -1), (20, -3), (30, -5))
    table = Rows(
        id="line",
        text="A line",
        columns=("x", "y"),
        rows=tuple((Decimal(x), Decimal(y)) for x, y in numbers),
        source="practice",
        mark="common practice",
    )
    assert table.between(Fraction(value), of, to) == Fraction(found)


def test_rules_without_subjects_have_none() -> None:
    assert rules().subjects == {}
    assert rules().digest != rules(*shipped(), measured()).digest


def limit(**change: Any) -> Content:
    return {"limits": {"slack": change}}


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"text": None}, [("rule-missing", "text")]),
        ({"how": "in the middle"}, [("rule-type", "how")]),
        ({"lmits": {}}, [("rule-unknown-key", "lmits")]),
        (limit(value=None), [("rule-missing", "limits.slack.value")]),
        (limit(value="20"), [("rule-type", "limits.slack.value")]),
        (limit(value=LARGEST + 1), [("rule-range", "limits.slack.value")]),
        (limit(value=-LARGEST), []),
        (limit(edge="over"), [("rule-choice", "limits.slack.edge")]),
        (limit(verdict="in"), [("rule-choice", "limits.slack.verdict")]),
        (limit(days=0), [("rule-range", "limits.slack.days")]),
        (limit(days=LONGEST_DAYS + 1), [("rule-range", "limits.slack.days")]),
        (limit(source=None), [("rule-missing", "limits.slack.source")]),
        (limit(mark="sure"), [("rule-choice", "limits.slack.mark")]),
        (limit(legla=True), [("rule-unknown-key", "limits.slack.legla")]),
        ({"limits": {"Bad Id": SLACK.id}}, [("rule-name", "limits.'Bad Id'"), ("rule-type", "limits.'Bad Id'"), *(
            ("rule-missing", f"limits.'Bad Id'.{key}")
            for key in ("text", "value", "unit", "edge", "verdict", "source", "mark")
        )]),
        ({"rows": {"sizes": {"rows": [[10, 5], [13]]}}}, [("rule-type", "rows.sizes.rows")]),
        ({"rows": {"sizes": {"rows": 3}}}, [("rule-type", "rows.sizes.rows")]),
        ({"rows": {"sizes": {"rows": [[10, "x"]]}}}, [("rule-type", "rows.sizes.rows.0.1")]),
        ({"rows": {"sizes": {"rows": [[10, 1], [9, 1]]}}}, [("rule-reference", "rows.sizes.rows")]),
        ({"rows": {"sizes": {"rows": [[10, 1], [10, 2]]}}}, []),
        ({"rows": {"sizes": {"rows": None}}}, [("rule-type", "rows.sizes.rows")]),
        ({"rows": {"sizes": {"rows": []}}}, [("rule-type", "rows.sizes.rows")]),
        ({"retest": "yes"}, [("rule-type", "retest")]),
        ({"rows": {"sizes": {"width": 3}}}, [("rule-unknown-key", "rows.sizes.width")]),
        ({"cautions": {"fingers": {"text": ""}}}, [("rule-text", "cautions.fingers.text")]),
    ],
)  # fmt: skip
def test_faults_are_named_with_their_place(change: Content, found: list[tuple[str, str]]) -> None:
    assert faults(change) == found


def test_all_faults_at_once() -> None:
    assert faults({"text": 3, **limit(value="x", edge="x"), "rows": {"sizes": {"rows": 3}}}) == [
        ("rule-type", "text"),
        ("rule-type", "limits.slack.value"),
        ("rule-choice", "limits.slack.edge"),
        ("rule-type", "rows.sizes.rows"),
    ]


def test_a_subject_with_a_name_that_is_none() -> None:
    _, problems = read(lay([*shipped(), RuleFile("x.toml", {"subject": "Fan Belt", "text": "x", "how": []})]))
    assert [(one.code, one.found) for one in problems] == [("rule-name", "'Fan Belt'")]


def now(limit: Limit, **change: Any) -> Limit:
    return msgspec.structs.replace(limit, **change)


@pytest.mark.parametrize(
    ("before", "change"),
    [
        (SLACK, {}),
        (SLACK, {"value": Decimal(19)}),
        (SLACK, {"value": Decimal(19), "edge": "above"}),
        (SLACK, {"verdict": "now"}),
        (SLACK, {"source": "manual", "mark": "seen", "text": "Ours."}),
        (now(SLACK, edge="above"), {"edge": "at-or-above"}),
        (WORN, {"value": Decimal(2)}),
        (WORN, {"edge": "at-or-below"}),
        (WORN, {"days": 29}),
        (WORN, {"verdict": "stop", "days": None}),
        (TIGHT, {"value": Decimal(1), "edge": "above", "unit": "in"}),
        (TIGHT, {"verdict": "stop"}),
    ],
)
def test_a_yard_may_be_stricter_and_loosen_what_stops_nobody(before: Limit, change: dict[str, Any]) -> None:
    assert looser(before, now(before, **change)) is None


@pytest.mark.parametrize(
    ("before", "change", "found"),
    [
        (SLACK, {"value": Decimal("20.01")}, ("value", "20.01 mm", "20 mm or stricter")),
        (SLACK, {"edge": "above"}, ("edge", "above", "at-or-above")),
        (SLACK, {"edge": "at-or-below"}, ("edge", "at-or-below", "at-or-above")),
        (SLACK, {"unit": "cm", "value": Decimal(2)}, ("unit", "cm", "mm")),
        (SLACK, {"verdict": "watch"}, ("verdict", "watch", "stop or more serious")),
        (WORN, {"value": Decimal("1.49")}, ("value", "1.49 mm", "1.5 mm or stricter")),
        (now(WORN, edge="at-or-below"), {"edge": "below"}, ("edge", "below", "at-or-below")),
        (WORN, {"verdict": "watch", "days": None}, ("verdict", "watch", "repair-by or more serious")),
        (WORN, {"days": 31}, ("days", "31", "at most 30")),
        (WORN, {"legal": False}, ("legal", "false", "true: it is set by law")),
    ],
)
def test_what_a_yard_may_not_loosen(before: Limit, change: dict[str, Any], found: tuple[str, str, str]) -> None:
    assert looser(before, now(before, **change)) == found


def test_every_edge_is_upper_or_lower() -> None:
    assert [now(SLACK, edge=edge).upper for edge in EDGES] == [True, True, False, False]


def test_all_that_a_yard_has_loosened_in_a_subject() -> None:
    sizes = msgspec.structs.replace(BELT.rows["sizes"], columns=("size in", "sag mm"))
    tested = msgspec.structs.replace(BELT, retest=True)
    changed = msgspec.structs.replace(
        BELT, limits={**BELT.limits, "slack": now(SLACK, value=Decimal(21))}, rows={"sizes": sizes}
    )
    assert list(loosened(tested, changed)) == [
        (("retest",), "false", "true: a repair of it is tested before release"),
        (("limits", "slack", "value"), "21 mm", "20 mm or stricter"),
        (("rows", "sizes", "columns"), "size in, sag mm", "size mm, sag mm"),
    ]
    assert list(loosened(BELT, tested)) == []
    assert list(loosened(BELT, msgspec.structs.replace(BELT, limits={}, rows={}))) == []
