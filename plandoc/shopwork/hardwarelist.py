"""The hardware list: what is bought and counted, with the dowels and screws of the joints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.model.entities import Fastening, HardwareItem, Model
from plandoc.quantity import diameter_text, shop_text
from plandoc.shopwork.names import joined_names
from plandoc.tables import screw_by_shank


@dataclass(frozen=True, slots=True)
class HardwareRow:
    """One bought thing. quantity in `unit`. used: where, in words. price of one, total of all, in the plan's
    currency; None where the plan gives no price."""

    item: str
    description: str
    quantity: int
    unit: str
    used: str
    price: Fraction | None
    total: Fraction | None


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
            used.setdefault(key, []).append(f"{names[joint.b]} into {names[joint.a]}")
    items = {item.name: item for item in model.hardware}
    order = [name for name in items if name in count] + [name for name in count if name not in items]
    return tuple(
        _row(name, items.get(name), loose.get(name, name), count[name], used[name])
        for name in order
        if count[name]
    )


def _row(name: str, item: HardwareItem | None, words: str, quantity: int, used: Sequence[str]) -> HardwareRow:
    price = item.price if item else None
    return HardwareRow(
        name,
        (item.description if item else "") or words,
        quantity,
        item.unit if item else "each",
        joined_names(used, "; ", 6),
        price,
        None if price is None else price * quantity,
    )


def gauge_of(model: Model, fastening: Fastening) -> Fraction | None:
    """The number of a screw sold by number; of one without an item of its own the number of its shank."""
    item = next((h for h in model.hardware if h.name == fastening.item), None)
    if item is not None:
        return item.size("gauge")
    known = screw_by_shank(fastening.diameter) if fastening.kind == "screw" else None
    return Fraction(known.gauge) if known else None


def fastening_words(model: Model, fastening: Fastening) -> str:
    """`dowel 3/8" × 1 1/2"`; a screw by number as `screw No 8 × 1 1/4"`."""
    if fastening.kind == "spline":
        return fastening.item
    units = model.info.units
    length = shop_text(fastening.length, units, mark=True)
    gauge = gauge_of(model, fastening)
    size = f"No {gauge}" if gauge is not None else diameter_text(fastening.diameter, units, mark=True)
    return f"{fastening.kind} {size} × {length}"
