"""The resolved plan: what every later pass reads. Frozen, exact, in the order of the plan's text."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from plandoc.cutting.stock import Zone
from plandoc.diagnostics import NOWHERE, Span
from plandoc.geometry.bodies import Body, Box, Face, Point3, Prism
from plandoc.geometry.lean import Lean
from plandoc.quantity import Units
from plandoc.tables.shop import ASSUMED, Shop


@dataclass(frozen=True, slots=True)
class Revision:
    """One row of the revision block. date as written, YYYY-MM-DD."""

    index: str
    date: str
    text: str


@dataclass(frozen=True, slots=True)
class Allowance:
    """What a rough piece is longer and wider than the finished part (mm), to be trimmed off."""

    long: Fraction = Fraction(0)
    wide: Fraction = Fraction(0)

    def __bool__(self) -> bool:
        return bool(self.long or self.wide)


NO_ALLOWANCE = Allowance()


@dataclass(frozen=True, slots=True)
class GlueUp:
    """A part glued up from boards side by side. widths: of the boards as they show in the finished part (mm), from the
    part's reference edge on; they add up to its width. rough: widths to which the boards are ripped before they are
    jointed (mm), in the same order. jointing: what the jointing of one joint takes in width, half of it from each of the
    two edges (mm)."""

    widths: tuple[Fraction, ...]
    rough: tuple[Fraction, ...]
    jointing: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class PlanInfo:
    """Title-block data and wishes for the packet. paper: letter, tabloid, A4, A3; orientation: landscape or
    portrait; projection: third or first; style: a file name in styles/ without its ending; templates: needed (by rule, and those
    that the plan asks for) or asked (only those); kerf and trim (mm): None where those of the shop count. times: minutes by
    word of the table of times, as the plan sets them."""

    title: str
    client: str = ""
    author: str = ""
    date: str = ""
    revisions: tuple[Revision, ...] = ()
    units: Units = field(default_factory=Units)
    paper: str = "letter"
    orientation: str = "landscape"
    projection: str = "third"
    style: str = "shop-inch"
    currency: str = ""
    notes: tuple[str, ...] = ()
    span: Span = NOWHERE
    allowance: Allowance = NO_ALLOWANCE
    templates: str = "needed"
    kerf: Fraction | None = None
    trim: Fraction | None = None
    times: tuple[tuple[str, Fraction], ...] = ()


@dataclass(frozen=True, slots=True)
class Stock:
    """Material to cut from. kind: sheet, lumber, batten, dowel, banding. called and measured: thickness (dowel:
    diameter), mm.

    width and length: of a sheet (mm), length along the grain where grain is "along"; of a batten and of banding only the
    width as measured, called_width as it is sold. lumber: rough thickness in `rough`. boards and rack: (width, length) of
    each board to hand and of each offcut (of battens, dowels and banding the width is that of the stock). defects: zones of
    the boards to hand that are not used, with the number of the board, the first 1. also: further sizes of the sheet that are
    sold, with the price and the number of each where the plan has them. random: least
    and greatest width, least and greatest length of boards that come in random sizes. price per price_unit ("sheet",
    "board foot", "square foot", "square metre", "metre", "foot", "piece"). faces: words for its two faces. density:
    kg/m3 where the plan gives it. allowance: None where the plan's own counts."""

    name: str
    kind: str
    called: Fraction
    measured: Fraction
    description: str = ""
    material: str = ""
    width: Fraction | None = None
    length: Fraction | None = None
    grain: bool = True
    rough: Fraction | None = None
    boards: tuple[tuple[Fraction, Fraction], ...] = ()
    price: Fraction | None = None
    price_unit: str = ""
    span: Span = NOWHERE
    called_width: Fraction | None = None
    rack: tuple[tuple[Fraction, Fraction], ...] = ()
    random: tuple[Fraction, Fraction, Fraction, Fraction] | None = None
    faces: str = ""
    species: str = ""
    density: Fraction | None = None
    allowance: Allowance | None = None
    defects: tuple[tuple[int, Zone], ...] = ()
    also: tuple[tuple[Fraction, Fraction, Fraction | None, int | None], ...] = ()

    @property
    def widest(self) -> Fraction | None:
        """Width of the widest board to hand (mm), None where no boards are named."""
        widths = [width for width, _ in self.boards + self.rack] + ([self.random[1]] if self.random else [])
        return max(widths, default=None) if self.boards or self.random else None

    @property
    def longest(self) -> Fraction | None:
        """Length of the longest board to hand (mm), None where no boards are named."""
        lengths = [length for _, length in self.boards + self.rack] + ([self.random[3]] if self.random else [])
        return max(lengths, default=None) if self.boards or self.random else None


@dataclass(frozen=True, slots=True)
class Figure:
    """One measure that a drawing must print. Along `axis` from coordinate `lo` to `hi` (world mm, lo < hi).

    role: "size" (of a feature), "place" (from the datum to a feature), "depth" (into the part), "band" (its thickness). `datum` is true
    for the end (lo: -1, hi: +1, none: 0) that lies on the part's reference face."""

    axis: int
    lo: Fraction
    hi: Fraction
    role: str
    datum: int = 0


@dataclass(frozen=True, slots=True)
class Feature:
    """One piece of work on one part.

    kind: the trade's word (dado, groove, rabbet, slide, notch, pocket, hole, finger, lettering, tongue, pin hole).
    cuts are taken from the part, adds were added to its shoulder box (tongues). face: the face it is worked from
    (None for a tongue). figures: measures that the part drawing prints. repeat: features of a row share the same
    non-empty `row` name and are dimensioned together. For round work `diameter` and `depth` (None = through)
    feed the hole note, `centre` is its centre on the face. For lettering: text, height (cap height), its middle at
    `centre`, reading along `reading` (axis, side). leaders: words that the part drawing prints by a leader to a point
    (the radius of an arc, the angle of a cut). An edge band has one figure of the role `band`, its thickness."""

    id: str
    kind: str
    face: Face | None
    cuts: tuple[Body, ...] = ()
    adds: tuple[Prism, ...] = ()
    figures: tuple[Figure, ...] = ()
    joint: str = ""
    mate: str = ""
    row: str = ""
    diameter: Fraction | None = None
    depth: Fraction | None = None
    through: bool = False
    centre: Point3 | None = None
    text: str = ""
    height: Fraction | None = None
    reading: Face | None = None
    note: str = ""
    span: Span = NOWHERE
    leaders: tuple[tuple[Point3, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """One physical part in its place.

    path: unique name such as `left_side` or `tray[2].blank`. name: words for lists. shoulder: the box between
    shoulders; box: the finished box with tongues (what the saw cuts). Axes: length_axis (along the grain),
    width_axis, thickness_axis. datum: per world axis the side (-1 or +1) whose face is the reference face for
    that axis. mark: the part mark, shared by identical parts. assembly: path of the enclosing assembly instance,
    "" for the plan itself. loose: no place in the world (a cut list row): box starts at the origin. count > 1
    only for loose parts. lean: None, or the motion that carries the part from where it would stand straight, in which all
    its boxes and features are told, to where it stands; room: the box around it there."""

    path: str
    name: str
    stock: Stock
    shoulder: Box
    box: Box
    length_axis: int
    width_axis: int
    thickness_axis: int
    features: tuple[Feature, ...] = ()
    datum: tuple[int, int, int] = (-1, -1, -1)
    mark: str = ""
    assembly: str = ""
    loose: bool = False
    count: int = 1
    mirrors: str = ""
    note: str = ""
    span: Span = NOWHERE
    lean: Lean | None = None
    room: Box | None = None
    allowance: Allowance = NO_ALLOWANCE
    glue_up: GlueUp | None = None

    @property
    def stands(self) -> Box:
        """The room that it takes in the world: its box, or that around a leaning part (mm)."""
        return self.box if self.room is None else self.room

    @property
    def length(self) -> Fraction:
        """Finished size along the grain (mm)."""
        return self.box.size(self.length_axis)

    @property
    def width(self) -> Fraction:
        """Finished size across the grain (mm)."""
        return self.box.size(self.width_axis)

    @property
    def thickness(self) -> Fraction:
        """Finished thickness (mm)."""
        return self.box.size(self.thickness_axis)

    @property
    def rough_length(self) -> Fraction:
        """Length of the rough piece (mm): finished length and allowance."""
        return self.length + self.allowance.long

    @property
    def rough_width(self) -> Fraction:
        """Width of the rough piece, of a glued-up part that of the panel before it is trimmed (mm)."""
        return self.width + self.allowance.wide

    @property
    def rough_thickness(self) -> Fraction:
        """Thickness of the stock before it is planed (mm); of stock that is not planed as measured."""
        return self.stock.rough if self.stock.rough is not None else self.stock.measured


@dataclass(frozen=True, slots=True)
class Joint:
    """A enters B. entry: direction in which A moves to go in (as a face direction: the face of A that leads).

    face: face of B that is entered. depth: how far A goes in; cut_depth: depth of the channel in B (depth plus
    clearance). width: channel width (A's thickness plus fit). run_axis: direction of the channel. glued: false
    for a sliding joint. edge: the channel is open along an edge of B (a rabbet). stop_lo/stop_hi: material left
    standing at the low and high end of the run (mm, 0 = through). ways: the directions in which A can leave B again,
    where they do not follow from the rest: A of a dovetail or a cross lap. askew: one
    of the parts leans. Where both lean alike the record is told as if both stood straight, like their features; where they
    lean differently, channel is the box around the common area in the world, without a depth. dry: the plan says that no glue
    goes in."""

    id: str
    kind: str
    a: str
    b: str
    entry: Face
    face: Face
    depth: Fraction
    cut_depth: Fraction
    width: Fraction
    fit: Fraction
    clearance: Fraction
    run_axis: int
    thickness_axis: int
    channel: Box
    glued: bool = True
    edge: bool = False
    stop_lo: Fraction = Fraction(0)
    stop_hi: Fraction = Fraction(0)
    fasteners: tuple[Fastening, ...] = ()
    span: Span = NOWHERE
    ways: tuple[Face, ...] = ()
    askew: bool = False
    dry: bool = False


@dataclass(frozen=True, slots=True)
class Fastening:
    """What holds a joint beside glue. kind: dowel, screw, pocket screw, biscuit, peg, plug, spline, key, loose tenon. item: name
    of the hardware item; of splines and keys, which are made, their words and sizes. centres: world points, of pins and screws on the face that they go in at, of biscuits and the
    like in the plane where the parts meet. axis: drilling direction. blind: it lies hidden between the parts, some of it in
    each, and is set before they are closed. from_a: it goes through A into B, not through B into A."""

    kind: str
    item: str
    diameter: Fraction
    length: Fraction
    centres: tuple[Point3, ...]
    axis: int
    span: Span = NOWHERE
    blind: bool = False
    from_a: bool = False


@dataclass(frozen=True, slots=True)
class HardwareItem:
    """A bought thing. kind: slide, pull, screw, dowel, ... sizes: named lengths (mm), e.g. long, side, bore,
    spaced. unit: how it is counted and priced: each or pair. numbers: named plain numbers, e.g. screws, coats, and
    covers (mm2). screw: name of the screw item that its `screws` are counted under, "" where they come with it."""

    name: str
    kind: str
    description: str
    sizes: tuple[tuple[str, Fraction], ...] = ()
    unit: str = "each"
    price: Fraction | None = None
    load_kg: Fraction | None = None
    span: Span = NOWHERE
    numbers: tuple[tuple[str, Fraction], ...] = ()
    screw: str = ""

    def number(self, name: str) -> Fraction | None:
        """A named plain number, None where the item has none of that name."""
        return dict(self.numbers).get(name)

    def size(self, name: str) -> Fraction | None:
        """A named length (mm), None where the item has none of that name."""
        return dict(self.sizes).get(name)


@dataclass(frozen=True, slots=True)
class Fitting:
    """Hardware put on parts. parts: their paths. quantity in the item's unit. box: room it takes, world mm
    (None where unknown); rooms: its pieces where it sits in several places. points: screw or bore centres in world mm.
    area: surface that it is spread on (mm2, one coat), for what is counted by area."""

    id: str
    item: str
    parts: tuple[str, ...]
    quantity: int
    box: Box | None = None
    points: tuple[Point3, ...] = ()
    assembly: str = ""
    span: Span = NOWHERE
    rooms: tuple[Box, ...] = ()
    area: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Motion:
    """`target` (assembly path or part path) opens in direction `face` by `travel` mm; or, where `swing` is not 0, turns by
    so many degrees about the edge through `pivot` along `axis`, counter-clockwise seen against the axis; `face` is then
    the side to which it opens and `travel` the reach of its free edge. lean: as of a part: face, pivot and axis are told as
    if it stood straight."""

    target: str
    face: Face
    travel: Fraction
    span: Span = NOWHERE
    swing: Fraction = Fraction(0)
    pivot: Point3 | None = None
    axis: int = 0
    lean: Lean | None = None


@dataclass(frozen=True, slots=True)
class SectionWish:
    """A section normal to `axis` at a coordinate (mm); `look` is the direction of sight."""

    axis: int
    at: Fraction
    look: Face
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class TemplateWish:
    """Whether the plan asks for a full-size template of a part (its path) or wants none."""

    part: str
    wanted: bool
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class RoutingWish:
    """A part (its path) that a router led by numbers is to work. bits: diameters of the straight bits, drills: those of the
    drills (mm). face: the face that lies up, None for each with work. out: it is cut out of a larger blank. clamps: edges
    that clamps may take, and how far they reach in from there (mm); none where the program looks for room. letters: angle
    (degrees, from side to side) of the V-bit that cuts lettering, None where it is left to other tools."""

    part: str
    bits: tuple[Fraction, ...]
    drills: tuple[Fraction, ...] = ()
    face: Face | None = None
    out: bool = False
    clamps: tuple[tuple[Face, Fraction], ...] = ()
    span: Span = NOWHERE
    clamps_span: Span = NOWHERE
    letters: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the procedure. Paths of parts, ids of joints and fittings; texts with numbers already put in.

    kinds: keys of the trade's operations that the step takes part in; machines: for each of them the key of the machine
    that does it; choices: which machine of the shop does what, and why; glue: area, time and clamps of what it glues. All
    filled in by the procedure."""

    number: int
    title: str
    cuts: tuple[str, ...] = ()
    makes: tuple[str, ...] = ()
    joins: tuple[str, ...] = ()
    fits: tuple[str, ...] = ()
    texts: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    waits: tuple[str, ...] = ()
    author: bool = True
    span: Span = NOWHERE
    kinds: tuple[str, ...] = ()
    machines: tuple[str, ...] = ()
    glue: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Assembly:
    """An assembly instance. path "" is the whole plan. parts: paths of its own parts; children: paths of nested
    instances. name: words for lists."""

    path: str
    name: str
    parts: tuple[str, ...]
    children: tuple[str, ...]
    definition: str = ""
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class Model:
    """The whole plan, resolved and exact."""

    info: PlanInfo
    stocks: tuple[Stock, ...] = ()
    parts: tuple[Part, ...] = ()
    joints: tuple[Joint, ...] = ()
    hardware: tuple[HardwareItem, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    motions: tuple[Motion, ...] = ()
    sections: tuple[SectionWish, ...] = ()
    steps: tuple[Step, ...] = ()
    assemblies: tuple[Assembly, ...] = ()
    values: tuple[tuple[str, str], ...] = ()
    source_digest: str = ""
    templates: tuple[TemplateWish, ...] = ()
    named_shop: Shop | None = None
    routings: tuple[RoutingWish, ...] = ()

    @property
    def shop(self) -> Shop:
        """The shop that the plan names, else the one that is assumed for its units."""
        return self.named_shop or ASSUMED["inch" if self.info.units.system == "inch" else "mm"]

    def part(self, path: str) -> Part:
        """The part of that path. Raises KeyError."""
        for part in self.parts:
            if part.path == path:
                return part
        raise KeyError(path)

    @property
    def placed(self) -> tuple[Part, ...]:
        """Parts that have a place (loose ones left out)."""
        return tuple(p for p in self.parts if not p.loose)

    @property
    def box(self) -> Box | None:
        """Overall box of the placed parts, None where there is none."""
        box: Box | None = None
        for part in self.placed:
            box = part.stands if box is None else box.union(part.stands)
        return box
