"""Finished SVG sheets read as a print shows them: transforms flattened, text boxes from the typeface itself, in mm.

Nothing here comes from the layout: only the written file and the TrueType files of the lettering are read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from importlib import resources
from itertools import pairwise
from math import atan2, ceil, cos, degrees, hypot, pi, radians, sin, sqrt
from xml.etree import ElementTree

import shapely
from fontTools.ttLib import TTFont

SVG = "{http://www.w3.org/2000/svg}"
XY = tuple[float, float]
Box = tuple[float, float, float, float]
Segment = tuple[XY, XY]
Matrix = tuple[float, float, float, float, float, float]
FACES = {"Source Sans Pro": "SourceSansPro-Regular.ttf", "Source Sans Pro Semibold": "SourceSansPro-Semibold.ttf"}
PLAIN: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


class Face:
    """A TrueType file: widths, ink and cap height of its letters, in units of the em."""

    def __init__(self, family: str) -> None:
        path = resources.files("font_source_sans_pro") / "files" / FACES[family]
        with TTFont(str(path)) as font:
            em = font["head"].unitsPerEm
            self.cap: float = font["OS/2"].sCapHeight / em
            names, widths, glyphs = font.getBestCmap(), font["hmtx"], font["glyf"]
            self.widths = {code: widths[name][0] / em for code, name in names.items()}
            self.ink = {
                code: (glyphs[name].yMin / em, glyphs[name].yMax / em)
                for code, name in names.items()
                if code < 0x2200 and glyphs[name].numberOfContours
            }


@lru_cache(maxsize=4)
def face(family: str) -> Face:
    return Face(family)


@dataclass(slots=True, eq=False)
class Part:
    """A `<g>` with its class, id and data, and the groups round it, the sheet first."""

    kind: str
    id: str
    data: dict[str, str]
    around: tuple[Part, ...]
    number: int

    def home(self, kind: str) -> Part | None:
        """The nearest group of that kind, this one included."""
        return next((p for p in (self, *reversed(self.around)) if p.kind == kind), None)

    def inside(self, other: Part) -> bool:
        return other is self or other in self.around

    @property
    def name(self) -> str:
        """Words that say which group this is."""
        told = " ".join(f"{k}={v}" for k, v in self.data.items() if k in ("part", "mark", "from", "to", "mm", "item", "note", "letter", "scale", "step"))
        near = next((p.id for p in (self, *reversed(self.around)) if p.id and p.kind != "sheet"), "")
        return f"{self.kind} {near} {told}".strip()


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """One line of lettering. box: advance widths by ink; height: of capitals; missing: letters that the face lacks;
    natural: its width by the face; told: the width that the file prescribes, 0 where it does not."""

    text: str
    role: str
    box: Box
    base: XY
    turn: float
    height: float
    bold: bool
    group: Part
    missing: str
    natural: float
    told: float


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """One unbroken stroke: a polyline (curves as short chords), the width of its pen, and the order it is painted in."""

    role: str
    width: float
    points: tuple[XY, ...]
    group: Part
    order: int

    @property
    def segments(self) -> tuple[Segment, ...]:
        return tuple(pairwise(self.points))

    @property
    def length(self) -> float:
        return sum(hypot(q[0] - p[0], q[1] - p[1]) for p, q in self.segments)


@dataclass(frozen=True, slots=True, eq=False)
class Area:
    """A filled area."""

    role: str
    colour: str
    loops: tuple[tuple[XY, ...], ...]
    group: Part
    order: int


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A circle outline."""

    role: str
    width: float
    centre: XY
    radius: float
    group: Part


@dataclass(slots=True)
class Drawn:
    """All that one SVG file shows."""

    name: str
    size: XY = (0.0, 0.0)
    stated: XY = (0.0, 0.0)
    parts: list[Part] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    areas: list[Area] = field(default_factory=list)
    rings: list[Ring] = field(default_factory=list)
    trees: dict[str, object] = field(default_factory=dict)

    @property
    def sheet(self) -> Part:
        return self.parts[0]

    @property
    def code(self) -> str:
        return self.sheet.data.get("code", "")

    def of(self, *kinds: str) -> list[Part]:
        return [p for p in self.parts if p.kind in kinds]

    def runs_in(self, group: Part) -> list[Run]:
        return self._within("runs").get(group.number, [])  # type: ignore[return-value]

    def strokes_in(self, group: Part, *roles: str) -> list[Stroke]:
        found: list[Stroke] = self._within("strokes").get(group.number, [])  # type: ignore[assignment]
        return [s for s in found if not roles or s.role in roles]

    def _within(self, what: str) -> dict[int, list[object]]:
        """Runs or strokes by the numbers of all groups round them."""
        if what not in self.trees:
            by: dict[int, list[object]] = {}
            for item in getattr(self, what):
                for part in (*item.group.around, item.group):
                    by.setdefault(part.number, []).append(item)
            self.trees[what] = by
        return self.trees[what]  # type: ignore[return-value]

    def rings_in(self, group: Part, *roles: str) -> list[Ring]:
        return [r for r in self.rings if r.group.inside(group) and (not roles or r.role in roles)]

    def texts(self, *roles: str) -> Iterator[Run]:
        return (r for r in self.runs if r.role in roles)

    def frame(self) -> Box | None:
        """The box of the drawing frame; None on a bare sheet."""
        boxes = [points_box(s.points) for s in self.strokes if s.role == "frame" and len(s.points) > 4]
        return max(boxes, key=lambda b: (b[2] - b[0]) * (b[3] - b[1])) if boxes else None

    def pieces(self) -> tuple[list[tuple[Segment, Stroke]], shapely.STRtree]:
        """Every straight piece of every visible stroke, and a tree over their boxes."""
        if "pieces" not in self.trees:
            rows = [(s, stroke) for stroke in self.strokes for s in stroke.segments]
            self.trees["pieces"] = (rows, shapely.STRtree([shapely.LineString(s) for s, _ in rows]))
        return self.trees["pieces"]  # type: ignore[return-value]

    def near(self, box: Box) -> list[tuple[Segment, Stroke]]:
        rows, tree = self.pieces()
        return [rows[i] for i in sorted(int(i) for i in tree.query(shapely.box(*box)))]


# Boxes and segments ---------------------------------------------------------------------------------------------


def points_box(points: tuple[XY, ...] | list[XY]) -> Box:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs), min(ys), max(xs), max(ys))


def strokes_box(strokes: list[Stroke]) -> Box:
    return points_box([p for s in strokes for p in s.points])


def grown(box: Box, by: float) -> Box:
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def apart(a: Box, b: Box) -> float:
    """Room between two boxes, in the direction in which there is more of it; negative where they overlap."""
    return max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3])


def enters(segment: Segment, box: Box) -> bool:
    """Whether a point of the segment lies inside the box, its sides not counted."""
    (x0, y0), (x1, y1) = segment
    low, high = 0.0, 1.0
    for start, step, least, most in ((x0, x1 - x0, box[0], box[2]), (y0, y1 - y0, box[1], box[3])):
        if abs(step) < 1e-9:
            if not least < start < most:
                return False
            continue
        a, b = sorted(((least - start) / step, (most - start) / step))
        low, high = max(low, a), min(high, b)
    return low < high


def crossing(a: Segment, b: Segment, slack: float) -> XY | None:
    """The point where two segments cross, more than `slack` mm from every end; None where they do not."""
    (x1, y1), (x2, y2) = a
    (x3, y3), (x4, y4) = b
    turn = (x2 - x1) * (y4 - y3) - (y2 - y1) * (x4 - x3)
    la, lb = hypot(x2 - x1, y2 - y1), hypot(x4 - x3, y4 - y3)
    if la < 1e-9 or lb < 1e-9 or abs(turn) < 1e-6 * la * lb:
        return None
    t = ((x3 - x1) * (y4 - y3) - (y3 - y1) * (x4 - x3)) / turn
    u = ((x3 - x1) * (y2 - y1) - (y3 - y1) * (x2 - x1)) / turn
    inside = slack < t * la < la - slack and slack < u * lb < lb - slack
    return (x1 + t * (x2 - x1), y1 + t * (y2 - y1)) if inside else None


# Reading --------------------------------------------------------------------------------------------------------


def read(name: str, svg: bytes) -> Drawn:
    """One SVG file. Raises ValueError for what the reader does not know, so that nothing is left out unseen."""
    root = ElementTree.fromstring(svg)
    view = [float(v) for v in root.get("viewBox", "").split()]
    width, height = (float(re.fullmatch(r"([\d.]+)mm", root.get(k, ""))[1]) for k in ("width", "height"))  # type: ignore[index]
    drawn = Drawn(name, (width, height), (view[2], view[3]))
    reader = _Reader(drawn)
    start = multiply((width / view[2], 0.0, 0.0, height / view[3], 0.0, 0.0), (1.0, 0.0, 0.0, 1.0, -view[0], -view[1]))
    reader.visit(root, start, (), {})
    _cover(drawn)
    return drawn


class _Reader:
    def __init__(self, drawn: Drawn) -> None:
        self.drawn, self.order = drawn, 0

    def visit(self, node: ElementTree.Element, matrix: Matrix, around: tuple[Part, ...], held: dict[str, str]) -> None:
        tag = node.tag.removeprefix(SVG)
        if node.get("style"):
            raise ValueError("an element has a style of its own")
        matrix = multiply(matrix, transform(node.get("transform", "")))
        held = held | {k: v for k, v in node.attrib.items() if k in ("stroke", "fill", "stroke-width")}
        self.order += 1
        if tag == "g":
            data = {k.removeprefix("data-"): v for k, v in node.attrib.items() if k.startswith("data-")}
            part = Part(node.get("class", ""), node.get("id", ""), data, around, len(self.drawn.parts))
            self.drawn.parts.append(part)
            around = (*around, part)
        elif tag == "text":
            self.drawn.runs.append(_run(node, matrix, around[-1]))
        elif tag == "path":
            self.path(node, matrix, around[-1], held)
        elif tag == "circle":
            self.circle(node, matrix, around[-1], held)
        elif tag not in ("svg", "title", "defs") and not (tag == "rect" and node.get("class") == "paper"):
            raise ValueError(f"an element <{tag}> that the reader does not know")
        for child in node:
            self.visit(child, matrix, around, held)

    def path(self, node: ElementTree.Element, matrix: Matrix, group: Part, held: dict[str, str]) -> None:
        role, loops = node.get("class", ""), [tuple(moved(matrix, p) for p in loop) for loop in outlines(node.get("d", ""))]
        if held.get("fill", "none") != "none":
            self.drawn.areas.append(Area(role, held["fill"], tuple(loops), group, self.order))
        if held.get("stroke", "none") != "none":
            width = float(held["stroke-width"]) * growth(matrix)
            self.drawn.strokes += [Stroke(role, width, loop, group, self.order) for loop in loops]

    def circle(self, node: ElementTree.Element, matrix: Matrix, group: Part, held: dict[str, str]) -> None:
        centre, radius = (float(node.get("cx", 0)), float(node.get("cy", 0))), float(node.get("r", 0))
        width = float(held["stroke-width"]) * growth(matrix)
        role = node.get("class", "")
        self.drawn.rings.append(Ring(role, width, moved(matrix, centre), radius * growth(matrix), group))
        points = (moved(matrix, (centre[0] + radius * cos(t), centre[1] + radius * sin(t))) for t in (2 * pi * i / 48 for i in range(49)))
        self.drawn.strokes.append(Stroke(role, width, tuple(points), group, self.order))


def _run(node: ElementTree.Element, matrix: Matrix, group: Part) -> Run:
    text, family = node.text or "", node.get("font-family", "").split(",")[0]
    bold = node.get("font-weight") == "600"
    if bold != (family == "Source Sans Pro Semibold"):
        raise ValueError(f"family and weight of {text!r} differ")
    known, size = face(family), float(node.get("font-size", 0))
    missing = "".join(c for c in text if ord(c) not in known.widths)
    width = size * sum(known.widths.get(ord(c), 0.5) for c in text)
    low = min([0.0, *(known.ink.get(ord(c), (0.0, 0.0))[0] for c in text)]) * size
    high = max([known.cap, *(known.ink.get(ord(c), (0.0, 0.0))[1] for c in text)]) * size
    x, y = float(node.get("x", 0)), float(node.get("y", 0))
    left = x - {"start": 0.0, "middle": width / 2, "end": width}[node.get("text-anchor", "start")]
    corners = [moved(matrix, p) for p in ((left, y - high), (left + width, y - high), (left + width, y - low), (left, y - low))]
    return Run(
        text, node.get("class", ""), points_box(corners), moved(matrix, (left, y)), round(degrees(atan2(matrix[1], matrix[0])), 3),
        known.cap * size * growth(matrix), bold, group, missing, width, float(node.get("textLength", 0)),
    )  # fmt: skip


def _cover(drawn: Drawn) -> None:
    """Strokes under a white area are not seen."""
    masks = [a for a in drawn.areas if a.colour.lower() in ("#ffffff", "white")]
    if not masks:
        return
    seen: list[Stroke] = []
    for stroke in drawn.strokes:
        over = [shapely.Polygon(loop) for a in masks if a.order > stroke.order for loop in a.loops if len(loop) > 3]
        if not over:
            seen.append(stroke)
            continue
        left = shapely.LineString(stroke.points).difference(shapely.union_all(over))
        for piece in getattr(left, "geoms", [left]):
            if not piece.is_empty:
                seen.append(Stroke(stroke.role, stroke.width, tuple((x, y) for x, y in piece.coords), stroke.group, stroke.order))
    drawn.strokes[:] = seen


# Transforms and path data ---------------------------------------------------------------------------------------


def multiply(m: Matrix, n: Matrix) -> Matrix:
    a, b, c, d, e, f = m
    g, h, i, j, k, l = n  # noqa: E741
    return (a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * l + e, b * k + d * l + f)


def moved(m: Matrix, p: XY) -> XY:
    return (m[0] * p[0] + m[2] * p[1] + m[4], m[1] * p[0] + m[3] * p[1] + m[5])


def growth(m: Matrix) -> float:
    """How much lengths grow."""
    return sqrt(abs(m[0] * m[3] - m[1] * m[2]))


def transform(text: str) -> Matrix:
    """The matrix of a transform attribute (SVG 1.1, 7.6)."""
    result = PLAIN
    for word, body in re.findall(r"(\w+)\(([^)]*)\)", text):
        v = [float(n) for n in re.split(r"[\s,]+", body.strip())]
        if word == "matrix":
            step: Matrix = (v[0], v[1], v[2], v[3], v[4], v[5])
        elif word == "translate":
            step = (1.0, 0.0, 0.0, 1.0, v[0], v[1] if len(v) > 1 else 0.0)
        elif word == "scale":
            step = (v[0], 0.0, 0.0, v[1] if len(v) > 1 else v[0], 0.0, 0.0)
        elif word == "rotate":
            c, s = cos(radians(v[0])), sin(radians(v[0]))
            x, y = v[1:] or (0.0, 0.0)
            step = (c, s, -s, c, x - c * x + s * y, y - s * x - c * y)
        else:
            raise ValueError(f"a transform {word!r} that the reader does not know")
        result = multiply(result, step)
    return result


def outlines(d: str) -> Iterator[tuple[XY, ...]]:
    """Polylines of path data with the absolute commands M L A Z."""
    points: list[XY] = []
    if re.search(r"[^MLAZ\d\s,.eE+-]", d):
        raise ValueError(f"path data that the reader does not know: {d[:60]}")
    for letter, body in re.findall(r"([MLAZ])([^MLAZ]*)", d):
        v = [float(n) for n in re.split(r"[\s,]+", body.strip()) if n]
        if letter == "M":
            if len(points) > 1:
                yield tuple(points)
            points = []
        if letter in "ML":
            points += list(zip(v[::2], v[1::2], strict=True))
        elif letter == "A":
            for i in range(0, len(v), 7):
                points += _arc(points[-1], (v[i + 5], v[i + 6]), v[i], v[i + 3] > 0, v[i + 4] > 0)
        elif letter == "Z":
            points.append(points[0])
    if len(points) > 1:
        yield tuple(points)


def _arc(p: XY, q: XY, r: float, large: bool, sweep: bool) -> list[XY]:
    """Points of a circular arc after its start (SVG 1.1, F.6.5)."""
    dx, dy = (q[0] - p[0]) / 2, (q[1] - p[1]) / 2
    half = hypot(dx, dy)
    if half < 1e-9:
        return [q]
    r = max(r, half)
    h = sqrt(max(0.0, r * r - half * half)) / half * (1 if large == sweep else -1)
    cx, cy = p[0] + dx + h * dy, p[1] + dy - h * dx
    start, end = atan2(p[1] - cy, p[0] - cx), atan2(q[1] - cy, q[0] - cx)
    turn = (end - start) % (2 * pi) if sweep else -((start - end) % (2 * pi))
    steps = max(2, ceil(abs(turn) / (pi / 24)))
    return [*((cx + r * cos(start + turn * i / steps), cy + r * sin(start + turn * i / steps)) for i in range(1, steps)), q]


# Dimensions as a print shows them -------------------------------------------------------------------------------


@dataclass(eq=False)
class Dimension:
    """A dimension read from its strokes: its own line, the extension lines, in mm on paper."""

    group: Part
    view: Part | None
    line: Segment
    extensions: list[Segment]
    runs: list[Run]

    @property
    def across(self) -> int:
        """Index of the coordinate that is the same all along the line."""
        (x0, y0), (x1, y1) = self.line
        return 1 if abs(y1 - y0) < abs(x1 - x0) else 0

    @property
    def v(self) -> float:
        return self.line[0][self.across]

    @cached_property
    def ends(self) -> tuple[float, float]:
        """The two measured places along the line."""
        along = 1 - self.across
        places = [e[0][along] for e in self.extensions] if len(self.extensions) == 2 else [p[along] for p in self.line]
        return min(places), max(places)

    @property
    def kind(self) -> str:
        return self.group.data.get("kind", "")

    @property
    def side(self) -> str:
        return self.group.data.get("side", "")

    @property
    def name(self) -> str:
        d = self.group.data
        return f"{d.get('mm', '?')} mm ({d.get('from', '')} to {d.get('to', '')})"


def dimensions(drawn: Drawn) -> list[Dimension]:
    """Dimensions with a dimension line, in drawing order. The first stroke is the line; extension lines stand square to it."""
    if "dimensions" in drawn.trees:
        return drawn.trees["dimensions"]  # type: ignore[return-value]
    strokes: dict[int, list[Stroke]] = {}
    for s in drawn.strokes:
        strokes.setdefault(s.group.number, []).append(s)
    runs: dict[int, list[Run]] = {}
    for r in drawn.runs:
        runs.setdefault(r.group.number, []).append(r)
    found = []
    for g in drawn.of("dimension"):
        own = strokes.get(g.number, [])
        lines = [s for s in own if s.role == "dim"]
        exts = [(s.points[0], s.points[-1]) for s in own if s.role == "ext"]
        if not lines:
            continue
        first = lines[0]
        found.append(Dimension(g, g.home("view"), (first.points[0], first.points[-1]), exts, runs.get(g.number, [])))
    drawn.trees["dimensions"] = found
    return found
