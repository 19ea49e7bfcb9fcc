"""Lessons at the command line: the advice first, the figures behind it, the same as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest

from faces.cli.running import dipmark


@pytest.fixture
def faults(tmp_path: Path) -> str:
    path = tmp_path / "faults.csv"
    rows = [f"{unit},{hours},fault,{hours / 10}\n" for unit in "ABC" for hours in (340, 530, 620, 740, 800, 880)]
    path.write_text("unit,hours,event,cost\n" + "".join(rows) + "A,900,end,\nB,900,end,\nC,1000,end,\n", "utf-8")
    return str(path)


@pytest.fixture
def parts(tmp_path: Path) -> str:
    path = tmp_path / "parts.csv"
    failed = (54, 187, 216, 240, 244, 335, 361, 373, 375, 386)
    path.write_text("hours,event\n" + "".join(f"{one},failed\n" for one in failed) + "500,running\n" * 10, "utf-8")
    return str(path)


@pytest.fixture
def years(tmp_path: Path) -> str:
    path = tmp_path / "years.csv"
    path.write_text(
        "year,value,upkeep\n1,22500,3000\n2,16875,4500\n3,12750,7000\n4,9750,10000\n5,7125,13000\n", "utf-8"
    )
    return str(path)


def test_recurrence(faults: str) -> None:
    said = dipmark("lessons", "table", faults, "--as", "recurrence", columns=80)
    assert (said.code, said.err) == (0, "")
    assert said.out.startswith("Faults come ever faster with the hours (shape ")
    for words in ("3 units, 18 faults; limits of 0.95", "Laplace", "Faults a unit has had", "Cost of a unit"):
        assert words in said.out
    assert "limits not known" in said.out
    assert max(map(len, said.out.splitlines())) <= 80
    told = dipmark("lessons", "table", faults, "--as", "recurrence", "--level", "0.9", "--json").json
    assert told["level"] == 0.9
    assert told["power_law"]["truncation"] == "time"
    assert told["mcf"][-1]["value"] == pytest.approx(6)


def test_a_long_table_is_shown_in_part(tmp_path: Path) -> None:
    path = tmp_path / "long.csv"
    path.write_text("unit,hours,event\n" + "".join(f"A,{at},fault\n" for at in range(1, 101)) + "A,101,end\n", "utf-8")
    lines = dipmark("lessons", "table", str(path), "--as", "recurrence").out.split("Faults a unit has had\n")[1]
    assert [line.split()[0] for line in lines.splitlines()][1::11] == ["1", "100"]


def test_too_little_is_said(tmp_path: Path) -> None:
    path = tmp_path / "few.csv"
    path.write_text("unit,hours,event\nA,500,end\n", "utf-8")
    said = dipmark("lessons", "table", str(path), "--as", "recurrence").out
    assert said.startswith("Not enough to tell: 0 faults in 500 h; with about ")
    told = dipmark("lessons", "table", str(path), "--as", "recurrence", "--json").json
    assert (told["power_law"], told["trend"], told["mcf"]) == (None, None, [])
    path.write_text("hours,event\n500,running\n", "utf-8")
    assert dipmark("lessons", "table", str(path), "--as", "lives").out.startswith("Not enough to tell: 0 failures")


def test_lives(parts: str) -> None:
    said = dipmark("lessons", "table", parts, "--as", "lives").out
    assert "20 parts, 10 failed, 7,771 h of all together; limits of 0.95" in said
    assert "Weibull: shape 1.72 (" in said
    assert "Share that lives longer" in said
    told = dipmark("lessons", "table", parts, "--as", "lives", "--json").json
    # NIST/SEMATECH e-Handbook 8.4.1.3.
    assert told["weibull"]["shape"] == pytest.approx(1.7208, abs=5e-5)
    assert told["weibull"]["loglik"] == pytest.approx(-75.135, abs=5e-4)
    assert set(told["weibull"]) == {
        "shape", "shape_low", "shape_high", "scale", "scale_low", "scale_high", "loglik",
    }  # fmt: skip
    assert len(told["kaplan_meier"]) == 10


def test_a_life_that_leaves_none(tmp_path: Path) -> None:
    path = tmp_path / "all.csv"
    path.write_text("hours,event,count\n5,failed,1\n6,failed,1\n7,running,1000\n", "utf-8")
    assert " to none)" in dipmark("lessons", "table", str(path), "--as", "lives", "--level", "0.999").out
    path.write_text("hours,event\n5,failed\n6,failed\n", "utf-8")
    assert "0.0%" in dipmark("lessons", "table", str(path), "--as", "lives").out


@pytest.mark.parametrize("rate", ["10%", "10 %", "0.10", "0,1"])
def test_upkeep(years: str, rate: str) -> None:
    words = ("lessons", "table", years, "--as", "upkeep", "--price", "30000", "--rate", rate)
    assert dipmark(*words).out.startswith("Keep it 3 years: it then costs 12,918 a year, the least; ")
    told = dipmark(*words, "--json").json
    # Sullivan et al., table 9-2.
    assert told["equivalent_annual_cost"] == pytest.approx([13500, 12964, 12918, 13211, 13766], abs=0.5)
    assert told["best_year"] == 3


def test_replace() -> None:
    words = ("lessons", "replace", "--shape", "2.5", "--scale", "1000", "--planned", "1", "--failure", "5")
    assert dipmark(*words).out.startswith("Replace it at 493 h: 0.00346 an hour, ")
    told = dipmark(*words, "--json").json
    assert (told["interval"], told["cost_rate"]) == pytest.approx((493.047, 0.00346204), rel=1e-5)
    assert told["run_to_failure"] == pytest.approx(0.00563530, abs=5e-9)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("table", "t.csv", "--as", "upkeep"), "--price and --rate go with --as upkeep"),
        (("table", "t.csv", "--as", "lives", "--price", "3", "--rate", "5%"), "--price and --rate go with"),
        (("table", "t.csv", "--as", "upkeep", "--price", "3"), "--price and --rate go with"),
        (("table", "t.csv", "--as", "upkeep", "--price", "3", "--rate", "10"), "--rate 10: write it with its sign"),
        (("table", "t.csv", "--as", "upkeep", "--price", "3", "--rate", "ten"), "--rate ten: write it with"),
        (("table", "t.csv", "--as", "lives", "--level", "2"), "--level"),
        (("replace", "--shape", "2", "--scale", "9", "--planned", "1", "--failure", "2e6"), "at most a million times"),
        (("replace", "--shape", "0", "--scale", "9", "--planned", "1", "--failure", "5"), "--shape 0: a number from"),
        (("replace", "--shape", "nan", "--scale", "9", "--planned", "1", "--failure", "5"), "--shape nan: a number"),
    ],
)
def test_what_says_nothing_is_refused(words: tuple[str, ...], said: str) -> None:
    ran = dipmark("lessons", *words)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


def test_bad_rows_are_named_by_line_and_column(tmp_path: Path) -> None:
    path = tmp_path / "bad.csv"
    path.write_text("hours,event\nten,failed\n5,broke\n", "utf-8")
    ran = dipmark("lessons", "table", str(path), "--as", "lives")
    assert (ran.code, ran.out) == (1, "")
    assert "line 2, column hours" in ran.err
    assert "line 3, column event" in ran.err
    missing = dipmark("lessons", "table", str(tmp_path / "none.csv"), "--as", "lives")
    assert (missing.code, missing.out) == (1, "")
