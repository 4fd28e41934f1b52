"""PD344: a cut with a stated depth that is more than the part has."""

from __future__ import annotations

from collections.abc import Mapping

from plandoc.checks.cutting import goes_through, named, past_far_face, room, worked
from plandoc.checks.registry import Check
from plandoc.diagnostics import Sink
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model
from plandoc.quantity import shop_text


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report every feature that passes the far face of its part without being a through cut."""
    units = model.info.units
    for part, feature in worked(model):
        past = past_far_face(part, feature)
        if past is None or past <= 0 or goes_through(feature) or feature.face is None:
            continue
        if room(feature).common(part.box) is None:
            continue
        face = feature.face
        thick = part.box.size(face.axis)
        deep = thick + past
        sink.emit(
            "PD344",
            f"{named(part, feature)} is deeper than the part",
            feature.span,
            notes=(
                f"depth from the {face.name} face {shop_text(deep, units, mark=True)}, "
                f"{part.path} measures {shop_text(thick, units, mark=True)} there",
            ),
            mend=f"make it shallower than {shop_text(thick, units, mark=True)}, or say `through`",
        )


CHECK = Check("PD344", run)
