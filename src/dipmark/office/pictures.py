"""Pictures that are sent: what they are is looked up in their content, and where they were taken is not kept."""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator
from typing import Final

from PIL import ExifTags, Image, ImageOps, UnidentifiedImageError

from dipmark.adapters.store import Blob
from dipmark.facts.errors import Refused
from dipmark.facts.problems import Problem, code
from dipmark.office.open import Office, told

PICTURE_UNREADABLE: Final = code("picture-unreadable", "A picture is no JPEG, PNG or WebP, or is broken.")
PICTURE_MISLABELLED: Final = code("picture-mislabelled", "A picture is of another kind than was said.")
PICTURE_LARGE: Final = code("picture-large", "A picture has too many bytes or too many points.")
PICTURE_PLACED: Final = code("picture-placed", "A picture carries the position where it was taken.")
PICTURE_KNOWN: Final = code("picture-known", "The same picture is in the record already.")

MEDIA: Final = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}
MOST_BYTES: Final = 8_000_000
MOST_POINTS: Final = 40_000_000
SIDE: Final = 1600
"""The longer side of a picture that is kept from a desk, in points."""


def faults_of_picture(office: Office, data: bytes, media: str) -> Iterator[Problem]:
    """Everything for which a picture is not kept as it is.

    Args:
        office: the yard.
        data: its bytes.
        media: what it is said to be.
    """
    image = _opened(data)
    if isinstance(image, Problem):
        yield image
        return
    if (found := MEDIA[image.format or ""]) != media:
        yield Problem(PICTURE_MISLABELLED, found, f"{media}, as it was said to be")
    if image.getexif().get_ifd(ExifTags.IFD.GPSInfo):
        yield Problem(PICTURE_PLACED, "a picture with its position", "one without", "Take the position out first.")
    if office.store.blob(Blob(data, media).digest) is not None:
        yield Problem(PICTURE_KNOWN, "a picture that is there already", "a new one", "Take another.")


def plain_picture(office: Office, data: bytes, *, again: bool = False) -> Blob:
    """A picture as it is kept from a desk: upright, not larger than needed, with nothing in it but what is seen.

    Args:
        office: the yard.
        data: its bytes.
        again: it may be there already, as the page of a bill for two trucks.

    Raises:
        Refused: it is no picture, too large, or there already.
    """
    image = _opened(data)
    if isinstance(image, Problem):
        raise Refused(told([image]), [image])
    upright = ImageOps.exif_transpose(image)
    upright.thumbnail((SIDE, SIDE))
    seen = Image.new("RGB", upright.size, "white")
    seen.paste(upright, mask=upright.convert("RGBA").getchannel("A"))
    out = io.BytesIO()
    seen.save(out, "JPEG", quality=85)
    blob = Blob(out.getvalue(), MEDIA["JPEG"])
    if not again and office.store.blob(blob.digest) is not None:
        problem = Problem(PICTURE_KNOWN, "a picture that is there already", "a new one", "Take another.")
        raise Refused(told([problem]), [problem])
    return blob


def _opened(data: bytes) -> Image.Image | Problem:
    """The picture, read to its last point."""
    if len(data) > MOST_BYTES:
        return Problem(PICTURE_LARGE, f"{len(data):,} bytes", f"at most {MOST_BYTES:,}", "Make it smaller.")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            image = Image.open(io.BytesIO(data), formats=tuple(MEDIA))
            if image.width * image.height > MOST_POINTS:
                found = f"{image.width} by {image.height} points"
                return Problem(PICTURE_LARGE, found, f"at most {MOST_POINTS:,} in all", "Make it smaller.")
            image.load()
    except (Image.DecompressionBombWarning, Image.DecompressionBombError):
        return Problem(PICTURE_LARGE, "far too many points", f"at most {MOST_POINTS:,}", "Make it smaller.")
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError):
        return Problem(PICTURE_UNREADABLE, "no picture that can be read", "JPEG, PNG or WebP", "Send another.")
    return image
