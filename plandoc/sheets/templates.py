"""Full-size templates: a document of its own, with a page that tells how to print and join them, then their tiles.

They are not among the numbered sheets of the packet: a tray takes six pages, and what is printed again after a spoilt
copy is one template, not the packet. The cover names the document.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import floor

from plandoc.drawing.display import XY, Item, Text
from plandoc.drawing.draft import Draft
from plandoc.drawing.style import Style
from plandoc.model.entities import Model
from plandoc.sheets.context import SheetContext
from plandoc.sheets.flow import COLUMN_GAP, Flow
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.tables import Column, Row
from plandoc.sheets.templateboards import BAR_STRIP, FOOT, OVERLAP, Board, boards
from plandoc.sheets.templatedraw import Drawn, draw
from plandoc.sheets.templatepages import PageWords, check_bars, tile_name, tile_page
from plandoc.sheets.templateparts import Template, templates
from plandoc.shopwork.names import counted, edge_words, joined_names, mark_of

FILE = "templates"
BESIDE_BARS = 110.0  # mm from the corner of the check bars, which are 4 in. long
COLUMNS = (98.0, 78.0)  # mm with the gap; the tables stand on lines of their own in the first, break their heads in the second
MEASURED_MM = tuple(range(96, 105))  # of the 100 mm bar
MEASURED_32 = tuple(range(124, 133))  # thirty-seconds of an inch of the 4 in bar


@dataclass(frozen=True, slots=True)
class _Page:
    """One tile with the code of its sheet."""

    code: str
    drawn: Drawn
    column: int
    row: int


@dataclass(frozen=True, slots=True, eq=False)
class _Plan:
    """What the boards follow from; the same where it is the very same model."""

    model: Model
    paper: XY
    style: Style

    def __hash__(self) -> int:
        return hash((id(self.model), self.paper))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Plan) and self.model is other.model and (self.paper, self.style) == (other.paper, other.style)


@lru_cache(maxsize=2)
def _drawn(plan: _Plan) -> tuple[tuple[Board, ...], tuple[Drawn, ...]]:
    """The boards and what they show, kept for the second pass."""
    laid = boards(templates(plan.model), plan.paper, plan.style)
    return laid, tuple(draw(board, plan.model.info.units, plan.style) for board in laid)


def wanted(ctx: SheetContext) -> bool:
    """Whether any part gets a template."""
    return bool(templates(ctx.model))


def template_pages(ctx: SheetContext) -> dict[str, str]:
    """`T.4`, `T.5-T.8`: the pages that show the marked work of the first part of a mark, by the id of the feature; none where templates are
    not drawn."""
    if (ctx.kinds and KIND.name not in ctx.kinds) or not wanted(ctx):
        return {}
    laid, _ = _drawn(_Plan(ctx.model, ctx.paper, ctx.style))
    number = len(_directions(ctx, [()] * len(laid), laid))
    found: dict[str, str] = {}
    for board in laid:
        last = number + board.rows * board.columns
        run = f"T.{last}" if last == number + 1 else f"T.{number + 1}–T.{last}"
        for block in board.blocks:
            found.update((work.feature.id, run) for work in block.template.marked)
        number = last
    return found


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """The page with the directions, then every tile of every board."""
    laid, every = _drawn(_Plan(ctx.model, ctx.paper, ctx.style))
    front = len(_directions(ctx, [()] * len(laid), laid))
    pages: list[list[_Page]] = []
    number = front
    for board, drawn in zip(laid, every, strict=True):
        tiles = [(c, r) for r in range(board.rows) for c in range(board.columns)]
        pages.append([_Page(f"T.{number + i}", drawn, *tile) for i, tile in enumerate(tiles, 1)])
        number += len(tiles)
    heads = _directions(ctx, [tuple(p.code for p in group) for group in pages], laid)
    drafts = [Draft("template", f"T.{n}", "Full-size templates", items, (Fraction(1),)) for n, items in enumerate(heads, 1)]
    for board, group in zip(laid, pages, strict=True):
        drafts += [_draft(ctx, board, page, number) for page in group]
    return tuple(drafts)


def _draft(ctx: SheetContext, board: Board, page: _Page, count: int) -> Draft:
    about = "; ".join(_about(block.template) for block in board.blocks)
    tile = f", tile {tile_name(page.column, page.row)}" if board.columns * board.rows > 1 else ""
    sheets = [s for block in board.blocks if (s := _drawing(ctx, block.template))]
    left = f"{counted(len(page.drawn.left_out), 'place')} without figures here" if page.drawn.left_out else ""
    if sheets:
        drawing = f"Part drawing: sheet {', '.join(dict.fromkeys(sheets))}" + (f", for {left} too" if left else "")
    else:
        drawing = f"{left[:1].upper()}{left[1:]}: see the part drawing" if left else ""
    more = [f"{drawing}. {ctx.model.info.title}" if drawing else ctx.model.info.title]  # one line: the bars' own must have room
    more.append(f"{correction_text(Fraction(98))}; more on T.1")
    words = PageWords(f"{page.code}, page {page.code[2:]} of {count}", about, tuple(more))
    items = tile_page(page.drawn, page.column, page.row, ctx.paper, words, ctx.style)
    names = "-".join(block.template.name for block in board.blocks[:3])
    return Draft("template", page.code, f"Template {about}{tile}", items, (), f"{names}-{tile_name(page.column, page.row)}", bare=True)


def _drawing(ctx: SheetContext, template: Template) -> str:
    """The sheet whose view shows the face."""
    return ctx.sheet_of(mark_of(template.part), template.ground.face.name)


def _about(template: Template) -> str:
    part = template.part
    return f"{mark_of(part)} {joined_names([p.name for p in template.parts])}, {edge_words(part, template.ground.face)} up"


def correction(measured: Fraction, true: Fraction) -> str:
    """At how many per cent a page must be printed whose bar of `true` came out as `measured`: `102.04 %`."""
    hundredths = floor(true / measured * 10000 + Fraction(1, 2))
    return f"{hundredths // 100}.{hundredths % 100:02d} %"


def correction_text(measured: Fraction) -> str:
    """The example that stands on every page."""
    return f"100 mm bar measures {measured}: print at {correction(measured, Fraction(100))}"


def _directions(ctx: SheetContext, codes: Sequence[tuple[str, ...]], laid: Sequence[Board]) -> tuple[tuple[Item, ...], ...]:
    """The pages of directions, each with check bars, narrower columns where they save a page. codes: the sheets of each board, empty
    where not known yet."""
    x0, y0, x1, y1 = ctx.space
    space = (x0 + BAR_STRIP + 2.0, y0, x1, y1 - FOOT)
    counts = [max(1, int((space[2] - space[0] + COLUMN_GAP) / wide)) for wide in COLUMNS]
    pages = min((_flow(Flow(space, ctx.style, count), ctx, codes, laid).pages() for count in counts), key=len)
    corner = (x0 + BAR_STRIP, y1 - FOOT)
    left, size = x0 + BAR_STRIP + BESIDE_BARS, ctx.style.minimum_height
    bar, _, wrong = correction_text(Fraction(98)).partition("measures ")
    more = [Text("note", (left, y1 - FOOT + size * (1 + 1.7 * number)), line, size) for number, line in enumerate((f"{bar}measures", wrong, "more on T.1"))]
    return tuple((*page, *check_bars(corner, ctx.style), *(more if number else ())) for number, page in enumerate(pages))


def _flow(flow: Flow, ctx: SheetContext, codes: Sequence[tuple[str, ...]], laid: Sequence[Board]) -> Flow:
    """The directions, what to print at, and the list of templates."""
    flow.heading("Before you mark anything")
    for number, text in enumerate(_FIRST, 1):
        flow.words(text, f"{number}")
    flow.heading("Where the bars are wrong")
    flow.words("Print again at the percentage beside what you measured. Where the two directions differ by more than 0.3 mm, take another printer.")
    rows = [
        Row((str(mm), correction(Fraction(mm), Fraction(100)), _inches(n), correction(Fraction(n, 32), Fraction(4))))
        for mm, n in zip(MEASURED_MM, MEASURED_32, strict=True)
    ]
    heads = (Column("100 mm bar", "end"), Column("print at", "end"), Column("4 in bar", "end"), Column("print at", "end"))
    flow.table(heads, rows, "correction")
    flow.heading("Joining the tiles")
    for number, text in enumerate(_JOIN, 1):
        flow.words(text, f"{number}")
    flow.heading("Marking through")
    for text in _MARK:
        flow.words(text, "–")
    flow.heading("The templates")
    listed: list[Row] = []
    for board, sheets in zip(laid, codes, strict=True):
        run = "" if not sheets else sheets[0] if len(sheets) == 1 else f"{sheets[0]} – {sheets[-1]}"
        for block in board.blocks:
            template = block.template
            tiles = f"{board.columns} × {board.rows}"
            listed.append(Row((mark_of(template.part), template.ground.face.name, run, tiles, _drawing(ctx, template))))
    columns = (Column("Part"), Column("Face up"), Column("Sheets", least=22.0), Column("Tiles", "middle"), Column("Drawing", least=12.0))
    flow.table(columns, listed, "templates")
    flow.words("The same shapes at true size in one piece, one layer for each depth, lie below templates/ as SVG files.")
    return flow


def _inches(thirty_seconds: int) -> str:
    whole, rest = divmod(Fraction(thirty_seconds, 32), 1)
    return f"{whole} {rest}" if rest else f"{whole}"


_FIRST = (
    "Print at 100 % (actual size), without fitting to the page.",
    "On every page, measure the bars in both directions: 100 mm and 4 in, from the middle of one end stroke to the middle of the other.",
    "Use a page only where all four are right within 0.1 mm, or as near as your rule reads.",
)
_JOIN = (
    "The small map on a page shows its place. Letters count the rows from above, figures the columns from the left.",
    "Cut each tile along the thin line at its right and lower edge, where it has one. That line belongs to the next tile too.",
    f"Begin at the lower right. Lay each tile over its neighbours so that the crosses cover each other; its cut edge then runs along the broken line. Neighbours share {OVERLAP:g} mm.",
    "Hold two tiles against the light, look at both crosses, and tape.",
)
_MARK = (
    "The heavy lines lie outside the wood: their inner side is the edge. Cut the paper there or fold it down, and lay it on the named edges.",
    "Check the mark of the part, which face is up, and the grain arrow.",
    "Prick every centre through with an awl. Measure two of the printed figures on the wood before you bore.",
    "x and y are measured from the edges named in the words; depths are measured from the face.",
    "Thin light lines show other work on the face, for orientation.",
)


KIND = SheetKind("template", 300, compose, wanted, refers=True, file=FILE, pages="at full size")
