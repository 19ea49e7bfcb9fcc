"""Pictures are known by their content; their position is not kept, and the same one is not taken twice."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterator

import pytest
from PIL import ExifTags, Image

from dipmark.facts.errors import Refused
from dipmark.office.open import Office
from dipmark.office.pictures import MEDIA, MOST_BYTES, SIDE, faults_of_picture, plain_picture
from office.taking import yard


@pytest.fixture
def office() -> Iterator[Office]:
    with yard() as found:
        yield found


def picture(
    form: str = "JPEG", size: tuple[int, int] = (40, 30), colour: str = "red", *, placed: bool = False
) -> bytes:
    """A picture of one colour."""
    exif = Image.Exif()
    if placed:
        exif[ExifTags.Base.GPSInfo] = {ExifTags.GPS.GPSLatitudeRef: "N", ExifTags.GPS.GPSLatitude: (52.0, 30.0, 0.0)}
        exif[ExifTags.Base.Orientation] = 6  # lies on its side
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, form, exif=exif)
    return out.getvalue()


def codes(office: Office, data: bytes, media: str) -> list[str]:
    return [one.code for one in faults_of_picture(office, data, media)]


@pytest.mark.parametrize("form", MEDIA)
def test_a_picture_that_is_what_it_is_said_to_be_is_kept_as_it_is(office: Office, form: str) -> None:
    assert codes(office, picture(form), MEDIA[form]) == []


def test_a_picture_said_to_be_another_is_found_by_its_content(office: Office) -> None:
    assert codes(office, picture("PNG"), "image/jpeg") == ["picture-mislabelled"]


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
        b"GIF89a" + bytes(40),
        b"%PDF-1.7",
        b"MZ" + bytes(80),
        picture()[:200],
        b"\xff\xd8\xff\xe0" + b"<script>alert(1)</script>",
    ],
)
def test_what_is_no_picture_is_refused_whatever_it_is_called(office: Office, data: bytes) -> None:
    assert codes(office, data, "image/jpeg") == ["picture-unreadable"]
    with pytest.raises(Refused):
        plain_picture(office, data)


def test_too_many_bytes_or_points_are_refused_before_they_are_unpacked(office: Office) -> None:
    assert codes(office, bytes(MOST_BYTES + 1), "image/png") == ["picture-large"]
    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    bomb = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(100))) + chunk(b"IEND", b"")
    assert codes(office, bomb, "image/png") == ["picture-large"]
    assert codes(office, bomb.replace(head, struct.pack(">IIBBBBB", 9_000, 9_000, 8, 2, 0, 0, 0)), "image/png")


def test_a_position_is_found_on_a_phone_and_left_out_at_a_desk(office: Office) -> None:
    data = picture(placed=True)
    assert codes(office, data, "image/jpeg") == ["picture-placed"]
    kept = plain_picture(office, data)
    image = Image.open(io.BytesIO(kept.data))
    assert (kept.media, image.size, dict(image.getexif())) == ("image/jpeg", (30, 40), {})


def test_a_large_picture_from_a_desk_is_made_smaller(office: Office) -> None:
    image = Image.open(io.BytesIO(plain_picture(office, picture("PNG", (4000, 1000))).data))
    assert image.size == (SIDE, SIDE // 4)


def test_the_same_picture_twice_is_refused(office: Office) -> None:
    data = picture()
    kept = plain_picture(office, data)
    office.append((), blobs=[kept])
    assert codes(office, kept.data, "image/jpeg") == ["picture-known"]
    with pytest.raises(Refused, match="there already"):
        plain_picture(office, data)
    assert plain_picture(office, picture(colour="blue")).digest != kept.digest
