"""PD351: a pin or screw that passes beside the part it shall hold."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.checks.fastening import ways
from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
from plandoc.quantity import shop_text


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report fasteners whose axis is outside one of the two parts, or that lead away from A."""
    units = model.info.units
    for way in ways(model):
        for part in (way.b, way.a):
            cover = way.cover(part)
            if cover < 0:
                reason = f"its centre passes {shop_text(-cover, units, mark=True)} beside the part"
            elif way.leaving(part) <= 0:
                reason = "the part lies behind the face it is driven from"
            else:
                continue
            sink.emit(
                "PD351",
                f"{way.name} does not meet {part.path}",
                way.fastening.span,
                notes=(reason,),
                mend="change its place or the distance between them",
            )


CHECK = Check("PD351", run)
