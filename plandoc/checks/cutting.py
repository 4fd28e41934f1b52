"""What the checks of cuts share."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from plandoc.geometry.bodies import Body, Box, body_box
from plandoc.model.entities import Feature, Model, Part


def worked(model: Model) -> Iterator[tuple[Part, Feature]]:
    """Every part with each of its features that cut something, in plan order."""
    for part in model.parts:
        for feature in part.features:
            if feature.cuts:
                yield part, feature


def room(feature: Feature) -> Box:
    """The box around all cuts of a feature."""
    box = body_box(feature.cuts[0])
    for prism in feature.cuts[1:]:
        box = box.union(body_box(prism))
    return box


def past_far_face(part: Part, feature: Feature) -> Fraction | None:
    """How far (mm) the cuts pass the face opposite to the one they are worked from: 0 when they just reach it,
    negative while material is left; None for work without a face."""
    if feature.face is None:
        return None
    far = feature.face.opposite
    return (room(feature).at(far) - part.box.at(far)) * far.side


def goes_through(feature: Feature) -> bool:
    """Whether the plan says that the cut comes out at the far face. A channel that has a depth is `through` in
    the direction of its run only."""
    return feature.through and feature.depth is None


def inside(prism: Body, box: Box) -> bool:
    """Whether the box holds the whole prism."""
    own = body_box(prism)
    return own.common(box) == own


def named(part: Part, feature: Feature) -> str:
    """`the dado of left_side`."""
    return f"the {feature.kind} of {part.path}"
