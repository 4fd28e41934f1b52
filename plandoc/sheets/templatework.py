"""Work by template: for each part the pockets, notches, slots, openings, letters and outlines that no fence sets, in the order of cuts,
with template page, tool and passes. Parts alike share a block."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plandoc.drawing.display import Group, Item
from plandoc.drawing.draft import Draft
from plandoc.drawing.lettering import note_line_items, wrap
from plandoc.quantity import Units
from plandoc.sheets.context import SheetContext
from plandoc.sheets.flow import Flow, column_count
from plandoc.sheets.listsheets import DENSE, letter, list_heading
from plandoc.sheets.registry import SheetKind
from plandoc.sheets.tables import Column, Row, Table
from plandoc.sheets.templates import template_pages
from plandoc.shopwork.names import joined_names, listed, mark_of, piece_count
from plandoc.shopwork.templatewords import (
    after_text,
    cautions,
    holding,
    how_text,
    note_parts,
    note_text,
    place_text,
    reasons,
    stops_text,
    tool_text,
)
from plandoc.shopwork.templatework import ROUTED, TemplateBlock, TemplateCut, blocks_of_steps, template_work

CODE = "7.8"
TITLE = "Work by template"
PITCH = 1.5  # line pitch of a title over its height
BETWEEN = 3.0  # mm between a table and the next title
GAP = 2.0  # mm more between the last table and the words below it
LEAST = 25.0  # mm; a lower room below the tables takes no words
Key = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Family:
    """Blocks that go through the same cuts with the same tools, some of them without one or the other. rows: of each cut its key, in order."""

    blocks: tuple[TemplateBlock, ...]
    rows: tuple[Key, ...]


def compose(ctx: SheetContext) -> tuple[Draft, ...]:
    """Sheets 7.8, 7.8b ...: tables of cuts, then why, how the work is held and what to mind."""
    families = _families(ctx)
    heading, deep = list_heading(_note(ctx), ctx)
    x0, y0, x1, y1 = ctx.space
    pages: list[list[Item]] = [[heading]]
    y = y0 + deep
    for family in families:
        title = wrap(_title(ctx, family), ctx.style.height("body"), x1 - x0, True)
        rows = _rows(ctx, family)
        table = Table(_columns(), rows, ctx.style, x1 - x0, f"template-work-{mark_of(family.blocks[0].part)}", above=DENSE)
        above = PITCH * ctx.style.height("body") * len(title) + 1.0
        start = 0
        while start < len(rows):
            rest = len(rows) - start
            # a table that goes on whole on the next sheet begins there, but never behind a sheet with the note alone
            if any(item is not heading for item in pages[-1]) and above + table.run_height(start, rest) > y1 - y:
                pages.append([])
                y = y0
            count = table.fitting(start, y1 - y - above)
            pages[-1] += [_heading(title, x0, y, ctx), table.draw(x0, y + above, start, count)]
            y += above + table.run_height(start, count) + BETWEEN
            start += count
    blocks = [block for family in families for block in family.blocks]
    said = _said(ctx, blocks, (x0, y + GAP, x1, y1)) if y1 - y > LEAST else ((), ())
    if len(said) == 1:
        pages[-1] += said[0]
    else:
        pages += [list(page) for page in _said(ctx, blocks, ctx.space)]
    return tuple(Draft("templatework", CODE + letter(n), TITLE + (", continued" if n else ""), tuple(items)) for n, items in enumerate(pages))


def _heading(lines: Sequence[str], x: float, y: float, ctx: SheetContext) -> Group:
    size = ctx.style.height("body")
    return Group("block-title", tuple(i for n, line in enumerate(lines) for i in note_line_items(line, (x, y + size * (1 + PITCH * n)), size, "body", bold=True)))


def _note(ctx: SheetContext) -> str:
    text = "Cuts in their order. T. pages are those of templates.pdf."
    if any(cut.tool.kind == "bit" for block in template_work(ctx.model).blocks for cut in block.cuts):
        text += " Stops are depths from the face, one for each pass: at most half of the bit, and no more than 1/4 in. (6 mm) in the hand (common practice)."
        if ctx.model.shop.assumed:
            text += " Assumed bits: take yours, none wider."
    if any(reason == ROUTED for *_, reason in template_work(ctx.model).elsewhere):
        text += " What a router led by numbers cuts is on sheet 7.9."
    return text


def _columns() -> list[Column]:
    return [Column("", "middle"), Column("Work", wrap=True), Column("Tool", wrap=True), Column("Stops", wrap=True), Column("First and last", wrap=True)]


def _key(ctx: SheetContext, cut: TemplateCut) -> Key:
    """What cuts have in common that stand in one row: bores of any width, other work of one tool, stops and way."""
    units = ctx.model.info.units
    bore = cut.tool.kind == "bore"
    return cut.phase, cut.operation, cut.feature.kind, cut.machine, "" if bore else tool_text(cut, units), stops_text(cut, units), how_text(cut, units)


def _families(ctx: SheetContext) -> list[Family]:
    """Parts that are alike but for sizes and counts together, in the order of the first of them."""
    blocks = template_work(ctx.model).blocks
    rows = {n: tuple(_key(ctx, cut) for cut in block.cuts) for n, block in enumerate(blocks)}
    found: dict[int, list[int]] = {}
    for n in sorted(rows, key=lambda n: (-len(rows[n]), n)):
        home = next((m for m in found if set(rows[n]) <= set(rows[m]) and len(set(rows[n])) == len(rows[n]) and len(set(rows[m])) == len(rows[m]) and blocks[m].after == () == blocks[n].after), n)
        found.setdefault(home, []).append(n)
    return [Family(tuple(blocks[n] for n in sorted(own)), rows[m]) for m, own in sorted(found.items(), key=lambda item: min(item[1]))]


def _title(ctx: SheetContext, family: Family) -> str:
    """`G Tray 1 (T.11–T.16), H Tray 2 (T.17): top face up`."""
    pages = template_pages(ctx)
    faces = [listed(list(dict.fromkeys(cut.face.name for cut in block.cuts if cut.face is not None))) for block in family.blocks]
    one = len(set(faces)) == 1
    said = []
    for block, face in zip(family.blocks, faces, strict=True):
        codes = dict.fromkeys(code for cut in block.cuts for f in cut.features if (code := pages.get(f.id, "")))
        count = piece_count(block.parts)
        pieces, drawn = f", {count} pieces" if count > 1 else "", f" ({listed(list(codes))})" if codes else ""
        said.append(f"{mark_of(block.part)} {joined_names([p.name for p in block.parts])}{pieces}{drawn}{'' if one or not face else f', {face} face up'}")
    return "; ".join(said) + (f": {faces[0]} face up" if one and faces[0] else "")


def _rows(ctx: SheetContext, family: Family) -> list[Row]:
    units, pages = ctx.model.info.units, template_pages(ctx)
    rows: list[Row] = []
    for number, key in enumerate(family.rows):
        # a family of one block may have rows with one key
        own = [(block, block.cuts[number]) for block in family.blocks] if len(family.blocks) == 1 else [(block, cut) for block in family.blocks for cut in block.cuts if _key(ctx, cut) == key]
        what = _what(own, len(family.blocks), units)
        tool = _tools(own, units)
        cut = own[0][1]
        how = how_text(cut, units)
        if not any(f.id in pages for _, one in own for f in one.features):
            how = f"struck from the part drawing; {how}"
        after = after_text(family.blocks[0].after) if number == len(family.rows) - 1 else ""
        attrs = (("mark", " ".join(mark_of(block.part) for block, _ in own)), ("number", str(number + 1)))
        rows.append(Row((str(number + 1), what, tool, stops_text(cut, units) or "-", f"{how}; {after}" if after else how), attrs))
    return rows


def _what(own: Sequence[tuple[TemplateBlock, TemplateCut]], of: int, units: Units) -> str:
    """`finger notch ↧3/8": G 6X Ø3/4"; H 6X Ø1"`, without marks where one text holds for all. of: how many parts there are."""
    said = [(mark_of(block.part), "; ".join(filter(None, (note_text(cut, units), place_text(block, cut, units))))) for block, cut in own]
    texts = _by_text(said)
    if len(texts) == 1 and len(said) >= of:
        return said[0][1]
    parts = [note_parts(cut, units) for _, cut in own]
    if len({(name, depth) for name, _, depth in parts}) == 1 and all(size for _, size, _ in parts) and not any(place_text(*one, units) for one in own):
        counts = [f"{len(cut.features)}X " if len(cut.features) > 1 else "" for _, cut in own]
        short = _by_text([(mark, count + size) for (mark, _), count, (_, size, _) in zip(said, counts, parts, strict=True)])
        return f"{parts[0][0]}{parts[0][2]}: " + "; ".join(f"{', '.join(marks)} {text}" for text, marks in short.items())
    return "; ".join(f"{', '.join(marks)}: {text}" for text, marks in texts.items())


def _tools(own: Sequence[tuple[TemplateBlock, TemplateCut]], units: Units) -> str:
    """`drill press, flat-bottomed bit Ø3/4" (G), Ø1" (H, J)`."""
    texts = _by_text([(mark_of(block.part), tool_text(cut, units)) for block, cut in own])
    if len(texts) == 1:
        return next(iter(texts))
    head = next(iter(texts)).partition("Ø")[0]
    return head + ", ".join(f"{text.removeprefix(head)} ({', '.join(marks)})" for text, marks in texts.items())


def _by_text(said: Sequence[tuple[str, str]]) -> dict[str, list[str]]:
    """Texts with the marks that they hold for."""
    found: dict[str, list[str]] = {}
    for mark, text in said:
        found.setdefault(text, []).append(mark)
    return found


def _said(ctx: SheetContext, blocks: Sequence[TemplateBlock], space: tuple[float, float, float, float]) -> tuple[tuple[Item, ...], ...]:
    flow = Flow(space, ctx.style, column_count(space, ctx.style))
    why = reasons(blocks)
    if why:
        flow.heading("Why in this order")
        for text in why:
            flow.words(text, "–")
    flow.heading("Holding and leading")
    for text in holding(blocks, ctx.model):
        flow.words(text, "–")
    flow.heading("Cautions")
    for text in cautions(blocks):
        flow.words(text, "–")
    return flow.pages()


def work_texts(ctx: SheetContext) -> dict[int, str]:
    """`G, H on sheet 7.8`: the parts whose work by template a step does, by its number; none where the sheet is not drawn."""
    if (ctx.kinds and KIND.name not in ctx.kinds) or not wanted(ctx):
        return {}
    codes: dict[str, str] = {}
    for draft in compose(ctx):
        for mark in _marks(draft.items):
            codes.setdefault(mark, draft.code)
    found = {}
    for step, marks in blocks_of_steps(ctx.model, ctx.steps).items():
        sheets = dict.fromkeys(codes[mark] for mark in marks)
        found[step] = "; ".join(f"{', '.join(m for m in marks if codes[m] == code)} on sheet {code}" for code in sheets)
    return found


def _marks(items: Sequence[Item]) -> list[str]:
    found: list[str] = []
    rest = list(items)
    while rest:
        item = rest.pop(0)
        attrs = dict(getattr(item, "attrs", ()))
        if "mark" in attrs and "number" in attrs:
            found += attrs["mark"].split()
        rest = [*getattr(item, "items", ()), *rest]
    return found


def wanted(ctx: SheetContext) -> bool:
    """Whether there is work by template."""
    return bool(template_work(ctx.model).blocks)


KIND = SheetKind("templatework", 176, compose, wanted, refers=False, together=TITLE)
