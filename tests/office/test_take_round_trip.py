"""What a row says is what the store holds, whatever it says."""

from __future__ import annotations

import csv
import io
import string
import tempfile
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from dipmark.facts.meter import MeterRead
from dipmark.office.take import TakeOptions
from office.taking import bodies, counts, file, taken, yard

Row = tuple[str, date, time | None, Decimal, str, str]

ZONE = "Europe/Madrid"
TEXT = st.text(string.ascii_letters + string.digits + " ,;|\"'\näñß€°½", max_size=20).map(str.strip)
ROWS = st.lists(
    st.tuples(
        st.sampled_from(["7", "12", "Ñ 4"]),
        st.dates(date(2024, 1, 1), date(2026, 11, 20)),
        st.none() | st.times().map(lambda t: t.replace(microsecond=0)),
        st.decimals(0, 99_999, places=2).map(abs),
        st.sampled_from(["", "Ana", "Íñigo Ruiz"]),
        TEXT.filter(lambda text: any(c.isalnum() for c in text)) | st.just(""),
    ),
    max_size=12,
)


def table(rows: list[Row], delimiter: str) -> str:
    """The rows as a file that a spreadsheet program might write."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter, lineterminator="\r\n")
    writer.writerow(["Truck", "Date", "Time", "Hours", "By", "Note"])
    for truck, day, clock, hours, by, note in rows:
        writer.writerow([truck, day.isoformat(), clock.isoformat() if clock else "", f"{hours:.2f}", by, note])
    return text.getvalue()


def said(row: Row) -> tuple[str, datetime, bool, Decimal, str | None]:
    """What the row says, without the person: the first to say it stands."""
    truck, day, clock, hours, _, note = row
    moment = datetime.combine(day, clock or time(), tzinfo=ZoneInfo(ZONE))
    return f"truck:{truck}", moment, clock is None, hours, note or None


@settings(max_examples=60)
@given(rows=ROWS, delimiter=st.sampled_from([",", ";", "\t"]))
def test_readings_come_back_as_they_were_written(rows: list[Row], delimiter: str) -> None:
    with tempfile.TemporaryDirectory() as name, yard() as office:
        trucks = file(Path(name), "t.csv", "Truck,Kind\n7,reach truck\n12,LPG forklift\nÑ 4,tow tractor\n")
        files = [trucks, file(Path(name), "h.csv", table(rows, delimiter))] if rows else [trucks]
        result = taken(office, *files, options=TakeOptions(zone=ZONE))
        once = {said(row) for row in rows}
        assert result.refused == ()
        assert counts(result) == (3 + len(once), len(rows) - len(once), 0)
        kept = set()
        for fact in bodies(office, MeterRead):
            assert isinstance(fact.body, MeterRead)
            kept.add((str(fact.book), fact.happened, fact.whole_day, fact.body.hours, fact.body.note))
        assert {(b, m.timestamp(), w, h, n) for b, m, w, h, n in kept} == {
            (b, m.timestamp(), w, h, n) for b, m, w, h, n in once
        }
        assert office.store.verify() == ()
