"""Where the boards of a glued-up part meet, as thin lines on the face of its drawing."""

from __future__ import annotations

from plandoc.drawing.display import Group, Item, Line
from plandoc.model.entities import Part
from plandoc.sheets.partfaces import FaceView, feature_box, spans
from plandoc.sheets.views import Placement

ROLE = "light"


def board_lines(part: Part, view: FaceView, place: Placement) -> tuple[Item, ...]:
    """The joints between the boards, from shoulder to shoulder, in a view of the part's face (paper mm). None where work
    goes right through the part: a line would run over air."""
    if part.glue_up is None or view.face.axis != part.thickness_axis:
        return ()
    for feature in part.features:
        box = feature_box(feature)
        if feature.cuts and box is not None and spans(part, box, part.thickness_axis):
            return ()
    wide, side = part.width_axis, part.datum[part.width_axis]
    at = (part.box.lo if side < 0 else part.box.hi)[wide]
    lines: list[Item] = []
    for width in part.glue_up.widths[:-1]:
        at -= side * width
        ends = []
        for end in part.shoulder.span(part.length_axis):
            point = list(part.box.lo)
            point[wide], point[part.length_axis] = at, end
            ends.append(place.spot((point[0], point[1], point[2])))
        lines.append(Line(ROLE, (ends[0], ends[1])))
    return (Group("boards", tuple(lines), "", (("count", str(len(part.glue_up.widths))),)),)
