"""What was last read on a plate."""

from __future__ import annotations

from decimal import Decimal

from derive.builders import ENROLLED, counting
from dipmark.derive.plate import plate_text, plate_value

READ = """
plate-read truck:7 2026-01-{}T08:00:00+01:00 lead
  values - {{"name": "mass", "value": "{}", "unit": {}}}
  texts - {{"name": "type-mark", "text": "{}"}}
"""


def test_the_last_read_counts_in_the_unit_that_is_wanted() -> None:
    book = counting(ENROLLED + READ.format("02", "4000", '"kg"', "LP") + READ.format("03", "4100", "null", "LPS"))
    assert plate_value(book, "mass", "kg") == Decimal(4100)
    assert plate_text(book, "type-mark") == "LPS"
    pounds = counting(ENROLLED + READ.format("02", "4000", '"kg"', "LP") + READ.format("03", "9000", '"lb"', "LP"))
    assert plate_value(pounds, "mass", "kg") == Decimal(4000)
    assert plate_value(book, "ramp", "%") is None
    assert plate_text(book, "tyres") is None
