"""Every printed figure, read back from SVG and PDF, is the model's measure."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import pytest

from plandoc.geometry.bodies import FACES
from plandoc.quantity import Units, shop_number
from tests.support.packet_reading import Element, figure_text, read_figure

KINDS = ("dimension", "running")
FACE = re.compile(r"(.+)\.(left|right|front|rear|bottom|top)")


def measures(made: Any) -> list[tuple[str, int, Element]]:
    """File, page and group of every group that states a measure."""
    return [(file, page, e) for page, (file, groups) in enumerate(made.drawn.items()) for e in groups if e.kind in KINDS]


def test_there_are_figures_on_elevations_sections_and_every_part(made: Any) -> None:
    kinds = {file.split("-", 1)[1].removesuffix(".svg").split("-")[0] for file, _, _ in measures(made)}
    assert {"elevations", "section", "part"} <= kinds
    marks = {p.mark for p in made.checked.model.parts}
    dimensioned = {e.parent("part").data.get(key) for _, _, e in measures(made) if e.parent("part") for key in ("mark", "opposite")} - {None}
    assert dimensioned == marks


def units_of(made: Any, e: Any) -> Units:
    """The plan's units; along the thickness of a part the finer ones, since that must fit."""
    units: Units = made.checked.model.info.units
    block = e.parent("part")
    if block is None:
        return units
    part = made.checked.model.part(block.data["part"])
    return units.fine if e.data["axis"] == "xyz"[part.thickness_axis] else units


def test_every_figure_is_the_measure_of_its_dimension(made: Any) -> None:
    for file, _, e in measures(made):
        units = units_of(made, e)
        printed, wanted = read_figure(e.texts), shop_number(Fraction(e.data["mm"]), units)
        assert (printed.value * units.unit_mm, printed.rounded) == (wanted.value, not wanted.exact), (file, e.data)
        assert printed.bracketed == (e.data["kind"] == "ref"), (file, e.data)


def test_every_thickness_note_is_the_thickness_of_its_part(made: Any) -> None:
    units = made.checked.model.info.units
    found = 0
    for file, groups in made.drawn.items():
        for e in groups:
            if e.kind != "thickness":
                continue
            part = made.checked.model.part(e.parent("part").data["part"])
            assert figure_text(e.texts).endswith(" THICK"), file
            printed, wanted = read_figure(e.texts, "THICK"), shop_number(part.thickness, units.fine)
            assert Fraction(e.data["mm"]) == pytest.approx(part.thickness, abs=1e-6)
            assert printed.value * units.unit_mm == wanted.value and printed.rounded == (not wanted.exact), file
            found += 1
    assert found


def test_overall_figures_are_the_finished_sizes(made: Any) -> None:
    """Length and width of every part are printed on its sheet."""
    model = made.checked.model
    printed: dict[str, set[str]] = {}
    for _, _, e in measures(made):
        part = e.parent("part")
        if part is not None and e.data["kind"] == "overall":
            for key in ("mark", "opposite"):
                if key in part.data:
                    printed.setdefault(part.data[key], set()).add(e.data["mm"])
    for part in model.parts:
        for size in (part.length, part.width):
            assert any(abs(Fraction(mm) - size) < Fraction(1, 10**5) for mm in printed[part.mark]), (part.path, printed[part.mark])


def test_figures_between_two_faces_are_the_models_distances(made: Any) -> None:
    """Ends that are named as faces of parts, or of the whole: the measure is the distance of these faces."""
    model = made.checked.model
    seen = 0
    for file, _, e in measures(made):
        ends = [FACE.fullmatch(e.data[key]) for key in ("from", "to")]
        if None in ends:
            continue
        names = [m[1] for m in ends if m]
        if "whole" in names and "-section" in file:  # there it is all that the cut meets
            continue
        if any(name != "whole" and all(p.path != name for p in model.parts) for name in names):
            continue
        faces = [FACES[m[2]] for m in ends if m]
        boxes = [model.box if m[1] == "whole" else model.part(m[1]).box for m in ends if m]
        seen += 1
        distance = abs(boxes[0].at(faces[0]) - boxes[1].at(faces[1]))
        assert faces[0].axis == faces[1].axis == "xyz".index(e.data["axis"]), (file, e.data)
        shoulders = [model.box if m[1] == "whole" else model.part(m[1]).shoulder for m in ends if m]
        least = abs(shoulders[0].at(faces[0]) - shoulders[1].at(faces[1]))
        assert any(abs(Fraction(e.data["mm"]) - d) < Fraction(1, 10**5) for d in (distance, least)), (file, e.data)
    assert seen > len({p.mark for p in model.parts})


def test_every_letter_stands_in_the_pdf_where_the_svg_has_it(made: Any) -> None:
    pages = made.letters
    assert len(pages) == len(made.drawn)
    count = 0
    for page, (file, groups) in zip(pages, made.drawn.items(), strict=True):
        for words in groups[0].texts:
            for letter, at in words.pens():
                count += 1
                assert letter in page.around(at, 0.12), (file, words.text, letter, at)
    assert count > 3000


def test_no_figure_is_on_the_page_that_no_drawing_has(made: Any) -> None:
    """The pages hold as many letters as the sheets."""
    for page, (file, groups) in zip(made.letters, made.drawn.items(), strict=True):
        held = sum(len(cell) for cell in page.cells.values())
        assert held == sum(1 for words in groups[0].texts for _ in words.pens()), file
