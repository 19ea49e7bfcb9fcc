"""What stands on a truck's plate is noted with name and date, and its service sheets print it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from dipmark.facts.errors import NotFound, Refused
from dipmark.facts.truck import PlateRead, PlateText, PlateValue
from dipmark.office.plate import read_plate, sheet_of
from dipmark.views.service_sheet import BLANK
from office.desk import airship, at, desk, now
from office.taking import NOW


def test_numbers_and_words_are_noted_as_they_stand_there() -> None:
    with desk() as office:
        read_plate(
            office, "7", ["engine-oil=5.5 l", "tyres = solid 7.00-12", "fittings=8"], "manual", at("2026-02-05T08:00")
        )
        (body,) = [one.body for one in now(office).counting if isinstance(one.body, PlateRead)]
        assert body.values == (
            PlateValue(name="engine-oil", value=Decimal("5.5"), unit="l", source="manual"),
            PlateValue(name="fittings", value=Decimal(8), source="manual"),
        )
        assert body.texts == (PlateText(name="tyres", text="solid 7.00-12", source="manual"),)


@pytest.mark.parametrize("pair", ["x", "=5", "oil=", "oil=1,250"])
def test_what_is_no_value_is_refused_and_nothing_is_written(pair: str) -> None:
    with desk() as office, pytest.raises(Refused):
        read_plate(office, "7", ["engine-oil=5.5 l", pair], "plate", at("2026-02-05T08:00"))
    with desk() as office:
        assert not [one for one in now(office).counting if isinstance(one.body, PlateRead)]


def test_the_sheet_prints_a_blank_until_somebody_has_read_it() -> None:
    with desk() as office:

        def oil() -> str:
            sheet = sheet_of(office, "7", "150h", NOW)
            return next(line.text for task in sheet.tasks for line in task.plate if line.name == "engine-oil")

        assert oil() == f"engine oil: {BLANK}"
        read_plate(office, "7", ["engine-oil=5.5 l"], "plate", at("2026-02-05T08:00"))
        assert oil() == "engine oil: 5.5 l (read off the plate by Ana, Thu 2026-02-05)"


def test_no_such_service_names_those_there_are() -> None:
    with desk() as office:
        with pytest.raises(NotFound, match="There are: 8h, "):
            sheet_of(office, "7", "151h", NOW)
        with pytest.raises(NotFound, match="none yet"):
            sheet_of(office, airship(office), "150h", NOW)
