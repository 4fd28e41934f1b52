"""Routing set-up: for each face that a router led by numbers works, how it lies, the tools and their order, and what to mind."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from plandoc.build.routing import Routing, routings, tool_size
from plandoc.drawing.draft import Draft
from plandoc.model.blanks import blank_margin
from plandoc.quantity import INCH, Units, diameter_text, shop_text
from plandoc.sheets.context import SheetContext
from plandoc.sheets.flow import Flow
from plandoc.sheets.listsheets import letter
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.routingdraw import picture
from plandoc.sheets.tables import Column, Row
from plandoc.shopwork.names import edge_words
from plandoc.toolpath import practice
from plandoc.toolpath.work import Program, Stage

WORDS = 0.5  # of the sheet, for words and tables
GAP = 6.0
CAUTIONS = (
    "The manual of your machine and the marks on the bit go before this sheet. Speeds and feeds are starting values to be checked (common practice).",
    "Wear eye and hearing protection, and catch the dust. Sleeves and hair are tied back.",
    "Run the file in the air first, with Z0 set well above the board; watch clamps and corners.",
    "Check the work zero before every file: X0 Y0 at the corner, Z0 on the face. Set Z anew after each change of bit.",
    "Pull at the board before you start: it must not move. A waste board lies below it.",
    "The file does not wait for the spindle to come up to speed: start it first if yours is slow.",
    "Never leave the machine while it runs; one hand stays near the stop.",
    "Hands go in, and bits are changed, only when the spindle is off and stands still.",
)
LINES = ("thin full", "dashed", "chain")


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheets 7.9, 7.9b ...: one for each face, further ones where its words need more room."""
    drafts: list[Draft] = []
    for routing in routings(ctx.model):
        left, top, right, bottom = ctx.space
        middle = right - (right - left) * WORDS
        flow = Flow((middle + GAP, top, right, bottom), ctx.style, 1)
        _words(flow, routing, ctx)
        drawn, scale = picture(routing, (left, top, middle - GAP, bottom), ctx.style, ctx.model.info.units)
        for number, items in enumerate(flow.pages()):
            title = f"Routing set-up, {routing.part.mark or routing.part.path} {routing.part.name}, {routing.face.name} up" + (", continued" if number else "")
            shown = (drawn, *items) if number == 0 else items
            drafts.append(Draft("routing", "7.9" + letter(len(drafts)), title, tuple(shown), (scale,) if number == 0 else (), f"{routing.part.mark}-{routing.face.name}"))
    return tuple(drafts)


def _words(flow: Flow, routing: Routing, ctx: SheetContext) -> None:
    units, part, plane, result = ctx.model.info.units, routing.part, routing.ground, routing.result
    width, high, thick = (shop_text(v, u) for v, u in zip((*plane.size, part.thickness), (units, units, units.fine), strict=True))
    flow.heading("Part and origin")
    count = sum(p.count for p in routing.parts)
    size = f"{width} × {high} × {thick}"
    if routing.board.out:
        margin = blank_margin(routing.wish, units)
        blank = " × ".join(shop_text(v + 2 * margin, units) for v in plane.size)
        piece = f"Cut out of a blank of at least {blank} × {thick}: {shop_text(margin, units, mark=True)} more on every side; the parts list has it as rough size."
    else:
        piece = f"Cut to {size} before."
    flow.words(f"{part.mark} {part.name}, {count} to make; {routing.face.name} face up. {piece}")
    flow.words(f"X0 Y0: corner of {edge_words(part, plane.right.opposite)} and {edge_words(part, plane.up.opposite)}, the reference corner. X runs to the {edge_words(part, plane.right)}, Y to the {edge_words(part, plane.up)}. Z0: the {routing.face.name} face.")
    flow.heading("Tools in their order")
    flow.table(
        [Column("File", "middle"), Column("Tool", wrap=True), Column("Turns/min", "end"), Column("Feed", "end"), Column("Entry", "end"), Column("Deepest", "end", stacked=True), Column("Min", "end"), Column("Lines", wrap=True)],
        [_tool(n, program, routing, units) for n, program in enumerate(result.programs, 1)], "routing-tools",
    )  # fmt: skip
    word = f"{part.mark or part.path}-{routing.face.name}"
    flow.words(f"Files toolpaths/{word}-1 and on. Feeds in {'inches' if units.system == 'inch' else 'mm'} a minute, time without setting up; all starting values to be checked (common practice).")
    flow.heading("Order of cuts and passes")
    flow.table(
        [Column("File", "middle"), Column("Cut", wrap=True), Column("Places", "end"), Column("Depth", "end", stacked=True), Column("Passes", "end"), Column("Walls and tabs", wrap=True)],
        [_stage(n, stage, units) for n, program in enumerate(result.programs, 1) for stage in program.stages], "routing-cuts",
    )  # fmt: skip
    flow.words(_how(routing, units))
    _hold(flow, routing, units)
    left = _left(routing, units)
    if left:
        flow.heading("Left to other tools")
        flow.words(left)
    flow.heading("Cautions")
    for caution in CAUTIONS:
        flow.words(caution, "–")


def _tool(number: int, program: Program, routing: Routing, units: Units) -> Row:
    feeds = dict(program.feeds)
    name = f"V-bit {program.diameter:g}°"
    if program.kind != "v-bit":
        name = f"{'straight bit' if program.kind == 'bit' else 'drill with brad point'} Ø{diameter_text(tool_size(routing, program), units, mark=True)}"
    return Row((str(number), name, str(program.speed), _feed(feeds["cut"], units), _feed(feeds["down"], units), _deep(program.deepest, units), str(max(1, ceil(program.minutes))), _lines(program, routing)))


def _lines(program: Program, routing: Routing) -> str:
    """How the way of a tool is drawn."""
    if program.kind == "drill":
        return "circles"
    if program.kind == "v-bit":
        return "the letters"
    bits = [p for p in routing.result.programs if p.kind == "bit"]
    return LINES[min(bits.index(program), len(LINES) - 1)]


def _stage(number: int, stage: Stage, units: Units) -> Row:
    end = []
    if stage.finish:
        end.append("finishing pass at full depth")
    if stage.tabs:
        end.append(f"{stage.tabs} tabs")
    return Row((str(number), stage.what, str(stage.count), "through" if stage.depth is None else _deep(stage.depth, units), str(stage.passes), ", ".join(end)))


def _how(routing: Routing, units: Units) -> str:
    """What holds for all cuts."""
    result = routing.result
    words = [f"Passes at most half the bit deep, {int(practice.STEP_OVER * 100)} % of it to the side, entered along the cut at {int(practice.SLOPE)}° or less; {_near(practice.FINISH, units)} is left on walls for the finishing pass (common practice). Travelling height {_near(practice.SAFE, units)} over the face."]
    if any(stage.depth is None for p in result.programs for stage in p.stages):
        words.append(f"Cuts that go through enter the waste board by {_near(practice.BREAKTHROUGH, units)}.")
    if any(p.kind == "v-bit" for p in result.programs):
        words.append(f"The V-bit goes along the strokes of the letters, Z0 at its point, at most {_near(practice.V_PASS, units)} deeper with each pass; try it on waste of the same wood first (from memory).")
    if result.tabs:
        words.append(f"Tabs stand {_near(result.tab[0], units)} high and {_near(result.tab[1], units)} long: saw them off, then trim flush.")
    if result.corners:
        words.append(f"Inside corners that are drawn sharper keep a radius of {_near(result.corners, units)}: chop them square where a part must fit.")
    return " ".join(words)


def _hold(flow: Flow, routing: Routing, units: Units) -> None:
    flow.heading("Hold-down")
    zones = routing.result.zones
    lower = f"no higher than {_near(practice.CLAMP_HIGH, units)} over the face"
    if zones:
        flow.words(f"Clamps only in the grey zones, {lower}. The files keep clear of them.")
    if len(zones) < 2:
        flow.words("The work leaves too little room for clamps: hold the board by double-sided tape, vacuum or screws from below, away from all cuts.")


def _left(routing: Routing, units: Units) -> str:
    names = [f.kind for f in routing.others]
    for name, _ in routing.result.left:
        feature = routing.feature(name)
        names.append(name if feature is None else feature.kind if feature.diameter is None else f"{feature.kind} Ø{diameter_text(feature.diameter, units, mark=True)}")
    counted = {name: names.count(name) for name in names}
    return "; ".join(f"{count} × {name}" if count > 1 else name for name, count in counted.items()) + (": see the part drawing." if counted else "")


def _feed(feed: float, units: Units) -> str:
    return f"{feed / float(INCH):.0f}" if units.system == "inch" else f"{feed:.0f}"


def _deep(depth: float, units: Units) -> str:
    return shop_text(Fraction(depth).limit_denominator(100000), units.fine)


def _near(length: float, units: Units) -> str:
    """A length of the trade, to 1/64 in. or 0.1 mm."""
    if units.system == "inch":
        return shop_text(Fraction(round(length / float(INCH) * 64)) * INCH / 64, units.fine, mark=True)
    return f"{length:g} mm"


KIND = SheetKind(name="routing", order=177, compose=compose, wanted=lambda ctx: bool(ctx.model.routings) and bool(routings(ctx.model)), together="Routing set-up")
