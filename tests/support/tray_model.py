"""A small tray cabinet with nested, repeated assemblies, sliding joints, dowels and screws; sizes in mm."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import ACROSS, BACK, UP, Box, Disc, Face, Prism, box_prism
from plandoc.model.entities import (
    Assembly,
    Fastening,
    Feature,
    Fitting,
    HardwareItem,
    Joint,
    Model,
    Part,
    PlanInfo,
    Stock,
)
from plandoc.quantity import INCH, Units

F = Fraction
WIDE, DEEP, HIGH, T, SLOT = F(400), F(300), F(500), F(20), F(6)
PLY = Stock(
    "ply", "sheet", F(20), F(20), "birch plywood", "birch plywood", F(1525), F(1525),
    price=F(60), price_unit="sheet",
)  # fmt: skip
OAK = Stock(
    "oak", "lumber", INCH, T, "white oak", "white oak", rough=INCH, price=F(8), price_unit="board foot"
)
TRAYS_UP = (F(100), F(300))


def box(x: tuple[int | F, int | F], y: tuple[int | F, int | F], z: tuple[int | F, int | F]) -> Box:
    return Box((F(x[0]), F(y[0]), F(z[0])), (F(x[1]), F(y[1]), F(z[1])))


def _channel(inner: Face, up: F, high: F, deep: F) -> Box:
    x = (T - deep, T) if inner.side > 0 else (WIDE - T, WIDE - T + deep)
    return box(x, (0, DEEP), (up, up + high))


def _side(path: str, mark: str, inner: Face) -> Part:
    at = F(0) if inner.side > 0 else WIDE - T
    body = box((at, at + T), (0, DEEP), (0, HIGH))
    features = []
    for what, up, kind, deep in (
        ("bottom", F(40), "dado", SLOT), ("tray[1].blank", TRAYS_UP[0], "slide", SLOT + 1),
        ("tray[2].blank", TRAYS_UP[1], "slide", SLOT + 1),
    ):  # fmt: skip
        high = T if kind == "dado" else T + 1
        features.append(
            Feature(
                f"{path}-{what}",
                kind,
                inner,
                (box_prism(_channel(inner, up, high, deep)),),
                joint=f"{what}>{path}",
                mate=what,
                depth=deep,
                through=True,
            )
        )
    outer = body.at(inner.opposite)
    for number, y in enumerate((F(50), F(150), F(250)), 1):
        features.append(
            Feature(
                f"{path}-pin{number}",
                "pin hole",
                inner.opposite,
                (Prism(ACROSS, at, at + T, Disc((y, HIGH - T / 2), F(5))),),
                joint=f"top>{path}",
                row=f"{path}-pins",
                diameter=F(10),
                depth=F(60),
                centre=(outer, y, HIGH - T / 2),
            )
        )
    return Part(path, path.replace("_", " "), PLY, body, body, UP, BACK, ACROSS, tuple(features), mark=mark)


def _tongued(path: str, up: F, mark: str, enters: F, name: str, assembly: str = "") -> Part:
    shoulder = box((T, WIDE - T), (0, DEEP), (up, up + T))
    body = shoulder.with_span(ACROSS, T - enters, WIDE - T + enters)
    tongues = tuple(
        Feature(f"{path}-{word}", "tongue", None, adds=(box_prism(shoulder.with_span(ACROSS, lo, hi)),))
        for word, lo, hi in (("left", T - enters, T), ("right", WIDE - T, WIDE - T + enters))
        if enters
    )
    return Part(path, name, PLY, shoulder, body, ACROSS, BACK, UP, tongues, mark=mark, assembly=assembly)


def _tray(number: int) -> tuple[Part, Part]:
    up, here = TRAYS_UP[number - 1], f"tray[{number}]"
    blank = _tongued(f"{here}.blank", up, "D", SLOT, f"tray {number} blank", here)
    pocket = Feature(
        f"{here}.blank-pocket", "pocket", Face(UP, 1), (Prism(UP, up + T - 8, up + T, Disc((F(120), F(90)), F(26))),),
        diameter=F(52), depth=F(8), centre=(F(120), F(90), up + T),
    )  # fmt: skip
    rabbet = Feature(
        f"{here}.blank-lip", "rabbet", Face(UP, 1),
        (box_prism(box((T - SLOT, WIDE - T + SLOT), (0, 10), (up + T - 5, up + T))),),
        joint=f"{here}.lip>{here}.blank", mate=f"{here}.lip", depth=F(5), through=True,
    )  # fmt: skip
    blank = Part(
        blank.path, blank.name, PLY, blank.shoulder, blank.box, ACROSS, BACK, UP, (*blank.features, pocket, rabbet),
        mark="D", assembly=here,
    )  # fmt: skip
    lip_box = box((T, WIDE - T), (0, 10), (up + T - 5, up + T + 25))
    lip = Part(
        f"{here}.lip", f"tray {number} lip", OAK, lip_box, lip_box, ACROSS, UP, BACK, mark="E", assembly=here
    )
    return blank, lip


def _joint(
    ident: str, kind: str, a: str, b: str, entry: Face, depth: F, run: int, thick: int, **more: object
) -> Joint:
    zero = box((0, 1), (0, 1), (0, 1))
    values: dict[str, object] = {"fit": F(0), "clearance": F(0)} | more
    return Joint(
        ident,
        kind,
        a,
        b,
        entry,
        entry.opposite,
        depth,
        depth,
        T,
        run_axis=run,
        thickness_axis=thick,
        channel=zero,
        **values,  # type: ignore[arg-type]
    )


def tray_case() -> Model:
    """Sides A and B, bottom, top on dowels, two trays of blank and lip, slides under the first, four loose feet."""
    sides = (("left_side", Face(ACROSS, -1)), ("right_side", Face(ACROSS, 1)))
    joints = []
    for number in (1, 2):
        here = f"tray[{number}]"
        joints.append(
            _joint(
                f"{here}.lip>{here}.blank",
                "rabbet",
                f"{here}.lip",
                f"{here}.blank",
                Face(UP, -1),
                F(5),
                ACROSS,
                BACK,
                edge=True,
                fasteners=(Fastening("screw", "", F("4.2"), F(30), ((F(100), F(5), F(1)),), UP),),
            )
        )
    for path, entry in sides:
        joints.append(_joint(f"bottom>{path}", "dado", "bottom", path, entry, SLOT, BACK, UP))
        x = F(0) if entry.side < 0 else WIDE
        pins = Fastening(
            "dowel", "pin", F(10), F(60), tuple((x, y, HIGH - T / 2) for y in (F(50), F(150), F(250))), ACROSS
        )
        joints.append(_joint(f"top>{path}", "butt", "top", path, entry, F(0), BACK, UP, fasteners=(pins,)))
        for number in (1, 2):
            joints.append(
                _joint(
                    f"tray[{number}].blank>{path}",
                    "slide",
                    f"tray[{number}].blank",
                    path,
                    entry,
                    SLOT,
                    BACK,
                    UP,
                    glued=False,
                    clearance=F(1),
                    fit=F(1),
                )
            )
    foot = box((0, 60), (0, 40), (0, T))
    parts = (
        _side("left_side", "A", Face(ACROSS, 1)), _side("right_side", "B", Face(ACROSS, -1)),
        _tongued("bottom", F(40), "C", SLOT, "bottom"), _tongued("top", HIGH - T, "F", F(0), "top"),
        *_tray(1), *_tray(2),
        Part("foot", "foot", OAK, foot, foot, ACROSS, BACK, UP, mark="G", loose=True, count=4),
    )  # fmt: skip
    hardware = (
        HardwareItem("pin", "dowel", "beech dowel 10 × 60", price=F("0.15")),
        HardwareItem(
            "runner", "slide", "slide 300", (("long", F(300)),), unit="pair", price=F(12), load_kg=F(20)
        ),
    )
    fittings = (Fitting("runner1", "runner", ("left_side", "right_side", "tray[1].blank"), 1),)
    assemblies = (
        Assembly("", "tray cabinet", ("left_side", "right_side", "bottom", "top"), ("tray[1]", "tray[2]")),
        Assembly("tray[1]", "tray 1", ("tray[1].blank", "tray[1].lip"), (), "tray"),
        Assembly("tray[2]", "tray 2", ("tray[2].blank", "tray[2].lip"), (), "tray"),
    )
    info = PlanInfo("Tray cabinet", units=Units("mm", F(1, 2)), style="shop-mm")
    return Model(info, (PLY, OAK), parts, tuple(joints), hardware, fittings, assemblies=assemblies)
