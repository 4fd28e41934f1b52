"""One sheet as one SVG file: 1 user unit is 1 mm on paper, groups keep their kind, id and data."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any, cast
from xml.etree import ElementTree

import svgwrite
import svgwrite.container

from plandoc.drawing.display import Arc, Circle, Fill, Group, Item, Line, Sheet, Text, walk
from plandoc.drawing.lettering import font_size, text_width
from plandoc.drawing.style import Style
from plandoc.publish.numbers import coordinate
from plandoc.publish.paths import counterclockwise, fill_path, stroke_path

Stroke = Line | Circle | Arc
COVERING = ("mask", "tone")


def svg_text(sheet: Sheet, style: Style, validate: bool = False) -> str:
    """The sheet as SVG 1.1 text. validate: let svgwrite check every element (slow, for tests)."""
    return _Writer(sheet, style, validate).text()


@dataclass(slots=True)
class _Pending:
    """Strokes and ink of one group that wait to be written as one path for each role."""

    strokes: dict[str, list[Stroke]] = field(default_factory=dict)
    ink: list[Fill] = field(default_factory=list)


class _DataGroup(svgwrite.container.Group):  # type: ignore[misc]
    """A `<g>` with data-* attributes, which SVG 1.1, and so svgwrite's check, does not know."""

    def __init__(self, data: tuple[tuple[str, str], ...], **extra: Any) -> None:
        super().__init__(**extra)
        self.data = data

    def get_xml(self) -> Any:
        """The element with its data attributes in the given order."""
        xml = super().get_xml()
        for name, value in self.data:
            xml.set(f"data-{name}", value)
        return xml


class _Writer:
    def __init__(self, sheet: Sheet, style: Style, validate: bool) -> None:
        self.sheet, self.style = sheet, style
        width, height = coordinate(sheet.size[0]), coordinate(sheet.size[1])
        self.drawing = svgwrite.Drawing(
            size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=validate
        )
        self.ids: dict[str, int] = {}
        self.pens = dict(style.pens)

    def text(self) -> str:
        sheet, drawing = self.sheet, self.drawing
        drawing.set_desc(title=f"{sheet.code} {sheet.title}".strip())
        width, height = coordinate(sheet.size[0]), coordinate(sheet.size[1])
        drawing.add(drawing.rect(insert=("0", "0"), size=(width, height), fill="#ffffff", class_="paper"))
        root = self.container(
            (("number", str(sheet.number)), ("kind", sheet.kind), ("code", sheet.code)),
            id=self.unique("sheet"), class_="sheet", fill="none", stroke="#000000", stroke_linecap="butt",
            stroke_linejoin="miter", stroke_miterlimit="2",
        )  # fmt: skip
        self.fill_group(root, sheet.items)
        drawing.add(root)
        xml = drawing.get_xml()
        ElementTree.indent(xml, "")
        return '<?xml version="1.0" encoding="utf-8"?>\n' + ElementTree.tostring(xml, encoding="unicode") + "\n"

    def unique(self, wanted: str) -> str:
        """An id of letters, digits and . _ - that no other element of this sheet has."""
        name = re.sub(r"[^A-Za-z0-9._-]", "_", wanted)
        if not name[:1].isalpha():
            name = f"i{name}"
        count = self.ids.get(name, 0) + 1
        self.ids[name] = count
        return name if count == 1 else self.unique(f"{name}-{count}")

    def group(self, group: Group) -> Any:
        extra = {"id": self.unique(group.id)} if group.id else {}
        element = self.container(group.attrs, class_=group.kind, **extra)
        self.fill_group(element, group.items)
        return element

    def container(self, data: tuple[tuple[str, str], ...], **extra: str) -> Any:
        return _DataGroup(data, factory=self.drawing, **extra)

    def fill_group(self, parent: Any, items: tuple[Item, ...]) -> None:
        pending = _Pending()
        for item in items:
            if isinstance(item, Text):
                parent.add(self.lettering(item))
            elif isinstance(item, Group):
                if any(isinstance(leaf, Fill) and leaf.role in COVERING for leaf in walk(item.items)):
                    self.flush(parent, pending)
                parent.add(self.group(item))
            elif not isinstance(item, Fill):
                pending.strokes.setdefault(item.role, []).append(item)
            elif item.role in COVERING:
                self.flush(parent, pending)
                parent.add(self.area(item.role, [item]))
            else:
                pending.ink.append(item)
        self.flush(parent, pending)

    def flush(self, parent: Any, pending: _Pending) -> None:
        for role, strokes in pending.strokes.items():
            pen = self.pens[role]
            width = coordinate(pen.width)
            plain = [s for s in strokes if isinstance(s, Circle) and not pen.dash]
            for circle in plain:
                centre = coordinate(circle.centre[0]), coordinate(circle.centre[1])
                parent.add(
                    self.drawing.circle(centre, coordinate(circle.radius), class_=role, stroke_width=width)
                )
            data = stroke_path([s for s in strokes if pen.dash or not isinstance(s, Circle)], pen)
            if data:
                parent.add(self.drawing.path(d=data, class_=role, stroke_width=width))
        if pending.ink:
            parent.add(self.area("ink", pending.ink))
        pending.strokes.clear()
        pending.ink.clear()

    def area(self, role: str, fills: list[Fill]) -> Any:
        """Filled polygons of one role. Several are united, each with its own holes."""
        holes = any(len(fill.loops) > 1 for fill in fills)
        loops = [loop for fill in fills for loop in _oriented(fill)]
        extra = {"fill_rule": "evenodd"} if holes and len(fills) == 1 else {}
        return self.drawing.path(
            d=fill_path(loops), class_=role, fill=self.style.fill(role), stroke="none", **extra
        )

    def lettering(self, text: Text) -> Any:
        size, at = font_size(text.size, text.bold), (coordinate(text.at[0]), coordinate(text.at[1]))
        face = f"{self.style.bold_face},{self.style.face}" if text.bold else self.style.face
        extra: dict[str, str] = {"font_weight": "600"} if text.bold else {}
        if text.anchor != "start":
            extra["text_anchor"] = text.anchor
        if text.rotation:
            extra["transform"] = f"rotate({coordinate(text.rotation)} {at[0]} {at[1]})"
        if len(text.text) > 1:
            # Holds the width that the layout counted with, even where a viewer has to take another typeface.
            extra["textLength"] = coordinate(text_width(text.text, text.size, text.bold))
            extra["lengthAdjust"] = "spacingAndGlyphs"
        else:
            text_width(text.text, text.size, text.bold)
        return self.drawing.text(
            text.text, insert=at, class_=text.role, font_size=coordinate(size), fill="#000000", stroke="none",
            font_family=f"{face},sans-serif", **extra,
        )  # fmt: skip


def _oriented(fill: Fill) -> list[tuple[tuple[float, float], ...]]:
    """The outer loop one way round, the holes the other, for the non-zero rule."""
    loops = [counterclockwise(loop) for loop in fill.loops if len(loop) > 2]
    return [loop if i == 0 else cast(Any, tuple(reversed(loop))) for i, loop in enumerate(loops)]
