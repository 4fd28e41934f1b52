"""Parts, joints and models by hand, for the tests of building and checking. Millimetres."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.diagnostics import Span
from plandoc.geometry.bodies import AXES, Box, Face, Prism, box_prism
from plandoc.model.entities import Assembly, Fastening, Feature, Joint, Model, Motion, Part, PlanInfo, Stock
from plandoc.quantity import Units

F = Fraction
PLY = Stock("ply", "sheet", F(18), F(18))
METRIC = PlanInfo("Trial", units=Units("mm", F(1, 2)))


def box(x0: int, y0: int, z0: int, x1: int, y1: int, z1: int) -> Box:
    return Box((F(x0), F(y0), F(z0)), (F(x1), F(y1), F(z1)))


def part(path: str, room: Box, *features: Feature, assembly: str = "", finished: Box | None = None) -> Part:
    order = sorted(AXES, key=lambda axis: (-room.size(axis), axis))
    return Part(
        path, path, PLY, room, finished or room, *order, features, assembly=assembly, span=Span("plan", len(path), 99)
    )  # fmt: skip


def cut(
    ident: str, kind: str, face: Face | None, *prisms: Prism, depth: int | None = None, through: bool = False
) -> Feature:
    return Feature(
        ident, kind, face, cuts=prisms, depth=None if depth is None else F(depth), through=through, span=Span("plan", 7, 9)
    )


def prism(*corners: int) -> Prism:
    return box_prism(box(*corners))


def joint(
    a: str,
    b: str,
    entry: Face,
    channel: Box | None = None,
    run: int = 1,
    edge: bool = False,
    glued: bool = True,
    fasteners: tuple[Fastening, ...] = (),
    kind: str = "dado",
) -> Joint:
    across = next(axis for axis in AXES if axis not in (entry.axis, run))
    return Joint(
        f"{kind} {a}>{b}", kind, a, b, entry, entry.opposite, F(6), F(6), F(18), F(0), F(0), run, across,
        channel or box(0, 0, 0, 1, 1, 1), glued=glued, edge=edge, fasteners=fasteners,
    )  # fmt: skip


def model(
    parts: Sequence[Part],
    joints: Sequence[Joint] = (),
    motions: Sequence[Motion] = (),
    children: Sequence[str] = (),
    info: PlanInfo = METRIC,
) -> Model:
    """A model whose nested assemblies are all children of the plan itself."""
    assemblies = [Assembly("", "plan", tuple(p.path for p in parts if not p.assembly), tuple(children))]
    for child in children:
        assemblies.append(Assembly(child, child, tuple(p.path for p in parts if p.assembly == child), ()))
    return Model(
        info, (PLY,), tuple(parts), tuple(joints), motions=tuple(motions), assemblies=tuple(assemblies)
    )
