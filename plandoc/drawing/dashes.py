"""Broken lines as real dashes, fitted to each stroke so that it starts and ends with a long dash.

The pattern then never depends on the program that shows the sheet. Gaps and short dashes keep their length, the
long dashes give or take (common practice for hand-drawn lines, where dashes meet at corners).
"""

from __future__ import annotations

from math import hypot, pi

from plandoc.drawing.display import XY, Arc, Circle

_SHORTEST = 0.25  # of the nominal long dash, below which a stroke is drawn unbroken


def dash_spans(length: float, pattern: tuple[float, ...], closed: bool = False) -> tuple[tuple[float, float], ...]:
    """Where the dashes of a stroke of that length (mm) begin and end.

    pattern: dash, gap, dash, gap ...; the first dash is the long one. closed: the stroke is a whole circle.
    """
    if not pattern or length <= 0:
        return ((0.0, length),) if length > 0 else ()
    rest = pattern[1:]
    fixed, period, long = sum(rest), sum(pattern), pattern[0]
    if closed:
        repeats = max(1, round(length / period))
        dash = length / repeats - fixed
    else:
        repeats = max(1, round((length - long) / period))
        dash = (length - repeats * fixed) / (repeats + 1)
    if dash < _SHORTEST * long:
        return ((0.0, length),)
    spans = [(0.0, dash)]
    at = dash
    for repeat in range(repeats):
        for i, part in enumerate((*rest, dash)):
            if i % 2 and not (closed and repeat == repeats - 1 and i == len(rest)):
                spans.append((at, at + part))
            at += part
    return tuple(spans)


def dashed_segment(a: XY, b: XY, pattern: tuple[float, ...]) -> tuple[tuple[XY, XY], ...]:
    """The dashes of a straight stroke."""
    length = hypot(b[0] - a[0], b[1] - a[1])
    if not length:
        return ()
    dx, dy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    spans = dash_spans(length, pattern)
    return tuple(((a[0] + dx * s, a[1] + dy * s), (a[0] + dx * e, a[1] + dy * e)) for s, e in spans)


def dashed_arc(arc: Arc | Circle, pattern: tuple[float, ...]) -> tuple[Arc, ...]:
    """The dashes of an arc or a circle."""
    start, end = (arc.start, arc.end) if isinstance(arc, Arc) else (0.0, 360.0)
    turn = end - start if end - start >= 360 else (end - start) % 360
    degree = pi * arc.radius / 180
    if not degree or not turn:
        return ()
    spans = dash_spans(turn * degree, pattern, closed=turn >= 360)
    return tuple(Arc(arc.role, arc.centre, arc.radius, start + s / degree, start + e / degree) for s, e in spans)
