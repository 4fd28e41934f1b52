"""Rule 27: exploded views. Balloons as in the Manual of Engineering Drawing (p. 148): equal circles in rows, leaders aimed
at their centres, a dot on the part; isometric axes at 30, 90 and 150 degrees (ISO 5456-3, as taught)."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import atan2, degrees, hypot
from typing import Any

from tests.acceptance.findings import Finding, rule, sheet_rule
from tests.acceptance.packets import Packet
from tests.support.finished_sheets import XY, Drawn, Part, points_box, strokes_box

MOST = 12
LONGEST = 60.0
ISOMETRIC = (30.0, 90.0, 150.0)


def balloons(drawn: Drawn) -> list[tuple[Part, XY, float, tuple[XY, ...]]]:
    """Balloons of an exploded view: group, centre and radius of the circle, points of the leader."""
    found = []
    for g in drawn.of("balloon"):
        (ring,) = drawn.rings_in(g, "ldr")
        leader = next(s for s in drawn.strokes_in(g, "ldr") if len(s.points) < 20)
        found.append((g, ring.centre, ring.radius, leader.points))
    return found


@sheet_rule(27)
def balloons_are_few_and_alike(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """At most 12 balloons in a picture, circles of one size, each mark once."""
    pictures = max(1, len([p for p in drawn.of("picture") if p.around[-1].kind == "sheet"]))
    found = balloons(drawn)
    if len(found) > MOST * pictures:
        yield "balloons", f"{len(found)} in {pictures} pictures"
    if len({round(r, 2) for _, _, r, _ in found}) > 1:
        yield "balloons", f"radii {sorted({round(r, 2) for _, _, r, _ in found})}"


@sheet_rule(27, "b")
def leaders_of_balloons_aim_at_the_centre(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """The leader of a balloon begins on its circle, aimed at the centre, ends in a dot, and is at most 60 mm long."""
    for g, centre, radius, points in balloons(drawn):
        near, far = sorted((points[0], points[-1]), key=lambda p: hypot(p[0] - centre[0], p[1] - centre[1]))
        first = points[1] if near == points[0] else points[-2]
        length = hypot(first[0] - near[0], first[1] - near[1])
        aside = abs((first[0] - near[0]) * (centre[1] - near[1]) - (first[1] - near[1]) * (centre[0] - near[0])) / length if length else 0.0
        if aside > 0.3:
            yield g.name, f"the leader passes the centre at {aside:.2f} mm"
        if abs(hypot(near[0] - centre[0], near[1] - centre[1]) - radius) > 0.1:
            yield g.name, f"the leader begins {hypot(near[0] - centre[0], near[1] - centre[1]):.2f} mm from the centre"
        dots = [points_box(loop) for a in drawn.areas if a.group is g for loop in a.loops]
        if not any(x0 - 0.1 <= far[0] <= x1 + 0.1 and y0 - 0.1 <= far[1] <= y1 + 0.1 for x0, y0, x1, y1 in dots):
            yield g.name, "no dot at the end of the leader"
        total = sum(hypot(q[0] - p[0], q[1] - p[1]) for p, q in pairwise(points))
        if total > LONGEST:
            yield g.name, f"a leader of {total:.1f} mm"


@sheet_rule(27, "c")
def balloons_stand_in_rows(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """The balloons on one side of a picture stand in one row or column."""
    pictures = [p for p in drawn.of("picture") if p.around[-1].kind == "sheet"]
    if len(pictures) != 1 or not balloons(drawn):
        return
    x0, y0, x1, y1 = strokes_box(drawn.strokes_in(pictures[0], "vis", "light"))
    sides: dict[str, list[tuple[Part, XY]]] = {}
    for g, (x, y), _, _ in balloons(drawn):
        out = {"left": x0 - x, "right": x - x1, "above": y0 - y, "below": y - y1}
        sides.setdefault(max(out, key=lambda side: out[side]), []).append((g, (x, y)))
    for side, members in sorted(sides.items()):
        across = 0 if side in ("left", "right") else 1
        places = [c[across] for _, c in members]
        if max(places) - min(places) > 0.3:
            yield f"balloons {side}", ", ".join(f"{g.data['item']} at {c[across]:.1f}" for g, c in members)


@sheet_rule(27, "d")
def balloons_are_evenly_spaced(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """In a row or column of three or more the distances are equal within 0.5 mm, or whole multiples of the least."""
    found = balloons(drawn)
    if len([p for p in drawn.of("picture") if p.around[-1].kind == "sheet"]) > 1:
        return
    for along in (0, 1):
        rows: dict[float, list[float]] = {}
        for _, centre, _, _ in found:
            rows.setdefault(round(centre[1 - along], 1), []).append(centre[along])
        for level, places in sorted(rows.items()):
            gaps = [b - a for a, b in pairwise(sorted(places))]
            if len(gaps) > 1 and max(gaps) - min(gaps) > 0.5:
                yield f"{'row' if along == 0 else 'column'} at {level:g}", "gaps " + ", ".join(f"{g:.1f}" for g in gaps)


@sheet_rule(27, "e")
def balloons_follow_the_clock(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """Marks run clockwise round the picture from the upper left: seen from the middle, angles grow with the marks, but for
    one step over the beginning."""
    found = balloons(drawn)
    if len(found) < 3 or len([p for p in drawn.of("picture") if p.around[-1].kind == "sheet"]) > 1:
        return
    xs, ys = [c[0] for _, c, _, _ in found], [c[1] for _, c, _, _ in found]
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    order = sorted(found, key=lambda f: (len(f[0].data["item"]), f[0].data["item"]))
    angles = [(degrees(atan2(c[1] - middle[1], c[0] - middle[0])) + 360.0) % 360.0 for _, c, _, _ in order]
    back = [i for i, (a, b) in enumerate(pairwise(angles)) if b < a]
    if len(back) > 1:
        yield "balloons", "order " + " ".join(f[0].data["item"] for f in sorted(found, key=lambda f: atan2(f[1][1] - middle[1], f[1][0] - middle[0])))


@rule(27, "f")
def parts_move_along_their_ways(packet: Packet) -> list[Finding]:
    """Trails of exploded views run along the isometric axes, or, where parts lean, along another way."""
    leaning = any(p["lean"] for p in packet.model["parts"])
    found = []
    for drawn in packet.sheets:
        if drawn.sheet.data["kind"] != "exploded" or leaning:
            continue
        for picture in drawn.of("picture"):
            for stroke in drawn.strokes_in(picture, "trail"):
                (x0, y0), (x1, y1) = stroke.points[0], stroke.points[-1]
                if stroke.length < 1.0:
                    continue
                angle = degrees(atan2(y0 - y1, x1 - x0)) % 180.0
                off = min(min(abs(angle - a), 180.0 - abs(angle - a)) for a in ISOMETRIC)
                if off > 1.0:
                    found.append(Finding(drawn.name, picture.name, f"a trail at {angle:.1f} degrees"))
    return found


@rule(27, "g")
def every_joint_is_trailed(packet: Packet) -> list[Finding]:
    """Every joint whose parts come apart in an exploded view has a trail that names it, or one of the same kind between parts
    of the same marks has."""
    views = [d for d in packet.sheets if d.sheet.data["kind"] == "exploded"]
    named = {name for drawn in views for g in drawn.of("trail") for name in g.data.get("joint", "").split()}
    if not views:
        return []

    def like(joint: dict[str, Any]) -> tuple[str, str, str]:
        return joint["kind"], packet.parts[joint["a"]]["mark"], packet.parts[joint["b"]]["mark"]

    joints = packet.model["joints"]
    trailed = {like(j) for j in joints if j["id"] in named}
    found = [Finding("exploded views", f"trail {name}", "of no joint") for name in sorted(named - {j["id"] for j in joints})]
    return found + [Finding("exploded views", j["id"], "no trail, nor of one like it") for j in joints if like(j) not in trailed]
