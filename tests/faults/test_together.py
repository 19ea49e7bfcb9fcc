"""Several programs in the same books at once; more appends in ``bench/prove_record.py``."""

from __future__ import annotations

from faults.conftest import program
from faults.together import Together


def test_no_gap_no_double_and_each_fact_once(where: str) -> None:
    programs, appends = (4, 12) if where == "sqlite" else (8, 8)
    (done,) = program(Together, "together", where, programs, appends)
    assert (done.programs, done.shared) == (programs, 3 * appends)
    assert done.facts == 3 * appends * (programs + 1)


def test_two_programs_on_one_file() -> None:
    (done,) = program(Together, "together", "sqlite", 2, 15)
    assert done.facts == 135
