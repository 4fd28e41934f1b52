"""The resolved model as JSON. Every length is exact text in millimetres: `533.4`, or `1600/3` where the decimals do
not end. model.schema.json beside this module describes the form.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import singledispatch
from pathlib import Path
from typing import Any

from plandoc.geometry.bodies import AXIS_NAMES, Box, Chunk, Disc, Face, Frustum, Loop, Prism, Rect
from plandoc.geometry.lean import Lean
from plandoc.model.entities import (
    Allowance,
    Assembly,
    Fastening,
    Feature,
    Figure,
    Fitting,
    GlueUp,
    HardwareItem,
    Joint,
    Model,
    Motion,
    Part,
    PlanInfo,
    Revision,
    SectionWish,
    Step,
    Stock,
)
from plandoc.publish.numbers import exact_text
from plandoc.quantity import Units
from plandoc.tables.shop import Shop, ShopMachine

FORMAT = "plandoc model"
VERSION = 1
Rows = Sequence[Mapping[str, object]]


def model_json(model: Model, setups: Rows | None = None, layouts: Rows | None = None, buying: Rows | None = None) -> str:
    """The model as JSON text, ending with a line feed. setups, layouts, buying: rows of the shop work, where there are any."""
    return json.dumps(model_data(model, setups, layouts, buying), ensure_ascii=False, indent=1) + "\n"


def model_schema() -> dict[str, Any]:
    """The JSON Schema of model_json's text."""
    text = (Path(__file__).parent / "model.schema.json").read_text(encoding="utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema


def model_data(model: Model, setups: Rows | None = None, layouts: Rows | None = None, buying: Rows | None = None) -> dict[str, Any]:
    """The model as plain dictionaries, lists and texts."""
    data: dict[str, Any] = {
        "format": FORMAT,
        "version": VERSION,
        "lengths": "mm",
        "plan": _plain(model.info),
        "source_digest": model.source_digest,
        "box": _plain(model.box),
        "values": [{"name": name, "text": text} for name, text in model.values],
    }
    for name in ("stocks", "parts", "joints", "hardware", "fittings", "motions", "sections", "assemblies", "steps"):
        data[name] = _plain(getattr(model, name))
    data["shop"] = _plain(model.shop)
    if setups is not None:
        data["setups"] = _plain(tuple(setups))
    if layouts is not None:
        data["layouts"] = _plain(tuple(layouts))
    if buying is not None:
        data["buying"] = _plain(tuple(buying))
    return data


@singledispatch
def _plain(value: object) -> Any:
    raise TypeError(f"no JSON form for {type(value).__name__}")


@_plain.register(str)
@_plain.register(bool)
@_plain.register(int)
@_plain.register(type(None))
def _(value: object) -> Any:
    return value


@_plain.register
def _(value: Fraction) -> str:
    return exact_text(value)


@_plain.register(tuple)
@_plain.register(list)
def _(value: Sequence[object]) -> list[Any]:
    return [_plain(item) for item in value]


@_plain.register(dict)
def _(value: dict[str, object]) -> dict[str, Any]:
    return {str(key): _plain(item) for key, item in value.items()}


@_plain.register
def _(value: Box) -> dict[str, Any]:
    return {"lo": _plain(value.lo), "hi": _plain(value.hi)}


@_plain.register
def _(value: Face) -> str:
    return value.name


@_plain.register
def _(value: Prism) -> dict[str, Any]:
    return {"axis": AXIS_NAMES[value.axis], **_fields(value, "lo", "hi", "outline")}


@_plain.register
def _(value: Frustum) -> dict[str, Any]:
    return {"form": "cone", "axis": AXIS_NAMES[value.axis], **_fields(value, "lo", "hi", "centre", "radius_lo", "radius_hi")}


@_plain.register
def _(value: Chunk) -> dict[str, Any]:
    return {"form": "plane cut", **_fields(value, "box", "normal", "offset")}


@_plain.register
def _(value: Rect) -> dict[str, Any]:
    return {"form": "rectangle", **_fields(value, "lo", "hi")}


@_plain.register
def _(value: Disc) -> dict[str, Any]:
    return {"form": "circle", **_fields(value, "centre", "radius")}


@_plain.register
def _(value: Loop) -> dict[str, Any]:
    return {"form": "outline", **_fields(value, "points", "bows")}


@_plain.register
def _(value: Revision) -> dict[str, Any]:
    return _fields(value, "index", "date", "text")


@_plain.register
def _(value: Allowance) -> dict[str, Any]:
    return _fields(value, "long", "wide")


@_plain.register
def _(value: GlueUp) -> dict[str, Any]:
    return _fields(value, "widths", "rough", "jointing")


def _units(units: Units) -> dict[str, Any]:
    """system and step; `second` only where the plan has two units."""
    own: dict[str, Any] = {"system": units.system, "step": exact_text(units.step)}
    return own if units.second is None else {**own, "second": _units(units.second)}


@_plain.register
def _(value: PlanInfo) -> dict[str, Any]:
    return {
        **_fields(value, "title", "client", "author", "date", "revisions"),
        "units": _units(value.units),
        **_fields(value, "paper", "orientation", "projection", "style", "currency", "notes", "allowance", "kerf", "trim"),
    }


@_plain.register
def _(value: Shop) -> dict[str, Any]:
    return _fields(value, "name", "assumed", "machines")


@_plain.register
def _(value: ShopMachine) -> dict[str, Any]:
    return {"kind": value.key, "name": value.name, "figures": [{"name": name, "values": _plain(values)} for name, values in value.figures]}


@_plain.register
def _(value: Stock) -> dict[str, Any]:
    return _fields(
        value, "name", "kind", "description", "material", "called", "measured", "width", "length", "grain", "rough",
        "boards", "price", "price_unit", "called_width", "rack", "random", "faces", "species", "density", "allowance",
    ) | {
        "defects": [{"board": board, "name": z.name, **_fields(z, "x", "y", "length", "width")} for board, z in value.defects],
        "also": [{"width": _plain(w), "length": _plain(h), "price": _plain(price), "count": count} for w, h, price, count in value.also],
    }  # fmt: skip


@_plain.register
def _(value: Part) -> dict[str, Any]:
    return {
        **_fields(value, "path", "name", "mark", "assembly", "loose", "count"),
        "stock": value.stock.name,
        **_fields(value, "length", "width", "thickness"),
        "length_axis": AXIS_NAMES[value.length_axis],
        "width_axis": AXIS_NAMES[value.width_axis],
        "thickness_axis": AXIS_NAMES[value.thickness_axis],
        **_fields(value, "box", "shoulder"),
        "datum": [Face(axis, side).name for axis, side in enumerate(value.datum)],
        **_fields(value, "mirrors", "note", "lean", "room", "features", "allowance", "rough_length", "rough_width", "rough_thickness", "glue_up"),
    }


@_plain.register
def _(value: Lean) -> dict[str, Any]:
    return _fields(value, "rows", "shift")


@_plain.register
def _(value: Feature) -> dict[str, Any]:
    return {
        **_fields(
            value, "id", "kind", "face", "joint", "mate", "row", "diameter", "depth", "through", "centre", "text", "height",
            "reading", "note",
        ),
        "leaders": [{"at": _plain(point), "text": words} for point, words in value.leaders],
        **_fields(value, "figures", "cuts", "adds"),
    }  # fmt: skip


@_plain.register
def _(value: Figure) -> dict[str, Any]:
    return {"axis": AXIS_NAMES[value.axis], **_fields(value, "lo", "hi", "role", "datum")}


@_plain.register
def _(value: Joint) -> dict[str, Any]:
    return {
        **_fields(
            value, "id", "kind", "a", "b", "entry", "face", "depth", "cut_depth", "width", "fit", "clearance", "channel",
            "glued", "edge", "stop_lo", "stop_hi", "ways", "askew", "dry", "fasteners",
        ),
        "run_axis": AXIS_NAMES[value.run_axis],
        "thickness_axis": AXIS_NAMES[value.thickness_axis],
    }  # fmt: skip


@_plain.register
def _(value: Fastening) -> dict[str, Any]:
    return {
        **_fields(value, "kind", "item", "diameter", "length", "centres"),
        "axis": AXIS_NAMES[value.axis],
    }


@_plain.register
def _(value: HardwareItem) -> dict[str, Any]:
    return {
        **_fields(value, "name", "kind", "description"),
        "sizes": [{"name": name, "length": exact_text(length)} for name, length in value.sizes],
        **_fields(value, "unit", "price", "load_kg"),
        "numbers": [{"name": name, "number": exact_text(number)} for name, number in value.numbers],
        "screw": value.screw,
    }


@_plain.register
def _(value: Fitting) -> dict[str, Any]:
    return _fields(value, "id", "item", "parts", "quantity", "box", "points", "assembly", "rooms", "area")


@_plain.register
def _(value: Motion) -> dict[str, Any]:
    return {**_fields(value, "target", "face", "travel", "swing", "pivot", "lean"), "axis": AXIS_NAMES[value.axis] if value.swing else None}


@_plain.register
def _(value: SectionWish) -> dict[str, Any]:
    return {"axis": AXIS_NAMES[value.axis], **_fields(value, "at", "look")}


@_plain.register
def _(value: Step) -> dict[str, Any]:
    return _fields(
        value, "number", "title", "author", "cuts", "makes", "joins", "fits", "texts", "tools", "cautions", "checks",
        "waits", "glue", "kinds", "choices",
    )  # fmt: skip


@_plain.register
def _(value: Assembly) -> dict[str, Any]:
    return _fields(value, "path", "name", "definition", "parts", "children")


def _fields(value: object, *names: str) -> dict[str, Any]:
    return {name: _plain(getattr(value, name)) for name in names}
