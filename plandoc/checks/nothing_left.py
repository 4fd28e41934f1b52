"""PD346: work that takes the whole part away."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.checks.registry import Check
from plandoc.checks.wording import box_text
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report every part of which nothing is left."""
    for part in model.parts:
        if solids[part.path].empty:
            sink.emit(
                "PD346",
                f"nothing is left of {part.path}: its cuts take the whole blank",
                part.span,
                notes=(f"blank: {box_text(part.box, model.info.units)}",),
                mend="look for a cut whose size or depth is that of the part",
            )


CHECK = Check("PD346", run)
