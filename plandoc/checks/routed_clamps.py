"""PD354: clamp zones that the plan names, and a bit that would cut through them."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.build.routing import routings
from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report every face whose clamps stand in the way."""
    for routing in routings(model) if model.routings else ():
        if routing.result.clash:
            features = [routing.feature(name) for name in routing.result.clash]
            kinds = ", ".join(dict.fromkeys(f.kind for f in features if f is not None))
            sink.emit("PD354", f"the clamps would stand where `{routing.part.path}` is cut on its {routing.face.name} face", routing.wish.clamps_span, notes=(f"in the way of: {kinds}",), mend="name other edges, let them reach in less, or leave the line out")


CHECK = Check("PD354", run)
