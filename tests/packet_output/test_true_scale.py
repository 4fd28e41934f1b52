"""Drawings measured with a rule: extension lines, outlines and bar scales, in SVG and on the PDF page.

Allowed: 0.1 mm in 100 mm, and the rounding of coordinates to 0.001 mm (two of them) in short measures.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.support.packet_reading import Element, Segment, ends

ROUNDING = 0.002


def scale_of(view: Element) -> float:
    paper, model = view.data["scale"].split(":")
    return float(Fraction(paper) / Fraction(model))


def short(view: Element) -> float:
    """How much shorter (mm) the paper is for the break of a view."""
    _, lo, hi = view.data["break"].split()
    lines = view.strokes["brk"]  # straight pieces of two lines, each with a zigzag in its middle
    along = 0 if lines[0][0][0] == lines[0][-1][0] else 1
    places = sorted({line[0][along] for line in lines if line[0][along] == line[-1][along]})
    assert len(places) == 2, places
    return float(Fraction(hi) - Fraction(lo)) * scale_of(view) - (places[-1] - places[0])


def close(measured: float, paper: float) -> bool:
    return abs(measured - paper) <= max(0.001 * paper, ROUNDING)


def flat(segment: Segment) -> int | None:
    """0 for an upright stroke (its x is the measure), 1 for a level one."""
    (x0, y0), (x1, y1) = segment
    return 0 if x0 == x1 else 1 if y0 == y1 else None


def spaced(e: Element) -> tuple[float, ...]:
    """Places of the extension lines along their dimension line; both lines of a dimension run alike."""
    lines = e.strokes["ext"]
    ways = {flat(line) for line in lines}
    assert len(ways) == 1 and None not in ways, e.data
    along = 0 if e.data["side"] in ("above", "below") else 1
    assert ways == {along}, e.data
    return tuple(sorted({line[0][along] for line in lines}))


def dimensions(made: Any) -> list[tuple[str, int, Element, Element]]:
    found = []
    for page, (file, groups) in enumerate(made.drawn.items()):
        for e in groups:
            view = e.parent("view")
            if e.kind == "dimension" and view is not None:
                found.append((file, page, e, view))
    return found


def test_extension_lines_stand_as_far_apart_as_the_figure_says(made: Any) -> None:
    found = dimensions(made)
    assert len(found) > 30
    for file, _, e, view in found:
        places = spaced(e)
        assert len(places) == 2, (file, e.data)
        paper = float(Fraction(e.data["mm"])) * scale_of(view)
        if view.data.get("break", "").startswith(e.data["axis"]) and paper - (places[1] - places[0]) > 1:
            paper -= short(view)
        assert close(places[1] - places[0], paper), (file, e.data, places, paper)


def test_every_dimension_is_in_a_view_with_a_scale(made: Any) -> None:
    stated = sum(e.kind == "dimension" for groups in made.drawn.values() for e in groups)
    assert stated == len(dimensions(made))


def test_running_dimensions_start_at_their_places(made: Any) -> None:
    """The foot of each line stands as far from the origin's foot as its figure says."""
    for file, groups in made.drawn.items():
        for e in groups:
            view = e.parent("view")
            if e.kind != "running" or view is None or e.data["kind"] != "run":
                continue
            foot = e.strokes["ext"][0]
            along = flat(foot)
            assert along is not None, (file, e.data)
            origins = [o.strokes["ext"][0] for o in groups if o.data.get("kind") == "origin" and o.parent("view") is view]
            paper = float(Fraction(e.data["mm"])) * scale_of(view)
            assert any(close(abs(foot[0][along] - o[0][along]), paper) for o in origins), (file, view.id, e.data)


def test_the_pdf_has_the_same_extension_lines(made: Any) -> None:
    found = dimensions(made)
    nets = {page: ends(made.strokes[page]) for page in sorted({page for _, page, _, _ in found})}
    for file, page, e, _ in found:
        for line in e.strokes["ext"]:
            for point in line:
                assert nets[page].around(point, 0.03), (file, e.data, point)


def drawn_box(segments: list[Segment]) -> tuple[float, float, float, float]:
    points = [p for s in segments for p in s]
    return (min(x for x, _ in points), min(y for _, y in points), max(x for x, _ in points), max(y for _, y in points))


def test_outlines_of_the_parts_are_to_scale_on_the_page(made: Any) -> None:
    """Main view of every part: the outline's box, from the strokes of the PDF inside it, is length by width."""
    model = made.checked.model
    seen = 0
    for page, groups in enumerate(made.drawn.values()):
        for e in groups:
            sheet_part = e.parent("part")
            if e.kind != "view" or sheet_part is None or not e.id.endswith("-main"):
                continue
            part = model.part(sheet_part.data["part"])
            box = drawn_box(e.strokes["vis"])
            net = ends(made.strokes[page])
            corners = [(box[0], box[1]), (box[2], box[3])]
            assert all(any(net.around(p, 0.03) for p in s) for s in e.strokes["vis"]), e.id
            scale = scale_of(e)
            sizes = sorted((corners[1][0] - corners[0][0], corners[1][1] - corners[0][1]))
            wanted = sorted((float(part.width) * scale, float(part.length) * scale - (short(e) if "break" in e.data else 0.0)))
            assert all(close(a, b) for a, b in zip(sizes, wanted, strict=True)), (e.id, sizes, wanted)
            seen += 1 + ("opposite" in sheet_part.data)
    assert seen == len({p.mark for p in model.parts})


def test_bar_scales_are_as_long_as_they_say_in_svg_and_pdf(made: Any) -> None:
    seen = 0
    for page, (file, groups) in enumerate(made.drawn.items()):
        for e in groups:
            if e.kind != "barscale":
                continue
            box = drawn_box(e.strokes["tb"])
            paper, model = e.data["scale"].split(":")
            wanted = float(Fraction(e.data["model-mm"]) * Fraction(paper) / Fraction(model))
            assert close(box[2] - box[0], wanted), (file, e.data)
            net = ends(made.strokes[page])
            for corner in ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])):
                assert net.around(corner, 0.03), (file, e.data, corner)
            seen += 1
    assert seen


def test_each_scale_of_a_sheet_has_its_bar(made: Any) -> None:
    for file, groups in made.drawn.items():
        scales = {e.data["scale"] for e in groups if e.kind == "view"}
        bars = {e.data["scale"] for e in groups if e.kind == "barscale"}
        assert scales <= bars, file
