"""Generated steps in which boards are glued up to panels, before the panels are cut to size."""

from __future__ import annotations

from collections.abc import Sequence

from plandoc.model.blanks import least_long
from plandoc.model.entities import Model, Part, Step, Stock
from plandoc.model.roughsizes import rough_pieces
from plandoc.quantity import shop_text
from plandoc.shopwork.claims import all_paths
from plandoc.shopwork.draft import CUT, Draft
from plandoc.shopwork.estimates import duration, minutes
from plandoc.shopwork.gluewords import GlueUp, panel_texts
from plandoc.shopwork.gluing import panel_gluing
from plandoc.shopwork.names import (
    by_mark,
    counted,
    group_words,
    layout_words,
    listed,
    piece_count,
    stock_words,
)
from plandoc.shopwork.strips import laid_out

KINDS = ("crosscut", "rip", "jointing", "planing", "gluing_up_panel")
"""Operations of the trade that a glue-up takes."""
RINGS = "Turn the end-grain rings up and down in turn, keep the grain of the faces running one way, and mark the boards with a triangle across all joints."
"""Rule of the trade for flat panels (common practice)."""


def glue_up_drafts(model: Model, own: Sequence[Step]) -> tuple[Draft, ...]:
    """One step for each stock of which parts are glued up, but for parts that an author's step which cuts them says are
    glued."""
    parts = _untold(model, own)
    found = []
    for stock in dict.fromkeys(part.stock.name for part in parts):
        group = [part for part in parts if part.stock.name == stock]
        found.append(Draft(CUT, (_step(model, group),), tuple(p.path for p in group), before_cut=True))
    return tuple(found)


def _untold(model: Model, own: Sequence[Step]) -> list[Part]:
    """Parts that are glued up of boards and of which no author's step says so."""
    told = {path for step in own if _glues(step) for path in all_paths(model, step.cuts)}
    return [part for part in model.parts if part.glue_up is not None and part.path not in told]


def panel_ups(model: Model, step: Step) -> tuple[GlueUp, ...]:
    """The panels that a step of the procedure glues up, those that are alike together."""
    if step.author:
        parts = [part for path in all_paths(model, step.cuts) if (part := model.part(path)).glue_up is not None] if _glues(step) else []
    elif "gluing_up_panel" in step.kinds:
        parts = [part for part in _untold(model, model.steps) if _title(model, part) == step.title]
    else:
        parts = []
    found = []
    for group in by_mark(parts).values():
        boards = sum(piece.count for piece in rough_pieces(group[0]))
        found.append(GlueUp(step.number, tuple(part.path for part in group for _ in range(part.count)), panel_gluing(model, group[0]), boards))
    return tuple(found)


def _title(model: Model, part: Part) -> str:
    return f"Glue up the panels of {stock_words(part.stock, model.info.units)}"


def _glues(step: Step) -> bool:
    return any("glue" in text.casefold() or "gluing" in text.casefold() for text in (step.title, *step.texts))


def _step(model: Model, parts: Sequence[Part]) -> Step:
    units = model.info.units
    groups = by_mark(parts)
    boards = [_boards(model, group) for group in groups.values()]
    joints = {part.glue_up.jointing for part in parts if part.glue_up is not None and part.glue_up.jointing}
    loss = f" A joint takes {listed([shop_text(j, units, mark=True) for j in sorted(joints)])} of the width, half from each edge." if joints else ""
    panels, cautions = panel_texts(model, groups.values())
    texts = (
        _first_cuts(model, parts[0].stock),
        *boards,
        f"Joint one face of each board, plane the boards of a panel to one thickness, as thick as they allow, and joint their edges square.{loss}",
        f"Lay the boards side by side. {RINGS}",
        "Clamp dry first: every joint closes by hand pressure. Then glue the edges and draw up, clamps above and below in turn, the faces flush.",
        "Scrape off what is squeezed out before it is hard.",
    )
    checks = (
        "A straightedge across the panel shows no hollow before the clamps are left alone.",
        *(f"{group_words(group)}: at least {shop_text(group[0].rough_width, units, mark=True)} wide over all boards." for group in groups.values()),
    )
    return Step(
        0, _title(model, parts[0]), texts=texts, checks=checks, cautions=cautions, glue=panels,
        waits=(f"In the clamps, and before planing, as long as the label of the glue says: about {duration(minutes(model.info, 'glue_held'))} and a day (estimates).",), author=False, kinds=KINDS,
    )  # fmt: skip


def _first_cuts(model: Model, stock: Stock) -> str:
    """How the boards come out of their stock: as the layout orders it, where there is one."""
    if laid_out(model, stock):
        return f"Cut the boards out in the order of {layout_words(stock, model.info.units)}."
    return "Rough-cut the boards: crosscut, then rip."


def _boards(model: Model, group: Sequence[Part]) -> str:
    """`Table top (A): 5 boards, 48 1/2" long; 2 of 4 7/8", 3 of 4 3/4" wide.`"""
    units = model.info.units
    part, count = group[0], piece_count(group)
    pieces = rough_pieces(part)
    number = sum(piece.count for piece in pieces)
    many = f"{counted(count, 'panel')} of {number} boards each" if count > 1 else f"{number} boards"
    long = shop_text(part.rough_length, units, mark=True)
    wide = ", ".join(f"{piece.count * count} of {shop_text(piece.width, units, mark=True)}" for piece in pieces)
    if len(pieces) == 1:
        wide = f"all {shop_text(pieces[0].width, units, mark=True)}"
    least = least_long(model.shop, units)
    trimmed = f" So long for the planer, which takes no less than {shop_text(least, units, mark=True)}: the panel is cut to {shop_text(part.length, units, mark=True)} when it is planed." if part.length < least <= part.rough_length else ""
    return f"{group_words(group)}: {many}, {long} long; {wide} wide.{trimmed}"
