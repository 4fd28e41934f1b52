"""Stock that a wood shop does not saw or glue (glass, mirrors): it is ordered cut to size."""

from __future__ import annotations

from plandoc.model.entities import Joint, Model, Stock
from plandoc.tables import material

SHAPES = ("outline", "arch", "bowed edge", "taper", "round-over", "chamfer", "round corner", "cut corner")
"""Work on the outline and the edges of a pane: whoever cuts it does that too (common practice)."""


def ordered(stock: Stock) -> bool:
    """Whether the parts of this stock are bought cut to size, by the words of its material and its description."""
    found = material(f"{stock.material} {stock.description}") if stock.kind == "sheet" else None
    return found is not None and found.ordered


def holds_pane(model: Model, joint: Joint) -> bool:
    """Whether a pane lies in the joint: it is set dry."""
    return any(ordered(model.part(path).stock) for path in (joint.a, joint.b))
