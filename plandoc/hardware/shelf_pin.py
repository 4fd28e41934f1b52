"""Shelf pin: rows of blind holes in the sides, level with each other."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXIS_NAMES, UP, Face, Point3, other_axes
from plandoc.hardware import common as c
from plandoc.hardware import drilling as d
from plandoc.model.kinds import FitContext, FitEffect, Frame, HardwareKind, Param

STEP = Fraction(32)
"""Step of a row (mm; common practice, the 32 mm system)."""
FOR_A_SHELF = 4
"""Pins that carry one shelf (common practice)."""


def fit(context: FitContext) -> FitEffect | None:
    """The same rows in every part; places are measured on the first, so that all rows are level."""
    args, tell, first = context.args, context.tell, context.parts[0]
    facing = args.get("facing")
    if not isinstance(facing, Face) and len(context.parts) == 1:
        tell.say("PD319", f"`{context.item.name}` on one part alone needs the face that is drilled", mend=f"facing {Face(first.thickness_axis, 1).name}")
        return None
    if not d.lean_alike(context, context.parts):
        return None
    work = d.Work(context)
    bore, deep = (context.item.size(n) or Fraction(0) for n in ("bore", "deep"))
    for part in context.parts:
        face = facing if isinstance(facing, Face) else _inside(part, context.parts)
        spots = _row(context, first, face)
        if spots is None:
            return None
        work.bores(part, face, spots, bore, deep, d.words(context.item), kind="pin hole")
        if not work.good:
            return None
    holes, count = len(work.features), args.get("count")
    if isinstance(count, int) and count > holes:
        tell.say("PD454", f"{count} `{context.item.name}` are more than their holes", notes=(f"this line drills {holes}",), mend=f"drill more: row, or another place in `at`; or count {holes}")
    return work.effect(count if isinstance(count, int) else min(FOR_A_SHELF, holes))


def _inside(part: Frame, parts: tuple[Frame, ...]) -> Face:
    """The broad face that looks to the middle of all named parts."""
    whole = parts[0].shoulder
    for other in parts[1:]:
        whole = whole.union(other.shoulder)
    return d.towards(part, whole, part.thickness_axis)


def _row(context: FitContext, first: Frame, face: Face) -> list[Point3] | None:
    """Every place repeated along the row."""
    args, faces = context.args, context.args.get("from")
    along, count, every = args.get("along"), args.get("row"), args.get("every")
    axis = along if isinstance(along, int) else UP
    if axis not in other_axes(face.axis):
        context.tell.say("PD333", f"a row on the face {face.name} cannot run {AXIS_NAMES[axis]}", mend="along " + " or along ".join(AXIS_NAMES[a] for a in other_axes(face.axis)))
        return None
    back = isinstance(faces, tuple) and any(f.axis == axis and f.side > 0 for f in faces)
    step, bore = every if isinstance(every, Fraction) else STEP, context.item.size("bore") or Fraction(0)
    number = count if isinstance(count, int) else 1
    if number > 1 and step <= bore:
        tell = context.tell
        tell.say("PD333", f"the holes of `{context.item.name}` run into each other", notes=(f"from one to the next are {tell.figure(step)}, each is {tell.figure(bore)} wide",), mend=f"every {STEP} mm")
        return None
    made = []
    for spot in d.places(first, face, args):
        for place in range(number):
            one = list(spot)
            one[axis] += place * step * (-1 if back else 1)
            made.append((one[0], one[1], one[2]))
    return made


KIND = HardwareKind(
    name="shelf_pin",
    doc="A pin that carries a loose shelf, in a blind hole; its holes come in rows in both sides.",
    params=(Param("bore", "length", "diameter of the hole", required=True, above=True), Param("deep", "length", "depth of the hole", required=True, above=True), c.LOAD, c.PRICE),
    fit_params=(
        Param("at", "positions", "first hole of each row, measured on the first part from its left, front or bottom edges", required=True),
        d.FROM,
        Param("row", "count", "holes in a row", default=1),
        Param("every", "length", "step of the row, from middle to middle", default=STEP, above=True),
        Param("along", "axis", "direction of the row; left out, up"),
        Param("facing", "face", "the face that is drilled; left out, the one that looks to the other parts"),
        Param("count", "count", "pins to buy, four for a shelf; left out, four, or as many as there are holes where these are fewer"),
    ),
    fit=fit,
    example='hardware pin5 shelf_pin "Shelf pin, 5 mm" bore 5 mm deep 10 mm',
    source="32 mm step, four pins a shelf: common practice",
)
