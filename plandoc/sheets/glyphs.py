"""Lettering that is cut into a part, drawn at its true place as the strokes that the tool runs. Paper mm."""

from __future__ import annotations

from plandoc.drawing.display import XY, Line
from plandoc.tables.strokes import stroke_text


def letter_strokes(text: str, at: XY, height: float, along: XY, role: str = "dim") -> tuple[Line, ...]:
    """The letters as open strokes. at: middle of the text, on its base line half a capital below it; height: of the
    capitals; along: unit vector of the base line (y downwards)."""
    wide, strokes = stroke_text(text)
    (ux, uy), (x0, y0) = along, (-wide / 2, -0.5)
    return tuple(
        Line(
            role,
            tuple((at[0] + (ux * (x0 + x) + uy * (y0 + y)) * height, at[1] + (uy * (x0 + x) - ux * (y0 + y)) * height) for x, y in stroke),
        )
        for stroke in strokes
    )  # fmt: skip


def text_width(text: str, height: float) -> float:
    """Length of the base line (mm)."""
    return stroke_text(text)[0] * height
