"""A fortnight planned whole, against the solver alone on the same models.

Ours puts jobs together, makes every model, solves it, looks the plan over and says why each visit stands where it
does. The baseline is the time that HiGHS itself took for these models in the same run. The bound says that all the rest
is no more than half of that.
"""

from __future__ import annotations

import statistics
import sys
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from dipmark.plan.check import check
from dipmark.plan.explain import why
from dipmark.plan.make import make
from dipmark.plan.rows import Arrays, Floats
from plan.workshop import fortnight, solver

SEEDS, SECONDS, BOUND = (101, 102, 103), 10.0, 1.5


def main() -> None:
    ours, solving = [], []
    for seed in SEEDS:
        jobs, room = fortnight(seed)
        run, spent = solver(SECONDS, gap=0.003), 0.0

        def timed(its: Arrays, share: float, first: Floats | None) -> tuple[Floats | None, float]:
            nonlocal spent
            begun = perf_counter()
            found = run(its, share, first)  # noqa: B023
            spent += perf_counter() - begun
            return found

        begun = perf_counter()
        plan = make(jobs, room, timed)
        found = check(plan, jobs, room)
        why(plan, jobs, room)
        ours.append(perf_counter() - begun)
        solving.append(spent)
        if found.complaints:
            raise SystemExit(f"seed {seed}: {found.complaints[:3]}")
    whole, alone = statistics.median(ours), statistics.median(solving)
    print(f"baseline  HiGHS alone, 200 services, 14 days, 3 mechanics    {alone:.2f} s")
    print(f"ours      visits, models, solving, checking, reasons    {whole:.2f} s")
    ratio = statistics.median(one / other for one, other in zip(ours, solving, strict=True))
    print(f"ratio     {ratio:.2f} (bound {BOUND}, {len(SEEDS)} cases, medians)")
    sys.exit(ratio > BOUND)


if __name__ == "__main__":
    main()
