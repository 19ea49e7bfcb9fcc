"""The battery against what is printed: army manuals and courses, NAVEDTRA 14113, makers' pages, own examples.

Half a unit of the last printed digit is allowed; the sources stand beside the rows.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.condition.gauging import SUBJECTS, gauge
from dipmark.derive.condition.battery import MEASUREMENTS, freezes
from dipmark.facts.units import convert
from published.printed import close

BATTERY = SUBJECTS["battery"]
NAMED = {one.name: one for one in MEASUREMENTS}
SG, VOLTAGE = NAMED["battery-sg"], NAMED["battery-voltage"]


# ---- temperature correction


@pytest.mark.parametrize(
    ("reading", "at", "corrected"),
    [
        # TM 5-4210-230-14&P-1, p. 457 (seen): 0.004 for each 10 °F from 80 °F
        ("1.250", "20F", "1.226"),
        ("1.250", "90F", "1.254"),
        ("1.250", "70F", "1.246"),
        ("1.235", "100F", "1.243"),
    ],
)
def test_gravity_at_80_f(reading: str, at: str, corrected: str) -> None:
    for scale in ("council", "army"):
        assert close(gauge(SG, reading=reading, at=at, scale=scale).value, corrected)


def test_gravity_at_20_c() -> None:
    # own example of the makers' rule D20 = Dt + 0.0007 (t - 20)
    assert close(gauge(SG, reading="1.270", at="35C", scale="metric").value, "1.2805")


def test_printed_errors_of_the_correction_are_not_reproduced() -> None:
    # TM 5-3820-256-24-4, p. 366, prints 1.246 for 1.235 at 100 °F, and 20 °F as 6.7 °C
    assert not close(gauge(SG, reading="1.235", at="100F", scale="army").value, "1.246")
    assert close(convert(Fraction(20), "F", "C"), "-6.7")
    # a question page has the sign reversed: 1.250 at 20 °F would be 1.274
    assert not close(gauge(SG, reading="1.250", at="20F", scale="council").value, "1.274")
    # another page states 0.0003 for 10 °F: 1.250 at 20 °F would be 1.248
    assert not close(gauge(SG, reading="1.250", at="20F", scale="council").value, "1.248")


def test_cold_lowers_and_heat_raises_where_a_car_table_lost_its_minus() -> None:
    cold, warm = (gauge(SG, reading="1.250", at=at, scale="council").value for at in ("70F", "90F"))
    assert str(cold) < "1.25" < str(warm)


# ---- state of charge


@pytest.mark.parametrize(
    ("scale", "reading", "charge"),
    [
        # a maker's page and a course text, both cite the battery council (secondary)
        ("council", "1.265", "100"),
        ("council", "1.225", "75"),
        ("council", "1.190", "50"),
        ("council", "1.155", "25"),
        ("council", "1.120", "0"),
        # own example, straight between rows
        ("council", "1.226", "75.6"),
        # TM 5-1185, Table II (seen)
        ("army", "1.280", "100"),
        ("army", "1.250", "75"),
        ("army", "1.220", "50"),
        ("army", "1.190", "25"),
        ("army", "1.130", "0"),
        # the same 1.220 on either scale (own)
        ("council", "1.220", "71"),
    ],
)
def test_charge_by_gravity(scale: str, reading: str, charge: str) -> None:
    assert close(gauge(SG, reading=reading, at="80F", scale=scale).more["charge"], charge)


@pytest.mark.parametrize(
    ("volts", "charge"),
    [("12.65", "100"), ("12.45", "75"), ("12.24", "50"), ("12.06", "25"), ("11.89", "0"), ("12.35", "63.1")],
)
def test_charge_by_voltage_of_a_starter_battery(volts: str, charge: str) -> None:
    # as above; 12.35 V own, straight between rows
    assert close(gauge(VOLTAGE, volts=volts, kind="starter").value, charge)


def test_gravity_by_voltage_of_a_traction_battery() -> None:
    # own example: 24 cells, 50.4 V rested: 2.10 V a cell, 1.260
    found = gauge(VOLTAGE, volts="50.4V", kind="traction", cells="24")
    assert close(found.more["cell"], "2.10")
    assert close(found.more["gravity"], "1.260")
    # makers (seen): at 80 % drawn the gravity is near 1.13; own: 1.97 V a cell
    deep = gauge(VOLTAGE, volts="1.97V", kind="traction", cells="1")
    assert close(deep.more["gravity"], "1.13")
    assert close(deep.value, "20")
    # 2.13 V belong to 1.285, where makers add 0.845
    assert abs(
        Fraction(str(gauge(VOLTAGE, volts="2.13V", kind="traction", cells="1").more["gravity"])) - Fraction("1.285")
    ) <= Fraction("0.005")


# ---- freezing


@pytest.mark.parametrize(
    ("table", "gravity", "fahrenheit", "celsius"),
    [
        # TM 5-3820-256-24-4 (seen)
        ("freezing", "1.265", "-75", "-59.4"),
        ("freezing", "1.225", "-35", "-37.2"),
        ("freezing", "1.190", "-15", "-26.1"),
        ("freezing", "1.155", "5", "-15"),
        ("freezing", "1.120", "15", "-9.4"),
        # army course OD1002 (seen)
        ("freezing-course", "1.280", "-90", "-67.8"),
        ("freezing-course", "1.250", "-62", "-52.2"),
        ("freezing-course", "1.200", "-16", "-26.7"),
        ("freezing-course", "1.150", "5", "-15"),
        ("freezing-course", "1.100", "19", "-7.2"),
        ("freezing-course", "1.000", "32", "0"),
    ],
)
def test_freezing_points(table: str, gravity: str, fahrenheit: str, celsius: str) -> None:
    printed = BATTERY.rows[table].between(Fraction(gravity), "gravity sg", "freezes F")
    assert printed == Fraction(fahrenheit)
    assert close(convert(printed, "F", "C"), celsius)
    # what is told is never colder than either table
    assert freezes(Fraction(gravity), BATTERY) >= printed


def test_errors_and_colder_copies_of_the_freezing_table_are_not_reproduced() -> None:
    # the manual's print says +15 °F beside -15 °C for 1.155; +5 °F is right
    assert freezes(Fraction("1.155"), BATTERY) == 5
    # a copy after the council gives 1.225 at -55 °F and 1.120 at -10 °F
    assert freezes(Fraction("1.225"), BATTERY) == -35
    assert freezes(Fraction("1.120"), BATTERY) == 15


# ---- cells, capacity, charge


def test_cells_apart() -> None:
    # a trade school's page (seen): spread 0.070, replace
    six = ("1.260", "1.230", "1.240", "1.220", "1.190", "1.250")
    assert close(gauge(NAMED["cells"], cell=six).value, "0.070")
    assert gauge(NAMED["cells"], cell=six).rule == "battery.replace"
    assert gauge(NAMED["cells"], cell=six, again="yes").verdict == "stop"
    # TM 9-6140-200-14, para 4-7 (seen): more than 0.025; a binary float makes 1.265 - 1.240 less than that
    assert gauge(NAMED["cells"], cell=("1.265", "1.240"), again="yes").verdict == "in"
    assert gauge(NAMED["cells"], cell=("1.265", "1.239"), again="yes").verdict == "repair-by"


@pytest.mark.parametrize(("before", "after", "drawn"), [("1.210", "1.150", "40"), ("1.280", "1.175", "70")])
def test_charge_drawn_by_the_fall_of_gravity(before: str, after: str, drawn: str) -> None:
    # NAVEDTRA 14113 (seen): 60 points are 40 Ah, 105 points are 70 Ah
    assert close(gauge(NAMED["battery-drawn"], before=before, after=after).value, drawn)


def test_capacity_by_hours() -> None:
    # NAVEDTRA 14113 (seen): 7 h of 10 h are 70 %
    assert close(gauge(NAMED["battery-capacity"], hours="7h", rated="10h").value, "70")


def test_charge_returned() -> None:
    # a traction battery maker's page (seen): 500 Ah, 80 % drawn: 440 Ah
    found = gauge(NAMED["battery-charge"], capacity="500Ah", drawn="80%")
    assert close(found.value, "440")
    assert found.verdict == "in"


def test_too_warm() -> None:
    # makers (seen): at most 115 °F, 46 °C
    heat = NAMED["battery-heat"]
    assert [gauge(heat, at=at).verdict for at in ("115F", "116F", "46C", "47C")] == ["in", "stop", "in", "stop"]
