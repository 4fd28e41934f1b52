"""Which faces of a part are drawn, and how they lie on paper: third angle, length across the sheet.

Lengths are exact millimetres of the model. A direction of the world is written as a Face (axis and side).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import UP, Box, Chunk, Face, Loop, Point3, Prism, body_box
from plandoc.geometry.view import Projection
from plandoc.model.entities import Feature, Part

MAIN, ABOVE, BELOW, LEFT, RIGHT, REAR, FAR = "main", "above", "below", "left", "right", "rear", "far"
FIRST_ANGLE = {ABOVE: BELOW, BELOW: ABOVE, LEFT: RIGHT, RIGHT: LEFT}
EASED = ("round-over", "chamfer")
SQUARE = 2  # a stick up to twice as wide as thick may show its edge as the main view


@dataclass(frozen=True, slots=True)
class FaceView:
    """One view of a part. place: where it lies beside the main view. face: the face that is looked at. right, up:
    the directions of the world that point right and up on paper."""

    place: str
    face: Face
    right: Face
    up: Face

    @property
    def projection(self) -> Projection:
        """The parallel projection that draws this view."""
        return Projection(self.face.name, _unit(self.right), _unit(self.up), _unit(self.face))

    def flat(self, point: Point3) -> tuple[Fraction, Fraction]:
        """A point of the world in the view: mm to the right and upwards."""
        return point[self.right.axis] * self.right.side, point[self.up.axis] * self.up.side

    def paper_axis(self, axis: int) -> str:
        """`x` or `y` where the axis of the world lies in the view, "" where it points at the viewer."""
        if axis == self.right.axis:
            return "x"
        return "y" if axis == self.up.axis else ""


def _unit(face: Face) -> tuple[float, float, float]:
    x, y, z = face.normal
    return float(x), float(y), float(z)


def _cross(a: Face, b: Face) -> Face:
    """The third direction of a right-handed frame."""
    axis = 3 - a.axis - b.axis
    even = (a.axis + 1) % 3 == b.axis
    return Face(axis, a.side * b.side * (1 if even else -1))


def opposite(face: Face) -> Face:
    """The direction against."""
    return Face(face.axis, -face.side)


def feature_box(feature: Feature) -> Box | None:
    """The box round what the feature takes away or adds, None where it does neither."""
    box: Box | None = None
    for prism in feature.cuts or feature.adds:
        box = body_box(prism) if box is None else box.union(body_box(prism))
    return box


def is_shaped(feature: Feature) -> bool:
    """Whether the feature has slopes or arcs other than round holes."""
    return any(isinstance(b, Chunk) or (isinstance(b, Prism) and isinstance(b.outline, Loop)) for b in feature.cuts)


def _profile_axis(feature: Feature) -> int | None:
    """The axis along which the profile of a shaped edge or end is seen; None for all that is seen well in the main
    view, and for rounded and chamfered edges, whose size is a note."""
    for body in feature.cuts:
        if isinstance(body, Prism) and isinstance(body.outline, Loop) and feature.kind not in EASED:
            return body.axis
    return None


def spans(part: Part, box: Box, axis: int) -> bool:
    """Whether the box goes right through the part along the axis."""
    return box.lo[axis] <= part.box.lo[axis] and box.hi[axis] >= part.box.hi[axis]


def through_boxes(part: Part, axis: int) -> tuple[Box, ...]:
    """The boxes round each opening, notch or corner that goes right through the part along the axis."""
    boxes = [body_box(body) for feature in part.features for body in feature.cuts]
    return tuple(box for box in boxes if spans(part, box, axis))


def home_face(part: Part, main: Face, feature: Feature) -> Face:
    """The face in whose view the feature is sized and placed."""
    box = feature_box(feature)
    if feature.face is not None and feature.diameter is not None and len(feature.cuts) > 1:
        return feature.face  # a countersink or a counterbore is worked from its own side
    bored = feature.through and feature.diameter is not None and feature.face is not None and feature.face.axis == main.axis
    bare = box is None and not feature.text  # an edge band
    if feature.face is not None and feature.face.axis != main.axis and _profile_axis(feature) == feature.face.axis:
        return feature.face  # where the slope or the arc is seen
    if feature.face is None or bored or bare or feature.kind == "edge band" or (box is not None and spans(part, box, main.axis)):
        return main
    return feature.face


def main_face(part: Part) -> Face:
    """The face with the most work: broad faces, and on a nearly square stick the others along the length too.

    Of faces with equal work the reference face wins, then the one that stands first."""
    axes = [part.thickness_axis]
    if part.width <= SQUARE * part.thickness:
        axes.append(part.width_axis)
    faces = [Face(axis, part.datum[axis] * turn) for axis in axes for turn in (1, -1)]
    return max(faces, key=lambda face: (sum(_works(part, face, f) for f in part.features), -faces.index(face)))


def _works(part: Part, face: Face, feature: Feature) -> int:
    if feature.face is None:
        return 0
    return int(home_face(part, face, feature) == face)


def main_view(part: Part, turned: bool = False) -> FaceView:
    """The main view: length across (turned: upwards), the reference end at the left unless the part would stand on
    its head, lettering upright."""
    face = main_face(part)
    along = 3 - face.axis - (part.length_axis if turned else _cross_axis(part, face))
    right = Face(along, -part.datum[along])
    for feature in part.features:
        if feature.text and feature.reading is not None and feature.face == face:
            if feature.reading.axis == along:
                right = feature.reading
            else:  # the word runs up the sheet: read from the right
                right = _cross(feature.reading, face)
            break
    else:
        if _cross(face, right) == Face(UP, -1):  # what stands upright in the piece stands upright on paper
            right = opposite(right)
    return FaceView(MAIN, face, right, _cross(face, right))


def _cross_axis(part: Part, face: Face) -> int:
    return 3 - face.axis - part.length_axis


def side_view(main: FaceView, face: Face, turned: bool = False, first: bool = False) -> FaceView:
    """The view of another face in its place beside the main view. The opposite face comes below, rolled over twice, or
    with `turned` at the far right. first: first angle instead of third."""
    toward, right, up = main.face, main.right, main.up
    if face == toward:
        return main
    if face == opposite(toward):
        return FaceView(FAR, face, opposite(right), up) if turned else FaceView(REAR, face, right, opposite(up))
    place, over, upwards = {
        up: (ABOVE, right, opposite(toward)),
        opposite(up): (BELOW, right, toward),
        right: (RIGHT, opposite(toward), up),
        opposite(right): (LEFT, toward, up),
    }[face]
    return FaceView(FIRST_ANGLE[place] if first else place, face, over, upwards)


def part_views(part: Part, turned: bool = False, first: bool = False, upright: bool = False) -> tuple[FaceView, ...]:
    """The main view first, then as few others as show all work. A plain part needs no second view: its thickness is
    a note. The opposite face stands upright at the far right, not on its head below, with `upright` and where words on it
    read so."""
    main = main_view(part, turned)
    faces = [main.face]

    def want(face: Face) -> None:
        if face not in faces:
            faces.append(face)

    for feature in part.features:
        want(home_face(part, main.face, feature))
    for feature in part.features:
        axis = _profile_axis(feature)
        if axis is not None and all(face.axis != axis for face in faces):
            want(Face(axis, part.datum[axis]))
    for feature in part.features:
        out = any(f.axis == main.face.axis and f.role != "depth" for f in feature.figures)
        if out and not any(side_view(main, face).paper_axis(main.face.axis) for face in _profiles(part, feature, faces)):
            want(profile_face(part, main, feature))
    if all(face.axis == main.face.axis for face in faces) and not plain(part, main):
        want(_edge_face(part, main))
    words = any(f.text and f.face == opposite(main.face) and f.reading == opposite(main.right) for f in part.features)
    return tuple(side_view(main, face, turned or upright or words, first) for face in faces)


def plain(part: Part, main: FaceView) -> bool:
    """Whether no edge or end shows anything but an unbroken rectangle: no work but holes and lettering, or shapes that
    go right through the face."""
    for feature in part.features:
        box = feature_box(feature)
        if feature.cuts and box is not None and feature.diameter is None and not spans(part, box, main.face.axis):
            return False
        if any(isinstance(body, Chunk) for body in feature.cuts):
            return False
    return True


def _profiles(part: Part, feature: Feature, faces: list[Face]) -> list[Face]:
    """Of these faces the ones that show the feature end on."""
    box = feature_box(feature)
    return [face for face in faces if box is None or spans(part, box, face.axis) or box.at(face) == part.box.at(face)]


def profile_face(part: Part, main: FaceView, feature: Feature) -> Face:
    """The edge or end in whose view the feature's profile stands."""
    box = feature_box(feature)
    up = main.up.axis
    for axis in (main.right.axis, up):
        if box is not None and (spans(part, box, axis) or (feature.adds and _covers(part, box, axis))):
            return Face(axis, part.datum[axis])
    if box is not None and feature.adds:  # a tongue on one edge is seen from that edge
        sides = [side for side in (-1, 1) if box.at(Face(up, side)) == part.box.at(Face(up, side))]
        if len(sides) == 1 and not part.shoulder.lo[up] <= box.lo[up] < part.shoulder.hi[up]:
            return Face(up, sides[0])
    return Face(up, part.datum[up])


def _covers(part: Part, box: Box, axis: int) -> bool:
    """Whether a tongue runs along the whole part between its shoulders."""
    return box.lo[axis] <= part.shoulder.lo[axis] and box.hi[axis] >= part.shoulder.hi[axis]


def _edge_face(part: Part, main: FaceView) -> Face:
    """The long edge at which most work comes out; the reference edge where both are equal."""
    axis = main.up.axis if main.up.axis != part.length_axis else main.right.axis
    sides = (Face(axis, part.datum[axis]), Face(axis, -part.datum[axis]))

    def open_at(face: Face) -> int:
        boxes = [feature_box(f) for f in part.features if f.cuts]
        return sum(
            1
            for box in boxes
            if box is not None and (box.at(face) - part.box.at(face)) * face.side >= 0 and not spans(part, box, 3 - axis - main.face.axis)
        )

    return max(sides, key=lambda face: (open_at(face), face == sides[0]))
