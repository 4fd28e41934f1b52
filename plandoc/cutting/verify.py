"""Checks finished layouts without knowing how they were made.

Every piece is worked out again from the sheet and the cuts; apart from that, the places of the parts alone are
tested for overlap and for being separable by edge-to-edge cuts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations

from plandoc.cutting.stock import Cut, Layouts, Node, Part, Placed, Rest, Saw, Sheet, Zone

Rectangle = tuple[Fraction, Fraction, Fraction, Fraction]


def separable(boxes: Sequence[Rectangle], kerf: Fraction) -> bool:
    """Whether straight cuts from edge to edge, each taking a kerf, set all boxes (x, y, x end, y end) free."""
    if len(boxes) < 2:
        return True
    for axis in (0, 1):
        ordered = sorted(boxes, key=lambda b: (b[axis], b[axis + 2]))
        end = ordered[0][axis + 2]
        for i in range(1, len(ordered)):
            if ordered[i][axis] >= end + kerf:
                return separable(ordered[:i], kerf) and separable(ordered[i:], kerf)
            end = max(end, ordered[i][axis + 2])
    return False


def _worth(rest: Rest, zones: Sequence[Zone], saw: Saw) -> bool:
    """Whether some rectangle of a rest between edges of zones and its own is clear and worth keeping."""
    xs = sorted({rest.x, rest.x + rest.length, *(x for z in zones for x in (z.x, z.x + z.length) if rest.x < x < rest.x + rest.length)})
    ys = sorted({rest.y, rest.y + rest.width, *(y for z in zones for y in (z.y, z.y + z.width) if rest.y < y < rest.y + rest.width)})
    for x0, x1 in combinations(xs, 2):
        for y0, y1 in combinations(ys, 2):
            clear = not any(max(x0, z.x) < min(x1, z.x + z.length) and max(y0, z.y) < min(y1, z.y + z.width) for z in zones)
            if clear and saw.worth_keeping(x1 - x0, y1 - y0):
                return True
    return False


def _piece(node: Node | None, box: Rectangle, sheet: Sheet, saw: Saw, faults: list[str], found: list[Placed]) -> None:
    """box is (x, y, length, width) of the piece that the node should describe."""
    x, y, length, width = box
    if node is None:
        if length > 0 and width > 0:
            faults.append(f"a piece of {length} x {width} is lost")
        return
    if (node.x, node.y, node.length, node.width) != box:
        faults.append(f"{type(node).__name__} at {node.x}, {node.y} of {node.length} x {node.width} is recorded where {box} is cut")
    if isinstance(node, Placed):
        found.append(node)
    elif isinstance(node, Cut):
        whole = length if node.across else width
        if not 0 < node.at < whole:
            faults.append(f"a cut at {node.at} misses a piece of {whole}")
            return
        left = max(whole - node.at - saw.kerf, Fraction(0))
        if node.across:
            _piece(node.first, (x, y, node.at, width), sheet, saw, faults, found)
            _piece(node.second, (x + node.at + saw.kerf, y, left, width), sheet, saw, faults, found)
        else:
            _piece(node.first, (x, y, length, node.at), sheet, saw, faults, found)
            _piece(node.second, (x, y + node.at + saw.kerf, length, left), sheet, saw, faults, found)
    elif node.keep != _worth(node, sheet.zones, saw):
        faults.append(f"a rest of {node.length} x {node.width} is wrongly kept or thrown away")


def faults_of(layouts: Layouts, parts: Sequence[Part], sheets: Sequence[Sheet], saw: Saw) -> list[str]:
    """What is wrong with the layouts, [] when nothing is."""
    faults: list[str] = []
    by_name = {p.name: p for p in parts}
    wanted = Counter({p.name: p.count for p in parts if p.count})
    got: Counter[str] = Counter(dict(layouts.unplaced))
    used: Counter[str] = Counter()
    for layout in layouts.sheets:
        sheet = layout.sheet
        used[sheet.name] += 1
        if sheet not in sheets:
            faults.append(f"sheet {sheet.name} is not in stock")
        found: list[Placed] = []
        inner = (saw.trim, saw.trim, sheet.length - 2 * saw.trim, sheet.width - 2 * saw.trim)
        _piece(layout.tree, inner, sheet, saw, faults, found)
        boxes = []
        for p in found:
            part = by_name.get(p.part)
            if part is None:
                faults.append(f"{p.part} is not wanted")
                continue
            got[p.part] += 1
            size = (part.width, part.length) if p.turned else (part.length, part.width)
            if (p.length, p.width) != size:
                faults.append(f"{p.part} has {p.length} x {p.width}, not {size[0]} x {size[1]}")
            if p.turned and not part.turn:
                faults.append(f"{p.part} lies across the grain")
            if p.x < saw.trim or p.y < saw.trim or p.x + p.length > sheet.length - saw.trim or p.y + p.width > sheet.width - saw.trim:
                faults.append(f"{p.part} reaches into the trimmed edge")
            for zone in sheet.zones:
                if max(p.x, zone.x) < min(p.x + p.length, zone.x + zone.length) and max(p.y, zone.y) < min(p.y + p.width, zone.y + zone.width):
                    faults.append(f"{p.part} lies over {zone.name} of {sheet.name}")
            boxes.append((p.x, p.y, p.x + p.length, p.y + p.width))
        for i, a in enumerate(boxes):
            for b in boxes[i + 1 :]:
                if not (a[2] + saw.kerf <= b[0] or b[2] + saw.kerf <= a[0] or a[3] + saw.kerf <= b[1] or b[3] + saw.kerf <= a[1]):
                    faults.append(f"{sheet.name}: {a} and {b} lie closer than the kerf")
        if not separable(boxes, saw.kerf):
            faults.append(f"{sheet.name}: not separable by edge-to-edge cuts")
        if not found:
            faults.append(f"{sheet.name}: a sheet without parts")
    if got != wanted:
        faults.append(f"parts placed {dict(got - wanted)} too often, {dict(wanted - got)} too rarely")
    for sheet in sheets:
        if sheet.count is not None and used[sheet.name] > sheet.count:
            faults.append(f"{used[sheet.name]} of {sheet.name} used, {sheet.count} in stock")
    if layouts.aim == "money":
        reached = sum((s.sheet.price for s in layouts.sheets), Fraction(0))
    else:
        reached = Fraction(sum(not s.sheet.rack for s in layouts.sheets))
    if not layouts.unplaced:
        if layouts.bound > reached:
            faults.append(f"the bound {layouts.bound} is above the result {reached}")
        if layouts.proved != (layouts.bound == reached):
            faults.append(f"proved is {layouts.proved}, bound {layouts.bound}, result {reached}")
    return faults
