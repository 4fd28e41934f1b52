"""Which holes of a row the pins of a shelf go into."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.model.entities import Fitting, Model
from plandoc.quantity import shop_text
from plandoc.shopwork.names import part_words

REACH = Fraction(32)
"""So far over the middle of its holes a shelf may lie (mm; a step of a row, common practice)."""


def pin_hole_texts(model: Model, fittings: Sequence[Fitting]) -> tuple[str, ...]:
    """`Into hole 2 of 8 from below for Adjustable shelf (M): ...`, for each shelf without a joint that lies over a hole of the rows."""
    joined = {path for j in model.joints for path in (j.a, j.b)}
    said: dict[str, None] = {}
    for fitting in fittings:
        side = model.part(fitting.parts[0])
        levels = sorted({f.centre[2] for f in side.features if f.kind == "pin hole" and f.centre is not None})
        if len(fitting.parts) < 2 or len(levels) < 2:
            continue
        between = sorted(model.part(path).stands.lo[0] for path in fitting.parts)
        for part in model.placed:
            box = part.stands
            under = [at for at in levels if at <= box.lo[2] <= at + REACH]
            inside = all(side.stands.lo[a] < box.hi[a] and box.lo[a] < side.stands.hi[a] for a in (1, 2)) and between[0] < box.lo[0] and box.hi[0] < between[-1] + side.thickness
            if part.path in joined or not under or not inside:
                continue
            high = shop_text(under[-1] - side.stands.lo[2], model.info.units, mark=True)
            said[f"Into hole {levels.index(under[-1]) + 1} of {len(levels)} from below for {part_words(part)}: {high} above the bottom of {part_words(side)}."] = None
    return tuple(said)
