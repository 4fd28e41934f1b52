"""PD352: a pin or screw whose point comes out of the wood."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.checks.fastening import ways
from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
from plandoc.quantity import shop_text


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report fasteners longer than the wood on their way through B and A, once a row."""
    units = model.info.units
    reported = []
    for way in ways(model):
        if way.fastening.kind == "peg":
            continue  # a peg is driven through and trimmed flush
        row = (way.joint.id, way.joint.fasteners.index(way.fastening))
        room = max(way.leaving(way.a), way.leaving(way.b))
        if way.cover(way.a) < 0 or way.leaving(way.a) <= 0 or way.fastening.length <= room or row in reported:
            continue
        reported.append(row)
        sink.emit(
            "PD352",
            f"{way.name} is longer than the two parts",
            way.fastening.span,
            notes=(
                f"length {shop_text(way.fastening.length, units, mark=True)}, "
                f"wood on its way {shop_text(room, units, mark=True)}",
            ),
            mend=f"take one shorter than {shop_text(room, units, mark=True)}",
        )


CHECK = Check("PD352", run)
