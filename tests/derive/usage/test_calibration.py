"""Are the dates as sure as they say, and better than a plain rate: on time that was held back.

Own generator, fixed here: 2,000 trucks, a year; one, two or three shifts; national holidays; a season of ±25 %; one
truck in twenty changes its job once by a factor of 0.3 to 2; daily spread of gamma shape 3; readings every day to every
month, one in a hundred a slip. The prior is learnt from what was read before the forecasts. Times are not rounded.
"""

from __future__ import annotations

from datetime import timedelta
from typing import NamedTuple

import numpy as np
import pytest

from derive.usage.made import BEYOND, FIRST, YEAR, Floats, Yard, calendars, read, yard
from derive.usage.rivals import ORIGIN, ZERO, loss, marks, oracle, rivals, until
from dipmark.derive.usage.ahead import passes
from dipmark.derive.usage.calendar import days_of
from dipmark.derive.usage.clock import Clock, clock_of
from dipmark.derive.usage.fit import Fitted, Readings, fit
from dipmark.derive.usage.learn import prior_of
from dipmark.derive.usage.prior import Prior

TRUCKS, SEED = 2000, 20261125
LEARNT = 268.0
"""The prior is learnt from the days before; the forecasts are made in the week that follows."""


class Run(NamedTuple):
    made: Yard
    readings: Readings
    cut: Floats
    clock: Clock
    prior: Prior
    fitted: Fitted

    def foretold(self, ahead: float) -> tuple[Floats, list[Floats]]:
        """The unrounded times at which marks about so many days ahead were reached, and our 10, 50 and 90 % times."""
        mark = marks(self.readings, self.cut, ahead)
        told = passes(self.fitted, self.readings.row, self.clock, self.prior, mark)
        return self.made.passes(mark - ZERO), [one - ORIGIN for one in told]


@pytest.fixture(scope="module", params=[False, True], ids=["one season", "own seasons"])
def run(request: pytest.FixtureRequest) -> Run:
    made = yard(SEED, TRUCKS, own_season=request.param)
    cut = np.random.default_rng(SEED).uniform(LEARNT, LEARNT + 7, TRUCKS)
    readings = read(made, SEED, cut)
    days = days_of(calendars(), FIRST, FIRST + timedelta(days=YEAR + BEYOND))
    prior = prior_of(until(readings, np.full(TRUCKS, LEARNT)), days, Prior())
    clock = clock_of(days, np.array(prior.factors))
    return Run(made, readings, cut, clock, prior, fit(readings, clock, prior))


@pytest.mark.property
@pytest.mark.parametrize("ahead", [7.0, 28.0, 90.0])
def test_four_in_five_come_between_early_and_late(run: Run, ahead: float) -> None:
    came, (early, _, late) = run.foretold(ahead)
    assert 0.77 <= np.mean((early <= came) & (came <= late)) <= 0.83


@pytest.mark.property
def test_four_weeks_ahead_the_dates_beat_every_plain_rate(run: Run) -> None:
    came, ours = run.foretold(28.0)
    others = {name: loss(told, came) for name, told in rivals(run.made, run.readings, run.cut, 28.0).items()}
    best, least = min(others.values()), loss(oracle(run.made, run.readings, marks(run.readings, run.cut, 28.0)), came)
    own = loss(ours, came)
    assert own < best
    assert best - own >= 0.4 * (best - least)


@pytest.mark.property
def test_the_oracle_is_as_sure_as_it_says(run: Run) -> None:
    came, _ = run.foretold(28.0)
    early, _, late = oracle(run.made, run.readings, marks(run.readings, run.cut, 28.0))
    assert 0.77 <= np.mean((early <= came) & (came <= late)) <= 0.83


@pytest.mark.property
def test_changes_of_job_are_seen_and_few_are_imagined(run: Run) -> None:
    seen, changed = ~np.isnan(run.fitted.changed), run.made.job < LEARNT - 21
    great = changed & (run.made.job > 21) & ((run.made.factor < 0.6) | (run.made.factor > 1.5))
    assert (seen & (run.made.job > run.cut)).sum() <= 0.01 * TRUCKS
    assert (seen & great).sum() >= 0.3 * great.sum()
