"""Photographs a page as people do: askew, from a slant, blurred, in shade, folded, pressed small."""

from __future__ import annotations

from typing import Final, NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from dipmark.adapters.vision.pictures import Grey, shades
from reading.sheets import DOTS

Floats = NDArray[np.float64]


class Damage(NamedTuple):
    """How a picture was taken.

    Args:
        slant: of the sheet against the camera, in degrees, 0 to 35.
        turn: in its plane, in degrees, 0 to 360.
        dots: to the inch in the middle of the sheet, 150 to 300.
        blur: of the lens, in tenths of a millimetre on the paper, one standard deviation; 0: sharp.
        shake: of the hand, length in tenths of a millimetre; 0: none.
        shade: how much of the light a shadow takes, 0 to 0.6.
        uneven: how much darker one side is than the other, 0 to 0.6.
        folds: so many creases.
        curl: of the paper, in tenths of a millimetre.
        noise: of the sensor, in grey levels.
        quality: of the JPEG, 40 to 95.
    """

    slant: float
    turn: float
    dots: float
    blur: float
    shake: float
    shade: float
    uneven: float
    folds: int
    curl: float
    noise: float
    quality: int

    @property
    def fair(self) -> bool:
        """A slant below 20°, sharp, even light."""
        return self.slant < 20 and self.blur <= SHARP and self.shake == 0 and self.shade == 0 and self.uneven < 0.25


SHARP: Final = 0.6
"""A lens in focus on a sheet of paper blurs it by less, in tenths of a millimetre."""

TABLE: Final = 60


def any_damage(rng: np.random.Generator) -> Damage:
    """Every damage as often mild as bad; half of the pictures are fair."""
    fair = rng.random() < 0.5
    return Damage(
        slant=float(rng.uniform(0, 20 if fair else 35)),
        turn=float(rng.uniform(0, 360)),
        dots=float(rng.uniform(150, 300)),
        blur=float(rng.uniform(0, SHARP) if fair else rng.uniform(0, 2.2)),
        shake=0.0 if fair or rng.random() < 0.6 else float(rng.uniform(1, 5)),
        shade=0.0 if fair or rng.random() < 0.5 else float(rng.uniform(0.1, 0.6)),
        uneven=float(rng.uniform(0, 0.25 if fair else 0.6)),
        folds=int(rng.choice([0, 0, 0, 1, 2])),
        curl=float(rng.choice([0, 0, rng.uniform(0, 12)])),
        noise=float(rng.uniform(1, 4 if fair else 8)),
        quality=int(rng.integers(40, 96)),
    )


def photograph(page: Grey, damage: Damage, rng: np.random.Generator) -> bytes:
    """A picture of the page, as JPEG."""
    bent = _bent(page, damage, rng)
    view, size = _view(page, damage)
    table = float(rng.uniform(30, 140))
    flags = cv2.INTER_AREA
    seen = cv2.warpPerspective(bent, view, size, flags=flags, borderMode=cv2.BORDER_CONSTANT, borderValue=table)
    photo = _blurred(shades(seen), damage, rng)
    light = _light(size, damage, rng) * float(rng.uniform(0.7, 1.0))
    shot = photo.astype(np.float32) * light
    shot += rng.normal(0, damage.noise, (256, 257)).astype(np.float32)[_tiles(size)]
    _, data = cv2.imencode(".jpg", shades(shot), [cv2.IMWRITE_JPEG_QUALITY, damage.quality])
    return data.tobytes()


def _tiles(size: tuple[int, int]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Where each pixel takes its noise from."""
    rows, columns = np.arange(size[1]), np.arange(size[0])
    shift = rows // 256 * 97
    return (rows % 256)[:, None], (columns[None, :] + shift[:, None]) % 257


def _bent(page: Grey, damage: Damage, rng: np.random.Generator) -> Grey:
    """Creases and a curl: print is displaced, creases take light and give some."""
    if not damage.folds and not damage.curl:
        return page
    high, wide = page.shape
    unit = DOTS / 254
    y, x = np.mgrid[0:high:16, 0:wide:16].astype(np.float32)
    off_x, off_y = np.zeros_like(x), np.zeros_like(y)
    off_y += damage.curl * unit * np.sin(np.pi * x / wide) * (1 if rng.random() < 0.5 else -1)
    light = np.ones(page.shape, np.float32)
    for turn in range(damage.folds):
        upright = (turn + int(rng.integers(2))) % 2 == 0
        at = (0.5 + rng.normal(0, 0.08)) * (wide if upright else high)
        along, off = (x, off_x) if upright else (y, off_y)
        near = np.abs(along - at) / unit
        off += np.sign(along - at) * unit * float(rng.uniform(1, 5)) * np.exp(-near / 150)
        line = light[:, max(int(at), 0) : int(at) + 5] if upright else light[max(int(at), 0) : int(at) + 5]
        line *= float(rng.choice([0.85, 1.1]))
        side = light[:, int(at) :] if upright else light[int(at) :]
        side *= float(rng.uniform(0.92, 1.0))
    maps = [cv2.resize(one, (wide, high), interpolation=cv2.INTER_LINEAR) for one in (x + off_x, y + off_y)]
    bent = cv2.remap(page, maps[0], maps[1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return shades(bent * cv2.GaussianBlur(light, (0, 0), 1.5))


def _view(page: Grey, damage: Damage) -> tuple[Floats, tuple[int, int]]:
    """From the page to the picture: the paper is slanted in any direction, turned, and seen from half a metre."""
    high, wide = page.shape
    far = 500 / 25.4 * DOTS
    turn, slant, way = np.radians([damage.turn, damage.slant, damage.turn * 7.3])
    tilt, _ = cv2.Rodrigues(np.array([np.cos(way), np.sin(way), 0.0]) * slant)
    spin, _ = cv2.Rodrigues(np.array([0.0, 0.0, turn]))
    turned = spin @ tilt
    lens = np.diag([far, far, 1.0])
    placed = lens @ np.column_stack([turned[:, 0], turned[:, 1], (0.0, 0.0, far)])
    middle = np.array([[1, 0, -wide / 2], [0, 1, -high / 2], [0, 0, 1.0]])
    scale = damage.dots / DOTS
    view = np.diag([scale, scale, 1.0]) @ placed @ middle
    ends = cv2.perspectiveTransform(np.array([[[0, 0], [wide, 0], [wide, high], [0, high]]], np.float64), view)[0]
    low = ends.min(0) - TABLE
    size = np.ceil(ends.max(0) - low + TABLE).astype(int)
    return np.array([[1, 0, -low[0]], [0, 1, -low[1]], [0, 0, 1.0]]) @ view, (int(size[0]), int(size[1]))


def _blurred(photo: Grey, damage: Damage, rng: np.random.Generator) -> Grey:
    unit = damage.dots / 254
    if damage.blur * unit > 0.2:
        photo = shades(cv2.GaussianBlur(photo, (0, 0), damage.blur * unit))
    length = round(damage.shake * unit)
    if length > 1:
        path = np.zeros((length * 2 + 1, length * 2 + 1), np.float32)
        way = rng.uniform(0, np.pi)
        reach = np.array([np.cos(way), np.sin(way)]) * length / 2
        ends = [tuple(int(part) for part in np.round(length + sign * reach)) for sign in (-1, 1)]
        cv2.line(path, ends[0], ends[1], 1.0)
        photo = shades(cv2.filter2D(photo, -1, path / path.sum()))
    return photo


def _light(size: tuple[int, int], damage: Damage, rng: np.random.Generator) -> NDArray[np.float32]:
    """A lamp at one side, and somebody's shadow."""
    wide, high = size[0] // 8 + 1, size[1] // 8 + 1
    y, x = np.mgrid[0:high, 0:wide].astype(np.float32)
    way = rng.uniform(0, 2 * np.pi)
    across = (x / wide - 0.5) * np.cos(way) + (y / high - 0.5) * np.sin(way)
    light = 1 - damage.uneven * (0.5 + across / 1.42)
    if damage.shade:
        edge = rng.uniform(0, 2 * np.pi)
        beyond = (x / wide - 0.5) * np.cos(edge) + (y / high - 0.5) * np.sin(edge) - rng.uniform(-0.3, 0.3)
        light *= 1 - damage.shade / (1 + np.exp(-beyond * float(rng.uniform(15, 120))))
    return np.asarray(cv2.resize(light.astype(np.float32), size, interpolation=cv2.INTER_LINEAR), np.float32)
