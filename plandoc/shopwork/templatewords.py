"""Work by template in the words of the bench: what is cut, with what, to where, how, and why in this order."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.model.entities import Feature, Model
from plandoc.quantity import INCH, Units, shop_text
from plandoc.shopwork.measures import from_edges
from plandoc.shopwork.names import edge_words, exact_size, listed
from plandoc.shopwork.templatework import BLIND, BORE, LETTER, OPEN, OUTLINE, TemplateBlock, TemplateCut
from plandoc.tables import operation

BASE = Fraction(120)
"""An opening wider than this leaves too little under the base of a router in its middle (mm; common practice: bases are 6 in. or 150 mm wide)."""
OFF = {"inch": INCH / 16, "mm": Fraction(2)}
"""How far from the line one saws before the last cut (common practice)."""
NAMES = {"finger": "finger notch", "pocket": "pocket", "step": "level of a pocket", "cut-out": "cut-out", "outline": "outline"}


def note_parts(cut: TemplateCut, units: Units) -> tuple[str, str, str]:
    """What the note of a cut is made of: what it is, its own size or text, its depth."""
    feature, deep = cut.feature, cut.depth
    depth = ", through" if deep is None else f" ↧{shop_text(deep, units, mark=True)}"
    name = NAMES.get(feature.kind, feature.kind)
    if feature.text:
        high = f" {shop_text(feature.height, units, mark=True)} high" if feature.height is not None else ""
        return f"letters{high}", f"“{feature.text}”", depth if deep else ""
    if feature.diameter is not None:
        return name, f"Ø{exact_size(feature.diameter, units)}", depth
    return f"{name}{', ' + feature.note if feature.note else ''}", "", depth


def note_text(cut: TemplateCut, units: Units) -> str:
    """`6X finger notch Ø3/4" ↧3/8"`, as on the part drawing."""
    name, own, depth = note_parts(cut, units)
    said = f"{name} {own}".strip() + depth
    return f"{len(cut.features)}X {said}" if len(cut.features) > 1 else said


def place_text(block: TemplateBlock, cut: TemplateCut, units: Units) -> str:
    """`centre 2" from the front edge and 3" from the left end` of one round hole; "" of all other work, whose place is on the template."""
    face, feature = cut.face, cut.feature
    if face is None or len(cut.features) > 1 or feature.diameter is None or feature.centre is None:
        return ""
    return "centre " + listed([f"{shop_text(d, units, mark=True)} from the {edge_words(block.part, f)}" for f, d in from_edges(block.part, face, feature.centre)])


def tool_text(cut: TemplateCut, units: Units) -> str:
    """`straight bit Ø3/4", bearing`."""
    tool = cut.tool
    if tool.kind == "point":
        return "V-bit"
    if tool.kind == "saw":
        return "band saw"
    if tool.diameter is None:
        return "fine saw, chisel" if cut.depth is None else "drill, chisel"
    size = f"Ø{exact_size(tool.diameter, units)}"
    if tool.kind == "bore":
        return f"drill press, flat-bottomed bit {size}"
    guide = ", bearing" if tool.bearing else f", bush Ø{exact_size(tool.bush, units)}" if tool.bush is not None else ""
    return f"straight bit {size}{guide}"


def stops_text(cut: TemplateCut, units: Units) -> str:
    """`3/16", 3/8"`: the depth stop of each pass."""
    even = len(set(cut.passes)) == 1
    if not cut.stops:
        return ""
    deep = shop_text(cut.stops[-1], units.fine, mark=True)
    if len(cut.stops) > 4:
        first = shop_text(cut.passes[0], units.fine, mark=True)
        return f"{len(cut.stops)} × {first}, to {deep}" if even else f"{', '.join(shop_text(s, units.fine) for s in cut.stops[:-1])}, {deep}"
    return ", ".join([*(shop_text(s, units.fine) for s in cut.stops[:-1]), deep])


def how_text(cut: TemplateCut, units: Units) -> str:
    """What to do first and last of this piece of work."""
    tool, off = cut.tool, shop_text(OFF[units.system], units.fine, mark=True)
    said: list[str] = []
    if tool.kind == "point":
        return "point on the pricked line, stroke after stroke"
    if cut.phase == BORE:
        return "point on the pricked centre; lift to clear the chips"
    if tool.kind == "saw":
        if cut.phase != OUTLINE:
            return "saw on the waste side, chisel the corner"
        return f"saw {off} off the line, then {'pare shoulders and edge to it' if cut.feature.kind == 'tab' else 'smooth to it, downhill with the grain'}"
    if tool.kind == "hand":
        return "saw beside the line and pare" if cut.depth is None else "bore out the waste, pare walls and floor; no bit of the shop goes in"
    if cut.phase == OPEN and 2 * float(tool.diameter or 0) < cut.wide:
        said.append(f"drill into the waste, saw it out {off} off the line; then along the template")
    elif cut.phase == OUTLINE:
        said.append(f"saw {off} off the line first, then along the template, end grain before long grain")
    elif cut.top:
        said.append(f"from the floor at {shop_text(cut.top, units.fine, mark=True)} down")
    else:
        said.append("middle first, walls last")
    if tool.offset is not None:
        said.append(f"edge of the template {shop_text(tool.offset, units.fine, mark=True)} outside of the line")
    if tool.chop:
        said.append("chop the corners square")
    if tool.pare:
        said.append(f"pare the corners to R {shop_text(Fraction(tool.pare).limit_denominator(1000), units.fine, mark=True)}")
    if cut.phase == BLIND and cut.wide > BASE:
        said.append("wider than the base: screw a long base plate on")
    return "; ".join(said)


def after_text(features: Sequence[Feature]) -> str:
    """`then: chamfer 2 mm × 45°, all edges of the top`."""
    rows = dict.fromkeys(f"{f.kind} {f.note}".strip() for f in features)
    return f"after it: {'; '.join(rows)}" if rows else ""


def reasons(blocks: Sequence[TemplateBlock]) -> tuple[str, ...]:
    """Why the cuts come in this order; only what occurs (common practice)."""
    rows = [[(cut.phase, cut.operation) for cut in block.cuts] for block in blocks]
    phases = {phase for row in rows for phase, _ in row}
    found = []
    if any({"finger_notch", "round_pocket"} <= {o for _, o in row} or {"finger_notch", "rectangular_pocket"} <= {o for _, o in row} for row in rows):
        found.append("Finger notches before their pockets: the bit then has wood all round.")
    if any(LETTER in (own := {phase for phase, _ in row}) and own & {BLIND, OPEN} for row in rows):
        found.append("Letters before what is routed: the base still rests on a whole face.")
    if any(cut.top for block in blocks for cut in block.cuts):
        found.append("Shallow level first, the deeper one from its floor: one stop after the other, and the rim carries the base for both.")
    if OPEN in phases and BLIND in phases:
        found.append("What goes through comes after pockets, while the piece lies whole and flat.")
    if OUTLINE in phases:
        found.append("Outline last: until then the piece has room for clamps and square edges to measure from. Work on its edges follows it.")
    return tuple(found)


def holding(blocks: Sequence[TemplateBlock], model: Model) -> tuple[str, ...]:
    """How work and template are held and led; only what occurs (common practice)."""
    cuts = [cut for block in blocks for cut in block.cuts]
    found = ["Prick centres and corners, and points along curves, through the template of templates.pdf."]
    routed = [cut for cut in cuts if cut.tool.kind == "bit"]
    if routed:
        found.append("For the router paste the template on 1/4 in. (6 mm) board and cut that to the line.")
        found.append("Clamp the work at two places outside of the path of the base: go round once with the router switched off. Screw the template into waste, or tape it down.")
        found.append("Against the turn of the bit: clockwise inside of an opening, counterclockwise round an outline.")
        if any(not cut.tool.bearing and cut.tool.bush is None for cut in routed):
            found.append("No bearing or guide bush is listed in the shop: with a bearing as wide as the bit the template has true size; with a bush its edge lies half of (bush less bit) outside of the line.")
    if any(cut.depth is None for cut in routed):
        found.append("Through cuts on a backing board, better face up under the router, poorer face to the board.")
    if any(cut.tool.kind == "bore" for cut in cuts):
        found.append("At the drill press two clamps, or one and a fence; pieces that reach over the table are supported.")
    return tuple(found)


def cautions(blocks: Sequence[TemplateBlock]) -> tuple[str, ...]:
    """The cautions of the operations on their machines, each once."""
    return tuple(dict.fromkeys(c.text for block in blocks for cut in block.cuts for c in operation(cut.operation).cautions_on(cut.machine)))


__all__ = ["after_text", "cautions", "holding", "how_text", "note_parts", "note_text", "place_text", "reasons", "stops_text", "tool_text"]
