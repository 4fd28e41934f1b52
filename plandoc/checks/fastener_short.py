"""PD353: a pin or screw that ends before it reaches the second part."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.checks.fastening import ways
from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
from plandoc.quantity import shop_text


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report fasteners that do not come into A, once a row."""
    units = model.info.units
    reported = []
    for way in ways(model):
        row = (way.joint.id, way.joint.fasteners.index(way.fastening))
        start = way.entering(way.a)
        if way.cover(way.a) < 0 or way.leaving(way.a) <= 0 or way.fastening.length > start or row in reported:
            continue
        reported.append(row)
        sink.emit(
            "PD353",
            f"{way.name} does not reach {way.a.path}",
            way.fastening.span,
            notes=(
                f"length {shop_text(way.fastening.length, units, mark=True)}, "
                f"{way.a.path} begins {shop_text(start, units, mark=True)} below the face",
            ),
            mend=f"take one longer than {shop_text(start, units, mark=True)}",
        )


CHECK = Check("PD353", run)
