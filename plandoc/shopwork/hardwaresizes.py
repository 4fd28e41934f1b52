"""The sizes of bought hardware as the trade says them: `No 6 × 1`, `16 long, 1/2 beside the drawer`."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.entities import HardwareItem
from plandoc.quantity import Units, diameter_text, shop_number, shop_text
from plandoc.quantity.shoptext import HALF_MILLIMETRE
from plandoc.shopwork.names import mass_words

PHRASES = {
    "long": "{} long",
    "side": "{} beside the drawer",
    "pilot": "pilot {}",
    "bore": "bore {}",
    "spaced": "{} apart",
    "diameter": "diameter {}",
    "overlay": "overlay {}",
    "cup": "cup {}",
    "deep": "{} deep",
    "edge": "cup {} from the edge",
    "plate": "plate line {}",
    "behind": "screws {} behind the cup",
    "play": "play {}",
    "high": "{} high",
    "broad": "{} broad",
    "set": "screws {} behind the door",
    "swing": "swings {}",
    "foot": "foot {}",
}
"""How a size is said; others print as their name and the figure."""
PAIRS = {"plate": "plate {}", "spaced": "screws {} apart", "legs": "legs {}", "leaf": "leaf {}"}
"""How two sides of one thing are said."""
UNSAID = {"hinge": ("play", "behind", "edge", "spaced", "holes", "plate", "pilot"), "slide": ("play",), "bracket": (), "catch": ("high", "set")}
"""Sizes that the drawings of the parts say, and that nobody buys by."""


BITS = ("pilot", "bore", "cup", "diameter")
"""Sizes that are those of a bit, and print as they do at the holes of the part drawings."""


def bought_text(length: Fraction, units: Units, mark: bool = False) -> str:
    """A size of what is bought (mm): in an inch plan as it is bought, in inches or in millimetres; in a metric plan in
    millimetres, to half of one or, where that would be rounded, to a tenth: a 2 in screw is `50.8`."""
    if units.system == "inch":
        return diameter_text(length, units, mark)
    return shop_text(length, HALF_MILLIMETRE if shop_number(length, HALF_MILLIMETRE).exact else units.fine, mark)


def sizes_words(item: HardwareItem, units: Units) -> str:
    """All sizes of the item in its order; those of one row (`holes_1`, `holes_2`) together."""
    sizes = dict(item.sizes)
    words: list[str] = []
    taken: list[str] = list(UNSAID.get(item.kind, ()))
    if item.kind == "hinge" and not sizes.get("overlay"):
        words.append("inset")
        taken.append("overlay")
    if "gauge" in sizes:  # a number of the screw table, not a length
        gauge = f"No {_number(sizes['gauge'])}"
        words.append(f"{gauge} × {bought_text(sizes['long'], units)}" if "long" in sizes else gauge)
        taken += ["gauge", "long"]
    elif list(sizes)[:2] == ["diameter", "long"]:
        words.append(f"{diameter_text(sizes['diameter'], units)} × {bought_text(sizes['long'], units)}")
        taken += ["diameter", "long"]
    for name, value in item.sizes:
        root, _, number = name.rpartition("_")
        if name in taken or (item.kind == "caster" and name == "swing"):
            continue
        if root and number.isdigit():
            row = [n for n in sizes if n.rpartition("_")[0] == root and n.rpartition("_")[2].isdigit()]
            taken += row
            if root in PAIRS:
                words.append(PAIRS[root].format(" × ".join(bought_text(sizes[n], units) for n in row)))
            else:
                words.append(f"{root.replace('_', ' ')} at {', '.join(bought_text(sizes[n], units) for n in row)}")
        else:
            words.append(PHRASES.get(name, name.replace("_", " ") + " {}").format((diameter_text if name in BITS else bought_text)(value, units)))
    load = item.load_kg
    if load is not None:
        words.append(f"load {mass_words(load)}")
    between = "; " if any(" at " in word for word in words) else ", "
    return between.join(words)


def _number(value: Fraction) -> str:
    return str(value.numerator) if value.denominator == 1 else f"{float(value):g}"
