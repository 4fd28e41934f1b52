"""PD350: a pin or screw so near a face that it breaks out of the wood."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.checks.fastening import ways
from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
from plandoc.quantity import shop_text


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report fasteners whose rim passes a side face of one of the two parts, while their axis is in it."""
    units = model.info.units
    for way in ways(model):
        radius = way.fastening.diameter / 2
        for part in (way.b, way.a):
            cover = way.cover(part)
            if 0 <= cover < radius:
                sink.emit(
                    "PD350",
                    f"{way.name} breaks out of a side face of {part.path}",
                    way.fastening.span,
                    notes=(
                        f"its centre is {shop_text(cover, units, mark=True)} from the face, "
                        f"half its diameter is {shop_text(radius, units, mark=True)}",
                    ),
                    mend="move the row away from the edge, or take a thinner one",
                )


CHECK = Check("PD350", run)
