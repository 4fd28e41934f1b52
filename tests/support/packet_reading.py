"""Reading a finished packet back: figures and strokes of its SVG sheets, letters and strokes of its PDF pages (mm)."""

from __future__ import annotations

import ctypes
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from xml.etree import ElementTree

import pypdfium2
import pypdfium2.raw as pdfium

from plandoc.drawing.lettering import font_size, text_width

SVG = "{http://www.w3.org/2000/svg}"
MM = 25.4 / 72  # mm in one PDF point
XY = tuple[float, float]
Segment = tuple[XY, XY]


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text: its pen position on the base line (mm on paper), cap height, and the direction it is read in."""

    text: str
    start: XY
    size: float
    turned: bool
    bold: bool
    centre: XY

    def pens(self) -> Iterator[tuple[str, XY]]:
        """Every letter that leaves ink, with its pen position."""
        for index, letter in enumerate(self.text):
            if letter.strip():
                run = text_width(self.text[:index], self.size, self.bold) if index else 0.0
                yield letter, (self.start[0], self.start[1] - run) if self.turned else (self.start[0] + run, self.start[1])


@dataclass(slots=True)
class Element:
    """A `<g>` with its data, and what it and the groups in it hold."""

    kind: str
    id: str
    data: dict[str, str]
    parents: tuple[Element, ...]
    texts: list[Words] = field(default_factory=list)
    strokes: dict[str, list[Segment]] = field(default_factory=dict)

    def parent(self, kind: str) -> Element | None:
        return next((p for p in reversed(self.parents) if p.kind == kind), None)


def elements(svg: bytes) -> list[Element]:
    """All groups of a sheet in drawing order, the sheet itself first."""
    found: list[Element] = []

    def visit(node: ElementTree.Element, around: tuple[Element, ...]) -> None:
        if node.tag == SVG + "g":
            data = {k.removeprefix("data-"): v for k, v in node.attrib.items() if k.startswith("data-")}
            element = Element(node.get("class", ""), node.get("id", ""), data, around)
            found.append(element)
            around = (*around, element)
        elif node.tag == SVG + "text":
            for element in around:
                element.texts.append(_words(node))
        elif node.tag == SVG + "path":
            for element in around:
                element.strokes.setdefault(node.get("class", ""), []).extend(_segments(node.get("d", "")))
        for child in node:
            visit(child, around)

    visit(ElementTree.fromstring(svg), ())
    return found


def _words(node: ElementTree.Element) -> Words:
    text, bold = node.text or "", node.get("font-weight") == "600"
    size = float(node.get("font-size", "0")) / font_size(1.0, bold)
    x, y = float(node.get("x", "0")), float(node.get("y", "0"))
    turned = node.get("transform", "").startswith("rotate(-90")
    assert turned or "transform" not in node.attrib
    width = text_width(text, size, bold)
    back = {"start": 0.0, "middle": width / 2, "end": width}[node.get("text-anchor", "start")]
    start = (x, y + back) if turned else (x - back, y)
    middle = width / 2
    return Words(text, start, size, turned, bold, (start[0], start[1] - middle) if turned else (start[0] + middle, start[1]))


def _segments(d: str) -> list[Segment]:
    """Straight strokes of path data; arcs are skipped."""
    found: list[Segment] = []
    at: XY | None = None
    for letter, numbers in re.findall(r"([MLAZ])([^MLAZ]*)", d):
        if letter in "ML":
            for index, pair in enumerate(numbers.split()):
                x, y = (float(n) for n in pair.split(","))
                if at is not None and (letter == "L" or index):
                    found.append((at, (x, y)))
                at = (x, y)
        elif letter == "A":
            at = None
    return found


# Figures --------------------------------------------------------------------------------------------------------

_FIGURE = re.compile(r"(?:(?P<count>\d+)X )?(?P<open>\()?(?P<rounded>≈)?(?P<minus>-)?(?P<size>\d+(?:\.\d+)?|(?:\d+ )?\d+/\d+)(?P<close>\))?")


@dataclass(frozen=True, slots=True)
class Printed:
    """A figure as printed: count before it (1 for none), in parentheses, marked as rounded, and its value."""

    count: int
    bracketed: bool
    rounded: bool
    value: Fraction


def figure_text(texts: list[Words]) -> str:
    """The words of one figure on one line; digits over and under a bar, which stand one above the other, as 3/4."""
    places = [(-w.centre[1], w.centre[0]) if w.turned else w.centre for w in texts]
    rest = list(range(len(texts)))
    runs: list[tuple[float, str]] = []
    for i in range(len(texts)):
        for j in range(len(texts)):
            alike = abs(texts[i].size - texts[j].size) < 0.01
            stacked = abs(places[i][0] - places[j][0]) < 0.01 and places[i][1] < places[j][1] - 0.5 * texts[i].size
            if i in rest and j in rest and alike and stacked and texts[i].text.isdigit() and texts[j].text.isdigit():
                runs.append((places[i][0], f"{texts[i].text}/{texts[j].text}"))
                rest.remove(i)
                rest.remove(j)
    runs += [(places[i][0], texts[i].text.strip()) for i in rest]
    return " ".join(text for _, text in sorted(runs))


def read_figure(texts: list[Words], after: str = "") -> Printed:
    """The figure that the words of a dimension form, less the words after it. Raises ValueError."""
    text = figure_text(texts).removesuffix(after).rstrip()
    plain = re.sub(r"([(≈-]) (?=\d)", r"\1", re.sub(r" \)", ")", text))
    match = _FIGURE.fullmatch(plain)
    if match is None or bool(match["open"]) != bool(match["close"]):
        raise ValueError(f"not a figure: {text!r}")
    value = sum(Fraction(piece) for piece in match["size"].split())
    return Printed(int(match["count"] or 1), bool(match["open"]), bool(match["rounded"]), Fraction(-value if match["minus"] else value))


# PDF ------------------------------------------------------------------------------------------------------------


class Near:
    """Points that can be asked for by place."""

    CELL = 1.0

    def __init__(self) -> None:
        self.cells: dict[tuple[int, int], list[tuple[XY, str]]] = {}

    def add(self, at: XY, what: str = "") -> None:
        self.cells.setdefault((int(at[0] // self.CELL), int(at[1] // self.CELL)), []).append((at, what))

    def around(self, at: XY, reach: float) -> list[str]:
        """What lies within `reach` (under 1 mm) in x and in y."""
        column, row = int(at[0] // self.CELL), int(at[1] // self.CELL)
        return [
            what
            for c in (column - 1, column, column + 1)
            for r in (row - 1, row, row + 1)
            for (x, y), what in self.cells.get((c, r), ())
            if abs(x - at[0]) <= reach and abs(y - at[1]) <= reach
        ]


def letters(page: pypdfium2.PdfPage) -> Near:
    """Letters of a page by pen position, mm from the upper left corner."""
    height = page.get_height()
    text = page.get_textpage()
    near = Near()
    x, y = ctypes.c_double(), ctypes.c_double()
    for index in range(text.count_chars()):
        letter = chr(pdfium.FPDFText_GetUnicode(text, index))
        if letter.strip() and pdfium.FPDFText_GetCharOrigin(text, index, x, y):
            near.add((x.value * MM, (height - y.value) * MM), letter)
    text.close()
    return near


_TOKEN = re.compile(rb"\[[^\]]*\]|\((?:[^()\\]|\\.)*\)|[^\s\[\]()]+")


def strokes(content: bytes, height: float) -> list[Segment]:
    """Straight strokes of a page's content stream, mm from the upper left corner (ISO 32000-1, 8.5.2)."""
    matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
    stack: list[tuple[float, float, float, float, float, float]] = []
    found: list[Segment] = []
    numbers: list[float] = []
    at: XY | None = None
    first: XY | None = None

    def place(px: float, py: float) -> XY:
        a, b, c, d, e, f = matrix
        return ((a * px + c * py + e) * MM, height - (b * px + d * py + f) * MM)

    for token in _TOKEN.findall(re.sub(rb"\bBT\b.*?\bET\b", b"", content, flags=re.DOTALL)):
        try:
            numbers.append(float(token))
            continue
        except ValueError:
            pass
        if token == b"q":
            stack.append(matrix)
        elif token == b"Q":
            matrix = stack.pop()
        elif token == b"cm":
            a, b, c, d, e, f = numbers[-6:]
            ma, mb, mc, md, me, mf = matrix
            matrix = (a * ma + b * mc, a * mb + b * md, c * ma + d * mc, c * mb + d * md, e * ma + f * mc + me, e * mb + f * md + mf)
        elif token == b"m":
            at = first = place(*numbers[-2:])
        elif token == b"l" and at is not None:
            end = place(*numbers[-2:])
            found.append((at, end))
            at = end
        elif token == b"c":
            at = place(*numbers[-2:])
        elif token == b"h" and at is not None and first is not None:
            found.append((at, first))
            at = first
        elif token == b"re":
            x, y, w, h = numbers[-4:]
            corners = [place(*p) for p in ((x, y), (x + w, y), (x + w, y + h), (x, y + h))]
            found.extend(zip(corners, corners[1:] + corners[:1], strict=True))
        numbers.clear()
    return found


def ends(segments: list[Segment]) -> Near:
    """The ends of all segments."""
    near = Near()
    for p, q in segments:
        for point in (p, q):
            near.add(point)
    return near
