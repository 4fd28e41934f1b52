"""Display lists: what a sheet shows, in paper millimetres, origin at the sheet's upper left, y downwards.

Items carry a role, never a width or a colour; styles/ gives every role its pen. A Group becomes one SVG `<g>`.
Line roles: vis hid ctr phm cut brk dim ext ldr hat trail frame tb zone light (earlier parts in step pictures).
Fill roles: ink (arrowheads, dots), mask (paper colour, under text), tone (25 % grey, earlier or cut parts).
Text roles: dimtxt note vtitle label tbtxt title body head.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

XY = tuple[float, float]
Extent = tuple[float, float, float, float]  # x0, y0, x1, y1


@dataclass(frozen=True, slots=True)
class Line:
    """Polyline through points; closed joins the last to the first."""

    role: str
    points: tuple[XY, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Circle:
    """Circle outline."""

    role: str
    centre: XY
    radius: float


@dataclass(frozen=True, slots=True)
class Arc:
    """Circular arc from start to end angle, degrees counter-clockwise from +x as seen on paper."""

    role: str
    centre: XY
    radius: float
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Fill:
    """Filled polygon; further loops are holes (even-odd)."""

    role: str
    loops: tuple[tuple[XY, ...], ...]


@dataclass(frozen=True, slots=True)
class Text:
    """One run of text. at: the anchor point on the base line. size: cap height in mm. anchor: start, middle, end.
    rotation: 0, or -90 for text read from the right (turned counter-clockwise)."""

    role: str
    at: XY
    text: str
    size: float
    anchor: str = "start"
    rotation: float = 0.0
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """kind becomes the SVG class (view, dimension, balloon, leader, table, picture, titleblock ...); attrs become
    data-* attributes in the given order."""

    kind: str
    items: tuple[Item, ...]
    id: str = ""
    attrs: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """One finished sheet of paper. number: position in the packet from 1; kind: file-name word; code: sheet number
    printed in the title block; size: paper width and height in mm; file: the document that it belongs to."""

    number: int
    kind: str
    code: str
    title: str
    size: XY
    items: tuple[Item, ...]
    name: str = ""
    file: str = "packet"


Item = Line | Circle | Arc | Fill | Text | Group


def walk(items: tuple[Item, ...]) -> Iterator[Line | Circle | Arc | Fill | Text]:
    """All leaf items in drawing order."""
    for item in items:
        if isinstance(item, Group):
            yield from walk(item.items)
        else:
            yield item


def shifted(item: Item, dx: float, dy: float) -> Item:
    """The item moved by dx, dy (mm)."""
    if isinstance(item, Line):
        return Line(item.role, tuple((x + dx, y + dy) for x, y in item.points), item.closed)
    if isinstance(item, Circle):
        return Circle(item.role, (item.centre[0] + dx, item.centre[1] + dy), item.radius)
    if isinstance(item, Arc):
        return Arc(item.role, (item.centre[0] + dx, item.centre[1] + dy), item.radius, item.start, item.end)
    if isinstance(item, Fill):
        return Fill(item.role, tuple(tuple((x + dx, y + dy) for x, y in loop) for loop in item.loops))
    if isinstance(item, Text):
        x, y = item.at
        return Text(item.role, (x + dx, y + dy), item.text, item.size, item.anchor, item.rotation, item.bold)
    return Group(item.kind, tuple(shifted(i, dx, dy) for i in item.items), item.id, item.attrs)
