"""All sheets as one PDF with true page sizes, the same bytes for the same sheets.

cairosvg writes one page for each file and puts the time of day into it. Here one cairo surface takes all pages, and
pypdf writes the file anew with outline, page labels and settings for printing at full size (ISO 32000-1, 12.2).
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Sequence

from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, BooleanObject, ByteStringObject, DictionaryObject, NameObject

from plandoc.drawing.display import Sheet
from plandoc.drawing.style import Style
from plandoc.model.entities import PlanInfo
from plandoc.publish.fonts import CairoMissing, cairo
from plandoc.publish.pages import page_class

__all__ = ["CairoMissing", "pdf_bytes"]

POINTS_PER_MM = 72 / 25.4


def pdf_bytes(sheets: Sequence[Sheet], svgs: Sequence[str], style: Style, info: PlanInfo) -> bytes:
    """One PDF of the sheets, whose SVG texts are given in the same order. Raises CairoMissing.

    A page is exactly as large as its sheet. The outline has one entry for each sheet, page labels are the sheet
    codes, the title and the author come from the plan, and there is no date.
    """
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(_pages(sheets, svgs))))
    writer.metadata = {
        "/Title": info.title,
        **({"/Author": info.author} if info.author else {}),
        **({"/Subject": f"Drawing packet for {info.client}"} if info.client else {}),
        "/Creator": "plandoc",
        "/Producer": "plandoc",
    }
    for index, sheet in enumerate(sheets):
        writer.add_outline_item(title=f"{sheet.code}  {sheet.title}", page_number=index)
        writer.set_page_label(index, index, prefix=sheet.code)
    writer.root_object[NameObject("/ViewerPreferences")] = DictionaryObject(
        {
            NameObject("/PrintScaling"): NameObject("/None"),
            NameObject("/DisplayDocTitle"): BooleanObject(True),
        }
    )
    writer.page_mode = "/UseOutlines"
    writer.pdf_header = "%PDF-1.7"
    # pypdf's own identifiers are random; this one follows from what the file shows.
    identifier = ByteStringObject(_digest(svgs, info))
    writer._ID = ArrayObject((identifier, identifier))
    buffer = io.BytesIO()
    writer.write(buffer)
    return buffer.getvalue()


def _digest(svgs: Sequence[str], info: PlanInfo) -> bytes:
    digest = hashlib.sha256("\0".join((info.title, info.author, info.client)).encode("utf-8"))
    for svg in svgs:
        digest.update(svg.encode("utf-8"))
    return digest.digest()[:16]


def _pages(sheets: Sequence[Sheet], svgs: Sequence[str]) -> bytes:
    """The bare pages, as cairo writes them."""
    if not sheets:
        raise ValueError("a PDF needs at least one sheet")
    module = cairo()
    page = page_class()
    buffer = io.BytesIO()
    surface = module.PDFSurface(buffer, *(side * POINTS_PER_MM for side in sheets[0].size))
    for sheet, svg in zip(sheets, svgs, strict=True):
        surface.set_size(*(side * POINTS_PER_MM for side in sheet.size))
        page.draw_on(surface, svg.encode("utf-8"))
    surface.finish()
    return buffer.getvalue()
