"""Where the boards of a glued-up part meet, as thin lines on the face of its drawing."""

from __future__ import annotations

from collections.abc import Sequence

from plandoc.drawing.boxes import remaining
from plandoc.drawing.display import XY, Extent, Group, Item, Line
from plandoc.model.entities import Part
from plandoc.sheets.partfaces import FaceView, through_boxes
from plandoc.sheets.views import Placement

ROLE = "light"
ROOM = 1.0  # mm between a line and a figure


def board_lines(part: Part, view: FaceView, place: Placement, lettering: Sequence[Extent] = ()) -> tuple[Item, ...]:
    """The joints between the boards, from shoulder to shoulder, in a view of the part's face (paper mm). They stop where
    work goes right through the part, and before figures. lettering: the paper that figures in the view take."""
    if part.glue_up is None or view.face.axis != part.thickness_axis:
        return ()
    wide, long, side = part.width_axis, part.length_axis, part.datum[part.width_axis]
    through = through_boxes(part, part.thickness_axis)
    at = (part.box.lo if side < 0 else part.box.hi)[wide]
    lines: list[Item] = []
    for width in part.glue_up.widths[:-1]:
        at -= side * width
        gaps = [(float(box.lo[long]), float(box.hi[long])) for box in through if box.lo[wide] <= at <= box.hi[wide]]
        for low, high in remaining([float(v) for v in part.shoulder.span(long)], gaps):
            ends = []
            for end in (low, high):
                point = [float(v) for v in part.box.lo]
                point[wide], point[long] = float(at), end
                ends.append(place.spot(point))
            lines += _clear_of(ends[0], ends[1], lettering)
    return (Group("boards", tuple(lines), "", (("count", str(len(part.glue_up.widths))),)),)


def _clear_of(start: XY, end: XY, lettering: Sequence[Extent]) -> list[Line]:
    """The pieces of a level or upright line outside those boxes."""
    axis = 0 if abs(end[0] - start[0]) > abs(end[1] - start[1]) else 1
    level = start[1 - axis]
    met = [e for e in lettering if e[1 - axis] - ROOM < level < e[3 - axis] + ROOM]
    low, high = sorted((start[axis], end[axis]))
    pieces = remaining((low, high), [(e[axis] - ROOM, e[axis + 2] + ROOM) for e in met])
    return [Line(ROLE, ((a, level), (b, level)) if axis == 0 else ((level, a), (level, b))) for a, b in pieces]
