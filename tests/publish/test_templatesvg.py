"""True shapes as SVG: one layer for each depth, closed paths, true arcs, origin at the reference corner."""

from __future__ import annotations

import re
from math import hypot, pi
from xml.etree import ElementTree

import pytest
import shapely

from plandoc.geometry.contours import area
from plandoc.model.entities import Model
from plandoc.publish.templatesvg import layers, template_file, template_svg
from plandoc.sheets.templateparts import Template, templates
from tests.support.template_models import brackets, tray

SVG = "{http://www.w3.org/2000/svg}"


def parsed(model: Model) -> dict[str, tuple[Template, ElementTree.Element]]:
    return {template_file(t): (t, ElementTree.fromstring(template_svg(t, "Trial").encode("utf-8"))) for t in templates(model)}


def paths(root: ElementTree.Element, layer: str) -> list[str]:
    (group,) = [g for g in root.iter(f"{SVG}g") if g.get("id") == layer]
    return [p.get("d", "") for p in group.iter(f"{SVG}path")]


def test_the_size_is_the_parts_in_millimetres_and_the_origin_its_lower_left_corner() -> None:
    for template, root in parsed(brackets()).values():
        wide, high = (f"{float(s):g}" for s in template.ground.size)
        assert (root.get("width"), root.get("height")) == (f"{wide}mm", f"{high}mm")
        assert root.get("viewBox") == f"0 -{high} {wide} {high}"


def test_layers_are_the_depths_of_the_work() -> None:
    (template, root), = parsed(tray()).values()
    names = [g.get("id") for g in root.iter(f"{SVG}g")]
    assert names == ["through", "depth-5", "depth-8", "depth-10", "depth-12", "lettering-1"]
    wanted = {f"depth-{float(w.depth):g}" for w in template.works if w.depth is not None and w.contours}
    assert {n for n in names if n and n.startswith("depth")} == wanted
    for group in root.iter(f"{SVG}g"):
        title = group.find(f"{SVG}title")
        assert title is not None and title.text
    # outline and three bores; the single rectangle; four pockets with fingers; the row; the pocket with its finger
    assert [len(paths(root, n)) for n in names[:5] if n] == [4, 1, 4, 5, 1]


def test_paths_are_closed_and_only_lines_and_arcs() -> None:
    for model in (tray(), brackets()):
        for _, root in parsed(model).values():
            for group in root.iter(f"{SVG}g"):
                # lettering is single strokes; all else is closed
                end = "Z?" if "letter" in group.get("id", "") else "Z"
                for path in group.iter(f"{SVG}path"):
                    assert re.fullmatch(r"M[-\d.,]+(?:L[-\d.,]+|A[-\d.]+,[-\d.]+ 0 [01],[01] [-\d.]+,[-\d.]+)+" + end, path.get("d", "")), path.get("d")
            assert not list(root.iter(f"{SVG}text")) and not list(root.iter(f"{SVG}line"))


def test_a_hollow_and_a_slot_by_hand() -> None:
    """Radius 100 round (150, 200) from (150, 100) to (50, 200); half circles of 6 at both ends of a slot."""
    _, root = parsed(brackets())["A-front.svg"]
    outline, hole = paths(root, "through")
    arc = re.search(r"L150,-100A100,100 0 0,1 50,-200", outline)
    assert arc is not None, outline
    assert outline.count("A") == 1 and hole.count("A4,4") == 2
    (slot,) = paths(root, "depth-5")
    assert slot.count("A6,6 0 0,0") == 2 and "20,-70" in slot and "32,-30" in slot


def test_a_mirror_image_has_its_arc_the_other_way_round() -> None:
    """The mirrored bracket is seen with x along its length: its reference corner is the mirrored one."""
    template, root = parsed(brackets())["B-front.svg"]
    (outline,) = paths(root, "through")
    points = [tuple(float(v) for v in p.split(",")) for p in re.findall(r"(?<=[ML ])(-?[\d.]+,-?[\d.]+)(?=[LAZ])", outline)]
    wide, high = (float(s) for s in template.ground.size)
    for corner in ((100.0, -150.0), (200.0, -50.0)):
        assert any(hypot(p[0] - corner[0], p[1] - corner[1]) < 0.001 for p in points), points
    assert (wide, high) == (200.0, 150.0) and (200.0, -150.0) not in points and (0.0, 0.0) in [(x, abs(y)) for x, y in points]


def test_pockets_with_fingers_are_one_contour_of_two_arcs() -> None:
    """Radius 20 and, with its middle on the rim, radius 10."""
    (_, root), = parsed(tray()).values()
    for path in paths(root, "depth-8"):
        assert sorted(set(re.findall(r"A([\d.]+),", path))) == ["10", "20"] and path.count("A") == 2 and "L" not in path


def test_the_areas_of_a_layer_are_those_of_the_work() -> None:
    (template,) = templates(tray())
    found = {name: sum(area(c).area for c in shapes if c[0].start == c[-1].end) for name, _, shapes in layers(template)}
    assert found["depth-5"] == pytest.approx(600)
    assert found["depth-10"] == pytest.approx(5 * pi * 9, rel=1e-3)  # polygons of chords
    union = shapely.Point(0, 0).buffer(20, 4096).union(shapely.Point(0, -20).buffer(10, 4096)).area
    assert found["depth-8"] == pytest.approx(4 * union, rel=1e-4)
