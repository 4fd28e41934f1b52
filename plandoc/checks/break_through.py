"""PD343: a cut as deep as the part, that nobody called a through cut."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.checks.cutting import goes_through, named, past_far_face, room, worked
from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
from plandoc.quantity import shop_text


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report every feature that just reaches the far face of its part."""
    for part, feature in worked(model):
        past = past_far_face(part, feature)
        if past is None or past != 0 or goes_through(feature) or feature.face is None:
            continue
        if room(feature).common(part.box) is None:
            continue
        thick = shop_text(part.box.size(feature.face.axis), model.info.units, mark=True)
        sink.emit(
            "PD343",
            f"{named(part, feature)} comes out at the {feature.face.opposite.name} face",
            feature.span,
            notes=(f"{part.path} measures {thick} in that direction, the cut leaves nothing of it",),
            mend="say `through` if it shall come out, else make it shallower",
        )


CHECK = Check("PD343", run)
