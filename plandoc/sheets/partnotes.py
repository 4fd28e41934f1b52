"""The words on a part drawing: leader notes of holes and channels, and the heading with what is done on the part."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import permutations
from math import hypot

from plandoc.geometry.bodies import Box, Face, Point3, other_axes
from plandoc.model.entities import Feature, Model, Part
from plandoc.model.rods import ROD, is_rod
from plandoc.quantity import Units, dual_diameter, dual_text, unmarked
from plandoc.sheets.partfaces import FaceView, feature_box, spans
from plandoc.sheets.partviews import PartPlan, Shape
from plandoc.shopwork.names import (
    BAND,
    edge_words,
    joined_names,
    listed,
    mark_of,
    piece_count,
    sawn_box,
    stock_words,
)

NOTE_LETTERS = 22  # in a line of a leader note
WORK_WORDS = {"pin hole": "shelf-pin hole", "finger": "finger notch", "slide": "sliding channel"}


@dataclass(frozen=True, slots=True)
class FeatureNote:
    """A note for features that are alike. lines: its text, figures as a/b. features: those it speaks of, the first is
    the one that the leader may point to. targets: the places that it may point to instead, where it is about them."""

    place: str
    lines: tuple[str, ...]
    features: tuple[Feature, ...]
    round: bool
    targets: tuple[Point3, ...] = ()


def feature_notes(plan: PartPlan, units: Units) -> tuple[FeatureNote, ...]:
    """One note for all features of a view that read alike, with their count."""
    found: dict[tuple[str, tuple[str, ...]], list[Feature]] = {}
    tabled = {hole.feature.id for _, holes in plan.tables for hole in holes}
    for shape in plan.shapes:
        lines = note_lines(shape, units)
        if lines and shape.feature.id not in tabled:
            found.setdefault((shape.place, lines), []).append(shape.feature)
    notes = []
    for (place, lines), features in _stepped(found).items():
        count = f"{len(features)}X " if len(features) > 1 else ""
        text = (count + lines[0], *lines[1:])
        notes.append(FeatureNote(place, text, tuple(features), features[0].diameter is not None))
    return (*notes, *leader_notes(plan, units))


def _stepped(found: Mapping[tuple[str, tuple[str, ...]], Sequence[Feature]]) -> dict[tuple[str, tuple[str, ...]], list[Feature]]:
    """The same with one note where round work in one face has the same middles: the wider first, which is on the rim."""
    out = {key: list(features) for key, features in found.items()}
    for wide, inner in permutations(found, 2):
        if wide not in out or inner not in out or wide[0] != inner[0]:
            continue
        a, b = out[wide], out[inner]
        round_work = all(f.diameter is not None and f.centre is not None and f.face is not None for f in (*a, *b))
        if round_work and [_middle(f) for f in a] == [_middle(f) for f in b] and (a[0].diameter or 0) > (b[0].diameter or 0):
            out = {(wide[0], (*wide[1], *inner[1])) if key == wide else key: row for key, row in out.items() if key != inner}
    return out


def _middle(feature: Feature) -> tuple[Face, tuple[Fraction, ...]]:
    """The face that round work is in and where on it."""
    assert feature.face is not None and feature.centre is not None
    return feature.face, tuple(v for axis, v in enumerate(feature.centre) if axis != feature.face.axis)


def leader_notes(plan: PartPlan, units: Units) -> tuple[FeatureNote, ...]:
    """The words that features print at places of their own, those that read alike in a view once, with their count."""
    found: dict[tuple[str, str], list[tuple[Feature, Point3]]] = {}
    for shape in plan.shapes:
        for point, words in shape.feature.leaders:
            found.setdefault((shape.place, unmarked(words, units).upper()), []).append((shape.feature, point))
    notes = []
    for (place, words), rows in found.items():
        count = f"{len(rows)}X " if len(rows) > 1 else ""
        lines = tuple(textwrap.wrap(count + words, NOTE_LETTERS))
        notes.append(FeatureNote(place, lines, tuple(dict.fromkeys(f for f, _ in rows)), False, tuple(p for _, p in rows)))
    return tuple(notes)


def note_lines(shape: Shape, units: Units) -> tuple[str, ...]:
    """The note of one feature without its count; empty where its dimensions say all."""
    feature = shape.feature
    more = tuple(textwrap.wrap(unmarked(feature.note, units).upper(), NOTE_LETTERS))
    deep = f" ↧{dual_text(shape.deep, units)}" if shape.deep is not None else ""
    if feature.diameter is not None:
        return (f"Ø{dual_diameter(feature.diameter, units)}{deep or ' THRU'}", *more)
    if feature.text:
        high = f"{dual_text(feature.height, units)} HIGH" if feature.height is not None else ""
        return (f"“{feature.text}”", (high + deep).strip(), *more)
    if shape.wide is not None:
        wide = dual_text(shape.wide.hi - shape.wide.lo, units.fine)
        return (f"{WORK_WORDS.get(feature.kind, feature.kind).upper()} {wide} WIDE{deep}", *more)
    if shape.deep is not None:
        return (WORK_WORDS.get(feature.kind, feature.kind).upper() + deep, *more)
    if feature.through and feature.joint and feature.face is not None and feature.cuts:
        return (f"{feature.kind.upper()} THRU", *more)
    return ()


def note_target(plan: PartPlan, view: FaceView, feature: Feature) -> Point3:
    """The world point that a leader to the feature aims at: the centre of round work, else a place in its area."""
    box = feature_box(feature)
    if feature.centre is not None:
        inner = _within(plan.part, feature, box) if box is not None and feature.diameter is None else None
        if box is None or inner is None:
            return feature.centre
        beside = list(feature.centre)  # beside the deeper level in its middle, which has words of its own
        beside[view.right.axis] = (box.at(view.right) + inner.at(view.right)) / 2
        return beside[0], beside[1], beside[2]
    inside = box.common(plan.part.box) if box is not None else None
    area = inside or plan.part.box
    point = [(area.lo[axis] + area.hi[axis]) / 2 for axis in range(3)]
    across, up = view.right.axis, view.up.axis
    if spans(plan.part, area, view.face.axis):  # nothing left there: aim at an inner edge of what is cut out
        for axis in (across, up):
            for plane in (area.hi[axis], area.lo[axis]):
                if plan.part.box.lo[axis] < plane < plan.part.box.hi[axis]:
                    point[axis] = plane
                    return point[0], point[1], point[2]
    if area.size(across) > area.size(up):  # a channel that runs along the sheet: near its right end
        near, far = (area.hi, area.lo) if view.right.side > 0 else (area.lo, area.hi)
        point[across] = near[across] + (far[across] - near[across]) / 8
    return point[0], point[1], point[2]


def rim_side(part: Part, view: FaceView, feature: Feature) -> tuple[float, float] | None:
    """Where from its middle the rim of a finger notch is drawn, on paper (y downwards), as a unit vector: away from the pocket that
    it opens into. None for work whose whole rim is drawn."""
    owner = next((f for f in part.features if feature.kind == "finger" and feature.id.startswith(f"{f.id}.")), None)
    box = feature_box(owner) if owner is not None else None
    if box is None or feature.centre is None:
        return None
    (x, y), (low, high) = view.flat(feature.centre), zip(view.flat(box.lo), view.flat(box.hi), strict=True)
    right, down = float(x - sum(low) / 2), float(sum(high) / 2 - y)
    long = hypot(right, down)
    return (round(right / long, 6), round(down / long, 6)) if long > 0 else None


def _within(part: Part, feature: Feature, box: Box) -> Box | None:
    """The room of other work in the same face whose middle is the same, and which lies within this work."""
    rooms = (feature_box(other) for other in part.features if other is not feature and other.face == feature.face and other.centre == feature.centre)
    axes = other_axes(feature.face.axis) if feature.face is not None else ()
    return next((r for r in rooms if r is not None and axes and all(box.lo[a] < r.lo[a] and r.hi[a] < box.hi[a] for a in axes)), None)


def heading_lines(model: Model, plan: PartPlan, alike: Sequence[Part]) -> tuple[tuple[str, ...], ...]:
    """What stands under the part's name: count, size, stock and grain, reference faces, the work on it. Each row is a
    run of phrases that may share a line; one kind of work ends with a semicolon before the next."""
    part, units = plan.part, model.info.units
    size = size_words(part, units)
    grain = () if part.stock.grain else ("NO GRAIN DIRECTION",)  # length is along the grain, and the view has its mark
    count = piece_count(alike)
    lines: list[tuple[str, ...]] = [(f"{count} REQUIRED", f"{size};", f"{stock_words(part.stock, units).upper()}", *grain)]
    lines.append(_reference_words(part))
    if leaning := re.sub(r" to the (left|right|front|rear)", "", lean_words(part)):  # alike parts may lean to either side
        lines.append((leaning.upper(),))
    lines += wood_lines(part, units)
    if part.mirrors:
        lines.append((f"MIRRORS {_mates(model, [part.mirrors]).upper()}",))
    work = work_lines(model, part, units)
    if work:
        lines.append(tuple(phrase for line in work[:-1] for phrase in (*line[:-1], f"{line[-1]};")) + work[-1])
    if part.note:
        lines.append((part.note.upper(),))
    return tuple(lines)


def size_words(part: Part, units: Units) -> str:
    """Thickness, width and length of a part, or diameter and length of a rod."""
    if is_rod(part):
        return f"Ø{dual_text(part.thickness, units.fine)} × L {dual_text(part.length, units)}"
    sizes = (("T", part.thickness), ("W", part.width), ("L", part.length))
    return " × ".join(f"{letter} {dual_text(value, units.fine if letter == 'T' else units)}" for letter, value in sizes)


def _reference_words(part: Part) -> tuple[str, ...]:
    axes = (part.length_axis,) if is_rod(part) else (part.thickness_axis, part.width_axis, part.length_axis)
    reference = [Face(axis, part.datum[axis]) for axis in axes]
    words = [edge_words(part, face).upper() for face in reference]
    return f"REFERENCE: {words[0]}", *words[1:]


def opposite_lines(model: Model, drawn: Part, alike: Sequence[Part]) -> tuple[tuple[str, ...], ...]:
    """What stands under the name of the opposite hand of a drawn part: count, what is alike, its reference faces, and the parts that it
    meets where these are others."""
    part, units = alike[0], model.info.units
    words = _reference_words(part)
    known = work_lines(model, drawn, units)
    lines = [(f"{piece_count(alike)} REQUIRED", f"MIRROR IMAGE OF {mark_of(drawn)}", f"THE SAME FIGURES FROM {words[0].removeprefix('REFERENCE: ')}", *words[1:])]
    return (*lines, *(line for line in work_lines(model, part, units) if line not in known))


def lean_words(part: Part) -> str:
    """How the part leans as one sees it from the front and from the right side; nothing for one that stands straight or
    is turned about the upright."""
    if part.lean is None:
        return ""
    across, back, up = (float(row[2]) for row in part.lean.rows)
    seen = []
    for way, (low, high), view in ((across, ("left", "right"), "front"), (back, ("front", "rear"), "side")):
        degrees = math.degrees(math.atan2(abs(way), up))
        if f"{degrees:.1f}" != "0.0":
            seen.append(f"{degrees:.1f}° to the {high if way > 0 else low} seen from the {view}")
    return f"leans {', '.join(seen)}" if seen else ""


def wood_lines(part: Part, units: Units) -> list[tuple[str, ...]]:
    """Boards of a glue-up and the rough size, where there are any."""
    lines: list[tuple[str, ...]] = []
    if part.glue_up is not None:
        widths = [dual_text(width, units) for width in part.glue_up.widths]
        wide = f"EACH {widths[0]} WIDE" if len(set(widths)) == 1 else f"{', '.join(widths)} WIDE"
        lines.append((f"GLUED UP FROM {len(widths)} BOARDS", wide, "RINGS UP AND DOWN IN TURN"))
    if part.allowance:
        rough = f"ROUGH L {dual_text(part.rough_length, units)}"
        wide_too = part.stock.kind in ("sheet", "lumber")
        lines.append((f"ROUGH W {dual_text(part.rough_width, units)} × {rough.removeprefix('ROUGH ')}" if wide_too else rough,))
    return lines


def work_lines(model: Model, part: Part, units: Units) -> list[tuple[str, ...]]:
    """What is done on the part and which part each joint is for."""
    groups: dict[str, list[Feature]] = {}
    for feature in part.features:
        if feature.kind == ROD:
            continue  # bought so
        kind = feature.kind if feature.cuts or feature.text or not feature.adds or feature.kind == BAND else "tongue"
        groups.setdefault(kind, []).append(feature)
    lines: list[tuple[str, ...]] = []
    for kind, features in groups.items():
        mates = list(dict.fromkeys(mate for f in features if f.mate for mate in (f.mate, *_others(model, part, f))))
        if kind == "tongue":
            lines.append(_tongues(model, part, features, units))
            continue
        count = f"{len(features)} " if len(features) > 1 else ""
        word = _plural(WORK_WORDS.get(kind, kind), len(features))
        what = f"{count}{word}".upper()
        if kind == BAND:
            lines.append(_banding(part, features, units))
            continue
        notes = list(dict.fromkeys(f.note for f in features if f.note and f.diameter is None and f.depth is None))
        what = unmarked(", ".join([what, *notes]), units).upper()
        lines.append((what + (f" FOR {_mates(model, mates).upper()}" if mates else ""),))
    return [line for line in lines if line]


def _others(model: Model, part: Part, feature: Feature) -> tuple[str, ...]:
    """Further parts of the same statement that enter the same channel, which is cut once."""
    box = feature_box(feature)
    return tuple(j.a for j in model.joints if j.b == part.path and feature.joint and j.span == feature.span and j.channel == box)


def _banding(part: Part, features: Sequence[Feature], units: Units) -> tuple[str, ...]:
    """Which edges are banded, and the size that is sawn before."""
    strips: dict[str, list[str]] = {}
    for feature in features:
        if feature.face is not None:
            words = unmarked(feature.leaders[0][1], units) if feature.leaders else BAND
            strips.setdefault(words, []).append(edge_words(part, feature.face))
    sawn = sawn_box(part)
    sizes = " × ".join(dual_text(sawn.size(axis), units) for axis in (part.width_axis, part.length_axis))
    return (*(f"{words} on {listed(edges)}".upper() for words, edges in strips.items()), f"SAW W × L {sizes} BEFORE BANDING")


def _plural(word: str, count: int) -> str:
    if count == 1 or word.endswith("ing"):
        return word
    return word + ("es" if word.endswith(("o", "ch", "sh", "s", "x")) else "s")


def _tongues(model: Model, part: Part, features: Sequence[Feature], units: Units) -> tuple[str, ...]:
    """How far the part enters its mates, and its size between the shoulders."""
    enters: dict[tuple[str, str], None] = {}  # twin tenons once
    for feature in features:
        box = feature_box(feature)
        if box is None or not feature.mate or feature.kind == "haunch":
            continue
        deep = [
            part.shoulder.lo[a] - box.lo[a] if box.lo[a] < part.shoulder.lo[a] else box.hi[a] - part.shoulder.hi[a]
            for a in range(3)
        ]
        by = max(deep, default=Fraction(0))
        if by > 0:
            enters[feature.joint, f"{_mates(model, [feature.mate] if feature.mate else [])} {dual_text(by, units)}".strip()] = None
    between = [
        dual_text(part.shoulder.size(axis), units)
        for axis in (part.length_axis, part.width_axis)
        if part.shoulder.size(axis) != part.box.size(axis)
    ]
    if not enters:
        return ()
    words = [phrase.upper() for _, phrase in enters]
    return f"ENTERS {words[0]}", *words[1:], f"{' × '.join(between)} BETWEEN SHOULDERS"


def _mates(model: Model, paths: Sequence[str]) -> str:
    """`bottom, fixed shelf (C)`: mates of one mark together."""
    groups: dict[str, list[str]] = {}
    known = {part.path: part for part in model.parts}
    for path in paths:
        mate = known.get(path)
        groups.setdefault(mark_of(mate) if mate else "", []).append(mate.name if mate else path.replace("_", " "))
    return ", ".join(f"{joined_names(names)} ({mark})" if mark else joined_names(names) for mark, names in groups.items())
