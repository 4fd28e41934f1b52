"""Lettering that is cut into a part, drawn as outlines at its true place. Paper mm."""

from __future__ import annotations

from functools import lru_cache

from fontTools.pens.basePen import decomposeQuadraticSegment
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont

from plandoc.drawing.display import XY, Line
from plandoc.resources import font_file

STEPS = 4  # chords for one piece of a curve


@lru_cache(maxsize=256)
def _outline(letter: str) -> tuple[float, tuple[tuple[XY, ...], ...]]:
    """Advance width and closed loops of one letter, in units of the cap height, y upwards."""
    with TTFont(font_file(False), lazy=True) as font:
        cap = float(font["OS/2"].sCapHeight)
        name = font.getBestCmap().get(ord(letter))
        if name is None:
            return 0.5, ()
        glyphs = font.getGlyphSet()
        pen = DecomposingRecordingPen(glyphs)
        glyphs[name].draw(pen)
        wide = font["hmtx"][name][0] / cap
    loops: list[tuple[XY, ...]] = []
    loop: list[XY] = []
    for action, points in pen.value:
        if action == "moveTo":
            loop = [points[0]]
        elif action == "lineTo":
            loop.append(points[0])
        elif action == "qCurveTo":
            if points[-1] is None:  # a loop without a point on its curve starts half-way
                (x0, y0), (x1, y1) = points[-2], points[0]
                start = ((x0 + x1) / 2, (y0 + y1) / 2)
                points, loop = (*points[:-1], start), [start]
            for control, end in decomposeQuadraticSegment(points):
                loop += _curve(loop[-1], control, end)
        elif action in ("closePath", "endPath") and loop:
            loops.append(tuple((x / cap, y / cap) for x, y in loop))
    return wide, tuple(loops)


def _curve(start: XY, control: XY, end: XY) -> list[XY]:
    points = []
    for i in range(1, STEPS + 1):
        t = i / STEPS
        a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
        points.append((a * start[0] + b * control[0] + c * end[0], a * start[1] + b * control[1] + c * end[1]))
    return points


def letter_outlines(text: str, at: XY, height: float, along: XY, role: str = "dim") -> tuple[Line, ...]:
    """The letters as closed outlines. at: start of the base line; height: of the capitals; along: unit vector of the
    base line (y downwards)."""
    x, lines = 0.0, []
    (ux, uy), size = along, height
    for letter in text:
        wide, loops = _outline(letter)
        for loop in loops:
            points = tuple(
                (at[0] + ux * (x + px) * size + uy * py * size, at[1] + uy * (x + px) * size - ux * py * size)
                for px, py in loop
            )
            lines.append(Line(role, points, closed=True))
        x += wide
    return tuple(lines)


def outline_width(text: str, height: float) -> float:
    """Length of the base line (mm)."""
    return sum(_outline(letter)[0] for letter in text) * height


