"""What can be opened as a picture, and what is refused before it does harm."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from dipmark.adapters.vision import pictures
from dipmark.adapters.vision.pictures import as_jpeg, as_png, is_picture, pictures_of
from dipmark.facts.errors import ImportError_


def saved(image: Image.Image, form: str, **more: object) -> bytes:
    out = io.BytesIO()
    image.save(out, form, **more)
    return out.getvalue()


GREY = Image.fromarray(np.tile(np.arange(0, 200, 2, dtype=np.uint8), (60, 1)))


@pytest.mark.parametrize("form", ["JPEG", "PNG", "TIFF", "PDF"])
def test_every_form_is_opened(form: str) -> None:
    data = saved(GREY, form)
    assert is_picture(data)
    (one,) = pictures_of(data)
    assert one.grey.dtype == np.uint8
    assert one.grey.shape[1] / one.grey.shape[0] == pytest.approx(100 / 60, rel=0.02)
    assert one.grey[:, -2].mean() - one.grey[:, 1].mean() > 150


def test_colour_becomes_grey() -> None:
    (one,) = pictures_of(saved(Image.new("RGB", (40, 30), (0, 0, 255)), "PNG"))
    assert one.grey.shape == (30, 40)
    assert one.grey.mean() < 60


def test_a_photo_is_turned_as_its_camera_was_held() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    (one,) = pictures_of(saved(GREY, "JPEG", exif=exif))
    assert one.grey.shape == (100, 60)


@pytest.mark.parametrize("form", ["TIFF", "PDF"])
def test_every_page_is_opened(form: str) -> None:
    found = pictures_of(saved(GREY, form, save_all=True, append_images=[GREY, GREY]))
    assert [one.page for one in found] == [1, 2, 3]


@pytest.mark.parametrize("data", [b"", b"hours", b"\xff\xd8\xff nothing", b"%PDF-1.7 nothing", b"II*\0nothing"])
def test_what_is_none_is_refused(data: bytes) -> None:
    with pytest.raises(ImportError_):
        pictures_of(data)


def test_a_picture_that_is_cut_short_is_refused() -> None:
    data = saved(Image.effect_noise((600, 600), 90), "PNG")
    with pytest.raises(ImportError_, match="cannot be opened"):
        pictures_of(data[: len(data) // 2])


def test_a_picture_that_is_too_large_is_refused_before_it_is_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pictures, "MOST_PIXELS", 5_000)
    with pytest.raises(ImportError_, match="Make it smaller"):
        pictures_of(saved(GREY, "PNG"))


def test_too_many_pages_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pictures, "MOST_PAGES", 2)
    with pytest.raises(ImportError_, match="more than 2 pages"):
        pictures_of(saved(GREY, "PDF", save_all=True, append_images=[GREY, GREY]))


def test_what_is_kept_is_small_and_opens_again() -> None:
    grey = pictures_of(saved(GREY.resize((1000, 600)), "PNG"))[0].grey
    (small,) = pictures_of(as_jpeg(grey, 500, 80))
    assert small.grey.shape == (300, 500)
    (same,) = pictures_of(as_png(grey))
    assert (same.grey == grey).all()
