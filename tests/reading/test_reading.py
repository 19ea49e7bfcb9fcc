"""Sixty filled sheets, damaged and photographed, are read back; what is sure is right."""

from __future__ import annotations

from collections import Counter

from reading.trial import Count, bounds, table, trial

SEED = 30
SHEETS = 60


def test_sixty_sheets_keep_every_bound() -> None:
    total: Count = Counter()
    for number in range(SHEETS):
        total.update(trial(SEED, number, pages=1))
    assert list(bounds(total)) == [], "\n".join(table(total))
    assert total["all", "sure"] > 5000


def test_a_bound_that_is_missed_is_named() -> None:
    total: Count = Counter({("all", "sure"): 1000, ("all", "wrong"): 1, ("fair", "pages"): 10, ("fair", "refused"): 1})
    assert [line.partition(":")[0] for line in bounds(total)] == ["sure marks wrong", "fair"]
