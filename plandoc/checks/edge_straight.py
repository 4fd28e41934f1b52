"""PD348: a rounded or chamfered edge of which an arch, an outline or a taper takes a part."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from plandoc.build.solids import blank_solid
from plandoc.checks.cut_twice import holds
from plandoc.checks.cutting import named
from plandoc.checks.registry import Check
from plandoc.diagnostics import Note, Sink
from plandoc.geometry.bodies import Body, Face, Prism, body_box, box_prism, other_axes
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Feature, Model, Part
from plandoc.quantity import INCH, shop_text

ON_EDGES = ("round-over", "chamfer")
NEW_EDGES = {"arch": "the arch", "bowed edge": "the arc", "outline": "the outline", "taper": "the slope"}
PROBE = Fraction(1, 100)  # mm; side of the square rod along the edge by which its length is taken
COARSE = {"inch": INCH / 8, "mm": Fraction(1)}  # to which that length is told
LEAST = 1.0  # mm; less is lost where the other work only begins at the end of the edge


def run(model: Model, solids: Mapping[str, Solid], sink: Sink) -> None:
    """Report the edges that work with an edge of its own shortens: the first work keeps to the straight line."""
    for part in model.parts:
        others = [f for f in part.features if f.kind in NEW_EDGES]
        for feature in part.features if others else ():
            if feature.kind not in ON_EDGES:
                continue
            for other in others:
                lost = next((row for body in feature.cuts if (row := _lost(part, body, other)) is not None), None)
                if lost is not None:
                    _tell(model, part, feature, other, lost, sink)


def _tell(model: Model, part: Part, feature: Feature, other: Feature, lost: tuple[tuple[Face, ...], float], sink: Sink) -> None:
    faces, length = lost
    units = model.info.units
    step = max(COARSE[units.system], units.step_mm)
    gone = shop_text(max(round(length / float(step)), 1) * step, units, mark=True)
    line = NEW_EDGES[other.kind]
    sink.emit(
        "PD348",
        f"{named(part, feature)} keeps to the straight edge, it does not follow {line}",
        feature.span,
        notes=(Note(f"{named(part, other)} takes about {gone} of the edge between {faces[0].name} and {faces[1].name}", other.span),),
        mend=f"name with `at` the edges that stay straight, and what follows {line} in a note of the part: note {feature.note.split(',')[0]} along {line}",
    )


def _lost(part: Part, body: Body, other: Feature) -> tuple[tuple[Face, ...], float] | None:
    """The two faces of the worked edge and the length that the other work takes of it; None where it takes nothing, or
    the whole of the work, which is another matter."""
    box = body_box(body)
    run = next((axis for axis in range(3) if box.span(axis) == part.box.span(axis)), 0)
    faces = tuple(Face(axis, side) for axis in other_axes(run) for side in (-1, 1) if box.at(Face(axis, side)) == part.box.at(Face(axis, side)))
    cuts = [cut for cut in other.cuts if other.kind == "outline" or _runs(cut, run, part)]
    if len(faces) != 2 or not cuts or any(holds(cut, body, part) for cut in other.cuts):
        return None
    rod = part.box
    for face in faces:
        rod = rod.with_face(face.opposite, rod.at(face) - face.side * PROBE)
    wood = blank_solid(part).common(Solid.from_prisms([box_prism(rod)]))
    length = wood.common(Solid.from_prisms(cuts)).volume / float(PROBE**2)
    return (faces, length) if length > LEAST else None


def _runs(cut: Body, axis: int, part: Part) -> bool:
    """Whether an arch or a taper runs along that axis, not across it: it is longer than it is high. What only makes an end
    narrower shortens the edge of the end, that is all."""
    assert isinstance(cut, Prism)
    box, cross = body_box(cut).common(part.box), 3 - cut.axis - axis
    return box is not None and axis != cut.axis and box.size(axis) > box.size(cross)


CHECK = Check("PD348", run)
