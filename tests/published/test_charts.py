"""Control charts, percentiles and run lengths against printed values; check values, sections 4 and 11."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from dipmark.derive.trend.change import both_sides, cusum_length, ewma_length
from dipmark.derive.trend.chart import Rule, alarm_limit, average_limits, averages, individuals, sums

MASS = (95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.0610, 95.1591, 95.1195, 95.1065, 95.0925, 95.1990, 95.1682)
FLOW = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)
GROUPS = (
    *(324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600, 324.625),
    *(325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350),
)
HIGH = (0, 0, 0, 0, 0.03, 0, 0, 0, 0, 0, 0, 0, 3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04)
LOW = (0, 0.01, 0, 0.33, 0, 0, 0.56, 0.72, 0.17, 0.25, 0.31, *(0,) * 9)


@pytest.mark.parametrize(("rule", "printed"), [("weibull", 95.1981), ("linear", 95.1957), ("median_unbiased", 95.1972)])
def test_the_90th_percentile_by_each_rule(rule: Rule, printed: float) -> None:
    # NIST/SEMATECH e-Handbook 7.2.6.2 (secondary): R6, R7, R8.
    found = alarm_limit(np.array(MASS), 90, rule)
    assert found.value == pytest.approx(printed, abs=5e-5)
    assert found.rule == rule


def test_individuals_chart() -> None:
    # NIST/SEMATECH e-Handbook 6.3.2.2 (secondary): mean 50.81, mean moving range 1.8778.
    limits = individuals(np.array(FLOW))
    assert limits.middle == pytest.approx(50.81, abs=0.005)
    assert (limits.high - limits.middle) / 3 * 1.128 == pytest.approx(1.8778, abs=5e-5)
    assert (limits.low, limits.high) == pytest.approx((45.8159, 55.8041), abs=5e-5)


def test_the_shop_factor_misses_the_third_decimal() -> None:
    # 2.66 for 3 / 1.128 gives 45.8151 and 55.8049.
    limits = individuals(np.array(FLOW))
    move = (limits.high - limits.middle) / 3 * 1.128
    assert (50.81 - 2.66 * move, 50.81 + 2.66 * move) == pytest.approx((45.8151, 55.8049), abs=5e-5)
    assert (limits.low, limits.high) != pytest.approx((45.8151, 55.8049), abs=5e-4)


def test_tabular_cusum() -> None:
    # NIST/SEMATECH e-Handbook 6.3.2.3 (secondary): target 325, k 0.3175, h 4.1959; ties are rounded either way.
    found = sums(np.array(GROUPS), 325, 0.3175)
    assert found.high == pytest.approx(HIGH, abs=0.005 + 1e-9)
    assert found.low == pytest.approx(LOW, abs=0.005 + 1e-9)
    assert int(np.argmax(np.maximum(found.high, found.low) > 4.1959)) + 1 == 14


def test_ewma_chart() -> None:
    # NIST/SEMATECH e-Handbook 6.3.2.4 (from memory): average 50, sd 2.0539, weight 0.3; last averages, limits.
    values = (52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, *FLOW)
    printed = (
        *(50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33),
        *(50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99),
    )
    assert averages(np.array(values), 50, 0.3) == pytest.approx(printed, abs=0.005 + 1e-9)
    limits = average_limits(50, 2.0539, 0.3, 3)
    assert (limits.low, limits.high) == pytest.approx((47.4115, 52.5884), abs=1e-4)


def one_sided(k: float, h: float, shift: float, start: float = 0) -> float:
    return cusum_length(lambda step: norm.cdf(step + k - shift), h, start)


def two_sided(k: float, h: float, shift: float, start: float = 0) -> float:
    high, low = one_sided(k, h, shift), one_sided(k, h, -shift)
    return both_sides(high, low, one_sided(k, h, shift, start), one_sided(k, h, -shift, start))


@pytest.mark.parametrize(("shift", "printed", "exact"), [(0, 117.59, 117.5957), (1.5, 3.75, 3.7491)])
def test_brook_and_evans_1972(shift: float, printed: float, exact: float) -> None:
    # k 0.5, h 3 (secondary, with its exact value); the first was cut, not rounded.
    found = one_sided(0.5, 3, shift)
    assert found == pytest.approx(exact, abs=5e-5)
    assert found == pytest.approx(printed, abs=0.01)


SHIFTS = (0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4, 5)
PLAIN = ("168", "74.2", "26.6", "13.3", "8.38", "4.75", "3.34", "2.62", "2.19", "1.71", "1.31")
HEAD_START = ("149", "62.7", "20.1", "8.97", "5.29", "2.86", "2.01", "1.59", "1.32", "1.07", "1.01")
MISPRINT = (3, "1.32")


def as_printed(value: float, printed: str) -> str:
    return f"{value:.{len(printed.partition('.')[2])}f}"


@pytest.mark.parametrize(("shift", "printed"), list(zip(SHIFTS, PLAIN, strict=True)))
def test_lucas_and_crosier_1982(shift: float, printed: str) -> None:
    # Two-sided, k 0.5, h 4 (secondary).
    assert as_printed(two_sided(0.5, 4, shift), printed) == printed


@pytest.mark.parametrize(("shift", "printed"), [one for one in zip(SHIFTS, HEAD_START, strict=True) if one != MISPRINT])
def test_lucas_and_crosier_1982_with_a_head_start(shift: float, printed: str) -> None:
    # Two-sided, k 0.5, h 4, both sums begin at 2 (secondary).
    assert as_printed(two_sided(0.5, 4, shift, 2), printed) == printed


def test_their_head_start_at_shift_3_is_not_as_printed() -> None:
    # Printed 1.32; recomputed by others 1.3254.
    found = two_sided(0.5, 4, 3, 2)
    assert found == pytest.approx(1.3254, abs=5e-5)
    assert as_printed(found, "1.32") != "1.32"


@pytest.mark.parametrize(("shift", "value"), [(0, 465.44), (0.25, 139.49), (0.5, 37.996), (0.75, 17.048), (1, 10.376)])
def test_two_sided_with_h_5(shift: float, value: float) -> None:
    # Two independent programs agree on these.
    assert two_sided(0.5, 5, shift) == pytest.approx(value, rel=5e-5)


@pytest.mark.parametrize(
    ("shift", "printed"),
    [(-0.125, 400.28), (0, 124.66), (0.125, 59.30), (0.25, 36.71), (0.5, 20.37), (0.75, 14.06), (1, 10.75)],
)
def test_vance_1986(shift: float, printed: float) -> None:
    # One-sided, k 0, h 10 (secondary).
    assert one_sided(0, 10, shift) == pytest.approx(printed, abs=0.005)


def test_the_first_of_vance_1986_is_not_as_printed() -> None:
    # Shift -0.25: printed 2071.51; recomputed by others 2071.57.
    found = one_sided(0, 10, -0.25)
    assert found == pytest.approx(2071.57, abs=0.01)
    assert abs(found - 2071.51) > 0.05


def average_length(weight: float, sigmas: float, shift: float) -> float:
    return ewma_length(lambda value: norm.cdf(value - shift), weight, sigmas * (weight / (2 - weight)) ** 0.5)


@pytest.mark.parametrize(
    ("shift", "printed"),
    [(0, "500"), (0.25, "255"), (0.5, "88.8"), (0.75, "35.9"), (1, "17.5"), (2, "3.63"), (3, "1.93")],
)
def test_lucas_and_saccucci_1990(shift: float, printed: str) -> None:
    # Weight 0.5, 3.071 standard deviations (secondary).
    assert as_printed(average_length(0.5, 3.071, shift), printed) == printed


@pytest.mark.parametrize(
    ("shift", "printed"), [(0, "127.53"), (0.25, "43.94"), (0.5, "18.97"), (1, "8.38"), (2, "4.04")]
)
def test_crowder_1987(shift: float, printed: str) -> None:
    # Weight 0.05, 2 standard deviations (secondary).
    assert as_printed(average_length(0.05, 2, shift), printed) == printed
