"""Where frame, title block and bar scales lie on the paper. All lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass

from plandoc.drawing.display import Extent
from plandoc.drawing.style import Style, paper_size
from plandoc.model.entities import PlanInfo

BLOCK_WIDTH = 180.0  # ISO 7200, from memory
BARS_LEAST = 58.0  # width that bar scales need beside the title block
BAR_BAND = 4.4  # of the small words' height
CLEAR = 3.0
PAD_TOP, PAD_MIDDLE, PAD_BOTTOM = 0.34, 0.54, 0.6  # of the small words' height
VALUE_HEIGHT = 3.0
REVISION_WIDTH = 110.0


@dataclass(frozen=True, slots=True)
class Layout:
    """Rectangles on one sheet: frame, title block, bar scales, and the room for the drawing."""

    paper: tuple[float, float]
    frame: Extent
    block: Extent
    bars: Extent
    space: Extent


def row_height(style: Style) -> float:
    """One row of the title block: a small word over its entry (mm)."""
    return style.height("tbtxt") * (1 + PAD_TOP + PAD_MIDDLE + PAD_BOTTOM) + value_height(style)


def value_height(style: Style) -> float:
    """Cap height of an entry of the title block (mm)."""
    return max(VALUE_HEIGHT, 1.2 * style.height("tbtxt"))


def sheet_layout(info: PlanInfo, style: Style) -> Layout:
    """The rectangles of every sheet of a plan. Raises KeyError for an unknown paper or orientation.

    The title block fills the lower right corner of the frame. Where the paper is too narrow for the bar scales
    beside it, they get a band of their own above it.
    """
    width, height = paper_size(style, info.paper, info.orientation)
    margin = style.margin(info.paper)
    frame = (max(margin, style.binding), margin, width - margin, height - margin)
    block_width = min(BLOCK_WIDTH, frame[2] - frame[0])
    block = (frame[2] - block_width, frame[3] - 3 * row_height(style), frame[2], frame[3])
    if block[0] - frame[0] >= BARS_LEAST:
        bars = (frame[0], block[1], block[0], frame[3])
        bottom = block[1]
    else:
        bars = (frame[0], block[1] - BAR_BAND * style.height("tbtxt"), frame[2], block[1])
        bottom = bars[1]
    space = (frame[0] + CLEAR, frame[1] + CLEAR, frame[2] - CLEAR, bottom - CLEAR)
    return Layout((width, height), frame, block, bars, space)


def revision_rows_height(info: PlanInfo, style: Style) -> float:
    """Height (mm) of the revision block with its heading, 0 without revisions."""
    return (len(info.revisions) + 1) * revision_row(style) if info.revisions else 0.0


def revision_row(style: Style) -> float:
    """Height (mm) of one row of the revision block."""
    return 2.0 * style.height("tbtxt") + 0.4


def drawing_space(info: PlanInfo, style: Style, kind: str = "") -> Extent:
    """The rectangle that a sheet may fill: inside the frame, above the title block.

    kind: the sheet kind; the cover leaves room at the top for the revision block where there are revisions.
    """
    left, top, right, bottom = sheet_layout(info, style).space
    return (left, top + (revision_rows_height(info, style) if kind == "cover" else 0.0), right, bottom)
