"""PD356: work on a pane of glass or a mirror, which the shop does not do."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.checks.cutting import named
from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.bodies import body_box
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Feature, Model, Part
from plandoc.model.ordered import SHAPES, ordered


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report holes, channels, tongues, bands and lettering of panes, once a line. Outlines and edges are cut by whoever sells them."""
    told: set[object] = set()
    for part in model.parts:
        if not ordered(part.stock):
            continue
        for feature in part.features:
            if feature.kind in SHAPES or not _worked(part, feature) or (feature.span, feature.kind) in told:
                continue
            told.add((feature.span, feature.kind))
            what = part.stock.description or part.stock.material
            sink.emit(
                "PD356",
                f"{named(part, feature)} is work on {what}, which is ordered cut to size",
                feature.span,
                mend="hold the pane in rabbets by beads or in clips, so that nothing is cut into it; or let its seller make this work, and say so in a note of the part",
            )


def _worked(part: Part, feature: Feature) -> bool:
    """Whether anything is taken off or put on; not a whole edge that enters a channel."""
    thick = part.thickness_axis
    thinner = any(body_box(body).span(thick) != part.shoulder.span(thick) for body in feature.adds)
    return bool(feature.cuts or feature.text or thinner or feature.kind == "edge band")


CHECK = Check("PD356", run)
