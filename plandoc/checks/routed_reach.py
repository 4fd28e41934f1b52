"""PD355: work on a routed face that none of the named bits and drills reaches."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.build.routing import routings
from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
from plandoc.quantity import diameter_text


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report work that is left, one message for each kind and reason, and faces on which there is nothing to do."""
    made = routings(model) if model.routings else ()
    for wish in model.routings:
        if not any(wish.part in (p.path for p in r.parts) for r in made):
            face = f"its {wish.face.name} face" if wish.face is not None else "its faces"
            sink.emit("PD355", f"there is nothing to rout on {face} of `{wish.part}`", wish.span, notes=("work on edges and ends, slopes, and lettering without a V-bit and a depth are left to other tools",), mend="name the other face, or leave the line out")
    for routing in made:
        units = model.info.units
        bits = ", ".join(diameter_text(b, units, mark=True) for b in routing.wish.bits)
        told: set[tuple[str, str]] = set()
        for name, why in routing.result.left:
            feature = routing.feature(name)
            what = feature.kind if feature is not None else name
            if (what, why) not in told:
                told.add((what, why))
                mend = f"drills {diameter_text(feature.diameter, units, mark=True)}, on a line below" if feature is not None and feature.diameter is not None and "drill" in why else "name a narrower bit as well, behind a comma"
                sink.emit("PD355", f"no tool reaches the {what} of `{routing.part.path}`: {why}", routing.wish.span, notes=(f"bits to hand: {bits}",), mend=mend)


CHECK = Check("PD355", run)
