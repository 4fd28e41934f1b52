"""Which work gets a full-size template, and its true shape on the face, measured from the part's reference corner.

By rule (common practice: what cannot be struck with square and rule from an edge is marked through from paper):

- every outline, notch, slot or cut-out with an arc or a slanted stroke;
- every pocket that is not a single rectangle: round ones, groups, those with finger notches;
- the bores of one piece of hardware, two or more, and of one line of the plan, two or more, unless they stand in one
  row along an edge: that is set with a stop;
- lettering.

Chamfers and round-overs are run along an edge by the bit, and the round of a rod is there when it is bought: neither is marked
through. A template lies on one face of a part; x and y run into the part from its two reference edges (exact mm, x to the right
and y upwards as one looks at the face).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.build.faceplane import Ground, box_contour, depth_of, ground, rim
from plandoc.geometry.bodies import (
    Body,
    Face,
    Loop,
    Prism,
    body_box,
    other_axes,
)
from plandoc.geometry.contours import Contour, combined
from plandoc.model.entities import Feature, Model, Part
from plandoc.model.rods import ROD
from plandoc.shopwork.names import by_mark

POCKETS = ("pocket", "finger")
EASED = ("chamfer", "round-over")


@dataclass(frozen=True, slots=True)
class Work:
    """One feature on the face. contours: its rim, as it is cut (edges of the part not yet taken into account). depth: mm
    from the face, None through the part. marked: whether the template is made for it."""

    feature: Feature
    contours: tuple[Contour, ...]
    depth: Fraction | None
    marked: bool

    @property
    def round(self) -> bool:
        """Whether it is one bore or round pocket."""
        return self.feature.diameter is not None and self.feature.centre is not None


@dataclass(frozen=True, slots=True)
class Template:
    """One face of the parts of one mark. silhouette: the finished part as seen on this face. works: all that is cut on
    it, marked or not."""

    parts: tuple[Part, ...]
    ground: Ground
    works: tuple[Work, ...]
    silhouette: tuple[Contour, ...]

    @property
    def part(self) -> Part:
        """The first of the parts, whose coordinates are used."""
        return self.parts[0]

    @property
    def name(self) -> str:
        """File-name word: mark and face."""
        return f"{self.part.mark or self.part.path}-{self.ground.face.name}"

    @property
    def marked(self) -> tuple[Work, ...]:
        """The work that the template is made for."""
        return tuple(w for w in self.works if w.marked)


def templates(model: Model) -> tuple[Template, ...]:
    """All templates of a plan, by mark and face."""
    wishes = {wish.part: wish.wanted for wish in model.templates}
    found: list[Template] = []
    for parts in by_mark(model.parts).values():
        asked = {wishes[p.path] for p in parts if p.path in wishes}
        part = parts[0]
        if part.loose or (False in asked and True not in asked):
            continue
        everything = True in asked
        if not everything and model.info.templates == "asked":
            continue
        ids = {f.id for f in part.features if f.kind != ROD and (everything or by_rule(model, part, f))}
        for face in _faces(part, [f for f in part.features if f.id in ids]):
            template = _template(parts, face, ids)
            if template.marked:
                found.append(template)
    return tuple(found)


def by_rule(model: Model, part: Part, feature: Feature) -> bool:
    """Whether the feature gets a template without being asked for."""
    if feature.face is None or feature.joint or feature.kind in EASED:
        return False
    if feature.text or any(is_free(body) for body in feature.cuts):
        return True
    group = _group(part, feature)
    if feature.kind in POCKETS:
        return feature.diameter is not None or len(group) > 1 or any(f.id.startswith(feature.id + ".") for f in part.features)
    if feature.diameter is None or len(group) < 2:
        return False
    return of_hardware(model, part, feature) or not _one_row(group, feature.face)


def is_free(body: Body) -> bool:
    """Whether a body has an outline with an arc or a slanted stroke."""
    if not isinstance(body, Prism) or not isinstance(body.outline, Loop):
        return False
    points = body.outline.points
    slanted = any(a[0] != b[0] and a[1] != b[1] for a, b in zip(points, (*points[1:], points[0]), strict=True))
    return slanted or any(body.outline.bows)


def of_hardware(model: Model, part: Part, feature: Feature) -> bool:
    """Whether a fitting made this bore."""
    return any(part.path in f.parts and feature.id.startswith(f"{part.path}.{f.id}.") for f in model.fittings)


def _group(part: Part, feature: Feature) -> tuple[Feature, ...]:
    return tuple(f for f in part.features if f.row == feature.row) if feature.row else (feature,)


def _one_row(group: Sequence[Feature], face: Face) -> bool:
    """Whether the bores stand in one line along an edge."""
    centres = [f.centre for f in group if f.centre is not None]
    return any(len({c[axis] for c in centres}) == 1 for axis in other_axes(face.axis))


def _faces(part: Part, features: Sequence[Feature]) -> tuple[Face, ...]:
    """The faces with marked work; what goes through the part joins the blind work of either face."""
    blind = dict.fromkeys(f.face for f in features if f.face is not None and not f.through)
    through = [f.face for f in features if f.face is not None and f.through]
    for face in through:
        if face not in blind and face.opposite not in blind:
            blind[face] = None
    return tuple(face for face in blind if face is not None)


def _template(parts: tuple[Part, ...], face: Face, ids: set[str]) -> Template:
    part = parts[0]
    plane = ground(part, face)
    works: list[Work] = []
    through: list[Contour] = []
    for feature in part.features:
        shapes: list[Contour] = []
        depths: set[Fraction | None] = set()
        for body in feature.cuts:
            shape = rim(plane, body)
            if shape is None:
                continue
            depth = depth_of(plane, body)
            depths.add(depth)
            shapes.append(shape)
            if depth is None:
                through.append(shape)
        own = feature.face == face or (feature.through and feature.face == face.opposite)
        if shapes or (feature.text and own):
            deep = None if not shapes or None in depths else max(d for d in depths if d is not None)
            works.append(Work(feature, tuple(shapes), feature.depth if feature.text and not shapes else deep, feature.id in ids and own))
    whole = [box_contour(plane, part.shoulder.lo, part.shoulder.hi)]
    for feature in part.features:
        for add in feature.adds:
            box = body_box(add)
            whole.append(box_contour(plane, box.lo, box.hi))
    return Template(parts, plane, tuple(works), combined(whole, through))
