"""A chart is numbers: where each point lies, what the axes say, and the same in a table."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import Literal

import msgspec
import pytest

from dipmark.derive.meter import Doubtful, Good, MeterLife
from dipmark.facts.base import FactId
from dipmark.views.charts import (
    BOTTOM,
    HIGH,
    LEFT,
    MOST,
    RIGHT,
    STEPS,
    TOP,
    WIDE,
    Scale,
    curve_chart,
    meter_chart,
    ticks,
    wear_chart,
)
from dipmark.views.lessons import Curve
from dipmark.views.measures import MeasureRow, PointRow, WearRow


def good(day: int, hours: str) -> Good:
    return Good(FactId(f"g{day}"), Decimal(hours), Decimal(hours), 0, 0, date(2026, 1, day))


def odd(day: int, shown: str) -> Doubtful:
    return Doubtful(FactId(f"d{day}"), Decimal(shown), "contradicts", (), 0, 0, date(2026, 1, day))


def life(*days: tuple[int, str], doubtful: tuple[Doubtful, ...] = ()) -> MeterLife:
    return MeterLife("main", None, tuple(good(*one) for one in days), doubtful)


def point(hours: int, value: str, *, used: bool = True, renewed: bool = False) -> PointRow:
    return PointRow(FactId(f"p{hours}"), Decimal(hours), Decimal(value), used, renewed)


def wear(*points: PointRow, low: float | None = 100.0, high: float | None = 300.0) -> WearRow:
    return WearRow("about 200 h", points, Decimal(3), "%", 0.5, low, 200.0, high, ())


def measured(row: WearRow | None) -> MeasureRow:
    return MeasureRow(
        name="chain",
        text="Lift chain",
        where="",
        said="",
        value=None,
        unit="%",
        limit=None,
        verdict=None,
        words="",
        because="",
        renewed=None,
        notes=(),
        source=None,
        day=date(2026, 1, 1),
        by="ana",
        until=None,
        gauge=None,
        wear=row,
        fact=FactId("f"),
    )


@pytest.mark.parametrize(
    ("low", "high", "count", "said"),
    [
        ("0", "1000", 4, "0 200 400 600 800 1000"),
        ("5547", "13400", 3, "6000 8000 10000 12000"),
        ("-0.3", "3.3", 4, "0.0 0.5 1.0 1.5 2.0 2.5 3.0"),
        ("89", "100.9", 4, "90 92 94 96 98 100"),
        ("0", "8", 4, "0 2 4 6 8"),
    ],
)
def test_ticks_are_round_numbers_inside_the_axis(low: str, high: str, count: int, said: str) -> None:
    found = ticks(Decimal(low), Decimal(high), count)
    assert all(Decimal(low) <= one <= Decimal(high) for one in found)
    steps = {after - before for before, after in pairwise(found)}
    assert len(steps) == 1
    assert 3 <= len(found) <= 7
    if len(found) == len(said.split()):
        assert [Decimal(one) for one in said.split()] == list(found)


def test_a_scale_keeps_its_ends() -> None:
    scale = Scale(Decimal(10), Decimal(20), 100, 0)
    assert [scale.at(Decimal(one)) for one in (10, 15, 20)] == [100.0, 50.0, 0.0]


def test_one_reading_is_no_chart() -> None:
    assert meter_chart(life((1, "5"))) is None
    assert wear_chart(measured(None)) is None
    assert wear_chart(measured(wear(point(1, "1")))) is None


def test_the_meter_by_day_joins_what_agrees_and_draws_the_rest_apart() -> None:
    made = meter_chart(life((1, "10"), (11, "20"), (21, "30"), doubtful=(odd(5, "9000"),)))
    assert made is not None
    assert (made.count, made.doubtful, made.limit, made.band, made.unit) == (4, 1, None, "", "h")
    assert (made.first, made.last) == (("2026-01-01", "10 h"), ("2026-01-21", "30 h"))
    assert [row[2] for row in made.rows] == ["good", "doubtful", "good", "good"]
    (line,) = made.lines
    assert len(line.split()) == 3
    assert made.dots[0].x == LEFT
    assert made.dots[-1].x == WIDE - RIGHT
    far = next(dot for dot in made.dots if dot.look == "doubtful")
    assert far.y == TOP, "what lies far off is drawn at the edge and does not flatten the rest"
    assert made.dots[-1].y < made.dots[0].y <= HIGH - BOTTOM


def test_readings_of_one_day_and_one_value_still_have_a_place() -> None:
    made = meter_chart(life((1, "10"), (1, "10")))
    assert made is not None
    assert len({(dot.x, dot.y) for dot in made.dots}) == 1


def test_a_long_series_is_drawn_by_its_end_and_told_whole() -> None:
    days = [date.fromordinal(730000 + turn) for turn in range(MOST + 50)]
    many = [msgspec.structs.replace(good(1, str(turn)), day=day) for turn, day in enumerate(days)]
    made = meter_chart(MeterLife("main", None, tuple(many), ()))
    assert made is not None
    assert (len(made.dots), made.count, len(made.rows)) == (MOST, MOST + 50, MOST + 50)


def test_wear_has_its_limit_and_the_hours_within_which_it_is_met() -> None:
    made = wear_chart(measured(wear(point(0, "0"), point(100, "1"), point(200, "2", used=False))))
    assert made is not None
    assert (made.limit_said, made.note, made.doubtful) == ("3 %", "about 200 h", 1)
    assert made.limit is not None
    start, soon, late = (corner.split(",") for corner in made.band.split())
    assert float(start[0]) < float(soon[0]) < float(late[0])
    assert float(soon[1]) == float(late[1]) == made.limit
    assert made.across[0].text == "0 h"


def test_without_a_later_end_the_band_runs_to_the_frame_and_without_any_there_is_none() -> None:
    open_end = wear_chart(measured(wear(point(0, "0"), point(100, "1"), high=None)))
    assert open_end is not None
    assert open_end.band.split()[2].startswith(f"{float(WIDE - RIGHT)},")
    none = wear_chart(measured(wear(point(0, "0"), point(100, "1"), low=None, high=None)))
    assert none is not None
    assert none.band == ""


def test_where_nothing_can_be_said_of_the_line_no_reading_is_called_doubtful() -> None:
    row = msgspec.structs.replace(wear(point(0, "0", used=False), point(9, "1", used=False)), per_100h=None)
    made = wear_chart(measured(row))
    assert made is not None
    assert made.doubtful == 0


def test_a_renewed_part_begins_a_new_line() -> None:
    made = wear_chart(measured(wear(point(0, "1"), point(50, "2"), point(60, "0", renewed=True), point(90, "1"))))
    assert made is not None
    assert [len(line.split()) for line in made.lines] == [2, 2]
    alone = wear_chart(measured(wear(point(0, "1"), point(60, "0", renewed=True), point(90, "1"))))
    assert alone is not None
    assert [len(line.split()) for line in alone.lines] == [2]


def curve(count: int = 3, *, sure: int = 0, of: Literal["kind", "part", "labour"] = "kind") -> Curve:
    """A fault every hundred hours; limits at the first `sure` of them."""
    value = tuple(float(step + 1) for step in range(count))
    known = [step < sure for step in range(count)]
    return Curve(
        kind="reach",
        of=of,
        name="reach truck",
        unit="faults a truck",
        hours=tuple(100.0 * (step + 1) for step in range(count)),
        value=value,
        low=tuple(one - 0.5 if yes else None for one, yes in zip(value, known, strict=True)),
        high=tuple(one + 0.5 if yes else None for one, yes in zip(value, known, strict=True)),
        at_risk=tuple(12 if yes else 4 for yes in known),
    )


def points(text: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in (one.split(",") for one in text.split())]


def test_a_curve_goes_up_in_steps_from_nothing() -> None:
    one = curve_chart(curve())
    drawn = points(one.line)
    assert drawn[0] == pytest.approx((LEFT, HIGH - BOTTOM))
    assert drawn[-1][0] == WIDE - RIGHT
    assert all(a[0] == b[0] or a[1] == b[1] for a, b in pairwise(drawn))
    assert all(a[0] <= b[0] and a[1] >= b[1] for a, b in pairwise(drawn))
    assert [tick.text for tick in one.up] == ["0", "1", "2", "3"]
    assert not one.bands
    assert one.said == (
        "By 300 h a truck has had 3.0 faults on average. Trucks watched at those hours: 4; too few for limits."
    )
    assert one.rows[0] == ("100 h", "1.0", "too few trucks", "4")


def test_limits_are_drawn_where_they_are_to_be_trusted() -> None:
    one = curve_chart(curve(4, sure=3))
    (band,) = one.bands
    line = dict(points(one.line))
    assert max(x for x, _ in points(band)) < WIDE - RIGHT
    assert min(y for _, y in points(band)) < min(line[x] for x, _ in points(band))
    assert [row[2] for row in one.rows] == ["(0.50 to 1.5)", "(1.5 to 2.5)", "(2.5 to 3.5)", "too few trucks"]
    assert not curve_chart(curve(2, sure=1)).bands
    assert "too few" not in curve_chart(curve(2, sure=2)).said


def test_of_many_steps_some_are_shown_and_always_the_last() -> None:
    one = curve_chart(curve(2 * STEPS + 1, of="labour"))
    assert len(one.rows) == 81
    assert one.rows[-1][0] == "24,100 h"
    assert one.said.startswith("By 24,100 h a truck has taken 241 h of labour on faults on average.")
    assert one.said.endswith("One step in 3 is shown.")
    assert "of this part" in curve_chart(curve(of="part")).said
