"""What stands on the paper of a view already."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from plandoc.drawing.boxes import item_extent, line_segments, overlap
from plandoc.drawing.display import Extent, Item, Line, walk
from plandoc.drawing.strokes_in_boxes import strokes_in_boxes


class Taken:
    """What stands on the paper already: strokes and boxes of all else."""

    def __init__(self, placed: Sequence[Item]) -> None:
        strokes: list[tuple[float, float, float, float]] = []
        boxes: list[Extent] = []
        for leaf in walk((*placed,)):
            if isinstance(leaf, Line):
                strokes += [(*p, *q) for p, q in line_segments(leaf)]
            elif (extent := item_extent(leaf)) is not None:
                boxes.append(extent)
        self.strokes = np.array(strokes, dtype=float).reshape(-1, 4)
        self.boxes = boxes

    def free(self, boxes: Sequence[Extent]) -> list[bool]:
        """For each box whether nothing stands in it."""
        if not boxes:
            return []
        start, step = self.strokes[:, :2], self.strokes[:, 2:] - self.strokes[:, :2]
        passed: list[bool] = np.any(strokes_in_boxes(start, step, np.array(boxes, dtype=float)), axis=1).tolist()
        return [not p and not any(overlap(box, other) for other in self.boxes) for p, box in zip(passed, boxes, strict=True)]


def is_free(box: Extent, placed: Sequence[Item]) -> bool:
    """Whether nothing stands in that box."""
    return Taken(placed).free([box])[0]
