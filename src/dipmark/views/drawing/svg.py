"""A drawing as SVG text: for a page, for paper, for a file."""

from __future__ import annotations

from html import escape
from math import dist
from typing import Final

from dipmark.views.drawing.shapes import Disc, Drawing, Line, Mark, Point, Role, Stroke

NAMESPACE: Final = "http:" + "//www.w3.org/2000/svg"
PAPER: Final = "#fff"
INK: Final = "currentColor"

_HEAVY, _PLAIN, _FINE = "1.5", "1.2", "0.7"
LOOK: Final[dict[Role, tuple[str, str]]] = {
    "ground": ("none", _PLAIN), "body": (PAPER, _HEAVY), "weight": ("shade", _HEAVY), "hood": (PAPER, _PLAIN),
    "battery": (PAPER, _PLAIN), "detail": ("none", _FINE), "mast": (PAPER, _PLAIN), "chain": ("none", _FINE),
    "fork": (INK, _FINE), "tyre": (INK, _FINE), "rim": (PAPER, _FINE), "guard": (PAPER, _PLAIN),
    "roof": ("none", _FINE), "glass": ("none", _FINE), "seat": ("shade", _PLAIN), "wheel": ("none", _PLAIN),
    "gas": (PAPER, _HEAVY), "exhaust": (PAPER, _PLAIN), "tiller": (PAPER, _PLAIN), "boom": (PAPER, _HEAVY),
    "leg": (PAPER, _HEAVY), "coupler": (INK, _FINE), "rail": (PAPER, _FINE), "walk": ("none", _PLAIN),
    "arrow": (INK, _FINE), "pointer": ("none", _FINE), "dot": (PAPER, _PLAIN),
}  # fmt: skip
"""How each role is filled and how thick its line is; `shade` is a light tint of the ink over paper."""


def svg(drawing: Drawing, title: str, here: str | None = None) -> str:
    """The drawing as SVG, in the ink of the text around it, white where it has to cover; a page may colour by class.

    Args:
        drawing: what to draw.
        title: what it is, for who cannot see it.
        here: the place that is spoken of; its mark has the class ``here``.

    Returns:
        One element; it holds no style, no script, no id, and goes into a page as it stands.
    """
    view = f"0 0 {_number(drawing.width)} {_number(drawing.height)}"
    head = (
        f'<svg xmlns="{NAMESPACE}" class="drawing" role="img" viewBox="{view}"'
        f' fill="none" stroke="{INK}" stroke-linejoin="round" stroke-linecap="round">'
    )
    lines = [head, f"<title>{escape(title)}</title>"]
    lines += [text for stroke in drawing.strokes for text in _stroke(stroke)]
    lines += [_mark(mark, drawing.radius, " here" if mark.place == here else "") for mark in drawing.marks]
    return "\n".join([*lines, "</svg>", ""])


def _stroke(stroke: Stroke) -> list[str]:
    """One element; two where the tint lies over paper."""
    fill, width = LOOK[stroke.role]
    form = (
        f'circle cx="{_number(stroke.x)}" cy="{_number(stroke.y)}" r="{_number(stroke.r)}"'
        if isinstance(stroke, Disc)
        else f'path d="{_path(stroke)}"'
    )
    dash = ' stroke-dasharray="2 3"' if stroke.role in {"walk", "roof"} else ""
    if fill != "shade":
        return [f'<{form} class="{stroke.role}" fill="{fill}" stroke-width="{width}"{dash}/>']
    return [
        f'<{form} class="{stroke.role}" fill="{PAPER}" stroke="none"/>',
        f'<{form} class="{stroke.role} tint" fill="{INK}" fill-opacity=".16" stroke-width="{width}"/>',
    ]


def _path(stroke: Line) -> str:
    """The line with its corners rounded: at each bend it turns off early and comes back on late."""
    corners = stroke.points
    number = len(corners)
    drawn = []
    for turn, corner in enumerate(corners):
        before, after = corners[turn - 1], corners[(turn + 1) % number]
        if not stroke.bend or (not stroke.closed and turn in {0, number - 1}):
            drawn.append(f"L{_point(corner)}")
        else:
            off, on = _near(corner, before, stroke.bend), _near(corner, after, stroke.bend)
            drawn.append(f"L{_point(off)}Q{_point(corner)} {_point(on)}")
    return "M" + "".join(drawn)[1:] + ("Z" if stroke.closed else "")


def _near(corner: Point, other: Point, bend: float) -> Point:
    """The point on the way from a corner to another, a bend away, at most half-way."""
    part = min(0.5, bend / dist(corner, other))
    return corner[0] + part * (other[0] - corner[0]), corner[1] + part * (other[1] - corner[1])


def _mark(mark: Mark, radius: float, here: str) -> str:
    x, y, size = _number(mark.x), _number(mark.y + radius * 0.37), _number(radius * 1.2)
    return (
        f'<g class="mark{here}" data-place="{escape(mark.place)}"><title>{mark.number} {escape(mark.text)}</title>'
        f'<circle cx="{x}" cy="{_number(mark.y)}" r="{_number(radius)}" fill="{PAPER}" stroke-width="{_HEAVY}"/>'
        f'<text x="{x}" y="{y}" font-family="sans-serif" font-size="{size}" font-weight="bold" text-anchor="middle"'
        f' fill="{INK}" stroke="none">{mark.number}</text></g>'
    )


def _point(point: Point) -> str:
    return f"{_number(point[0])} {_number(point[1])}"


def _number(value: float) -> str:
    """A tenth of a unit is as fine as anybody sees."""
    return f"{value:.1f}".removesuffix(".0")
