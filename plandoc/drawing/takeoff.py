"""Where an extension line begins: a visible gap off the ink that lies between the measured point and the dimension line.

Looking along the line outwards from the measured point: edges that run along it are its own beginning, so that it never lies on
an edge; a stroke that it would meet in its gap moves the gap behind that stroke; where a shaped part has no wood at the
measured point, the nearest stroke inwards is the one that the line comes from.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from plandoc.drawing.boxes import item_segments
from plandoc.drawing.display import Arc, Circle, Item, Line, walk

ON_LINE = 0.01  # mm beside the line at which a stroke still lies on it
ASIDE = 0.05  # mm beside the line within which a whole chord runs along it: of an arc where the line touches it
AT_POINT = 0.3  # mm from the measured point at which a stroke is that of the point
NEAR = 4.0  # mm from a point inside the view at which a stroke is still taken for its own
LEAST_EDGE = 0.3  # mm of an edge along the line
STEEP = 0.17  # chords nearer to the direction of the line count by their ends only: an arc that it touches
FURTHEST = 8.0  # mm out of the outline: less than the distance of the first row


class Ink:
    """The strokes of a view that extension lines have to respect."""

    def __init__(self, items: Iterable[Item] = ()) -> None:
        rows = [
            (*p, *q) for leaf in walk(tuple(items)) if isinstance(leaf, Line | Circle | Arc)
            for p, q in item_segments(leaf)
        ]  # fmt: skip
        self._strokes = np.array(rows, dtype=float).reshape(-1, 4)
        self._known: dict[tuple[int, float, float], list[tuple[float, float]]] = {}

    def _met(self, along: int, at: float, out: float) -> list[tuple[float, float]]:
        """Where the line at this coordinate meets ink, as intervals outwards, in order."""
        key = (along, round(at, 4), out)
        if key in self._known:
            return self._known[key]
        u0, t0 = self._strokes[:, along], self._strokes[:, 1 - along] * out
        u1, t1 = self._strokes[:, 2 + along], self._strokes[:, 3 - along] * out
        beside = (np.abs(u0 - at) <= ASIDE) & (np.abs(u1 - at) <= ASIDE)
        here = beside | (np.minimum(u0, u1) <= at + ON_LINE) & (np.maximum(u0, u1) >= at - ON_LINE)
        found: list[tuple[float, float]] = []
        for a, s, b, t in zip(u0[here].tolist(), t0[here].tolist(), u1[here].tolist(), t1[here].tolist(), strict=True):
            if abs(a - at) <= ASIDE and abs(b - at) <= ASIDE and abs(b - a) <= STEEP * abs(t - s):
                found.append((min(s, t), max(s, t)))
            elif abs(b - a) < STEEP * abs(t - s):
                found += [(d, d) for c, d in ((a, s), (b, t)) if abs(c - at) <= ON_LINE]
            else:
                d = s + (t - s) * max(0.0, min(1.0, (at - a) / (b - a)))
                found.append((d, d))
        self._known[key] = sorted(found)
        return self._known[key]

    def level(self, along: int, at: float, level: float, out: float, edge: float, gap: float) -> float:
        """The coordinate across, off which the line keeps its gap. along: 0 for lines that run up and down, at x; 1 for
        those that run across, at y. out: +1 or -1, the way to the dimension line. edge: of the outline on that side."""
        met = self._met(along, at, out)
        point, border = level * out, edge * out
        if not met:
            return level
        own = [b for a, b in met if a - AT_POINT <= point <= b + AT_POINT]
        if own:
            here = max(own)
        else:
            inwards = [b for _, b in met if b < point]
            if not inwards or (max(inwards) < point - NEAR and abs(point - border) > AT_POINT):
                return level
            here = max(inwards)
        most = border + FURTHEST
        for a, b in met:
            if here < b <= most and (a <= here + gap + AT_POINT or b - a > LEAST_EDGE):
                here = b
        return here * out


NO_INK = Ink()
