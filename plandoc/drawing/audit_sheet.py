"""A sheet prepared for auditing: its texts, strokes and fills, each with the groups that it stands in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from plandoc.drawing.boxes import Segment, item_segments
from plandoc.drawing.display import XY, Arc, Circle, Extent, Fill, Group, Item, Line, Sheet, Text
from plandoc.drawing.lettering import text_extent
from plandoc.drawing.style import Style

Leaf = Line | Circle | Arc | Fill | Text


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule objects to. place: where on the paper (mm)."""

    rule: str
    message: str
    place: XY


@dataclass(frozen=True, slots=True)
class Owned:
    """A leaf item. owner: number of the innermost group round it, -1 for none."""

    item: Leaf
    owner: int


class SheetView:
    """A sheet with what the rules look up: leaves with their groups, text boxes, segments and a tree over them."""

    def __init__(self, sheet: Sheet, style: Style) -> None:
        self.sheet, self.style = sheet, style
        self.groups: list[Group] = []
        self.parents: list[int] = []
        self.leaves: list[Owned] = list(self._collect(sheet.items, -1))
        self.texts = [(o.item, o.owner, text_extent(o.item)) for o in self.leaves if isinstance(o.item, Text)]
        self.segments: list[tuple[Segment, str, int]] = []
        for owned in self.leaves:
            role = owned.item.role
            if isinstance(owned.item, Text) or role in ("mask", "tone"):
                continue
            self.segments += [(s, role, owned.owner) for s in item_segments(owned.item)]
        self.segment_tree = shapely.STRtree([shapely.LineString(s) for s, _, _ in self.segments])
        self.text_tree = shapely.STRtree([shapely.box(*box) for _, _, box in self.texts])

    def _collect(self, items: tuple[Item, ...], owner: int) -> Iterator[Owned]:
        for item in items:
            if isinstance(item, Group):
                number = len(self.groups)
                self.groups.append(item)
                self.parents.append(owner)
                yield from self._collect(item.items, number)
            else:
                yield Owned(item, owner)

    def kind(self, owner: int) -> str:
        """The kind of a group, "" for none."""
        return self.groups[owner].kind if owner >= 0 else ""

    def near_segments(self, box: Extent) -> list[int]:
        """Numbers of the segments whose boxes meet this box, in drawing order."""
        return sorted(int(i) for i in self.segment_tree.query(shapely.box(*box)))

    def near_texts(self, box: Extent) -> list[int]:
        """Numbers of the texts whose boxes meet this box, in drawing order."""
        return sorted(int(i) for i in self.text_tree.query(shapely.box(*box)))

    def within(self, owner: int, kind: str) -> int:
        """The nearest group of that kind round a leaf, -1 for none."""
        while owner >= 0 and self.groups[owner].kind != kind:
            owner = self.parents[owner]
        return owner

    def frame(self) -> Extent:
        """The drawing frame: the largest box of frame lines; without one the paper less 8 mm all round."""
        boxes = []
        for owned in self.leaves:
            if isinstance(owned.item, Line) and owned.item.role == "frame" and len(owned.item.points) >= 4:
                xs = [p[0] for p in owned.item.points]
                ys = [p[1] for p in owned.item.points]
                boxes.append((min(xs), min(ys), max(xs), max(ys)))
        if boxes:
            return max(boxes, key=lambda b: (b[2] - b[0]) * (b[3] - b[1]))
        width, height = self.sheet.size
        return (8.0, 8.0, width - 8.0, height - 8.0)
