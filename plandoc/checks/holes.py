"""What the checks of holes share: every hole of hardware, of pins and screws, every plain hole, and what other work cuts
beside it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import shapely

from plandoc.geometry.bodies import Box, Disc, Face, Prism, Rect, body_box, other_axes
from plandoc.geometry.facets import polygon
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Feature, Model, Part

KINDS = ("hole", "cup", "pin hole")
FASTENED = ("screw hole", "dowel hole")
TOUCH = 1e-6
NOTHING = 1e-3  # mm3
Room = tuple[float, float, float, float, float, float]


@dataclass(frozen=True)
class Neighbour:
    """Other work at a hole, in the plane across the hole: `section` None where it changes with the depth. lo, hi: the
    depth that it takes, along the hole's axis (mm)."""

    feature: Feature
    prism: Prism
    section: shapely.Geometry | None
    lo: float
    hi: float


@dataclass(frozen=True)
class Hole:
    """A round hole of a part. fitting: id of the hardware that it is for, "" for a plain one."""

    part: Part
    feature: Feature
    prism: Prism
    fitting: str
    beside: tuple[tuple[Feature, Prism, Room], ...]

    @property
    def name(self) -> str:
        """`the hole of left_side for runner`."""
        what = f" for {self.feature.note.rpartition(', ')[2]}" if self.fitting and self.feature.note else ""
        if self.fastened:
            what = f" for {self.feature.mate}"
        return f"the {self.feature.kind} of {self.part.path}{what}"

    @property
    def fastened(self) -> bool:
        """Whether it is for a pin or a screw of a joint."""
        return self.feature.kind in FASTENED

    def apart(self, other: Feature) -> bool:
        """Whether other work belongs to another joint, or to none."""
        return not other.joint or other.joint != self.feature.joint

    @property
    def row(self) -> str:
        """Holes that are told of together."""
        return self.feature.row or self.feature.id

    @property
    def face(self) -> Face:
        """The face that it is drilled from."""
        assert self.feature.face is not None
        return self.feature.face

    @property
    def centre(self) -> shapely.Point:
        """Its middle across its axis."""
        assert isinstance(self.prism.outline, Disc)
        x, y = self.prism.outline.centre
        return shapely.Point(float(x), float(y))

    @property
    def radius(self) -> float:
        """Half of its diameter (mm)."""
        assert isinstance(self.prism.outline, Disc)
        return float(self.prism.outline.radius)

    @cached_property
    def neighbours(self) -> tuple[Neighbour, ...]:
        """Work that comes within 2 mm of it, within its depth."""
        own = _floats(body_box(self.prism), 2.0)
        axis = self.prism.axis
        lo, hi = float(self.prism.lo), float(self.prism.hi)
        found = []
        for feature, prism, box in self.beside:
            if feature is self.feature or any(own[i] > box[i + 3] or own[i + 3] < box[i] for i in range(3)):
                continue
            low, high = max(lo, box[axis]), min(hi, box[axis + 3])
            if low < high - TOUCH:
                found.append(Neighbour(feature, prism, _section(prism, axis), low, high))
        return tuple(found)

    def covered(self, other: Neighbour) -> bool:
        """Whether other work takes the whole of its cross-section."""
        if other.section is None:
            return False
        inside = bool(other.section.contains(self.centre))
        return inside and other.section.exterior.distance(self.centre) >= self.radius - TOUCH

    def opened(self, other: Neighbour) -> bool:
        """Whether other work cuts into its wall."""
        if other.section is None:
            volume = Solid.from_prisms([self.prism]).common_volume(Solid.from_prisms([other.prism]))
            return volume > NOTHING
        return not self.covered(other) and other.section.distance(self.centre) < self.radius - TOUCH

    def gone(self, other: Neighbour) -> bool:
        """Whether its own joint takes all the wood round it as deep as other work reaches, as a mitre does beyond its cut."""
        own = [n.prism for n in self.neighbours if n.feature.joint and n.feature.joint == self.feature.joint and n.feature.kind not in FASTENED]
        if not own:
            return False
        lo, hi = body_box(other.prism).span(self.prism.axis)
        reach = replace(self.prism, lo=max(lo, self.prism.lo), hi=min(hi, self.prism.hi))
        return Solid.from_prisms([reach], own).volume < NOTHING


def _section(prism: Prism, axis: int) -> shapely.Geometry | None:
    if prism.axis == axis:
        return shapely.Polygon(polygon(prism.outline)[0])
    if isinstance(prism.outline, Rect):
        box, (a, b) = body_box(prism), other_axes(axis)
        return shapely.box(float(box.lo[a]), float(box.lo[b]), float(box.hi[a]), float(box.hi[b]))
    return None


def _floats(box: Box, more: float = 0.0) -> Room:
    (a, b, c), (d, e, f) = box.lo, box.hi
    return float(a) - more, float(b) - more, float(c) - more, float(d) + more, float(e) + more, float(f) + more


def holes(model: Model) -> Iterator[Hole]:
    """Every hole of hardware, of a pin or a screw, and every plain hole, in plan order."""
    ids = {f.id for f in model.fittings}
    for part in model.parts:
        cuts = tuple((f, p, _floats(body_box(p))) for f in part.features for p in f.cuts if isinstance(p, Prism))
        for feature in part.features:
            # beside the hole of a screw there may be room for its head
            if feature.face is None or not ((feature.kind in FASTENED and feature.cuts) or (feature.kind in KINDS and len(feature.cuts) == 1)):
                continue
            only = feature.cuts[0]
            if not isinstance(only, Prism) or not isinstance(only.outline, Disc):
                continue
            ident = feature.id.removeprefix(f"{part.path}.").rpartition(".")[0]
            yield Hole(part, feature, only, ident if ident in ids else "", cuts)
