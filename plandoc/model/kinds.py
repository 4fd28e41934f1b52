"""What a kind of joint, of work or of hardware declares: its words with their meaning, and what it does.

The declared parameters drive reading, messages, the reference page and completion; the functions are pure.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from plandoc.diagnostics import Note, Span
from plandoc.geometry.bodies import AXIS_NAMES, Box, Chunk, Face, Point3
from plandoc.geometry.lean import Lean
from plandoc.model.entities import Feature, Figure, Fitting, HardwareItem, Joint, Stock
from plandoc.model.transform import Transform
from plandoc.quantity import Units, shop_text


@dataclass(frozen=True, slots=True)
class Param:
    """One word of a kind and what stands behind it.

    type: length, size (two lengths), sizes (a length or two), count, number, angle (degrees), angles (two with x), included
    (the angle between two slopes, up to 180 degrees), face, faces, hand (left or right), axis, text, item, stock, positions, lengths, weight, weights, counts, money, flag. lead: stands directly behind the kind's own word. default: used where
    the plan is silent; required: the plan must not be silent; owners: without one of these words it says nothing. Lengths are
    not less than nothing unless `signed`, and more than nothing where they are `above` it."""

    name: str
    type: str
    doc: str
    required: bool = False
    default: object = None
    lead: bool = False
    signed: bool = False
    above: bool = False
    owners: tuple[str, ...] = ()


Arguments = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Frame:
    """A part as a kind sees it (mm). box: the finished box so far; shoulder: between shoulders; lean: from there to where
    it stands, None where it stands straight; ends: what is sawn off askew."""

    path: str
    name: str
    stock: Stock
    shoulder: Box
    box: Box
    length_axis: int
    thickness_axis: int
    datum: tuple[int, int, int]
    span: Span
    lean: Lean | None = None
    ends: tuple[Chunk, ...] = ()

    @property
    def width_axis(self) -> int:
        """The third axis."""
        return 3 - self.length_axis - self.thickness_axis

    def to_datum(self, axis: int, lo: Fraction, hi: Fraction) -> Figure | None:
        """The figure from the reference face to the near side of lo..hi; None where it lies on the face."""
        if self.datum[axis] < 0:
            edge = self.box.lo[axis]
            return None if lo <= edge else Figure(axis, edge, lo, "place", -1)
        edge = self.box.hi[axis]
        return None if hi >= edge else Figure(axis, hi, edge, "place", 1)


def named_in(home: str, words: str) -> str:
    """Words with the paths of parts as the names that they have in the assembly of that path."""
    return re.sub(rf"(?<![\w.\]]){re.escape(home)}\.", "", words) if home else words


@dataclass(frozen=True, slots=True)
class Teller:
    """How a kind reports: emit(code, message, span, notes, mend); units of the plan for figures in messages. home: path of
    the assembly in which the line stands; inner: from the coordinates of the kind to those of that assembly, None where they
    are the same."""

    emit: Callable[[str, str, Span, tuple[Note | str, ...], str], None]
    units: Units
    span: Span
    home: str = ""
    inner: Transform | None = None

    def say(self, code: str, message: str, notes: tuple[Note | str, ...] = (), mend: str = "", span: Span | None = None) -> None:
        """Report at the statement's place. Paths in the mend, which is to be typed in there, become names of its assembly."""
        self.emit(code, message, span or self.span, notes, named_in(self.home, mend))

    def seen(self, face: Face) -> Face:
        """A face as the assembly sees it in which the line stands."""
        return face if self.inner is None else self.inner.face(face)

    def face(self, face: Face) -> str:
        """The name of a face there."""
        return self.seen(face).name

    def way(self, axis: int) -> str:
        """The name of a direction there."""
        return AXIS_NAMES[self.seen(Face(axis, 1)).axis]

    def figure(self, length: Fraction) -> str:
        """A length (mm) as the plan prints it."""
        return shop_text(length, self.units, mark=True)

    def below(self, length: Fraction) -> str:
        """The greatest length that the plan can print and that is not more (mm): a value to type in."""
        step = self.units.step_mm
        return shop_text(max(length // step, 1) * step, self.units, mark=True)


@dataclass(frozen=True, slots=True)
class Contact:
    """Where a face of A meets a face of B. entry: A's face; plane: coordinate; area: common rectangle as a flat box.

    Of parts that cross, area is the room that they share, entry the direction in which A is laid into B (down, or to
    the low side, along the axis along which neither runs on), and plane the face of the room where A begins."""

    entry: Face
    plane: Fraction
    area: Box


@dataclass(frozen=True, slots=True)
class JointContext:
    """Two parts in world coordinates and where they touch. Boxes are finished boxes only in `cut`."""

    id: str
    kind: str
    a: Frame
    b: Frame
    contact: Contact
    args: Arguments
    tell: Teller


@dataclass(frozen=True, slots=True)
class JointEffect:
    """What a joint came to: its record and the features on both parts."""

    joint: Joint
    on_a: tuple[Feature, ...] = ()
    on_b: tuple[Feature, ...] = ()


@dataclass(frozen=True, slots=True)
class LeaningContext:
    """Two parts that lean differently, and where a face of A lies on a face of B: the common area as a polygon in the
    world (mm, counter-clockwise seen from A), the direction from A into B, and the face of B (as if B stood straight), None
    where it is an end that is sawn askew."""

    id: str
    kind: str
    a: Frame
    b: Frame
    normal: Point3
    area: tuple[Point3, ...]
    b_face: Face | None
    args: Arguments
    tell: Teller


@dataclass(frozen=True, slots=True)
class JointKind:
    """A kind of joint. extend: what A grows by beyond its shoulders (boxes in the world, mm); extend_b: the same for B,
    where B grows too; cut: the finished joint. meets: `face`, the parts touch face to face; `cross`, they stand in the
    same room, which the joint divides between them; `any`, it may be either. leaning: the joint of two parts that lean differently, None where it cannot be had; bisects: the
    ends of such parts are first trimmed to the plane half-way between their outer faces. source: of its rules."""

    name: str
    doc: str
    params: tuple[Param, ...]
    extend: Callable[[JointContext], tuple[Box, ...]]
    cut: Callable[[JointContext], JointEffect | None]
    example: str
    source: str = "common practice"
    meets: str = "face"
    extend_b: Callable[[JointContext], tuple[Box, ...]] | None = None
    leaning: Callable[[LeaningContext], JointEffect | None] | None = None
    bisects: bool = False


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """One line of a free outline. word: start, line, arc. to: the place it leads to, measured from the edges of the
    face (mm). Of an arc: its radius or its rise over the chord (mm), and whether it turns left (1) or right (-1)."""

    word: str
    to: tuple[object, object]
    radius: Fraction | None
    rise: Fraction | None
    turning: int
    span: Span


# The words behind `arc to`.
ARC_PARAMS = (
    Param("radius", "length", "radius of the arc, which is no more than half a circle"),
    Param("rise", "length", "height of the arc over the straight line between its ends, instead of its radius"),
    Param("turning", "hand", "as one walks along the outline", default=1),
)


@dataclass(frozen=True, slots=True)
class ShapeContext:
    """One part in its own assembly's coordinates, and the feature that this one belongs to (for a finger notch).
    drawn: the free outline written below the line."""

    id: str
    part: Frame
    args: Arguments
    tell: Teller
    owner: Feature | None = None
    drawn: tuple[DrawnLine, ...] = ()


@dataclass(frozen=True, slots=True)
class ShapeKind:
    """A kind of work on one part. below: the kind whose line it is indented under, "" for work of its own. drawn: a
    free outline may be written below its line."""

    name: str
    doc: str
    params: tuple[Param, ...]
    apply: Callable[[ShapeContext], tuple[Feature, ...]]
    example: str
    below: str = ""
    source: str = "common practice"
    drawn: bool = False


@dataclass(frozen=True, slots=True)
class FitContext:
    """Hardware on parts, in the coordinates of the assembly in which the line stands. moving: all parts that move with the
    one of that path, itself among them: those of what swings or opens, and those that joints hold to them. outer: the side to
    which what swings or opens with that part does so, None where the plan says nothing of it."""

    id: str
    item: HardwareItem
    parts: tuple[Frame, ...]
    args: Arguments
    tell: Teller
    moving: Callable[[str], tuple[Frame, ...]]
    outer: Callable[[str], Face | None]


@dataclass(frozen=True, slots=True)
class FitEffect:
    """The fitting and the features on each part (path, feature)."""

    fitting: Fitting
    features: tuple[tuple[str, Feature], ...] = ()


@dataclass(frozen=True, slots=True)
class HardwareKind:
    """A kind of hardware. params: of the `hardware` line; fit_params: of the `fit` line; unit: each or pair; spread: it
    is spread on parts, so its `fit` line may name assemblies and loose parts, and it holds no two parts by itself."""

    name: str
    doc: str
    params: tuple[Param, ...]
    fit_params: tuple[Param, ...]
    fit: Callable[[FitContext], FitEffect | None]
    example: str
    unit: str = "each"
    source: str = "common practice"
    spread: bool = False


@dataclass(frozen=True, slots=True)
class MachineKind:
    """A kind of machine that a shop file can list. limits: (word, the word of the same line that it must not be more than);
    most: (word, the most that it can sensibly be, mm); alike: (word, the word of which it has as many values)."""

    name: str
    doc: str
    params: tuple[Param, ...]
    example: str
    limits: tuple[tuple[str, str], ...] = ()
    most: tuple[tuple[str, Fraction], ...] = ()
    alike: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Kinds:
    """All kinds by name, sorted; machines in the order of their table."""

    joints: Mapping[str, JointKind]
    shapes: Mapping[str, ShapeKind]
    hardware: Mapping[str, HardwareKind]
    machines: Mapping[str, MachineKind] = field(default_factory=dict)
