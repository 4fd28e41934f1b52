"""The projection symbol: two views of a truncated cone (ISO 128, ISO 5456-2; proportions from memory)."""

from __future__ import annotations

from plandoc.drawing.display import XY, Circle, Group, Line

OVERSHOOT = 1.2


def symbol_size(small: float) -> XY:
    """Width and height (mm) with centre lines, for a small diameter in mm."""
    return (5 * small + 2 * OVERSHOOT, 2 * small + 2 * OVERSHOOT)


def projection_symbol(centre: XY, small: float, projection: str) -> Group:
    """The symbol round a centre point. small: small diameter (mm); the large one and the length are twice that.

    In third angle the small end faces the circles, since a view lies beside the side that it is seen from; in first
    angle the large end does.
    """
    x, y = centre
    left, right = x - 2.5 * small, x - 0.5 * small
    ring = x + 1.5 * small
    near, far = (small / 2, small) if projection == "third" else (small, small / 2)
    return Group(
        "projection-symbol",
        (
            Line("tb", ((left, y - far), (right, y - near), (right, y + near), (left, y + far)), closed=True),
            Circle("tb", (ring, y), small / 2),
            Circle("tb", (ring, y), small),
            Line("ctr", ((left - OVERSHOOT, y), (right + OVERSHOOT, y))),
            Line("ctr", ((ring - small - OVERSHOOT, y), (ring + small + OVERSHOOT, y))),
            Line("ctr", ((ring, y - small - OVERSHOOT), (ring, y + small + OVERSHOOT))),
        ),
        attrs=(("proj", projection),),
    )
