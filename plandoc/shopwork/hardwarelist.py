"""The hardware list: what is bought and counted, with the dowels and screws of the joints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from plandoc.model.entities import Fastening, HardwareItem, Model
from plandoc.model.unglued import dry
from plandoc.quantity import INCH, Units, diameter_text, shop_text
from plandoc.shopwork.gluing import glued_area
from plandoc.shopwork.hardwaresizes import bought_text
from plandoc.shopwork.names import joined_names
from plandoc.tables import screw_by_shank


@dataclass(frozen=True, slots=True)
class HardwareRow:
    """One bought thing. quantity in `unit`. used: where, in words. price of one, total of all, in the plan's
    currency; None where the plan gives no price. screws: those that come with all of them. area: surface that it is
    spread on, all coats together (mm2, estimate), None for what is counted by the piece."""

    item: str
    description: str
    quantity: int
    unit: str
    used: str
    price: Fraction | None
    total: Fraction | None
    screws: int = 0
    area: Fraction | None = None


def hardware_list(model: Model) -> tuple[HardwareRow, ...]:
    """Rows in the order of the plan's hardware, then of fasteners that have no item of their own."""
    names = {part.path: part.name for part in model.parts}
    count: dict[str, int] = {}
    used: dict[str, list[str]] = {}
    loose: dict[str, str] = {}
    for fitting in model.fittings:
        count[fitting.item] = count.get(fitting.item, 0) + fitting.quantity
        used.setdefault(fitting.item, []).extend(names[path] for path in fitting.parts)
    for joint in model.joints:
        for fastening in joint.fasteners:
            key = fastening.item or fastening_words(model, fastening)
            loose.setdefault(key, fastening_words(model, fastening))
            count[key] = count.get(key, 0) + len(fastening.centres)
            first, second = (joint.a, joint.b) if fastening.from_a or fastening.kind == "key" else (joint.b, joint.a)
            used.setdefault(key, []).append(f"{names[first]} into {names[second]}")
    items = {item.name: item for item in model.hardware}
    for item in model.hardware:
        if item.screw and item.name in count:
            screws = count[item.name] * int(item.number("screws") or 0)
            count[item.screw] = count.get(item.screw, 0) + screws
            used.setdefault(item.screw, []).append(f"{item.description or item.name}: {screws}")
    order = [name for name in items if name in count] + [name for name in count if name not in items]
    return tuple(
        _row(model, name, items.get(name), loose.get(name, name), count[name], used[name])
        for name in order
        if count[name]
    )


def _row(model: Model, name: str, item: HardwareItem | None, words: str, quantity: int, used: Sequence[str]) -> HardwareRow:
    price = item.price if item else None
    area = None if item is None else spread_area(model, item)
    covers = None if item is None else item.number("covers")
    if area is not None:
        quantity = max(1, ceil(area / covers)) if covers else 1
    return HardwareRow(
        name,
        (item.description if item else "") or words,
        quantity,
        item.unit if item else "each",
        joined_names(used, "; ", 6),
        price,
        None if price is None else price * quantity,
        0 if item is None or item.screw else quantity * int(item.number("screws") or 0),
        area,
    )


def spread_area(model: Model, item: HardwareItem) -> Fraction | None:
    """The surface that a glue or a finish is spread on (mm2), all coats together; None for other hardware.

    Glue: the glued joints between the parts of each of its fittings, one of the two surfaces that meet. Finish: the faces of the parts, times its coats. Both are estimates."""
    fittings = [f for f in model.fittings if f.item == item.name]
    if item.kind == "finish":
        coats = item.number("coats") or Fraction(1)
        return coats * sum((f.area for f in fittings if f.area is not None), Fraction(0))
    if item.kind != "glue":
        return None
    joints = [j for j in model.joints if not dry(model, j) and any(j.a in f.parts and j.b in f.parts for f in fittings)]
    return sum((glued_area(joint, model) for joint in joints), Fraction(0))


def height_words(model: Model) -> str:
    """`30 high with its casters`: the height from the floor where casters or levellers stand out below the lowest part;
    "" where none do."""
    box = model.box
    feet = {item.name: item.kind for item in model.hardware if item.kind in ("caster", "leveller")}
    below = [(f.box.lo[2], feet[f.item]) for f in model.fittings if f.item in feet and f.box is not None]
    if box is None or not below or min(below)[0] >= box.lo[2]:
        return ""
    floor, kind = min(below)
    return f"{shop_text(box.hi[2] - floor, model.info.units)} high with its {kind}s"


def area_words(area: Fraction, units: Units) -> str:
    """`12.5 sq ft` or `1.16 m²`."""
    if units.system == "inch":
        return f"{decimal_words(area / (144 * INCH**2), 1)} sq ft"
    return f"{decimal_words(area / 10**6, 2)} m²"


def decimal_words(value: Fraction, digits: int) -> str:
    """A number with at most so many decimals."""
    return f"{float(round(value, digits)):.{digits}f}".rstrip("0").rstrip(".") or "0"


def amount_words(row: HardwareRow, item: HardwareItem | None, units: Units) -> str:
    """What the count rests on: surface and coats, or the screws that come with it; "" where it is a plain count."""
    if row.area is not None:
        coats = int(item.number("coats") or 1) if item else 1
        return f"for about {area_words(row.area, units)}{f', {coats} coats together' if coats > 1 else ''} (estimate)"
    return f"{row.screws} screws with {'it' if row.quantity == 1 else 'them'}" if row.screws else ""


def gauge_of(model: Model, fastening: Fastening) -> Fraction | None:
    """The number of a screw sold by number; of one without an item of its own the number of its shank."""
    item = next((h for h in model.hardware if h.name == fastening.item), None)
    if item is not None:
        return item.size("gauge")
    known = screw_by_shank(fastening.diameter) if fastening.kind == "screw" else None
    return Fraction(known.gauge) if known else None


def fastening_words(model: Model, fastening: Fastening) -> str:
    """`dowel 3/8" × 1 1/2"`; a screw by number as `screw No 8 × 1 1/4"`; splines and keys as their joint says them."""
    units = model.info.units
    item = next((h for h in model.hardware if h.name == fastening.item), None)
    if item is None and fastening.item:
        return fastening.item
    if item is not None and item.kind == "slip":
        return f"{fastening.kind} " + " × ".join(bought_text(size, units, mark=True) for _, size in item.sizes)
    length = bought_text(fastening.length, units, mark=True)
    gauge = gauge_of(model, fastening)
    size = f"No {gauge}" if gauge is not None else diameter_text(fastening.diameter, units, mark=True)
    return f"{fastening.kind} {size} × {length}"
