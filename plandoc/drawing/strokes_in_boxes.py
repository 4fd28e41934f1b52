"""Which of many strokes pass which of many boxes, all at once."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


def strokes_in_boxes(start: Floats, step: Floats, boxes: Floats) -> npt.NDArray[np.bool_]:
    """(boxes, strokes): whether a stroke has a point inside an open box, by clipping its parameter."""
    shape = (len(boxes), len(start))
    enter, leave, inside = np.zeros(shape), np.ones(shape), np.ones(shape, dtype=bool)
    for axis in (0, 1):
        at, by = start[None, :, axis], step[None, :, axis]
        low, high = boxes[:, None, axis], boxes[:, None, axis + 2]
        flat = by == 0
        inside &= ~flat | ((at > low) & (at < high))
        safe = np.where(flat, 1.0, by)
        t0, t1 = (low - at) / safe, (high - at) / safe
        enter = np.where(flat, enter, np.maximum(enter, np.minimum(t0, t1)))
        leave = np.where(flat, leave, np.minimum(leave, np.maximum(t0, t1)))
    return inside & (enter < leave)
