"""Random plans made from what the kinds declare: a new kind is in them as soon as it exists.

A plan is two parts in one of a few arrangements and a joint between them, or one part with work on it. All lengths are
whole multiples of `unit`, so that the same plan can be written larger. Many plans are faulty, as those of people are.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from plandoc.geometry.bodies import FACE_NAMES
from plandoc.model.kinds import JointKind, Param, ShapeKind

T = TypeVar("T")
ITEMS = {
    "pin": 'hardware pin dowel 8 mm x 40 mm',
    "screw6": 'hardware screw6 screw No 6 long 38 mm',
    "flat10": 'hardware flat10 biscuit No 10',
    "strip": 'hardware strip slip 8 mm x 30 mm x 50 mm',
}
ARRANGEMENTS = ("end on a face", "corner", "edge on edge", "stick on a post", "frame corner", "crossing sticks", "crossing panels", "face on face")


@dataclass(frozen=True, slots=True)
class Draw:
    """Where the chances come from. whole(lo, hi): a whole number; one(items): one of them."""

    whole: Callable[[int, int], int]

    def one(self, items: Sequence[T]) -> T:
        return items[self.whole(0, len(items) - 1)]

    def likely(self, percent: int) -> bool:
        return self.whole(1, 100) <= percent


@dataclass(frozen=True, slots=True)
class RandomPlan:
    """head: the plan's first lines; parts: those of both parts; work: joint or work. kind: of the joint or of the work.
    `text` is the plan, `mirrored` the same in a mirror."""

    head: str
    body: str
    kind: str

    @property
    def text(self) -> str:
        return self.head + self.assembly + "place thing\n"

    @property
    def mirrored(self) -> str:
        return self.head + self.assembly + "place thing\n  mirrored across\n"

    @property
    def turned(self) -> str:
        return self.head + self.assembly + "place thing\n  turned 90° about up\n"

    @property
    def assembly(self) -> str:
        return "assembly thing\n" + "".join(f"  {line}\n" for line in self.body.splitlines())


def head(thick_a: int, thick_b: int, k: int) -> str:
    """The first lines; k: how many times larger."""
    return f"""plan "Random"
  units mm to 0.1
stock first lumber {thick_a * k + 4} mm
  dressed {thick_a * k} mm
  boards {400 * k} mm x {2000 * k} mm
stock second lumber {thick_b * k + 4} mm
  dressed {thick_b * k} mm
  boards {400 * k} mm x {2000 * k} mm
""" + "".join(f"{line}\n" for line in ITEMS.values())


def part(name: str, stock: str, grain: str, k: int, **extents: tuple[int, int] | int) -> str:
    """A part by its extents; a single number leaves the thickness to the stock."""
    lines = [f"part {name} from {stock}", f"  grain {grain}"]
    for axis, extent in extents.items():
        lines.append(f"  {axis} from {extent * k} mm" if isinstance(extent, int) else f"  {axis} from {extent[0] * k} mm to {extent[1] * k} mm")
    return "\n".join(lines) + "\n"


def arranged(arrangement: str, draw: Draw, k: int) -> tuple[int, int, str]:
    """Thicknesses of the stocks and the lines of the parts `a` and `b`."""
    ta, tb = draw.one((12, 18, 20, 24)), draw.one((12, 18, 20, 24))
    deep, high, long = draw.whole(6, 30) * 10, draw.whole(15, 40) * 10, draw.whole(12, 40) * 10
    if arrangement == "end on a face":
        at = draw.whole(4, high // 10 - 5) * 10
        return ta, tb, part("b", "second", "up", k, across=0, back=(0, deep), up=(0, high)) + part("a", "first", "across", k, across=(tb, tb + long), back=(0, deep), up=at)
    if arrangement == "corner":
        return ta, tb, part("b", "second", "up", k, across=0, back=(0, deep), up=(0, high)) + part("a", "first", "across", k, across=(tb, tb + long), back=(0, deep), up=high - ta)
    if arrangement == "edge on edge":
        grain = draw.one(("back", "across"))
        return ta, ta, part("b", "second", grain, k, across=(0, 90), back=(0, deep + 60), up=0) + part("a", "first", grain, k, across=(90, 90 + long), back=(0, deep + 60), up=0)
    if arrangement == "stick on a post":
        tb, at, wide = draw.one((30, 36, 44)), draw.whole(2, 9) * 10, draw.one((40, 60, 80))
        off = draw.whole(0, max(0, tb - ta))
        return ta, tb, part("b", "second", "up", k, across=(0, tb), back=(0, tb), up=(0, high + 60)) + part("a", "first", "across", k, across=(tb, tb + long), back=off, up=(at, at + wide))
    if arrangement == "frame corner":
        wide = draw.one((40, 50, 64))
        return ta, ta, part("b", "second", "up", k, across=(0, wide), back=0, up=(0, high)) + part("a", "first", "across", k, across=(wide, wide + long), back=0, up=(high - wide, high))
    if arrangement == "crossing sticks":
        return ta, ta, part("b", "second", "back", k, across=(100, 140), back=(0, deep + 120), up=0) + part("a", "first", "across", k, across=(0, long + 150), back=(50, 100), up=0)
    if arrangement == "crossing panels":
        return ta, tb, part("b", "second", "back", k, across=100, back=(0, deep + 120), up=(0, 80)) + part("a", "first", "across", k, across=(0, long + 150), back=60, up=(0, 80))
    return ta, tb, part("b", "second", "across", k, across=(0, long), back=(0, deep), up=0) + part("a", "first", "across", k, across=(0, long), back=(0, deep), up=tb)


def value(param: Param, draw: Draw, k: int) -> str | None:
    """Something that may stand behind a word of that type; None where nothing can be had."""
    length = lambda: f"{draw.whole(1, 12) * k} mm"  # noqa: E731
    face = lambda: draw.one(FACE_NAMES)  # noqa: E731
    large = lambda: f"{draw.whole(2, 14) * 10 * k} mm"  # noqa: E731
    if param.type == "length":
        return large() if param.name in ("every", "ends", "long", "span", "radius", "apart", "to", "wide") and draw.likely(80) else length()
    if param.type == "sizes":
        return length() if draw.likely(50) else f"{length()} x {large()}"
    makers: dict[str, Callable[[], str]] = {
        "size": lambda: f"{length()} x {length()}" if draw.likely(50) else f"{large()} x {large()}",
        "lengths": lambda: ", ".join(length() for _ in range(draw.whole(1, 2))),
        "count": lambda: str(draw.whole(1, 4)),
        "number": lambda: str(draw.whole(4, 10)),
        "angle": lambda: f"{draw.whole(1, 60)}°",
        "angles": lambda: f"{draw.whole(1, 40)}° x {draw.whole(1, 40)}°",
        "included": lambda: f"{draw.whole(30, 150)}°",
        "face": face,
        "faces": lambda: ", ".join(face() for _ in range(draw.whole(1, 2))),
        "axis": lambda: draw.one(("across", "back", "up")),
        "text": lambda: '"SET 1"',
        "item": lambda: draw.one(list(ITEMS)),
        "positions": lambda: f"{large()}, {large()}" if draw.likely(70) else "centre",
        "flag": lambda: "",
    }
    return makers[param.type]() if param.type in makers else None


def worded(params: Sequence[Param], draw: Draw, k: int, percent: int = 25) -> str:
    """Required words, and others now and then, with their values."""
    said = []
    for param in params:
        if not param.required and not draw.likely(70 if param.lead else percent):
            continue
        behind = value(param, draw, k)
        if behind is not None:
            said.append(behind if param.lead else f"{param.name} {behind}".strip())
    return " ".join(said)


def joined_plan(kind: JointKind, arrangement: str, draw: Draw, k: int = 1) -> RandomPlan:
    """Two parts and the joint."""
    ta, tb, parts = arranged(arrangement, draw, k)
    return RandomPlan(head(ta, tb, k), parts + f"joint {kind.name} a into b {worded(kind.params, draw, k)}\n", kind.name)


def worked_plan(kind: ShapeKind, draw: Draw, k: int = 1) -> RandomPlan:
    """A part with up to three pieces of work; the last is of that kind."""
    thick = draw.one((12, 18, 24))
    body = part("a", "first", draw.one(("across", "up")), k, across=(0, draw.whole(20, 40) * 10), back=0, up=(0, draw.whole(15, 30) * 10))
    above = {"finger": f"pocket round {60 * k} mm deep {6 * k} mm on front at {80 * k} mm, {80 * k} mm", "step": f"pocket round {60 * k} mm deep {4 * k} mm on front at {80 * k} mm, {80 * k} mm"}
    if kind.below:
        body += f"  {above[kind.name]}\n    {kind.name} {worded(kind.params, draw, k)}\n"
    else:
        body += f"  {kind.name} {worded(kind.params, draw, k)}\n"
    if kind.name == "outline":
        reach = [draw.whole(5, 14) * 10 * k for _ in range(4)]
        body += f"    start 0, 0\n    line to {reach[0]} mm, 0\n    line to {reach[1] + reach[0]} mm, {reach[2]} mm\n    line to 0, {reach[3]} mm\n"
    return RandomPlan(head(thick, thick, k), body, kind.name)
