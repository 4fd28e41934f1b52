"""Pocket: screws in slanting holes near the end of the first part, driven into the second.

The pocket is modelled as a slanting slot of square section, as wide as the bit; the lead hole in its bottom and the way
of the screw in the second part are too thin to be cut out and stand in words.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from plandoc.geometry.bodies import FACES, Face, Point3, Prism
from plandoc.joints import corner as k
from plandoc.joints.channel import DRY
from plandoc.joints.fastening import spaced, unchanged
from plandoc.model.entities import Fastening, Feature, HardwareItem, Joint
from plandoc.model.kinds import JointContext, JointEffect, JointKind, Param
from plandoc.quantity import INCH
from plandoc.tables import shank_and_lead

ZERO = Fraction(0)
# 15 degrees from the face, bit of 3/8 in. (9.5 mm), 1/2 in. of wood under the head: common practice.
SINE, COSINE = Fraction(258819, 10**6), Fraction(965926, 10**6)
BIT = 3 * INCH / 8
WEB = INCH / 2
USUAL, WIDEST, END = 4 * INCH, 8 * INCH, 3 * INCH / 4
HIDDEN = {0: FACES["right"], 1: FACES["rear"], 2: FACES["bottom"]}

WITH = Param("with", "item", "the screws", required=True)
EVERY = Param("every", "length", "greatest distance between them; left out, 4 in.")
ENDS = Param("ends", "length", "distance of the first and the last from the edges; left out, 3/4 in.")
ON = Param("on", "face", "the face of the first part that has the pockets; left out, its rear or bottom")


def cut(context: JointContext) -> JointEffect | None:
    """Pockets in A; the screws go through its end into B."""
    a, b, contact, tell, args = context.a, context.b, context.contact, context.tell, context.args
    item, entry, area = args.get("with"), contact.entry, contact.area
    if not isinstance(item, HardwareItem) or item.kind != "screw":
        name = item.name if isinstance(item, HardwareItem) else "this"
        tell.say("PD323", f"`{name}` is no screw", mend='hardware pocket_screw screw No 8 long 1 1/4", and here: with pocket_screw')
        return None
    thick = a.thickness_axis
    if thick == entry.axis:
        tell.say("PD474", f"`{a.path}` lies with its broad face on `{b.path}`: there is no end or edge for pockets", mend="use `butt`, or name the parts the other way round")
        return None
    given = args.get("on")
    face = given if isinstance(given, Face) else HIDDEN[thick]
    if face.axis != thick:
        tell.say("PD474", f"pockets start in a broad face of `{a.path}`, not at its {tell.face(face)}", mend=f"on {tell.face(Face(thick, -1))}, or on {tell.face(Face(thick, 1))}")
        return None
    run = 3 - thick - entry.axis
    deep = a.shoulder.size(thick)
    if deep < BIT * Fraction(4, 3):
        tell.say("PD474", f"`{a.path}` is too thin for pockets", notes=(f"it is {tell.figure(deep)} thick, the bit measures {tell.figure(BIT)}",), mend="take dowels or biscuits")
        return None
    long = item.size("long") or Fraction(0)
    into = (long - WEB) * COSINE
    room = b.shoulder.size(entry.axis)
    if into <= 0 or into >= room:
        what = "does not reach" if into <= 0 else "comes out of"
        tell.say("PD474", f"`{item.name}` {what} `{b.path}`", notes=(f"it is {tell.figure(long)} long, {tell.figure(WEB)} of it stay in `{a.path}`; `{b.path}` measures {tell.figure(room)} there",), mend="take a longer one" if into <= 0 else f"take one of {tell.below(WEB + room / COSINE)} or less")
        return None
    gauge = item.size("gauge")
    shank = ZERO if gauge is None else shank_and_lead(gauge)[0]
    middle = (a.shoulder.lo[thick] + a.shoulder.hi[thick]) / 2
    if not _meets(context, item, shank, middle, face):
        return None
    every, ends = args.get("every"), args.get("ends")
    step = every if isinstance(every, Fraction) else USUAL
    lo, hi = area.span(run)
    margin = ends if isinstance(ends, Fraction) else min(END, (hi - lo) / 4)
    places = spaced(lo, hi, step, margin) if step >= BIT or hi - lo <= 2 * margin else ()
    if not places or any(q - p < BIT for p, q in pairwise(places)):
        tell.say("PD474", "the pockets run into each other", notes=(f"each is {tell.figure(BIT)} wide, they stand at most {tell.figure(step)} apart",), mend=f"every {tell.figure(USUAL)}")
        return None
    if places[0] - BIT / 2 < lo or places[-1] + BIT / 2 > hi:
        tell.say("PD474", "a pocket runs out at the edge", notes=(f"it is {tell.figure(BIT)} wide, its middle lies {tell.figure(places[0] - lo)} from the edge",), mend=f"ends {tell.figure(END)}")
        return None
    if step > WIDEST:
        tell.say("PD482", f"pocket screws {tell.figure(step)} apart leave the joint open between them", notes=("common practice: 4 to 8 in. (100 to 200 mm) apart",), mend=f"every {tell.figure(USUAL)}")
    # where the axis of the hole comes out of the face
    back = deep / 2 * COSINE / SINE
    pockets, centres = [], []
    for number, place in enumerate(places, 1):
        point = [contact.plane] * 3
        point[run], point[thick] = place, middle
        centre: Point3 = (point[0], point[1], point[2])
        centres.append(centre)
        figures = [f for f in (a.to_datum(run, place, place),) if f is not None]
        note = f"15° to the face, {tell.figure(BIT)} bit, {tell.figure(WEB)} left to the end"
        pockets.append(
            Feature(
                f"{a.path}.pocket{number}[{b.path}]", "screw pocket", face, cuts=(_pocket(centre, entry, face, run, back),), figures=tuple(figures),
                joint=context.id, mate=b.path, row=f"{context.id}.a", centre=centre, note=note, span=tell.span,
            )
        )
    zero = ZERO
    fastening = Fastening("pocket screw", item.name, shank, long, tuple(centres), entry.axis, tell.span)
    joint = Joint(context.id, context.kind, a.path, b.path, entry, entry.opposite, zero, zero, zero, zero, zero, run, thick, area, fasteners=(fastening,), span=tell.span)
    return JointEffect(joint, tuple(pockets), ())


def _meets(context: JointContext, item: HardwareItem, shank: Fraction, middle: Fraction, face: Face) -> bool:
    """Whether the screws enter B where A's middle meets it, with half a shank of wood beside them, and their tips stay in
    it; reported where they do not. They slant away from the face with the pockets."""
    a, b, tell, axis = context.a, context.b, context.tell, face.axis
    lo, hi = context.contact.area.span(axis)
    low, high = lo - (middle - shank / 2), middle + shank / 2 - hi
    if low > 0 or high > 0:
        to, by = (Face(axis, 1), low) if low > 0 else (Face(axis, -1), high)
        step = tell.units.step_mm
        notes = (
            f"they come out of `{a.path}` in the middle of its thickness, {tell.figure(middle - a.shoulder.lo[axis])} from its {tell.face(Face(axis, -1))} face",
            f"`{b.path}` meets it from {tell.figure(lo - a.shoulder.lo[axis])} to {tell.figure(hi - a.shoulder.lo[axis])}, and each takes {tell.figure(shank)}",
        )
        tell.say("PD474", f"the pocket screws miss `{b.path}`", notes=notes, mend=f"move `{a.path}` {tell.figure(-(-by // step) * step)} to the {tell.face(to)}, or hold it with screws through `{b.path}`: joint screw ...")
        return False
    tip = middle - face.side * ((item.size("long") or ZERO) - WEB) * SINE
    out = max(b.shoulder.lo[axis] - tip, tip - b.shoulder.hi[axis])
    if out >= 0:
        tell.say(
            "PD474",
            f"the tips of the pocket screws come out of the {tell.face(face.opposite)} face of `{b.path}`",
            notes=(f"they slant away from the {tell.face(face)} face and end {tell.figure(out)} outside",),
            mend=f"take a shorter one, or pockets on the other face: on {tell.face(face.opposite)}",
        )
        return False
    return True


def _pocket(end: Point3, entry: Face, face: Face, run: int, back: Fraction) -> Prism:
    """The slanting slot: its flat bottom lies WEB from the end along the axis, its mouth outside the face."""
    half = BIT / 2
    points = []
    reach = back / COSINE + 2 * BIT
    for along, off in ((WEB, -half), (reach + WEB, -half), (reach + WEB, half), (WEB, half)):
        away, up = along * COSINE - off * SINE, along * SINE + off * COSINE
        points.append({entry.axis: end[entry.axis] - entry.side * away, face.axis: end[face.axis] + face.side * up})
    return k.loop(run, end[run] - half, end[run] + half, points)


KIND = JointKind(
    name="pocket",
    doc="Screws in slanting pockets of the first part, driven through its end into the second; neither part changes its size.",
    params=(WITH, EVERY, ENDS, ON, DRY),
    extend=unchanged,
    cut=cut,
    example="joint pocket rail into left_side, right_side with short_screw",
)
