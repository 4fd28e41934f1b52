"""Pictures of the library's ready assemblies, one SVG file for each example of library/README.md.

An example is a whole plan in a fenced block whose info words are `plan` and the name of the assembly; its picture is
pictures/NAME.svg: at the left what the example builds, at the right the assembly taken apart, its parts by name.
`python -m plandoc.library_pictures` writes them all; the bytes depend on nothing but the example and the program.
"""

from __future__ import annotations

import re
from pathlib import Path

from plandoc.build.explode import explosion
from plandoc.build.units import units
from plandoc.diagnostics import render_text
from plandoc.drawing.boxes import item_extent
from plandoc.drawing.dimension_request import NoteRequest
from plandoc.drawing.display import XY, Extent, Item, Line, Sheet, walk
from plandoc.drawing.leaders import place_notes
from plandoc.drawing.style import Style, load_style
from plandoc.geometry.view import ISO
from plandoc.model.entities import Model, Part
from plandoc.pipeline import Checked, check
from plandoc.publish.svg import svg_text
from plandoc.resources import library_folder
from plandoc.sheets.trails import trails
from plandoc.sheets.views import (
    Scene,
    centred_placement,
    fill_ratio,
    moved_bodies,
    picture,
    picture_extent,
    picture_group,
    seen_points,
)
from plandoc.world import MemoryWorld

BLOCK = re.compile(r"^```plan (\w+)\n(.*?)^```", re.MULTILINE | re.DOTALL)
SIZE = (240.0, 120.0)  # mm; a third for what is built, the rest for what it is built from
EDGE = 4.0
BUILT: Extent = (EDGE, EDGE + 8, 82.0, SIZE[1] - EDGE - 8)
APART: Extent = (90.0, EDGE, SIZE[0] - EDGE, SIZE[1] - EDGE)
NAME_ROOM = (28.0, 10.0)  # mm of paper beside, and above and below, the parts for their names


def examples(page: str) -> dict[str, str]:
    """The example plans of a page by the name of their assembly, in the order of the page. Raises ValueError for a
    name that stands twice."""
    found: dict[str, str] = {}
    for name, text in BLOCK.findall(page):
        if name in found:
            raise ValueError(f"two examples are called {name}")
        found[name] = text
    return found


def library_examples() -> dict[str, str]:
    """The examples of the page that lies beside the library."""
    return examples((library_folder() / "README.md").read_text(encoding="utf-8"))


def library_picture(name: str, text: str) -> bytes:
    """The picture of one example as an SVG file. Raises ValueError with the report where the plan is not sound."""
    checked = check(f"{name}.plan", MemoryWorld({f"{name}.plan": text}))
    if not checked.good:
        raise ValueError(render_text(checked.diagnostics, checked.sources))
    style = load_style(checked.model.info.style)
    paths = tuple(p.path for p in checked.model.placed)
    built = picture(moved_bodies(checked.solids, paths), ISO, BUILT)
    items = (built, *_apart(checked, _shown(checked.model, name), style))
    return svg_text(Sheet(1, "library", "", name.replace("_", " ").capitalize(), SIZE, items), style).encode("utf-8")


def library_pictures() -> dict[str, bytes]:
    """Every picture by its file name."""
    return {f"{name}.svg": library_picture(name, text) for name, text in library_examples().items()}


def _shown(model: Model, name: str) -> str:
    """Path of the instance that is taken apart: the first of the assembly of that name, or the first whose
    name begins like it, or the whole plan where that has a single unit."""
    several = [a for a in model.assemblies if a.path and len(units(model, a.path)) > 1]
    alike = [a.path for a in several if a.definition == name] or [a.path for a in several if a.definition.startswith(name)]
    return alike[0] if alike else ""


def _apart(checked: Checked, assembly: str, style: Style) -> tuple[Item, ...]:
    """The assembly with its units moved apart, and the names of its parts."""
    model = checked.model
    moves = explosion(model, assembly)
    bodies = moved_bodies(checked.solids, tuple(moves), moves)
    x0, y0, x1, y1 = APART
    room: Extent = (x0 + NAME_ROOM[0], y0 + NAME_ROOM[1], x1 - NAME_ROOM[0], y1 - NAME_ROOM[1])
    extent = picture_extent(ISO, bodies)
    ratio = min(1.0, fill_ratio(extent, room[2] - room[0], room[3] - room[1]))
    place = centred_placement(ISO, extent, ratio, room)
    scene = Scene(bodies, ISO)
    drawn = picture_group(bodies, place, assembly or "apart", extra=trails(model, assembly, moves, scene, place))
    notes = []
    for words, parts in _named(model, assembly, tuple(moves)):
        points: tuple[XY, ...] = ()
        for part in parts:
            seen = seen_points(part.path, scene)
            points = seen if len(seen) > len(points) else points
        if points:
            notes.append(NoteRequest(place.paper(points[0]), (words,), end="dot", id=parts[0].path))
    strokes = [item for item in walk((drawn,)) if isinstance(item, Line)]
    return (drawn, *place_notes(item_extent(drawn) or room, notes, style, (), strokes, APART).groups)


def _named(model: Model, assembly: str, paths: tuple[str, ...]) -> list[tuple[str, list[Part]]]:
    """Words and parts: each unit that is one part, parts of one name together; a nested assembly by its own name."""
    rows: dict[str, list[Part]] = {}
    names = {a.path: a.name for a in model.assemblies}
    for unit in units(model, assembly):
        parts = [model.part(p) for p in unit.parts if p in paths]
        words = parts[0].name if len(parts) == 1 else names.get(unit.path, parts[0].name)
        rows.setdefault(words, []).extend(parts)
    return list(rows.items())


def write(folder: Path) -> list[str]:
    """Write every picture below a folder; gives the names of the files that changed."""
    changed = []
    folder.mkdir(exist_ok=True)
    for name, data in library_pictures().items():
        path = folder / name
        if not path.exists() or path.read_bytes() != data:
            path.write_bytes(data)
            changed.append(name)
    return changed


if __name__ == "__main__":
    for changed_name in write(library_folder() / "pictures"):
        print(changed_name)
