"""Mortises at a machine: a straight bit and the edge guide of the router, else a row of bores at the drill press, ends chiselled square.

A through mortise is cut from both faces to the middle, so that neither breaks out (common practice). One that lies in a tenon is cut
while the piece is whole, since guide and stop bear on faces that the shoulders take away: its depth runs from the faces that stand then.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from plandoc.geometry.bodies import Box, Face, Prism, Rect, body_box
from plandoc.model.entities import Feature, Part
from plandoc.shopwork.measures import before_outer_bands, cut_box
from plandoc.shopwork.setting import BIT, CENTRE, DRILL, NEAR, Cut, Cutter, Setting, Way
from plandoc.shopwork.stack import CLOSE, passes
from plandoc.tables.shop import Shop, ShopMachine

MORTISE = "mortise"
"""Key of the operation."""


def mortise_cuts(part: Part, feature: Feature, shop: Shop) -> tuple[Way, ...]:
    """All the cuts that make the mortise, one for each face that it is cut from; empty where no machine of the shop makes it."""
    for key in ("router", "drill_press"):
        for one in (m for m in shop.machines if m.key == key):
            ways = _at(one, part, feature)
            if ways:
                return ways
    return ()


def mortise_bars(one: ShopMachine, part: Part, feature: Feature, say: Callable[[Fraction], str]) -> str:
    """Why a router or a drill press cannot cut the mortise, "" where it can."""
    box, face = cut_box(part, feature), feature.face
    if box is None or face is None or face.axis == part.length_axis:
        return "its guide has no edge to run along at an end"
    wide, deep, whole = box.size(3 - face.axis - part.length_axis), box.size(face.axis), one.one("deep")
    if bit_for(one, _least(box, face, part)) is None:
        return f"{say(_least(box, face, part))} wide, its narrowest bit is {say(min(one.all('bits')))}"
    most = max(_deep(part, box, at, _goes(feature)) for at in (face, face.opposite)[: _goes(feature)])
    if whole is not None and most > whole:
        return f"{say(deep if most <= deep else most)} deep, it reaches {say(whole)}"
    fence, reach = _near(part, box, face) + wide / 2, one.one("throat")
    if one.key == "drill_press" and reach is not None and fence > reach:
        return f"{say(fence)} from the edge, its throat is {say(reach)}"
    return ""


def _least(box: Box, face: Face, part: Part) -> Fraction:
    """The lesser of length and width (mm): no bit is wider."""
    return min(box.size(3 - face.axis - part.length_axis), box.size(part.length_axis))


def _near(part: Part, box: Box, face: Face) -> Fraction:
    """From the reference face at the guide to the nearer wall (mm)."""
    across = 3 - face.axis - part.length_axis
    rides = Face(across, part.datum[across])
    return min(abs(before_outer_bands(part).at(rides) - box.at(Face(across, side))) for side in (-1, 1))


def _goes(feature: Feature) -> int:
    """From how many faces it is cut."""
    return 2 if feature.through else 1


def tongue_about(part: Part, box: Box) -> Feature | None:
    """The tenon in which the mortise lies, None in the body of the piece."""
    return next((f for f in part.features if f.adds and any(body_box(prism).common(box) == box for prism in f.adds)), None)


def _deep(part: Part, box: Box, at: Face, goes: int) -> Fraction:
    """Depth (mm) from one face, as it stands when the mortise is cut: a tenon about it is not there yet."""
    waste = Fraction(0) if tongue_about(part, box) is None else abs(part.shoulder.at(at) - box.at(at))
    return waste + box.size(at.axis) / goes


def _at(one: ShopMachine, part: Part, feature: Feature) -> tuple[Way, ...]:
    """The cuts at one machine, none where it cannot."""
    box, face = cut_box(part, feature), feature.face
    if box is None or face is None or len(feature.cuts) != 1 or mortise_bars(one, part, feature, str):
        return ()
    cut = feature.cuts[0]
    if not isinstance(cut, Prism) or not isinstance(cut.outline, Rect):
        return ()
    bare, run = before_outer_bands(part), part.length_axis  # the guide runs along the piece
    across = 3 - face.axis - run
    wide = box.size(across)
    bit = bit_for(one, _least(box, face, part))
    assert bit is not None
    faces = (face, face.opposite)[: _goes(feature)]
    rides, end = Face(across, part.datum[across]), Face(run, part.datum[run])
    near = _near(part, box, face)
    first = min(abs(bare.at(end) - box.at(Face(run, side))) for side in (-1, 1))
    stops = tuple((side, left) for side in (Face(run, -1), Face(run, 1)) if (left := abs(bare.at(side) - box.at(side))))
    if one.key == "router":
        fence, side, cutter = tuple(near + off for off in passes(wide, bit)), NEAR, Cutter(BIT, bit)
    else:
        fence, side, cutter = (near + wide / 2,), CENTRE, Cutter(DRILL, bit)
    tongue = tongue_about(part, box)
    return tuple(
        (
            Setting(one.key, cutter, "fence", side, fence, _deep(part, box, at, len(faces))),
            Cut(
                part.path, feature.id, MORTISE, rides, at.opposite, wide, stops, end=end, worked=at, run=(first, first + box.size(run)),
                before="" if tongue is None else "the tenons are cut",
            ),
        )
        for at in faces
    )  # fmt: skip


def bit_for(one: ShopMachine, wide: Fraction) -> Fraction | None:
    """The widest bit (mm) of a router or drill press that is no wider than the mortise; of a drill press that lists none any."""
    bits = one.all("bits")
    if not bits and one.key == "drill_press":
        return wide
    able = [bit for bit in bits if bit <= wide + CLOSE]
    return max(able, default=None)


__all__ = ["MORTISE", "bit_for", "mortise_bars", "mortise_cuts"]
