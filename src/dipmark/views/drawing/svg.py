"""A drawing as SVG text: for a page, for paper, for a file."""

from __future__ import annotations

from html import escape
from typing import Final

from dipmark.views.drawing.shapes import Disc, Drawing, Line, Mark, Point, Role, Stroke

NAMESPACE: Final = "http:" + "//www.w3.org/2000/svg"
PAPER: Final = "#fff"
INK: Final = "currentColor"

_HEAVY, _PLAIN, _FINE = "1.5", "1.2", "0.7"
LOOK: Final[dict[Role, tuple[str, str]]] = {
    "ground": ("none", _PLAIN), "body": (PAPER, _HEAVY), "weight": ("shade", _HEAVY), "hood": (PAPER, _PLAIN),
    "battery": (PAPER, _PLAIN), "detail": ("none", _FINE), "mast": (PAPER, _PLAIN), "chain": ("none", _FINE),
    "fork": (INK, _FINE), "tyre": (INK, _FINE), "rim": (PAPER, _FINE), "guard": (PAPER, _PLAIN), "roof": ("none", _FINE),
    "glass": ("none", _FINE), "seat": ("shade", _PLAIN), "wheel": ("none", _PLAIN), "gas": (PAPER, _HEAVY),
    "exhaust": (PAPER, _PLAIN), "tiller": (PAPER, _PLAIN), "boom": (PAPER, _HEAVY), "leg": (PAPER, _HEAVY),
    "coupler": (INK, _FINE), "rail": (PAPER, _FINE), "walk": ("none", _PLAIN), "arrow": (INK, _FINE),
    "pointer": ("none", _FINE), "dot": (INK, _FINE),
}  # fmt: skip
"""How each role is filled and how thick its line is; `shade` is a light tint of the ink over paper."""


def svg(drawing: Drawing, title: str) -> str:
    """The drawing as SVG, in the ink of the text around it, white where it has to cover; a page may colour by class.

    Args:
        drawing: what to draw.
        title: what it is, for who cannot see it.

    Returns:
        One element; it holds no style, no script, no id, and goes into a page as it stands.
    """
    head = (
        f'<svg xmlns="{NAMESPACE}" class="drawing" role="img" viewBox="0 0 {_number(drawing.width)} {_number(drawing.height)}"'
        f' fill="none" stroke="{INK}" stroke-linejoin="round" stroke-linecap="round">'
    )
    lines = [head, f"<title>{escape(title)}</title>"]
    lines += [text for stroke in drawing.strokes for text in _stroke(stroke)]
    lines += [_mark(mark, drawing.radius) for mark in drawing.marks]
    return "\n".join([*lines, "</svg>", ""])
