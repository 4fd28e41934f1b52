"""templates.csv: one row for each cut by template of the parts of one mark, in the order of cuts; figures in mm, and as they are printed."""

from __future__ import annotations

from collections.abc import Iterator

from plandoc.model.entities import Model
from plandoc.publish.lists import csv_text
from plandoc.publish.packetlists import decimal
from plandoc.shopwork.names import mark_of, piece_count
from plandoc.shopwork.templatewords import how_text, note_text, stops_text, tool_text
from plandoc.shopwork.templatework import template_work
from plandoc.tables import operation

TEMPLATE_COLUMNS = (
    "mark", "name", "count", "order", "operation", "work", "places", "face", "machine", "tool", "bit_mm", "bush_mm", "depth_mm", "passes", "passes_mm", "stops_mm", "stops", "how", "features",
)  # fmt: skip


def templates_csv(model: Model) -> str:
    """passes_mm: the depth of each pass; stops_mm: from the face to the end of each; depth_mm is empty of what goes through."""
    return csv_text(TEMPLATE_COLUMNS, _rows(model))


def _rows(model: Model) -> Iterator[tuple[str, ...]]:
    units = model.info.units
    for block in template_work(model).blocks:
        for number, cut in enumerate(block.cuts, 1):
            yield (
                mark_of(block.part), block.part.name, str(piece_count(block.parts)), str(number), operation(cut.operation).name, note_text(cut, units), str(len(cut.features)),
                "" if cut.face is None else cut.face.name, cut.machine, tool_text(cut, units), decimal(cut.tool.diameter), decimal(cut.tool.bush), decimal(cut.depth),
                str(len(cut.stops)), "; ".join(map(decimal, cut.passes)), "; ".join(map(decimal, cut.stops)), stops_text(cut, units), how_text(cut, units),
                " ".join(f.id for f in cut.features),
            )  # fmt: skip


__all__ = ["TEMPLATE_COLUMNS", "templates_csv"]
