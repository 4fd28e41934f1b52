"""What every sheet kind is given to draw from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from plandoc.drawing.display import Extent
from plandoc.drawing.style import Style
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model, Step


@dataclass(frozen=True, slots=True)
class IndexRow:
    """One sheet of the packet as other sheets refer to it. number: place in its document, from 1. marks: the part marks
    that it shows in full, then mark and face of each view of a part. file: the document that it belongs to."""

    code: str
    title: str
    number: int
    kind: str = ""
    marks: tuple[str, ...] = ()
    file: str = "packet"


@dataclass(frozen=True, slots=True)
class SheetContext:
    """Everything a sheet may show.

    solids: by part path, finished parts in their places. steps: the whole procedure in order (the author's and the
    derived ones). space: the rectangle of the sheet that a drawing may fill (mm on paper; frame and title block lie
    outside it). index: all sheets of the packet; empty in the first pass, and the number of sheets of a kind must not
    depend on it. paper: width and height of the sheet (mm). kinds: names of the kinds of sheet that are drawn, empty
    for all.
    """

    model: Model
    solids: Mapping[str, Solid]
    style: Style
    space: Extent
    steps: tuple[Step, ...] = ()
    index: tuple[IndexRow, ...] = ()
    paper: tuple[float, float] = (279.4, 215.9)
    kinds: tuple[str, ...] = ()

    def sheet_of(self, mark: str, face: str = "") -> str:
        """Code of the sheet that shows the part of that mark in full, "" where none does (or not known yet). face: of the one that
        shows this face of it, where there is such a view."""
        for wanted in (f"{mark} {face}", mark):
            for row in self.index:
                if wanted in row.marks:
                    return row.code
        return ""
