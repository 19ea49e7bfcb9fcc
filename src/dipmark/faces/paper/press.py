"""Sets sheets into PDF: the same bytes for the same sheets and the same time, with shipped fonts only."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Final

import msgspec
import segno
import typst

from dipmark.faces.paper.words import texts
from dipmark.facts.errors import Refused
from dipmark.rules.model import Rules
from dipmark.views.card import TruckCard
from dipmark.views.day_card import DayCard
from dipmark.views.due_list import DueList
from dipmark.views.items_sheet import ItemsSheet
from dipmark.views.job_sheet import JobSheet
from dipmark.views.labels import Labels
from dipmark.views.lessons_sheet import LessonsSheet
from dipmark.views.out_card import OutCard
from dipmark.views.paper import ServicePaper
from dipmark.views.planning_sheets import PartsSheet, WorkshopSheet
from dipmark.views.release_list import ReleaseList
from dipmark.views.sheet_geometry import PAPERS, Paper
from dipmark.views.truck_file import TruckFile
from dipmark.views.week_sheet import WeekSheet

Doc = (
    WeekSheet
    | TruckCard
    | OutCard
    | ServicePaper
    | DueList
    | TruckFile
    | Labels
    | ReleaseList
    | LessonsSheet
    | WorkshopSheet
    | PartsSheet
    | JobSheet
    | DayCard
    | ItemsSheet
)

TEMPLATE: Final[dict[type[Doc], str]] = {
    WeekSheet: "week",
    TruckCard: "card",
    OutCard: "out",
    ServicePaper: "service",
    DueList: "due",
    TruckFile: "file",
    Labels: "labels",
    ReleaseList: "release",
    LessonsSheet: "lessons",
    WorkshopSheet: "workshop",
    PartsSheet: "parts",
    JobSheet: "job",
    DayCard: "day",
    ItemsSheet: "items",
}
"""The template of each sheet, ``templates/NAME.typ``."""

STANDARD: Final = "a-2u"
"""PDF/A-2u (ISO 19005-2, level U: every letter can be read out as text), as the typesetter writes it."""

HERE: Final = Path(__file__).parent


def press(docs: Sequence[Doc], rules: Rules, paper: Paper, when: datetime) -> bytes:
    """Set sheets, one after the other, into one PDF.

    Args:
        docs: the sheets.
        rules: in the language of the sheets.
        paper: size of the paper.
        when: the date of the document; its bytes depend on nothing else.
    """
    return compiled(told(docs, rules, paper), when)


def told(docs: Sequence[Doc], rules: Rules, paper: Paper) -> str:
    """All that the templates are told, as JSON; see `press` for the arguments."""
    width, height = PAPERS[paper]
    codes = dict.fromkeys(text for doc in docs for text in _codes(doc))
    data = msgspec.json.encode(
        {
            "docs": [{"template": TEMPLATE[type(doc)], "doc": doc} for doc in docs],
            "words": rules.words | texts(rules.language),
            "lang": rules.language.partition("-")[0],
            "codes": {text: drawn(text) for text in codes},
            "width": width,
            "height": height,
        },
        enc_hook=str,
    ).decode()
    return _unprintable().sub(_instead, data)


@cache
def _unprintable() -> re.Pattern[str]:
    """Finds, in JSON, every escape, and every letter that the shipped fonts have not."""
    ranges = (HERE / "fonts" / "letters.txt").read_text("ascii").split()
    held = "".join("-".join(f"\\U{int(end, 16):08x}" for end in one.split("-")) for one in ranges)
    return re.compile(rf"\\(?:u00[01][0-9a-f]|.)|[^{held}]")


def _instead(found: re.Match[str]) -> str:
    """An empty box in place of what cannot be printed, so that it shows and the sheet is printed all the same."""
    text = found.group()
    return text if text.startswith("\\") and not text.startswith("\\u") else "□"


def compiled(data: str, when: datetime) -> bytes:
    """The PDF of what `told` gives."""
    made = compiler(data).compile(format="pdf", pdf_standards=STANDARD, timestamp=int(when.timestamp()))
    assert isinstance(made, bytes)  # noqa: S101  one PDF, whatever the number of pages
    return made


def compiler(data: str) -> typst.Compiler:
    """The typesetter with the templates, the shipped fonts and what `told` gives."""
    return typst.Compiler(HERE / "templates" / "main.typ", root=HERE, font_paths=fonts(), sys_inputs={"told": data})


def write_new(path: Path, data: bytes) -> None:
    """Write a file that is not there yet.

    Raises:
        Refused: it is there already, or cannot be written.
    """
    try:
        with path.open("xb") as out:
            out.write(data)
    except FileExistsError as fault:
        raise Refused(f"{path} is there already; it is not written over. Name another file.") from fault
    except OSError as fault:
        raise Refused(f"{path} cannot be written: {fault.strerror}.") from fault


@cache
def fonts() -> typst.Fonts:
    """The shipped fonts and no others: a page looks the same on every machine."""
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[HERE / "fonts"])


MASK: Final = 2
"""The pattern laid over every code. Readers take any; weighing all eight takes five times as long."""


def drawn(text: str) -> str:
    """A QR code as SVG."""
    out = io.BytesIO()
    segno.make(text, error="m", micro=False, boost_error=False, mask=MASK).save(
        out, kind="svg", border=0, omitsize=True
    )
    return out.getvalue().decode()


def _codes(doc: Doc) -> Iterator[str]:
    """The texts of the codes of a sheet; in a template `code-of` gives the same."""
    if isinstance(doc, WeekSheet):
        yield from (page.code for page in doc.pages)
        return
    yield f"{doc.head.book} {doc.head.code}"
    if isinstance(doc, Labels):
        yield doc.opens
