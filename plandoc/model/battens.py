"""Parts of battens: two of the three sizes are those of the section, only the length is free."""

from __future__ import annotations

from fractions import Fraction
from itertools import permutations

from plandoc.geometry.bodies import AXES, AXIS_NAMES
from plandoc.model.boxes import Boxes
from plandoc.model.cells import PartCell
from plandoc.model.values import UNKNOWN, Unknown
from plandoc.quantity import shop_text

Ways = tuple[int, int, int]
"""Axes of length, width and thickness."""


class Battens(Boxes):
    """Boxes in which a part of a batten may leave both directions of its section to the stock."""

    def work_out_span(self, part: PartCell, axis: int) -> tuple[Fraction, Fraction] | Unknown:
        """Low and high face; an open direction is as large as the section is there."""
        found = super().work_out_span(part, axis)
        if not _is_batten(part) or isinstance(found, Unknown) or part.stock is None or part.stock.width is None:
            return found
        clause = self.extent_clause(part, axis)
        if clause is None or not self.is_open(clause):
            return found
        ways = self.ways(part)
        if ways is None:
            return UNKNOWN
        more = part.stock.width - part.stock.measured if axis == ways[1] else Fraction(0)
        low, high = found
        if clause.kind == "extent_from":
            return low, high + more
        if clause.kind == "extent_to":
            return low - more, high
        return low - more / 2, high + more / 2

    def thickness(self, part: PartCell) -> int | None:
        """The axis of the thickness; None after a report."""
        if not _is_batten(part):
            return super().thickness(part)
        ways = self.ways(part)
        return None if ways is None else ways[2]

    def grain(self, part: PartCell) -> int | None:
        """The axis of the grain: of a batten its length."""
        if not _is_batten(part):
            return super().grain(part)
        ways = self.ways(part)
        return None if ways is None else ways[0]

    def ways(self, part: PartCell) -> Ways | None:
        """Axes of length, width and thickness of a batten's part; None after a report, which is given once."""
        if part.thickness_axis is not None and part.grain_axis is not None:
            return part.grain_axis, 3 - part.grain_axis - part.thickness_axis, part.thickness_axis
        if part.section_lost:
            return None
        part.section_lost = True  # until it is found; a circle ends here
        found = self._ways(part)
        if found is not None:
            part.grain_axis, part.thickness_axis, part.section_lost = found[0], found[2], False
        return found

    def _ways(self, part: PartCell) -> Ways | None:
        stock = part.stock
        assert stock is not None and stock.width is not None
        clauses = [self.extent_clause(part, axis) for axis in AXES]
        if any(clause is None for clause in clauses):
            return None
        open_axes = [axis for axis, clause in zip(AXES, clauses, strict=True) if clause is not None and self.is_open(clause)]
        if len(open_axes) == 3:
            return None  # reported where the extents are counted
        sizes: dict[int, Fraction] = {}
        wide = next((AXIS_NAMES.index(str(c.items[0])) for c in part.statement.clauses if c.kind == "part_wide"), None)
        grain = self.grain_word(part)
        for axis in AXES:
            if axis in open_axes or (len(open_axes) == 2):
                continue
            span = self.span(part, axis, part.span)
            if isinstance(span, Unknown):
                return None
            sizes[axis] = span[1] - span[0]
        fitting = [
            (long, width, thick)
            for long, width, thick in permutations(AXES)
            if long not in open_axes
            and wide in (None, width)
            and grain in (None, long)
            and sizes.get(width, stock.width) == stock.width
            and sizes.get(thick, stock.measured) == stock.measured
        ]
        if part.statement.damaged and (not fitting or (len(open_axes) == 2 and wide is None)):
            return None  # the line that is missing may be the faulty one
        section = f"{shop_text(stock.measured, self.units, mark=True)} x {shop_text(stock.width, self.units, mark=True)}"
        if not fitting:
            figure = ", ".join(f"{AXIS_NAMES[a]} {shop_text(size, self.units, mark=True)}" for a, size in sizes.items())
            notes = [*([figure] if figure else []), f"`{stock.name}` is {section}"]
            self.sink.emit("PD250", f"`{part.path}` does not have the section of its batten", part.span, notes=notes, mend="give only one end in the two directions of the section, such as back from 0, and say which way it lies: wide up")
            return None
        if len(open_axes) == 2 and stock.width != stock.measured and wide is None:
            first, second = (AXIS_NAMES[a] for a in open_axes)
            self.sink.emit("PD250", f"it is not said which way the section of `{part.path}` lies", part.span, notes=[f"`{stock.name}` is {section}"], mend=f"wide {second}, or wide {first}")
            return None
        return max(fitting, key=lambda way: (sizes.get(way[0], Fraction(0)), [-axis for axis in way]))


def _is_batten(part: PartCell) -> bool:
    return part.stock is not None and part.stock.kind == "batten" and part.mirrors is None and not part.loose
