"""What the kinds of hardware share: holes and gains with their figures, places on a face and along an edge."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import pairwise

from plandoc.geometry.bodies import Box, Face, Point3, Prism, Rect, other_axes
from plandoc.geometry.bodies import Disc as Circle
from plandoc.model.entities import Feature, Figure, Fitting, HardwareItem
from plandoc.model.kinds import Arguments, FitContext, FitEffect, Frame, Param
from plandoc.model.read_args import MIDDLE
from plandoc.quantity import INCH

PILOT_DEEP = {"mm": Fraction(10), "inch": INCH * 3 / 8}
"""Depth of pilot holes for the short screws of hardware (mm; common practice), never more than two thirds of the wood."""
AT = Param("at", "positions", "places of its middle, measured from the left, front or bottom edges")
FROM = Param("from", "faces", "edges to measure from instead", default=())
CORNERS = Param("inset", "length", "one at each of the four corners, its middle that far from both edges")
STATIONS = Param("at", "lengths", "places along the edge, measured from its left, front or bottom end")
USUAL_ENDS = Fraction(100)
"""First and last from the ends (mm; common practice), of short parts no more than a quarter of the length."""
ENDS = Param("ends", "length", "distance of the first and the last from the ends, where no `at` is given; left out, 100 mm, but no more than a quarter of the length")
USUAL_PILOT = Fraction(2)
"""Pilot hole of hardware whose kind has no such word (mm; common practice for the short No 4 and 3 mm screws of hardware)."""
NUMBER = Param("count", "count", "how many, where no `at` is given")


def lead_deep(context: FitContext, part: Frame, axis: int) -> Fraction:
    """Depth of a pilot hole (mm)."""
    return min(PILOT_DEEP[context.tell.units.system], part.shoulder.size(axis) * Fraction(2, 3))


def words(item: HardwareItem) -> str:
    """What the item is as a note says it: its description up to the first comma, `corner bracket`."""
    said = (item.description or item.kind).partition(",")[0].strip() or item.kind
    said = said.replace("_", " ")
    return said[0].lower() + said[1:] if said[1:2].islower() else said


def point(axis: int, plane: Fraction, places: Iterable[tuple[int, Fraction]]) -> Point3:
    """The point with these coordinates on two axes and `plane` on the third."""
    made = [plane] * 3
    for other, value in places:
        made[other] = value
    made[axis] = plane
    return made[0], made[1], made[2]


class Work:
    """Collects the holes and gains of one fitting, part by part. `good` turns false after a report."""

    def __init__(self, context: FitContext) -> None:
        self.context = context
        self.features: list[tuple[str, Feature]] = []
        self.points: list[Point3] = []
        self.rooms: list[Box] = []
        self.good = True
        self._numbers: dict[str, int] = {}

    def _ident(self, part: Frame) -> str:
        number = self._numbers[part.path] = self._numbers.get(part.path, 0) + 1
        return f"{part.path}.{self.context.id}.{number}"

    def bores(self, part: Frame, face: Face, at: Sequence[Point3], diameter: Fraction, deep: Fraction | None, what: str, kind: str = "hole") -> None:
        """A row of round holes from a face; deep None: through. what: said in the note. Reports a hole that does not lie
        wholly in the part (PD330) and a depth that the part has not (PD331)."""
        tell, item = self.context.tell, self.context.item
        axes, plane = other_axes(face.axis), part.shoulder.at(face)
        thick = part.shoulder.size(face.axis)
        if deep is not None and deep >= thick:
            tell.say("PD331", f"`{item.name}` needs a hole {tell.figure(deep)} deep, too deep for `{part.path}`", notes=(f"it is {tell.figure(thick)} thick there",))
            self.good = False
            return
        row = f"{part.path}.{self.context.id}.{kind}.{face.name}.{'through' if deep is None else deep}.{diameter}"
        lo, hi = part.box.span(face.axis) if deep is None else sorted((plane, plane - face.side * deep))
        made: list[Feature] = []
        for one in at:
            for axis in axes:
                low, high = part.box.span(axis)
                if not low + diameter / 2 < one[axis] < high - diameter / 2:
                    misses = "misses" if not low - diameter / 2 < one[axis] < high + diameter / 2 else "runs out of an edge of"
                    tell.say("PD330", f"a hole of `{item.name}` {misses} `{part.path}`", notes=(f"its middle lies at {tell.figure(one[axis])}, the part from {tell.figure(low)} to {tell.figure(high)}, the hole is {tell.figure(diameter)} wide",))
                    self.good = False
                    return
            centre = point(face.axis, plane, [(a, one[a]) for a in axes])
            figures = [f for a in axes if (f := part.to_datum(a, one[a], one[a])) is not None]
            hole = Prism(face.axis, lo, hi, Circle((one[axes[0]], one[axes[1]]), diameter / 2))
            made.append(
                Feature(
                    self._ident(part), kind, face, cuts=(hole,), figures=tuple(figures), row=row if len(at) > 1 else "", diameter=diameter,
                    depth=deep, through=deep is None, centre=centre, note=what, span=tell.span,
                )
            )  # fmt: skip
        self.features.extend((part.path, f) for f in made)

    def pilots(self, part: Frame, face: Face, at: Sequence[Point3], below: Fraction = Fraction(0)) -> None:
        """Pilot holes for its screws, which count as its points. below: depth of the gain that they stand in (mm)."""
        pilot = self.context.item.size("pilot") or USUAL_PILOT
        self.bores(part, face, at, pilot, lead_deep(self.context, part, face.axis) + below, f"pilot, {words(self.context.item)}")
        plane = part.shoulder.at(face)
        self.points.extend(point(face.axis, plane, [(a, one[a]) for a in other_axes(face.axis)]) for one in at)

    def gain(self, part: Frame, face: Face, area: Box, deep: Fraction) -> None:
        """A shallow recess for a leaf: `area` in the plane of the face, cut off where the part ends. Reports an area that
        the part has not (PD330), or a depth (PD331)."""
        tell, axes, plane = self.context.tell, other_axes(face.axis), part.shoulder.at(face)
        lo, hi = sorted((plane, plane - face.side * deep))
        for axis in axes:
            low, high = part.box.span(axis)
            if area.lo[axis] < low or area.hi[axis] > high:
                over = max(low - area.lo[axis], area.hi[axis] - high)
                tell.say("PD330", f"the leaf of `{self.context.item.name}` reaches {tell.figure(over)} over an edge of `{part.path}`", mend="take a smaller one, or move it")
                self.good = False
                return
        room = part.shoulder.size(face.axis)
        if deep >= room:
            tell.say("PD331", f"the leaf of `{self.context.item.name}` goes through `{part.path}`", notes=(f"it is let in {tell.figure(deep)}, `{part.path}` measures {tell.figure(room)} there",), mend="take one with thinner leaves")
            self.good = False
            return
        figures = [Figure(a, *area.span(a), "size") for a in axes]
        figures.append(Figure(face.axis, lo, hi, "depth"))
        figures += [f for a in axes if (f := part.to_datum(a, *area.span(a))) is not None]
        outline = Rect((area.lo[axes[0]], area.lo[axes[1]]), (area.hi[axes[0]], area.hi[axes[1]]))
        centre = point(face.axis, plane, [(a, (area.lo[a] + area.hi[a]) / 2) for a in axes])
        feature = Feature(
            self._ident(part), "gain", face, cuts=(Prism(face.axis, lo, hi, outline),), figures=tuple(figures),
            row=f"{part.path}.{self.context.id}.gain", depth=deep, centre=centre, note=words(self.context.item), span=tell.span,
        )  # fmt: skip
        self.features.append((part.path, feature))

    def room(self, *corners: tuple[int, Fraction, Fraction]) -> None:
        """Room that the hardware takes: for each axis two coordinates, in any order."""
        spans = {axis: sorted((a, b)) for axis, a, b in corners}
        lo, hi = (spans[0][0], spans[1][0], spans[2][0]), (spans[0][1], spans[1][1], spans[2][1])
        if all(a < b for a, b in zip(lo, hi, strict=True)):
            self.rooms.append(Box(lo, hi))

    def effect(self, quantity: int) -> FitEffect | None:
        """The finished fitting; None after a report."""
        if not self.good:
            return None
        context, box = self.context, None
        for one in self.rooms:
            box = one if box is None else box.union(one)
        paths = tuple(dict.fromkeys(p.path for p in context.parts))
        fitting = Fitting(context.id, context.item.name, paths, quantity, box, tuple(self.points), span=context.tell.span, rooms=tuple(self.rooms))
        return FitEffect(fitting, tuple(self.features))


def places(part: Frame, face: Face, args: Arguments) -> list[Point3]:
    """The places of `at` or `inset` on a face, measured between shoulders; none where neither is given."""
    axes, plane = other_axes(face.axis), part.shoulder.at(face)
    corners, at, faces = args.get("inset"), args.get("at"), args.get("from")
    if isinstance(corners, Fraction):
        spans = [(part.shoulder.lo[a] + corners, part.shoulder.hi[a] - corners) for a in axes]
        return [point(face.axis, plane, [(axes[0], u), (axes[1], v)]) for u in spans[0] for v in spans[1]]
    sides = {f.axis: f.side for f in faces} if isinstance(faces, tuple) else {}
    made = []
    for pair in at if isinstance(at, tuple) else ():
        values = []
        for axis, value in zip(axes, pair, strict=True):
            lo, hi = part.shoulder.span(axis)
            values.append((axis, (lo + hi) / 2 if value is MIDDLE else (hi - value if sides.get(axis, -1) > 0 else lo + value)))
        made.append(point(face.axis, plane, values))
    return made


def stations(context: FitContext, part: Frame, axis: int, usual: int, needs: Fraction = Fraction(0)) -> list[Fraction] | None:
    """Coordinates along an axis: those of `at`, else `count` (or the usual number) evenly between both `ends`. needs: room
    that one takes along it (mm). None after a report: a place beside the part (PD330), too many of them (PD333)."""
    args, tell, name = context.args, context.tell, context.item.name
    lo, hi = part.shoulder.span(axis)
    at, faces, count, ends = args.get("at"), args.get("from"), args.get("count"), args.get("ends")
    far = isinstance(faces, tuple) and any(f.axis == axis and f.side > 0 for f in faces)
    if isinstance(at, tuple):
        beside = next((v for v in at if not 0 <= v <= hi - lo), None)
        if beside is not None:
            tell.say("PD330", f"a place of `{name}` lies beside `{part.path}`", notes=(f"it lies {tell.figure(beside)} from the end, {'the part is' if part.box.span(axis) == (lo, hi) else 'between its shoulders the part is'} {tell.figure(hi - lo)} long there",))
            return None
        made = sorted(hi - v if far else lo + v for v in at)
    else:
        number = count if isinstance(count, int) else usual
        margin = ends if isinstance(ends, Fraction) else min(USUAL_ENDS, (hi - lo) / 4)
        if number > 1 and hi - lo <= 2 * margin:
            tell.say("PD333", f"{number} `{name}` do not fit on `{part.path}`", notes=(f"it is {tell.figure(hi - lo)} long there, the first and the last lie {tell.figure(margin)} from its ends",), mend=f"ends {tell.below((hi - lo) / 4)}, or count 1")
            return None
        first, last = lo + margin, hi - margin
        made = [first + (last - first) * i / (number - 1) for i in range(number)] if number > 1 else [(lo + hi) / 2]
    close = min((b - a for a, b in pairwise(made)), default=None)
    if close is not None and (close < needs or close == 0):
        room = f"each takes {tell.figure(needs)}" if needs else "no two lie in one place"
        tell.say("PD333", f"{len(made)} `{name}` do not fit on `{part.path}`", notes=(f"from one to the next are {tell.figure(close)}, {room}",), mend="take fewer, or farther apart")
        return None
    return made


def towards(part: Frame, other: Box, axis: int) -> Face:
    """The face of the part on that axis that looks to the middle of another box."""
    return Face(axis, 1 if sum(other.span(axis)) >= sum(part.shoulder.span(axis)) else -1)


def in_pairs(context: FitContext, words: str) -> list[tuple[Frame, Frame]] | None:
    """The parts two by two; None after PD318. words: what a pair is."""
    parts, name = context.parts, context.item.name
    if len(parts) % 2:
        context.tell.say("PD318", f"`{name}` is fitted on pairs of parts: {words}", notes=(f"here are {len(parts)}",), mend=f"name both parts of each pair: fit {name} on {parts[0].path}, ...")
        return None
    pairs = list(zip(parts[::2], parts[1::2], strict=True))
    return pairs if all(lean_alike(context, pair) for pair in pairs) else None


def lean_alike(context: FitContext, parts: Sequence[Frame]) -> bool:
    """Whether parts that one piece of hardware joins lean alike; False after PD318."""
    other = next((p for p in parts if p.lean != parts[0].lean), None)
    if other is None:
        return True
    context.tell.say("PD318", f"`{parts[0].path}` and `{other.path}` lean differently: `{context.item.name}` on both cannot be worked out", mend="let both lean together in one assembly, or fit it on parts that lean alike")
    return False
