"""What the audit rules read of a sheet, and a display list read that way: lettering, strokes and filled areas, each with
the groups round it.

The rules know only the protocols, so that they run on display lists, before anything is written, and on finished files
that a reader of its own has read (the acceptance tests).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import hypot
from typing import Any, Protocol, TypeVar

import numpy as np
import shapely

from plandoc.drawing.boxes import Segment, arc_points, item_segments
from plandoc.drawing.dashes import dashed_arc, dashed_segment
from plandoc.drawing.display import XY, Arc, Circle, Extent, Fill, Group, Item, Line, Sheet, Text
from plandoc.drawing.lettering import text_extent
from plandoc.drawing.style import Style

T = TypeVar("T")
TOLD = ("part", "mark", "from", "to", "mm", "item", "note", "letter", "scale", "step")
CHORDS = 48


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule objects to. what: the things concerned, with their place on the paper (mm) and their groups; measured:
    the value that breaks the rule; told: the things in a reader's words."""

    rule: str
    what: str
    measured: str
    told: str = ""

    @property
    def message(self) -> str:
        """One line."""
        return f"{self.what}: {self.measured}"


# What the rules read ----------------------------------------------------------------------------------------------


class Home(Protocol):
    """A group: its kind, and the nearest group of a kind round it, itself included."""

    @property
    def kind(self) -> str: ...
    @property
    def id(self) -> str: ...
    @property
    def data(self) -> Mapping[str, str]: ...
    @property
    def number(self) -> int: ...
    @property
    def name(self) -> str: ...
    def home(self, kind: str) -> Home | None: ...


class Run(Protocol):
    """One line of lettering. box: by its ink; base: left end of its base line; turn: degrees; height: of capitals."""

    @property
    def text(self) -> str: ...
    @property
    def role(self) -> str: ...
    @property
    def box(self) -> Extent: ...
    @property
    def base(self) -> XY: ...
    @property
    def turn(self) -> float: ...
    @property
    def height(self) -> float: ...
    @property
    def group(self) -> Home: ...


class Stroke(Protocol):
    """One unbroken stroke, curves as short chords. width: of its pen."""

    @property
    def role(self) -> str: ...
    @property
    def width(self) -> float: ...
    @property
    def points(self) -> tuple[XY, ...]: ...
    @property
    def group(self) -> Home: ...
    @property
    def segments(self) -> tuple[Segment, ...]: ...
    @property
    def length(self) -> float: ...


class Area(Protocol):
    """A filled area, all of its loops."""

    @property
    def role(self) -> str: ...
    @property
    def loops(self) -> tuple[tuple[XY, ...], ...]: ...
    @property
    def group(self) -> Home: ...


class Finished(Protocol):
    """A whole sheet, mm on paper."""

    @property
    def size(self) -> XY: ...
    @property
    def runs(self) -> Sequence[Run]: ...
    @property
    def strokes(self) -> Sequence[Stroke]: ...
    @property
    def areas(self) -> Sequence[Area]: ...
    def of(self, *kinds: str) -> Sequence[Home]: ...
    def strokes_in(self, group: Any, *roles: str) -> Sequence[Stroke]: ...
    def near(self, box: Extent) -> Sequence[tuple[Segment, Stroke]]: ...
    def frame(self) -> Extent | None: ...


# A display list read that way -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """A group of a display list with those round it, the sheet first."""

    kind: str
    id: str
    data: dict[str, str]
    around: tuple[Part, ...]
    number: int

    def home(self, kind: str) -> Part | None:
        """The nearest group of that kind, this one included."""
        return next((p for p in (self, *reversed(self.around)) if p.kind == kind), None)

    @property
    def name(self) -> str:
        """Words that say which group this is."""
        told = " ".join(f"{k}={v}" for k, v in self.data.items() if k in TOLD)
        near = next((p.id for p in (self, *reversed(self.around)) if p.id and p.kind != "sheet"), "")
        return f"{self.kind} {near} {told}".strip()


@dataclass(frozen=True, slots=True, eq=False)
class Lettering:
    """A Text as a Run."""

    text: str
    role: str
    box: Extent
    base: XY
    turn: float
    height: float
    group: Part


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """A stroke, or one dash of it."""

    role: str
    width: float
    points: tuple[XY, ...]
    group: Part

    @property
    def segments(self) -> tuple[Segment, ...]:
        """Its straight pieces."""
        return tuple(pairwise(self.points))

    @property
    def length(self) -> float:
        """mm."""
        return sum(hypot(q[0] - p[0], q[1] - p[1]) for p, q in self.segments)


@dataclass(frozen=True, slots=True, eq=False)
class Filled:
    """A Fill; its loops end where they begin."""

    role: str
    loops: tuple[tuple[XY, ...], ...]
    group: Part


@dataclass(eq=False)
class SheetView:
    """A sheet of display items as the rules read it."""

    size: XY
    runs: list[Lettering] = field(default_factory=list)
    strokes: list[Drawn] = field(default_factory=list)
    areas: list[Filled] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    kept: dict[str, Any] = field(default_factory=dict, repr=False)

    def of(self, *kinds: str) -> list[Part]:
        """Groups of these kinds, in drawing order."""
        return [p for p in self.parts if p.kind in kinds]

    def strokes_in(self, group: Part, *roles: str) -> list[Drawn]:
        """Strokes of a group and of those in it."""
        if "within" not in self.kept:
            by: dict[int, list[Drawn]] = {}
            for stroke in self.strokes:
                for part in (*stroke.group.around, stroke.group):
                    by.setdefault(part.number, []).append(stroke)
            self.kept["within"] = by
        found: list[Drawn] = self.kept["within"].get(group.number, [])
        return [s for s in found if not roles or s.role in roles]

    def near(self, box: Extent) -> list[tuple[Segment, Drawn]]:
        """Straight pieces whose boxes meet this box, in drawing order."""
        if "pieces" not in self.kept:
            rows = [(s, stroke) for stroke in self.strokes for s in stroke.segments]
            self.kept["pieces"] = rows
            self.kept["tree"] = shapely.STRtree(shapely.linestrings(np.array([s for s, _ in rows]).reshape(-1, 2, 2)))
        rows = self.kept["pieces"]
        return [rows[int(i)] for i in np.sort(self.kept["tree"].query(shapely.box(*box)))]

    def frame(self) -> Extent | None:
        """The box of the drawing frame; None on a bare sheet."""
        boxes = [points_box(s.points) for s in self.strokes if s.role == "frame" and len(s.points) > 4]
        return max(boxes, key=lambda b: (b[2] - b[0]) * (b[3] - b[1])) if boxes else None


def points_box(points: Sequence[XY]) -> Extent:
    """The box round points."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs), min(ys), max(xs), max(ys))


def sheet_view(sheet: Sheet, style: Style) -> SheetView:
    """A display list as the rules read it; dashed pens as the dashes that are printed."""
    view = SheetView(sheet.size)
    _gather(view, sheet.items, Part("sheet", "sheet", {"kind": sheet.kind, "code": sheet.code}, (), 0), style)
    return view


def _gather(view: SheetView, items: tuple[Item, ...], home: Part, style: Style) -> None:
    view.parts.append(home)
    for item in items:
        if isinstance(item, Group):
            _gather(view, item.items, Part(item.kind, item.id, dict(item.attrs), (*home.around, home), len(view.parts)), style)
        elif isinstance(item, Text):
            box = text_extent(item)
            base = (box[0], item.at[1]) if not item.rotation else (item.at[0], box[3])
            view.runs.append(Lettering(item.text, item.role, box, base, item.rotation, item.size, home))
        elif isinstance(item, Fill):
            view.areas.append(Filled(item.role, tuple((*loop, loop[0]) for loop in item.loops if loop), home))
        else:
            pen = style.pen(item.role)
            view.strokes += [Drawn(item.role, pen.width, points, home) for points in _pieces(item, pen.dash)]


def _pieces(item: Line | Circle | Arc, dash: tuple[float, ...]) -> Iterator[tuple[XY, ...]]:
    """Polylines of a stroke, one for each dash."""
    if isinstance(item, Line):
        if not dash:
            yield (*item.points, item.points[0]) if item.closed else item.points
            return
        for p, q in item_segments(item):
            yield from dashed_segment(p, q, dash)
        return
    arcs: tuple[Arc | Circle, ...] = dashed_arc(item, dash) if dash else (item,)
    for arc in arcs:
        start, end = (arc.start, arc.end) if isinstance(arc, Arc) else (0.0, 360.0)
        yield arc_points(arc.centre, arc.radius, start, end if end > start else end + 360.0, CHORDS)
