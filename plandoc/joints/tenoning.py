"""Where a tenon and its mortise lie: sizes from the plan's words, in world mm."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.geometry.bodies import Box, Face
from plandoc.joints import arguments as a
from plandoc.model.kinds import JointContext
from plandoc.quantity import INCH

DRAW = INCH / 16  # how far the mortise of a key begins inside the outer face, so that the key pulls (common practice)


Gap = tuple[int, Fraction, Fraction]


def _parted(box: Box, gap: Gap | None) -> tuple[Box, ...]:
    if gap is None:
        return (box,)
    axis, lo, hi = gap
    return box.with_span(axis, box.lo[axis], lo), box.with_span(axis, hi, box.hi[axis])


@dataclass(frozen=True, slots=True)
class Tenon:
    """A tenon and what it enters. thick: axis of its thickness; run: axis of its width. body: the tenon beyond A's
    shoulder; haunch: the short piece beside it; mortise and groove: their room in B, with fit and clearance. end: the end
    of B that is nearer to A along the run. loose: a piece of its own, with `slot` as its mortise in A. Of twin tenons body
    and mortise are the room of both; gap: the air between them on A, wood: what stands between their mortises in B (axis and
    span)."""

    entry: Face
    thick: int
    run: int
    body: Box
    mortise: Box
    end: Face
    through: bool = False
    haunch: Box | None = None
    groove: Box | None = None
    slot: Box | None = None
    tip: Face | None = None
    keys: tuple[Box, ...] = ()
    gap: Gap | None = None
    wood: Gap | None = None

    @property
    def bodies(self) -> tuple[Box, ...]:
        """Each tenon."""
        return _parted(self.body, self.gap)

    @property
    def mortises(self) -> tuple[Box, ...]:
        """The mortise of each tenon."""
        return _parted(self.mortise, self.wood)

    @property
    def loose(self) -> bool:
        """Whether the tenon is a piece of its own."""
        return self.slot is not None


def tenon(context: JointContext) -> Tenon | None:
    """The tenon that the plan's words ask for. None (after a report) where they do not allow one."""
    part, entry, tell = context.a, context.contact.entry, context.tell
    thick = part.thickness_axis
    if entry.axis == thick:
        tell.say(
            "PD320", f"the face of `{part.path}` lies on `{context.b.path}`, only an edge or an end can carry a tenon",
            notes=(f"`{part.path}` is {tell.figure(part.shoulder.size(thick))} thick in the direction {tell.way(thick)}",),
            mend="use `butt`, or let the other part carry the tenon",
        )  # fmt: skip
        return None
    run = 3 - entry.axis - thick
    cheeks = _cheeks(context, thick)
    if cheeks is None:
        return None
    end = _near_end(context, run)
    edges = _edges(context, run, cheeks, end)
    if edges is None:
        return None
    depth = _depth(context)
    if depth is None:
        return None
    deep, reach, bottom = depth
    plane, side = context.contact.plane, entry.side
    section = part.shoulder.with_span(thick, *cheeks).with_span(run, *edges)
    slip = a.item(context, "loose")
    body = section.with_span(entry.axis, *sorted((plane, plane + side * reach)))
    fit, datum = a.length(context, "fit"), context.b.datum
    mortise = section.with_span(thick, *a.loose_span(*cheeks, fit, datum[thick])).with_span(run, *a.loose_span(*edges, fit, datum[run]))
    mortise = mortise.with_span(entry.axis, *sorted((plane, plane + side * bottom)))
    through = bool(context.args.get("through"))
    parted = _gap(context, body, thick, run)
    if parted is None:
        return None
    gap, wood = parted
    found = Tenon(entry, thick, run, body, mortise, end, through, gap=gap, wood=wood)
    if not _inside(context, found):
        return None
    if slip is not None:
        return _loose(context, found, deep)
    haunched = _haunch(context, found)
    if haunched is None:
        return None
    tip, keys = _tip(context, found), _keys(context, found)
    if isinstance(tip, bool) or keys is None:
        return None
    return replace(found, haunch=haunched[0], groove=haunched[1], tip=tip, keys=keys)


def _gap(context: JointContext, body: Box, thick: int, run: int) -> tuple[Gap | None, Gap | None] | None:
    """What lies between twin tenons, and the wood between their mortises, which is less by the fit, away from B's
    reference face; None after a report."""
    apart, abreast, tell = a.given(context, "twin"), a.given(context, "abreast"), context.tell
    if apart is not None and abreast is not None:
        tell.say("PD371", "twin tenons lie side by side in the width (`twin`) or in the thickness (`abreast`)", mend="leave one of the two out")
        return None
    between = apart if apart is not None else abreast
    if between is None:
        return None, None
    axis, fit = run if apart is not None else thick, a.length(context, "fit")
    lo, hi = body.span(axis)
    if between <= fit or between >= hi - lo:
        notes = (f"together they are {tell.figure(hi - lo)} {'wide' if axis == run else 'thick'}, {tell.figure(between)} apart" + (f", with a fit of {tell.figure(fit)}" if fit else ""),)
        tell.say("PD370", "twin tenons need wood for both, and wood between their mortises", notes=notes, mend=f"{'twin' if axis == run else 'abreast'} {tell.below((hi - lo) / 3)}")
        return None
    start = (lo + hi - between) / 2
    stop = start + between
    return (axis, start, stop), (axis, start + fit, stop) if context.b.datum[axis] < 0 else (axis, start, stop - fit)


def slack(context: JointContext) -> Fraction:
    """The room left at the bottom of a blind mortise (mm)."""
    return Fraction(0) if context.args.get("through") else a.length(context, "clearance")


def _cheeks(context: JointContext, thick: int) -> tuple[Fraction, Fraction] | None:
    """From where to where the tenon's thickness reaches: a third of A's unless the plan says more, in the middle of it
    or `set` behind a face."""
    part, tell = context.a, context.tell
    room = part.shoulder.size(thick)
    slip = a.item(context, "loose")
    inches = tell.units.system == "inch"
    size = next(iter(a.lengths(context, "sized")), slip.size("thick") if slip is not None else None)
    abreast = a.given(context, "abreast")
    if size is None and abreast is not None:
        # two tenons with shoulders as thick as they are (common practice)
        size = (room - abreast) / 2 if context.args.get("whole") else a.tool((room - abreast) / 4, inches)
    if size is None:
        size = room if context.args.get("whole") else a.tool(room / 3, inches)
    if abreast is not None:
        size = 2 * size + abreast
    lo, hi = part.shoulder.span(thick)
    behind, side = a.given(context, "set"), a.face(context, "from")
    if side is not None and side.axis != thick:
        names = f"{tell.face(Face(thick, -1))} or {tell.face(Face(thick, 1))}"
        tell.say("PD371", f"a tenon is set back from a face of `{context.a.path}`, that is from {names}", notes=(f"the plan says {tell.face(side)}",), mend=f"from {tell.face(Face(thick, -1))}")
        return None
    if behind is None:
        start = (lo + hi - size) / 2
    else:
        at = side or Face(thick, part.datum[thick])
        start = lo + behind if at.side < 0 else hi - behind - size
    if size <= 0 or start < lo or start + size > hi:
        notes = (f"tenon {tell.figure(size)}" + (f", set {tell.figure(behind)} back" if behind is not None else ""), f"`{part.path}` is {tell.figure(room)} thick there")
        tell.say("PD370", f"the tenon is thicker than `{part.path}` allows", notes=notes, mend=f"a third of the thickness is usual: sized {tell.figure(a.tool(room / 3, inches))}")
        return None
    return start, start + size


def _near_end(context: JointContext, run: int) -> Face:
    """The end of B along the run that lies nearer to A's edge."""
    part, other = context.a.shoulder, context.b.shoulder
    low, high = part.lo[run] - other.lo[run], other.hi[run] - part.hi[run]
    return Face(run, -1 if low < high else 1)


def _edges(context: JointContext, run: int, cheeks: tuple[Fraction, Fraction], end: Face) -> tuple[Fraction, Fraction] | None:
    """From where to where the tenon's width reaches.

    Where the plan is silent the edges get the shoulders that the faces have (a read example: 2 in. rail of 3/4 in. stock,
    tenon 1/4 x 1 1/2 in., so 1/4 in. all round); a haunch takes the place of the shoulder on its edge."""
    part, tell = context.a, context.tell
    lo, hi = part.shoulder.span(run)
    sized, shoulders = a.lengths(context, "sized"), a.lengths(context, "shoulders")
    width = sized[1] if len(sized) > 1 else None
    slip = a.item(context, "loose")
    if slip is not None and width is None and not shoulders:
        width = slip.size("wide")
    apart = a.given(context, "twin")
    if width is not None and apart is not None:
        width = 2 * width + apart
    if width is not None and shoulders:
        tell.say("PD371", "a tenon has its width by `sized` or by `shoulders`, not by both", mend=f"sized {tell.figure(sized[0])}, or leave `shoulders` out")
        return None
    if len(shoulders) > 2:
        tell.say("PD371", f"a tenon has two edges, here are {len(shoulders)} shoulders", mend=f"shoulders {tell.figure(shoulders[0])}, {tell.figure(shoulders[1])}")
        return None
    around = (part.shoulder.size(part.thickness_axis) - (cheeks[1] - cheeks[0])) / 2
    haunch = a.lengths(context, "haunched")
    if width is not None and haunch:
        low = high = hi - lo - width - haunch[0]  # the other edge has what is left
    elif width is not None:
        low = high = (hi - lo - width) / 2
    elif shoulders:
        low, high = shoulders[0], shoulders[-1]
        if part.datum[run] > 0:  # a mirror image, or a part turned round
            low, high = high, low
    else:
        low = high = around
    if haunch:
        low, high = (haunch[0], high) if end.side < 0 else (low, haunch[0])
    if low < 0 or high < 0 or lo + low >= hi - high:
        tell.say(
            "PD370", f"the tenon is wider than `{part.path}` allows, or nothing of it is left",
            notes=(f"`{part.path}` is {tell.figure(hi - lo)} wide there, shoulders {tell.figure(low)} and {tell.figure(high)}",), mend=f"shoulders {tell.below((hi - lo) / 8)}",
        )  # fmt: skip
        return None
    return lo + low, hi - high


def _depth(context: JointContext) -> tuple[Fraction, Fraction, Fraction] | None:
    """How far the tenon enters, how long it is beyond the shoulder, how deep the mortise is (mm)."""
    tell, entry, other = context.tell, context.contact.entry, context.b
    room = other.shoulder.size(entry.axis)
    deep, slip = a.given(context, "deep"), a.item(context, "loose")
    through = bool(context.args.get("through"))
    proud, clearance = a.length(context, "proud"), slack(context)
    if through and (deep is not None or slip is not None):
        tell.say("PD371", "a through tenon is as long as the other part is thick", mend="leave `deep` out, or `through`" if deep is not None else "leave `through` out: a loose tenon is hidden")
        return None
    if proud and not through:
        tell.say("PD371", "only a through tenon can stand proud", mend="say `through` too, or leave `proud` out")
        return None
    if through:
        return room, room + proud, room
    if deep is None and slip is not None:
        deep = (slip.size("long") or Fraction(0)) / 2
    if deep is None:
        tell.say("PD371", "a tenon needs its length", notes=(f"`{other.path}` is {tell.figure(room)} thick there; common practice: half to two thirds",), mend=f"deep {tell.below(room * 2 / 3)}, or `through`")
        return None
    if deep <= 0 or deep + clearance >= room:
        notes = (f"`{other.path}` is {tell.figure(room)} thick there", f"mortise {tell.figure(deep + clearance)} deep")
        tell.say("PD372", f"a blind mortise of that depth does not fit into `{other.path}`", notes=notes, mend=f"two thirds of the thickness at most: deep {tell.below(room * 2 / 3)}, or say `through`")
        return None
    return deep, deep, deep + clearance


def _inside(context: JointContext, found: Tenon) -> bool:
    """Whether the mortise has wood of B at its sides and its ends."""
    other, tell = context.b, context.tell
    for axis in (found.thick, found.run):
        for side in (-1, 1):
            at = Face(axis, side)
            beyond = (found.mortise.at(at) - other.shoulder.at(at)) * side
            if beyond < 0:
                continue
            where = f"it reaches {tell.figure(beyond)} past the {tell.face(at)} face" if beyond else f"it reaches the {tell.face(at)} face"
            mend = "move the tenon with `set`, or make it thinner" if axis == found.thick else "give a shoulder or a haunch there: shoulders ..., or haunched WIDE x LONG"
            tell.say("PD373", f"the mortise is open at a side of `{other.path}`", notes=(where,), mend=mend)
            return False
    return True


def _loose(context: JointContext, found: Tenon, deep: Fraction) -> Tenon | None:
    """A piece of its own in two mortises: B's is `deep`, A's takes the rest of its length."""
    slip, tell, part, entry = a.item(context, "loose"), context.tell, context.a, found.entry
    assert slip is not None
    if slip.kind != "slip" or slip.size("wide") is None:
        tell.say("PD371", f"`{slip.name}` is no loose tenon", notes=(f"it is a {slip.kind}; a slip has thickness x width x length",), mend='hardware strip slip 1/4" x 1 1/2" x 2", and here: loose strip')
        return None
    unfit = next((word for word in ("haunched", "mitred", "keyed", "proud", "pegged", "twin", "abreast") if context.args.get(word)), "")
    if unfit:
        tell.say("PD371", f"a loose tenon cannot be {unfit}", mend=f"leave `{unfit}` out")
        return None
    rest = (slip.size("long") or Fraction(0)) - deep
    if rest <= 0 or rest + slack(context) >= part.shoulder.size(entry.axis):
        tell.say("PD372", f"the mortise in `{part.path}` cannot be {tell.figure(rest)} deep", notes=(f"the loose tenon is {tell.figure(slip.size('long') or Fraction(0))} long, {tell.figure(deep)} of it in `{context.b.path}`",), mend="deep ..., or another length of tenon")
        return None
    plane = context.contact.plane
    slot = found.mortise.with_span(entry.axis, *sorted((plane, plane - entry.side * (rest + slack(context)))))
    body = found.body.with_span(entry.axis, *sorted((plane - entry.side * rest, plane + entry.side * deep)))
    return Tenon(entry, found.thick, found.run, body, found.mortise, found.end, slot=slot)


def _haunch(context: JointContext, found: Tenon) -> tuple[Box | None, Box | None] | None:
    """The haunch between the tenon and A's edge, and its groove in B, open where A's edge is flush with B's end."""
    size = a.lengths(context, "haunched")
    if not size:
        return None, None
    tell, entry, end, run = context.tell, found.entry, found.end, found.run
    long = size[1] if len(size) > 1 else Fraction(0)
    deep = found.mortise.size(entry.axis)
    if long <= 0 or long + slack(context) >= deep:
        tell.say("PD374", "the haunch is as long as the tenon, or has no length", notes=(f"haunch {tell.figure(long)}, mortise {tell.figure(deep)} deep",), mend=f"common practice: a quarter to a third of the tenon: haunched {tell.figure(size[0])} x {tell.below(deep / 3)}")
        return None
    plane = context.contact.plane
    edge, other = context.a.shoulder.at(end), context.b
    body = found.body.with_span(run, *sorted((found.body.at(end), edge))).with_span(entry.axis, *sorted((plane, plane + entry.side * long)))
    flush = (edge - other.shoulder.at(end)) * end.side >= 0
    far = other.box.at(end) if flush else edge + (found.mortise.at(end) - found.body.at(end))
    groove = found.mortise.with_span(run, *sorted((found.mortise.at(end), far))).with_span(entry.axis, *sorted((plane, plane + entry.side * (long + slack(context)))))
    return body, groove


def _tip(context: JointContext, found: Tenon) -> Face | bool | None:
    """The cheek that a mitre at the tip makes shorter; False after a report."""
    tip = a.face(context, "mitred")
    if tip is None:
        return None
    if tip.axis != found.thick:
        names = f"{context.tell.face(Face(found.thick, -1))} or {context.tell.face(Face(found.thick, 1))}"
        context.tell.say("PD371", f"`mitred` names the shorter cheek of the tenon, on the side of the other rail: {names}", notes=(f"the plan says {context.tell.face(tip)}",), mend=f"mitred {context.tell.face(Face(found.thick, 1))}")
        return False
    if found.through or found.body.size(found.thick) >= found.body.size(found.entry.axis) or (found.gap is not None and found.gap[0] == found.thick):
        context.tell.say("PD371", "the tip cannot be mitred", notes=("a through tenon, one shorter than it is thick, or two abreast",), mend="leave `mitred` out")
        return False
    return tip


def _keys(context: JointContext, found: Tenon) -> tuple[Box, ...] | None:
    """The mortise of a wedge key through the cheeks of each tenon that stands proud; None after a report."""
    size = a.lengths(context, "keyed")
    if not size:
        return ()
    tell, entry, run = context.tell, found.entry, found.run
    wide, long = size[0], size[-1]
    proud = a.length(context, "proud")
    # tenons abreast share one key
    bodies = found.bodies if found.gap is not None and found.gap[0] == run else (found.body,)
    room = bodies[0].size(run)
    if not found.through or proud <= long or wide >= room or wide <= 0 or long <= 0:
        tell.say("PD375", "the key finds no wood to go through", notes=(f"tenon {tell.figure(room)} wide, it stands {tell.figure(proud)} proud", f"key {tell.figure(wide)} x {tell.figure(long)}"), mend="common practice: a key at most a third of the tenon's width, and as much wood again beyond it: through proud ...")
        return None
    outside = context.b.shoulder.at(entry)
    made = []
    for body in bodies:
        middle = (body.lo[run] + body.hi[run]) / 2
        made.append(body.with_span(run, middle - wide / 2, middle + wide / 2).with_span(entry.axis, *sorted((outside - entry.side * DRAW, outside + entry.side * long))))
    return tuple(made)
