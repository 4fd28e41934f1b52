"""A small cabinet made by hand from model entities: every kind of statement that a drawing has to cope with.

World inches (turned into exact millimetres by `inch`): 24 wide, 12 deep without the drawer front, 30 high.
Invented piece; sizes are chosen so that the tests can do the sums in their head.
"""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import ACROSS, BACK, UP, Box, Disc, Face, Point3, Prism, box_prism
from plandoc.model.entities import (
    Assembly,
    Feature,
    Figure,
    Fitting,
    HardwareItem,
    Joint,
    Model,
    Motion,
    Part,
    PlanInfo,
    Revision,
    SectionWish,
    Step,
    Stock,
)
from plandoc.quantity import INCH


def inch(count: int | str | Fraction) -> Fraction:
    """Exact millimetres of a count of inches: 24, "23/32", "1/4"."""
    return Fraction(count) * INCH


WIDE, DEEP, HIGH = inch(24), inch(12), inch(30)
T = inch("23/32")  # measured thickness of the panel stock
TB = inch("7/32")  # measured thickness of the back
DADO = inch("1/4")  # how far a shelf enters a side
CUT = inch("9/32")  # depth of the dado: 1/32 clearance below the shelf's end
LAP = inch("3/8")  # how far top and back enter their rabbets
TOE_DEEP, TOE_HIGH = inch("5/2"), inch(4)
SHELF_UP = inch(22)
PIN = inch("1/4")
PIN_DEEP = inch("3/8")
PINS_UP = tuple(inch(n) for n in (8, 10, 12, 14))
PINS_BACK = inch(2)
GAP = inch("1/16")
BORE = inch("3/16")
BORE_SPACED = inch(4)

PANEL = Stock(
    "panel", "sheet", inch("3/4"), T, description="birch plywood", material="birch plywood",
    width=inch(48), length=inch(96), price=Fraction(78), price_unit="sheet",
)
BACKING = Stock(
    "backing", "sheet", inch("1/4"), TB, description="birch plywood", material="birch plywood",
    width=inch(48), length=inch(96), price=Fraction(31), price_unit="sheet",
)


def _box(x: tuple[Fraction, Fraction], y: tuple[Fraction, Fraction], z: tuple[Fraction, Fraction]) -> Box:
    return Box((x[0], y[0], z[0]), (x[1], y[1], z[1]))


ZERO = Fraction(0)


def _side(path: str, mark: str, name: str, inner: Face) -> Part:
    """A side whose inner face looks in direction `inner`; worked from that face."""
    x0 = ZERO if inner.side > 0 else WIDE - T
    box = _box((x0, x0 + T), (ZERO, DEEP), (ZERO, HIGH))
    surface = box.at(inner)

    def into(depth: Fraction) -> tuple[Fraction, Fraction]:
        return (surface - depth, surface) if inner.side > 0 else (surface, surface + depth)

    def deep(depth: Fraction) -> Figure:
        lo, hi = into(depth)
        return Figure(ACROSS, lo, hi, "depth")

    def channel(what: str, up: Fraction, joint: str) -> Feature:
        return Feature(
            f"{path}.{what}", "dado", inner,
            cuts=(box_prism(_box(into(CUT), (ZERO, DEEP), (up, up + T))),),
            figures=(Figure(UP, ZERO, up, "place", -1), Figure(UP, up, up + T, "size"), deep(CUT)),
            joint=joint, mate=what, depth=CUT, through=True,
        )  # fmt: skip

    features = [
        Feature(
            f"{path}.toe", "notch", Face(BACK, -1),
            cuts=(box_prism(_box(box.span(ACROSS), (ZERO, TOE_DEEP), (ZERO, TOE_HIGH)), ACROSS),),
            figures=(Figure(BACK, ZERO, TOE_DEEP, "size", -1), Figure(UP, ZERO, TOE_HIGH, "size", -1)),
            through=True, note="toe space",
        ),
        channel("bottom", TOE_HIGH, f"{path}-bottom"),
        channel("shelf", SHELF_UP, f"{path}-shelf"),
        Feature(
            f"{path}.top", "rabbet", inner,
            cuts=(box_prism(_box(into(LAP), (ZERO, DEEP), (HIGH - T, HIGH))),),
            figures=(Figure(UP, HIGH - T, HIGH, "size"), deep(LAP)),
            joint=f"{path}-top", mate="top", depth=LAP, through=True,
        ),
        Feature(
            f"{path}.back", "rabbet", inner,
            cuts=(box_prism(_box(into(LAP), (DEEP - TB, DEEP), (ZERO, HIGH))),),
            figures=(Figure(BACK, DEEP - TB, DEEP, "size"), deep(LAP)),
            joint=f"{path}-back", mate="back", depth=LAP, through=True,
        ),
    ]  # fmt: skip
    for number, up in enumerate(PINS_UP, 1):
        lo, hi = into(PIN_DEEP)
        features.append(
            Feature(
                f"{path}.pins.{number}", "pin hole", inner,
                cuts=(Prism(ACROSS, lo, hi, Disc((PINS_BACK, up), PIN / 2)),),
                figures=(Figure(BACK, ZERO, PINS_BACK, "place", -1), Figure(UP, ZERO, up, "place", -1)),
                row=f"{path}.pins", diameter=PIN, depth=PIN_DEEP, centre=(surface, PINS_BACK, up),
            )
        )
    return Part(
        path, name, PANEL, box, box, UP, BACK, ACROSS, tuple(features),
        datum=(-inner.side, -1, -1), mark=mark, mirrors="left_side" if inner.side < 0 else "",
    )  # fmt: skip


def _between(
    path: str, mark: str, name: str, stock: Stock, enters: Fraction, y: tuple[Fraction, Fraction],
    z: tuple[Fraction, Fraction], axes: tuple[int, int, int],
) -> Part:  # fmt: skip
    """A part between the sides, with a tongue of full thickness at both ends."""
    shoulder = _box((T, WIDE - T), y, z)
    box = shoulder.with_span(ACROSS, T - enters, WIDE - T + enters)
    tongues = []
    for side, span in (("left", (T - enters, T)), ("right", (WIDE - T, WIDE - T + enters))):
        tongues.append(
            Feature(
                f"{path}.{side}", "tongue", None,
                adds=(box_prism(shoulder.with_span(ACROSS, *span)),),
                joint=f"{side}_side-{path}", mate=f"{side}_side",
            )
        )
    length, width, thickness = axes
    return Part(path, name, stock, shoulder, box, length, width, thickness, tuple(tongues), mark=mark)


def _front() -> Part:
    z0, z1 = SHELF_UP + GAP, HIGH - GAP
    box = _box((GAP, WIDE - GAP), (-T, ZERO), (z0, z1))
    outside = Face(BACK, -1)
    middle, mid_up = WIDE / 2, (z0 + z1) / 2
    bores = []
    for number, x in enumerate((middle - BORE_SPACED / 2, middle + BORE_SPACED / 2), 1):
        bores.append(
            Feature(
                f"drawer_front.pull.{number}", "hole", outside,
                cuts=(Prism(BACK, -T, ZERO, Disc((x, mid_up), BORE / 2)),),
                figures=(Figure(ACROSS, GAP, x, "place", -1), Figure(UP, z0, mid_up, "place", -1)),
                row="drawer_front.pull", diameter=BORE, through=True, centre=(x, -T, mid_up),
            )
        )
    base: Point3 = (inch(3), -T, z0 + inch(1))
    lettering = Feature(
        "drawer_front.word", "lettering", outside,
        figures=(Figure(ACROSS, GAP, base[0], "place", -1), Figure(UP, z0, base[2], "place", -1)),
        depth=inch("1/16"), centre=base, text="TOOLS", height=inch(1), reading=Face(ACROSS, 1),
    )  # fmt: skip
    return Part(
        "drawer_front", "drawer front", PANEL, box, box, ACROSS, UP, BACK, (*bores, lettering), mark="F"
    )


def _joint(side: str, a: str, kind: str, depth: Fraction, cut: Fraction, channel: Box, run: int, thick: int) -> Joint:
    inner = Face(ACROSS, 1 if side == "left" else -1)
    return Joint(
        f"{side}_side-{a}", kind, a, f"{side}_side", inner.opposite, inner, depth, cut,
        channel.size(thick), ZERO, cut - depth, run, thick, channel, edge=kind == "rabbet",
    )  # fmt: skip


def _joints() -> tuple[Joint, ...]:
    found = []
    for side in ("left", "right"):
        def into(deep: Fraction, side: str = side) -> tuple[Fraction, Fraction]:
            return (T - deep, T) if side == "left" else (WIDE - T, WIDE - T + deep)

        for a, up in (("bottom", TOE_HIGH), ("shelf", SHELF_UP)):
            found.append(_joint(side, a, "dado", DADO, CUT, _box(into(CUT), (ZERO, DEEP), (up, up + T)), BACK, UP))
        found.append(_joint(side, "top", "rabbet", LAP, LAP, _box(into(LAP), (ZERO, DEEP), (HIGH - T, HIGH)), BACK, UP))
        found.append(_joint(side, "back", "rabbet", LAP, LAP, _box(into(LAP), (DEEP - TB, DEEP), (ZERO, HIGH)), UP, BACK))
    return tuple(found)


def sample_case() -> Model:
    """The cabinet: marks A to F, bottom and shelf are alike (mark C), the right side mirrors the left one."""
    inside = (ZERO, DEEP - TB)
    flat, upright = (ACROSS, BACK, UP), (UP, ACROSS, BACK)
    parts = (
        _side("left_side", "A", "left side", Face(ACROSS, 1)),
        _side("right_side", "B", "right side", Face(ACROSS, -1)),
        _between("bottom", "C", "bottom", PANEL, DADO, inside, (TOE_HIGH, TOE_HIGH + T), flat),
        _between("shelf", "C", "fixed shelf", PANEL, DADO, inside, (SHELF_UP, SHELF_UP + T), flat),
        _between("top", "D", "top", PANEL, LAP, inside, (HIGH - T, HIGH), flat),
        _between("back", "E", "back", BACKING, LAP, (DEEP - TB, DEEP), (ZERO, HIGH), upright),
        _front(),
    )
    front = parts[-1]
    pull = HardwareItem(
        "bar_pull", "pull", "bar pull, 4 in. between screws", (("spaced", BORE_SPACED), ("bore", BORE)), price=Fraction(6)
    )
    fitting = Fitting(
        "pull", "bar_pull", ("drawer_front",), 1, points=tuple(f.centre for f in front.features if f.centre and f.diameter)
    )
    joints = _joints()
    step = Step(
        1, "Glue up the case", joins=tuple(j.id for j in joints if j.a != "back"),
        texts=("Dry fit first, then glue the dadoes and rabbets.",), tools=("clamps",),
        checks=("Both diagonals equal within 1/32 in.",), waits=("Leave in clamps for one hour.",),
    )  # fmt: skip
    info = PlanInfo(
        "Tool cabinet", client="Training shop", author="R. Maker", date="2024-03-01",
        revisions=(Revision("A", "2024-03-01", "First issue"),), notes=("Break all sharp edges.",),
    )  # fmt: skip
    return Model(
        info, (PANEL, BACKING), parts, joints, (pull,), (fitting,),
        motions=(Motion("drawer_front", Face(BACK, -1), inch(8)),),
        sections=(SectionWish(ACROSS, WIDE / 2, Face(ACROSS, -1)),), steps=(step,),
        assemblies=(Assembly("", "tool cabinet", tuple(p.path for p in parts), ()),), source_digest="0" * 64,
    )  # fmt: skip
