"""Lines that would lie on stronger ones: of two that coincide the stronger is drawn and the weaker left out.

Precedence of lines as taught (visible edges before all others; NPTEL, Engineering Drawing, lecture 16); paper mm.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise
from math import ceil

import numpy as np
from numpy.typing import NDArray

from plandoc.drawing.boxes import arc_points, line_segments
from plandoc.drawing.display import XY, Arc, Line

ON_LINE = 0.1  # mm; lines nearer to each other than this lie on each other


class Stronger:
    """The lines that others must not lie on."""

    def __init__(self, lines: Iterable[Line]) -> None:
        self._pieces: NDArray[np.float64] = np.array([piece for line in lines for piece in line_segments(line)]).reshape(-1, 2, 2)

    def free(self, p: XY, q: XY, least: float) -> list[tuple[XY, XY]]:
        """The pieces of the line from p to q that lie on none of them, those of `least` mm and more."""
        size = float(np.hypot(q[0] - p[0], q[1] - p[1]))
        if size < least or size == 0.0:
            return []
        way = (np.array(q) - p) / size
        from_p = self._pieces - p
        along = from_p @ way
        off = from_p[..., 0] * way[1] - from_p[..., 1] * way[0]
        back = along[:, 0] > along[:, 1]
        along[back], off[back] = along[back][:, ::-1], off[back][:, ::-1]
        lo, hi = np.maximum(along[:, 0], 0.0), np.minimum(along[:, 1], size)
        rise = (off[:, 1] - off[:, 0]) / np.maximum(along[:, 1] - along[:, 0], 1e-9)
        ends = [np.abs(off[:, 0] + rise * (at - along[:, 0])) < ON_LINE for at in (lo, hi)]
        on = (hi > lo) & ends[0] & ends[1]
        pieces: list[tuple[float, float]] = []
        at = 0.0
        for low, high in sorted(zip(lo[on].tolist(), hi[on].tolist(), strict=True)):
            pieces.append((at, low))
            at = max(at, high)
        pieces.append((at, size))

        def spot(n: float) -> XY:
            return p if n == 0.0 else q if n == size else (p[0] + float(way[0]) * n, p[1] + float(way[1]) * n)

        return [(spot(low), spot(high)) for low, high in pieces if high > low and high - low >= least]

    def less(self, lines: Iterable[Line], least: float) -> list[Line]:
        """The lines less what lies on these, polylines in their straight pieces where something does."""
        out: list[Line] = []
        for line in lines:
            pieces = [(piece, self.free(*piece, 0.0)) for piece in line_segments(line)]
            if all(left == [piece] for piece, left in pieces):
                out.append(line)
            else:
                out += [Line(line.role, part) for _, left in pieces for part in left if np.hypot(part[1][0] - part[0][0], part[1][1] - part[0][1]) >= least]
        return out

    def less_arc(self, arc: Arc) -> Arc | None:
        """The arc less what of its ends lies on these lines, in steps of a degree; None where nothing is left."""
        steps = max(1, ceil(arc.end - arc.start))
        points = arc_points(arc.centre, arc.radius, arc.start, arc.end, steps)
        clear = [self.free(p, q, 0.0) == [(p, q)] for p, q in pairwise(points)]
        if not any(clear):
            return None
        turn = (arc.end - arc.start) / steps
        last = len(clear) - 1 - clear[::-1].index(True)
        return replace(arc, start=arc.start + turn * clear.index(True), end=arc.end - turn * (len(clear) - 1 - last))
