"""Sheets set into PDF: same bytes for same input, fonts inside, words that can be read out, codes that decode."""

from __future__ import annotations

import re
from datetime import timedelta
from functools import cache
from pathlib import Path

import msgspec
import pypdfium2
import pytest
import typst
import zxingcpp
from PIL.Image import Image

from dipmark.faces.paper import press
from dipmark.faces.paper.press import HERE, TEMPLATE, Doc
from dipmark.facts.errors import Refused
from dipmark.views.labels import Labels
from dipmark.views.out_card import OutCard
from dipmark.views.sheet_code import read_sheet_code
from dipmark.views.sheet_geometry import Paper
from dipmark.views.week_sheet import WeekSheet
from faces.paper.trucks import CODE, FAULT, LANGUAGES, LONG, NOW, PAPERS, WIDE, rules_in, truck_docs, yard_docs

LPG = "engine-pneumatic-lpg"
DPI = 150


@cache
def docs(language: str, paper: Paper) -> tuple[Doc, ...]:
    """One of each sheet, the truck file once more with a record that does not verify."""
    return (*truck_docs(language, LPG, paper), *yard_docs(language), truck_docs(language, LPG, paper, problems=True)[5])


@cache
def pdf(language: str = "en", paper: Paper = "a4") -> bytes:
    return press.press(docs(language, paper), rules_in(language), paper, NOW)


@cache
def texts(language: str = "en", paper: Paper = "a4") -> tuple[str, ...]:
    """The words of each page as a reader takes them out, soft breaks left out."""
    with pypdfium2.PdfDocument(pdf(language, paper)) as book:
        return tuple(" ".join(page.get_textpage().get_text_bounded().replace("\u200b", "").split()) for page in book)


def pictures(data: bytes, dpi: int = DPI) -> list[Image]:
    with pypdfium2.PdfDocument(data) as book:
        return [page.render(scale=dpi / 72).to_pil() for page in book]


def squeezed(text: str) -> str:
    return re.sub(r"\s", "", text)


def test_every_sheet_has_its_template() -> None:
    assert {type(doc) for doc in docs("en", "a4")} == set(TEMPLATE)
    for name in TEMPLATE.values():
        assert (HERE / "templates" / f"{name}.typ").is_file()


def test_the_same_input_gives_the_same_bytes() -> None:
    again = press.press(docs("en", "a4"), rules_in("en"), "a4", NOW)
    assert again == pdf()
    later = press.press(docs("en", "a4"), rules_in("en"), "a4", NOW + timedelta(days=1))
    assert later != again


def test_it_says_that_it_is_pdf_a() -> None:
    """ISO 19005-2, 6.6.4: part and level stand in the metadata; level U: every letter maps to Unicode."""
    assert b"<pdfaid:part>2</pdfaid:part>" in pdf()
    assert b"<pdfaid:conformance>U</pdfaid:conformance>" in pdf()


def test_all_fonts_are_inside_and_are_those_shipped() -> None:
    with pypdfium2.PdfDocument(pdf()) as book:
        fonts = {
            (one.get_font().get_base_name(), one.get_font().is_embedded)
            for page in book
            for one in page.get_objects()
            if isinstance(one, pypdfium2.PdfTextObj)
        }
    assert fonts
    assert all(inside for _, inside in fonts)
    assert all("DejaVuSansCondensed" in name for name, _ in fonts)


def test_fonts_come_with_their_licence() -> None:
    assert "Permission is hereby granted, free of charge" in (HERE / "fonts" / "LICENSE").read_text("utf-8")


@pytest.mark.parametrize("language", LANGUAGES)
def test_words_can_be_read_out(language: str) -> None:
    rules, whole = rules_in(language), squeezed(" ".join(texts(language)))
    for check in rules.kinds[LPG].checks:
        assert squeezed(check.text) in whole
        assert all(squeezed(symptom.text) in whole for symptom in check.symptoms)
        assert all(squeezed(caution) in whole for caution in check.cautions)
    for wanted in (FAULT, WIDE, LONG, CODE):
        assert squeezed(wanted) in whole


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("language", LANGUAGES)
def test_the_code_of_the_book_stands_on_every_page(language: str, paper: Paper) -> None:
    assert all(CODE in text for text in texts(language, paper))


@pytest.mark.parametrize("paper", PAPERS)
def test_another_library_decodes_the_codes_of_every_page(paper: Paper) -> None:
    wanted = [page.code for doc in docs("en", paper) if isinstance(doc, WeekSheet) for page in doc.pages]
    opens = [doc.opens for doc in docs("en", paper) if isinstance(doc, Labels)]
    found = [{code.text for code in zxingcpp.read_barcodes(page)} for page in pictures(pdf("en", paper))]
    assert all(found)
    assert [one for page in found for one in page if read_sheet_code(one)] == wanted
    rest = {one for page in found for one in page} - {*wanted, *opens}
    assert rest == {f"{doc.head.book} {CODE}" for doc in docs("en", paper) if not isinstance(doc, WeekSheet)}
    assert sum(one in page for page in found for one in opens) == 1


def test_a_small_picture_of_a_week_sheet_still_decodes() -> None:
    """At 100 dots an inch, coarser than any phone photo of a whole page."""
    week = docs("en", "a4")[0]
    assert isinstance(week, WeekSheet)
    data = press.press([week], rules_in("en"), "a4", NOW)
    assert [code.text for page in pictures(data, 100) for code in zxingcpp.read_barcodes(page)] == [
        page.code for page in week.pages
    ]


def test_a_number_in_small_letters_and_other_scripts_has_its_code() -> None:
    assert press.drawn("truck:ñandú 4/b 1-AAAA").startswith("<?xml")


def test_a_file_is_not_written_over(tmp_path: Path) -> None:
    press.write_new(tmp_path / "a.pdf", b"one")
    with pytest.raises(Refused, match="is there already"):
        press.write_new(tmp_path / "a.pdf", b"two")
    assert (tmp_path / "a.pdf").read_bytes() == b"one"
    with pytest.raises(Refused, match="cannot be written"):
        press.write_new(tmp_path / "no" / "a.pdf", b"one")


def reasons_of(*reasons: str) -> bytes:
    card = docs("en", "a4")[3]
    assert isinstance(card, OutCard)
    return press.press([msgspec.structs.replace(card, reasons=reasons)], rules_in("en"), "a4", NOW)


def words_of(data: bytes) -> str:
    with pypdfium2.PdfDocument(data) as book:
        return " ".join(page.get_textpage().get_text_bounded().replace("\u200b", "") for page in book)


@pytest.mark.parametrize(
    "text", ["Łódź Ελλ Жук", r"*b* #panic() $x$ <a@b> _i_ \u0007 \n [c] `r` //", '"q"', "1.5 m² ½ °C ≥"]
)
def test_what_somebody_wrote_is_printed_as_it_stands(text: str) -> None:
    assert squeezed(text) in squeezed(words_of(reasons_of(text)))


@pytest.mark.parametrize(("text", "shown"), [("漢字 ok", "□□ ok"), ("a\x07b\x7fc\x85d", "a□b□c□d"), ("\ue000!", "□!")])
def test_what_the_fonts_have_not_shows_as_an_empty_box(text: str, shown: str) -> None:
    assert squeezed(shown) in squeezed(words_of(reasons_of(text)))


def test_every_letter_of_the_list_is_in_the_fonts() -> None:
    """The typesetter itself refuses to write PDF/A with a letter that the font has not."""
    ranges = [one.split("-") for one in (HERE / "fonts" / "letters.txt").read_text("ascii").split()]
    letters = "".join(chr(one) for first, last in ranges for one in range(int(first, 16), int(last, 16) + 1))
    look = '#set text(font: "DejaVu Sans", stretch: 87.5%, fallback: false)\n'
    setter = typst.Compiler(
        f"{look}#sys.inputs.letters #strong(sys.inputs.letters)".encode(),
        root=HERE,
        font_paths=press.fonts(),
        sys_inputs={"letters": " ".join(letters)},
    )
    assert setter.compile(format="pdf", pdf_standards=press.STANDARD, timestamp=0)
    assert len(letters) > 5_000
