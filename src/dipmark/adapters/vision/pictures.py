"""Opens pictures: photos, scans with several pages, documents; each page as shades of grey."""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator
from typing import Any, Final

import cv2
import msgspec
import numpy as np
import pypdfium2
from numpy.typing import NDArray
from PIL import Image, ImageOps, ImageSequence, UnidentifiedImageError

from dipmark.facts.errors import ImportError_

Grey = NDArray[np.uint8]

MOST_PIXELS: Final = 60_000_000
"""A larger picture is refused before it is unpacked; telephones make fifty million. Common practice, no source."""

MOST_PAGES: Final = 200
"""So many pages a document has at most."""

POINTS: Final = 72
"""A PDF counts in so many to the inch. ISO 32000-1, 8.3.2.3."""

DOTS: Final = 250
"""Pages of a document are drawn with so many dots to the inch."""


class Picture(msgspec.Struct, frozen=True, eq=False):
    """One picture, or one page of a file.

    Args:
        grey: its pixels, dark is 0.
        page: number in its file, from 1.
    """

    grey: Grey
    page: int = 1


def is_picture(data: bytes) -> bool:
    """True for a file that begins as a JPEG, a PNG, a TIFF or a PDF does."""
    return data.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n", b"II*\0", b"MM\0*", b"II+\0", b"MM\0+", b"%PDF-"))


def pictures_of(data: bytes) -> tuple[Picture, ...]:
    """Every picture of a file, the right way up as far as the file says.

    Args:
        data: a JPEG, PNG, TIFF or PDF.

    Raises:
        ImportError_: it is none of them, cut short, too large, or locked.
    """
    if not is_picture(data):
        raise ImportError_("Found a file that is no picture; expected JPEG, PNG, TIFF or PDF. Take the photo again.")
    if data.startswith(b"%PDF-"):
        return tuple(_of_document(data))
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what is odd about a file is of no matter where it can be opened
            with Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "TIFF")) as opened:
                opened.draft("L", None)
                return tuple(_of_image(opened))
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError, ValueError, SyntaxError) as fault:
        raise ImportError_(f"The picture cannot be opened ({fault}): save or take it again.") from fault


def _of_image(opened: Image.Image) -> Iterator[Picture]:
    frames = [opened] if opened.format in {"JPEG", "MPO"} else ImageSequence.Iterator(opened)
    for page, frame in enumerate(frames, 1):
        _not_too_large(*frame.size, page)
        turned = ImageOps.exif_transpose(frame)
        yield Picture(np.asarray(turned.convert("L"), np.uint8), page)


def _of_document(data: bytes) -> Iterator[Picture]:
    try:
        document = pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as fault:
        raise ImportError_(f"The PDF cannot be opened ({fault}): save it again, without a password.") from fault
    try:
        for page, sheet in enumerate(document, 1):
            scale = DOTS / POINTS
            width, height = sheet.get_size()
            _not_too_large(round(width * scale), round(height * scale), page)
            drawn = sheet.render(scale=scale, grayscale=True).to_numpy()
            yield Picture(np.ascontiguousarray(drawn.reshape(drawn.shape[:2])), page)
    finally:
        document.close()


def _not_too_large(width: int, height: int, page: int) -> None:
    if page > MOST_PAGES:
        raise ImportError_(f"Found more than {MOST_PAGES} pages; expected fewer. Hand them in in parts.")
    if width * height > MOST_PIXELS:
        millions = f"{width * height / 1e6:.0f} million pixels; expected at most {MOST_PIXELS / 1e6:.0f} million"
        raise ImportError_(f"Found a picture of {millions}. Make it smaller.")


def shades(array: NDArray[Any]) -> Grey:
    """Pixels as whole grey levels, cut off at black and white."""
    return np.asarray(array if array.dtype == np.uint8 else np.clip(array, 0, 255), np.uint8)


def as_jpeg(grey: Grey, side: int, quality: int) -> bytes:
    """A picture as JPEG, its longer side not longer than so many pixels."""
    scale = min(side / max(grey.shape), 1.0)
    small = cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    _, data = cv2.imencode(".jpg", small, [cv2.IMWRITE_JPEG_QUALITY, quality])
    return data.tobytes()


def as_png(grey: Grey) -> bytes:
    """A picture as PNG."""
    _, data = cv2.imencode(".png", grey)
    return data.tobytes()
