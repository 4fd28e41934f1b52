"""Sheets and lists -> the files of a packet, in memory."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import replace

from plandoc.drawing.display import Sheet
from plandoc.drawing.style import Style
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model, Step
from plandoc.publish.buyinglist import buying_rows
from plandoc.publish.cuttinglist import layout_rows
from plandoc.publish.everylist import Told, list_files
from plandoc.publish.fonts import CairoMissing
from plandoc.publish.gcode import toolpath_files
from plandoc.publish.modeljson import model_json
from plandoc.publish.pdf import pdf_bytes
from plandoc.publish.setuplist import setup_rows
from plandoc.publish.svg import svg_text
from plandoc.publish.templatesvg import template_file, template_svg
from plandoc.sheets.context import IndexRow
from plandoc.sheets.templateparts import templates
from plandoc.shopwork.layouts import layouts

Timer = Callable[[str], AbstractContextManager[None]]


def sheet_file(sheet: Sheet) -> str:
    """`sheets/07-part-A.svg`."""
    words = re.sub(r"[^A-Za-z0-9-]+", "-", sheet.name).strip("-")
    return f"sheets/{sheet.number:02d}-{sheet.kind}" + (f"-{words}" if words else "") + ".svg"


def packet_files(model: Model, solids: Mapping[str, Solid], steps: tuple[Step, ...], sheets: Sequence[Sheet], index: Sequence[IndexRow], style: Style, timer: Timer) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """All files by relative name; remarks where one could not be made (no cairo: no PDF)."""
    files: dict[str, bytes] = {}
    remarks: list[str] = []
    volumes = {path: solid.volume for path, solid in solids.items()}
    with timer("svg"):
        svgs = [svg_text(sheet, style) for sheet in sheets]
        for sheet, svg in zip(sheets, svgs, strict=True):
            if sheet.file == "packet":
                files[sheet_file(sheet)] = svg.encode("utf-8")
        if any(sheet.file == "templates" for sheet in sheets):
            for template in templates(model):
                files[f"templates/{template_file(template)}"] = template_svg(template, model.info.title).encode("utf-8")
    if model.routings and any(sheet.kind == "routing" for sheet in sheets):
        with timer("toolpaths"):
            files.update((name, text.encode("ascii")) for name, text in toolpath_files(model).items())
    with timer("lists"):
        files.update(list_files(Told(model, volumes, steps, index)))
        files["model.json"] = model_json(replace(model, steps=steps), setups=setup_rows(model), layouts=layout_rows(layouts(model)), buying=buying_rows(model)).encode("utf-8")
    if sheets:
        with timer("pdf"):
            try:
                for name in dict.fromkeys(sheet.file for sheet in sheets):
                    own = [n for n, sheet in enumerate(sheets) if sheet.file == name]
                    files[f"{name}.pdf"] = pdf_bytes([sheets[n] for n in own], [svgs[n] for n in own], style, model.info)
            except CairoMissing as fault:
                remarks.append(str(fault))
    return files, tuple(remarks)
