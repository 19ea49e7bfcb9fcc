"""The battery: which side of a limit its edge falls on, what one reading decides, what is refused."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest

from derive.condition.gauging import SUBJECTS, gauge, refused
from derive.condition.roundabout import roundabout
from dipmark.derive.condition.battery import MEASUREMENTS, freezes, frozen_at

BATTERY = SUBJECTS["battery"]
NAMED = {one.name: one for one in MEASUREMENTS}
SG, VOLTAGE, CELLS = NAMED["battery-sg"], NAMED["battery-voltage"], NAMED["cells"]
ORDER = ("in", "watch", "repair-by", "stop", "now")


def test_a_bad_battery_takes_out_the_battery_not_the_truck() -> None:
    assert {one.of for one in MEASUREMENTS} == {"item"}


@pytest.mark.parametrize(
    ("reading", "at", "scale", "verdict", "rule"),
    [
        # 75 % is 1.225 on the council's scale, 1.250 on the army's
        ("1.226", "80F", "council", "in", "battery.low"),
        ("1.225", "80F", "council", "in", "battery.low"),
        ("1.224", "80F", "council", "watch", "battery.low"),
        ("1.250", "80F", "army", "in", "battery.low"),
        ("1.249", "80F", "army", "watch", "battery.low"),
        # 1.250 at 70 °F is 1.246
        ("1.250", "70F", "army", "watch", "battery.low"),
        # 20 % is 1.130 on the metric scale; 1.123 at 30 °C is 1.130
        ("1.130", "20C", "metric", "in", "battery.deep"),
        ("1.129", "68F", "metric", "watch", "battery.deep"),
        ("1.123", "30C", "metric", "in", "battery.deep"),
        ("1.122", "30C", "metric", "watch", "battery.deep"),
        # at -35 °F 1.225 freezes, which reads 1.271 there
        ("1.272", "-35F", "council", "in", "battery.frozen"),
        ("1.271", "-35F", "council", "stop", "battery.frozen"),
        ("1.270", "-35F", "council", "stop", "battery.frozen"),
        ("1.27", "-35F", "council", "stop", "battery.frozen"),
        # water itself at 32 °F reads 1.0192, which is 1.020 in the step of the hydrometer
        ("1.020", "0C", "metric", "stop", "battery.frozen"),
        ("1.021", "0C", "metric", "watch", "battery.deep"),
        ("1.019", "32F", "council", "stop", "battery.frozen"),
        ("1.019", "33F", "council", "watch", "battery.low"),
    ],
)
def test_each_side_of_each_edge_of_gravity(reading: str, at: str, scale: str, verdict: str, rule: str) -> None:
    found = gauge(SG, reading=reading, at=at, scale=scale)
    assert (found.verdict, found.rule, found.unit) == (verdict, rule, "sg")


def test_the_limit_stands_on_the_scale_of_the_value() -> None:
    # at -35 °F what is 1.225 at 80 °F freezes; the same electrolyte is 0.0004 x 115 - 0.0007 x 57.22 more at 20 °C.
    # 1.200 is 1.15994 at 20 °C: 36 % between 1.130 and 1.280; 1.154 at 80 °F: 5.29 °F between 1.120 and 1.155
    found = gauge(SG, reading="1.200", at="-35F", scale="metric")
    assert found.limit == Decimal("1.230944")
    assert found.more == {"charge": Decimal(36), "freezes": Decimal("-14.8")}
    assert gauge(SG, reading="1.200", at="-35F", scale="council").limit == Decimal("1.225")


def test_freezing_is_told_by_the_warmer_table_and_falls_with_gravity() -> None:
    points = [freezes(Fraction(1000 + step, 1000), BATTERY) for step in range(0, 300, 5)]
    assert all(weak >= strong for weak, strong in pairwise(points))
    assert [points[0], points[-1]] == [32, -75]
    # between its rows 1.190 is 11.8 below 0 °F by the course, 15 below by the manual
    assert freezes(Fraction("1.190"), BATTERY) == Fraction("-11.8")


@pytest.mark.parametrize("fahrenheit", [-80, -75, -40, -12, 0, 5, 15, 16, 25, 32])
def test_frozen_is_exactly_what_freezes_at_this_temperature_or_above(fahrenheit: int) -> None:
    edge = frozen_at(Fraction(fahrenheit), BATTERY)
    assert edge is not None
    assert freezes(edge, BATTERY) >= max(fahrenheit, -75)
    if fahrenheit > -75:
        assert freezes(edge + Fraction(1, 10**6), BATTERY) < fahrenheit
    assert frozen_at(Fraction(33), BATTERY) is None


def test_verdicts_of_gravity_only_get_better_with_gravity() -> None:
    for scale in ("council", "army", "metric"):
        for at in ("-40F", "0F", "30F", "80F"):
            said = [gauge(SG, reading=f"1.{step:03}", at=at, scale=scale).verdict for step in range(0, 400, 3)]
            ranks = [ORDER.index(str(one)) for one in said]
            assert ranks == sorted(ranks, reverse=True)


@pytest.mark.parametrize(
    ("volts", "kind", "cells", "verdict"),
    [
        ("12.45V", "starter", None, "in"),
        ("12.44V", "starter", None, "watch"),
        ("24.90V", "starter", "12", "in"),
        ("24.89V", "starter", "12", "watch"),
        ("47.28V", "traction", "24", "in"),
        ("47.27V", "traction", "24", "watch"),
    ],
)
def test_each_side_of_each_edge_of_voltage(volts: str, kind: str, cells: str | None, verdict: str) -> None:
    said = {"volts": volts, "kind": kind} | ({"cells": cells} if cells else {})
    assert gauge(VOLTAGE, **said).verdict == verdict


@pytest.mark.parametrize(("volts", "verdict"), [("40.81V", "in"), ("40.80V", "in"), ("40.79V", "watch")])
def test_each_side_of_the_edge_under_load(volts: str, verdict: str) -> None:
    found = gauge(NAMED["battery-load"], volts=volts, cells="24")
    assert (found.verdict, found.unit) == (verdict, "V")


@pytest.mark.parametrize(
    ("cells", "first", "again"),
    [
        (("1.280", "1.255"), "in", "in"),
        (("1.280", "1.254"), "watch", "repair-by"),
        (("1.280", "1.270", "1.231"), "watch", "repair-by"),
        (("1.230", "1.280", "1.270"), "watch", "stop"),
        (("1.200", "1.280"), "watch", "stop"),
        # read to 0.005: 0.050 is at the limit
        (("1.28", "1.230"), "watch", "stop"),
    ],
)
def test_one_reading_of_the_cells_decides_nothing(cells: tuple[str, ...], first: str, again: str) -> None:
    one, two = gauge(CELLS, cell=cells), gauge(CELLS, cell=cells, again="yes")
    assert (one.verdict, two.verdict) == (first, again)
    assert (one.limit, one.rule) == (two.limit, two.rule)
    assert ("One reading decides nothing" in " ".join(one.notes)) is (first == "watch")
    assert two.notes == ()


@pytest.mark.parametrize(("drawn", "verdict"), [("79.9%", "in"), ("80%", "in"), ("80.1%", "watch")])
def test_each_side_of_what_is_drawn(drawn: str, verdict: str) -> None:
    found = gauge(NAMED["battery-charge"], capacity="625Ah", drawn=drawn)
    assert (found.verdict, found.limit, found.unit) == (verdict, Decimal(550), "Ah")


@pytest.mark.parametrize(
    ("hours", "verdict"), [("9h", "in"), ("8.99h", "watch"), ("480 min", "watch"), ("479 min", "repair-by")]
)
def test_each_side_of_the_edges_of_capacity(hours: str, verdict: str) -> None:
    assert gauge(NAMED["battery-capacity"], hours=hours, rated="10h").verdict == verdict


@pytest.mark.parametrize(
    ("name", "said", "verdict", "value"),
    [
        ("battery-water", {"charges": "9", "age": "new"}, "in", 9),
        ("battery-water", {"charges": "10", "age": "new"}, "watch", 10),
        ("battery-water", {"charges": "4", "age": "old"}, "in", 4),
        ("battery-water", {"charges": "5", "age": "old"}, "watch", 5),
        ("battery-store", {"days": "29"}, "in", 29),
        ("battery-store", {"days": "30"}, "watch", 30),
        ("battery-equalise", {"charges": "9", "days": "29"}, "in", 9),
        ("battery-equalise", {"charges": "10", "days": "29"}, "watch", 10),
        ("battery-equalise", {"charges": "9", "days": "30"}, "watch", 30),
    ],
)
def test_what_is_due_by_charges_and_days(name: str, said: dict[str, str], verdict: str, value: int) -> None:
    found = gauge(NAMED[name], **said)
    assert found.verdict == verdict
    assert found.value == value


def test_the_limit_of_heat_is_shown_in_the_unit_as_read() -> None:
    assert (gauge(NAMED["battery-heat"], at="40C").limit, gauge(NAMED["battery-heat"], at="40C").unit) == (
        Decimal("46.111111"),
        "C",
    )
    assert gauge(NAMED["battery-heat"], at="100F").limit == 115


@pytest.mark.parametrize(
    ("name", "said", "found"),
    [
        ("battery-sg", {"reading": "12.65", "at": "1800 C", "scale": "metric"}, [
            ("measure-nonsense", "reading"), ("measure-nonsense", "at"),
        ]),
        ("battery-sg", {"reading": "NaN", "at": "20", "scale": "si"}, [
            ("quantity-unreadable", "reading"), ("quantity-unit", "at"), ("measure-word", "scale"),
        ]),
        ("battery-sg", {"reading": "0.9", "at": "20 mm"}, [
            ("measure-nonsense", "reading"), ("quantity-unit", "at"), ("measure-missing", "scale"),
        ]),
        ("battery-voltage", {"volts": "50V", "kind": "traction"}, [("measure-missing", "cells")]),
        ("battery-voltage", {"volts": "50V", "kind": "starter"}, [("measure-nonsense", "volts")]),
        ("battery-load", {"volts": "50V", "cells": "12"}, [("measure-nonsense", "volts")]),
        ("battery-load", {"volts": "-5V", "cells": "0"}, [
            ("measure-nonsense", "volts"), ("measure-nonsense", "cells"),
        ]),
        ("cells", {"cell": "1.260"}, [("measure-missing", "cell")]),
        ("battery-drawn", {"before": "1.150", "after": "1.210"}, [("measure-nonsense", "after")]),
        ("battery-capacity", {"hours": "0h"}, [("measure-nonsense", "hours"), ("measure-missing", "rated")]),
    ],
)  # fmt: skip
def test_nonsense_says_what_to_do(name: str, said: dict[str, str], found: list[tuple[str, str]]) -> None:
    assert refused(NAMED[name], **said) == found


def test_a_battery_that_was_not_drawn() -> None:
    found = gauge(NAMED["battery-drawn"], before="1.250", after="1.250")
    assert (found.value, found.verdict, found.source) == (Decimal(0), None, "navy-battery")


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("battery-sg", {"reading": "1.225", "at": "80F", "scale": "council"}),
        ("battery-sg", {"reading": "1.123", "at": "30C", "scale": "metric"}),
        ("battery-sg", {"reading": "1.271", "at": "-35F", "scale": "army"}),
        ("battery-voltage", {"volts": "12.45V", "kind": "starter"}),
        ("battery-load", {"volts": "40.80V", "cells": "24"}),
        ("battery-charge", {"capacity": "500Ah", "drawn": "80%"}),
        ("battery-capacity", {"hours": "480min", "rated": "10h"}),
        ("battery-heat", {"at": "115F"}),
        ("battery-heat", {"at": "46.1C"}),
    ],
)
def test_no_verdict_depends_on_the_unit(name: str, said: dict[str, str]) -> None:
    assert len(roundabout(NAMED[name], **said)) == 1
