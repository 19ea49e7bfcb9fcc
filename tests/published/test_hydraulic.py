"""The hydraulic oil against what is printed: ISO 4406, AS4059, NAS 1638 in several copies.

The sources stand beside the rows.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import ceil, log2

import pytest

from derive.condition.gauging import SUBJECTS, gauge
from dipmark.derive.condition.hydraulic import MEASUREMENTS, code_of

NAMED = {one.name: one for one in MEASUREMENTS}
CLEAN = NAMED["cleanliness"]
ROWS = SUBJECTS["hydraulic"].rows
ISO, AS, NAS = ROWS["iso-4406"], ROWS["as-4059"], ROWS["nas-1638"]


@pytest.mark.parametrize(
    "said",
    [{"per_100ml": ("300000", "50000", "700")}, {"per_ml": ("3000", "500", "7")}],
)
def test_three_counts(said: dict[str, tuple[str, ...]]) -> None:
    # a laboratory's page (seen): 300,000, 50,000 and 700 in 100 ml are 19/16/10
    assert gauge(CLEAN, **said).value == "19/16/10"
    # own example: against 19/17/14 all three are at or below
    assert gauge(CLEAN, **said, target="19/17/14").verdict == "in"


@pytest.mark.parametrize(
    ("count", "code"),
    [
        # own edges of the handbook's table (seen): more than … up to and including …
        ("160", "14"),
        ("160.1", "15"),
        ("10000", "20"),
        ("1.3", "7"),
        # where a logarithm to base two gives another code
        ("1.29", "7"),
        ("163000", "25"),
        ("0.01", "0"),
        ("2500000", "28"),
        ("2500001", ">28"),
    ],
)
def test_edges_of_the_codes(count: str, code: str) -> None:
    assert code_of(Fraction(count), ISO) == code


def test_the_code_by_logarithm_is_not_reproduced() -> None:
    by_log = {count: ceil(log2(count / 0.01)) for count in (1.29, 163_000.0)}
    assert by_log == {1.29: 8, 163_000.0: 24}
    assert [code_of(Fraction(text), ISO) for text in ("1.29", "163000")] == ["7", "25"]


@pytest.mark.parametrize(("code", "most"), [(0, "0.01"), (7, "1.3"), (14, "160"), (18, "2500"), (28, "2500000")])
def test_each_code_doubles_the_one_below_but_for_rounding(code: int, most: str) -> None:
    limits = dict(zip(ISO.column("code"), ISO.column("most"), strict=True))
    assert limits[Fraction(code)] == Fraction(most)
    assert len(limits) == 29
    assert all(Fraction("1.9") < high / low < Fraction("2.1") for low, high in pairwise(limits.values()))


@pytest.mark.parametrize(
    ("counts", "value"),
    [
        # an instrument's manual (seen)
        (("B=19500",), "6B"),
        (("B=38900", "C=3460", "D=306"), "7B/6C/5D"),
    ],
)
def test_as4059(counts: tuple[str, ...], value: str) -> None:
    assert gauge(NAMED["as4059"], per_100ml=counts).value == value


@pytest.mark.parametrize("table", ["as-4059", "nas-1638"])
def test_each_class_doubles_the_one_below_but_for_rounding(table: str) -> None:
    rows = ROWS[table]
    for column in rows.columns[1:]:
        for low, high in pairwise(rows.column(column)):
            assert abs(high - 2 * low) <= max(Fraction(1), high / 20), (column, low, high)


@pytest.mark.parametrize(
    ("counts", "grade"),
    [
        # three copies of NAS 1638 (seen)
        (("125", "22", "4", "1", "0"), "00"),
        (("250", "44", "8", "2", "0"), "0"),
        (("500", "89", "16", "3", "1"), "1"),
        (("2000", "356", "63", "11", "2"), "3"),
        (("8000", "1425", "253", "45", "8"), "5"),
        (("16000", "2850", "506", "90", "16"), "6"),
        (("32000", "5700", "1012", "180", "32"), "7"),
        (("64000", "11400", "2025", "360", "64"), "8"),
        (("128000", "22800", "4050", "720", "128"), "9"),
        (("256000", "45600", "8100", "1440", "256"), "10"),
        (("1024000", "182400", "32400", "5760", "1024"), "12"),
    ],
)
def test_nas1638(counts: tuple[str, ...], grade: str) -> None:
    assert gauge(NAMED["nas1638"], per_100ml=counts).value == grade
    # one particle more in any size is another class
    for index in range(5):
        more = tuple(f"{int(one) + (place == index)}" for place, one in enumerate(counts))
        assert gauge(NAMED["nas1638"], per_100ml=more).value != grade


def test_misprints_in_copies_of_nas1638_are_not_reproduced() -> None:
    # 190 for 180 in class 7, 65,000 for 64,000 and 1,140 for 11,400 in class 8, 1,020 for 1,024 in class 12
    row = {int(number): index for index, number in enumerate(NAS.column("class"))}
    assert NAS.column("50-100")[row[7]] == 180
    assert NAS.column("5-15")[row[8]] == 64_000
    assert NAS.column("15-25")[row[8]] == 11_400
    assert NAS.column("over 100")[row[12]] == 1024
