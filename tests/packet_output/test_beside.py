"""Documents beside the packet, measured on the pages of their PDF: 0.1 mm in 100 mm."""

from __future__ import annotations

import io
from typing import Any

import pypdfium2
import pytest
from pypdf import PdfReader

from plandoc.drawing.audit import audit
from plandoc.drawing.display import Line
from plandoc.sheets.templateparts import templates
from tests.support.packet_reading import ends, strokes
from tests.support.sheet_ctx import attr, groups

WITH = ["eyepiece-cabinet"]


def pages(made: Any, name: str) -> list[tuple[Any, Any]]:
    """Each sheet of a document with its strokes on the page."""
    reader = PdfReader(io.BytesIO(made.files[f"{name}.pdf"]))
    own = [s for s in made.beside if s.file == name]
    assert len(own) == len(reader.pages)
    return [(s, strokes(p.get_contents().get_data(), float(p.mediabox.height) * 25.4 / 72)) for s, p in zip(own, reader.pages, strict=True)]


def test_which_files_there_are(made: Any) -> None:
    found = templates(made.checked.model)
    assert ("templates.pdf" in made.files) == bool(found)
    assert sorted(n for n in made.files if n.startswith("templates/")) == sorted(f"templates/{t.name}.svg" for t in found)
    assert "labels.pdf" in made.files
    labels = [g for s in made.beside if s.file == "labels" for g in groups(s.items, "partlabel")]
    assert len(labels) == sum(p.count for p in made.checked.model.parts)


def test_the_cover_names_the_documents(made: Any) -> None:
    cover = next(iter(made.drawn.values()))
    words = " ".join(w.text for w in cover[0].texts)
    for name in {s.file for s in made.beside} | {"packet"}:
        assert f"{name}.pdf" in words


def test_no_finding_of_the_audit(made: Any) -> None:
    assert [(s.code, f.rule, f.message) for s in made.beside for f in audit(s, made.style)] == []


def test_documents_are_printed_at_full_size_without_dates(made: Any) -> None:
    for name in {s.file for s in made.beside}:
        reader = PdfReader(io.BytesIO(made.files[f"{name}.pdf"]))
        assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
        assert list(reader.page_labels) == [s.code for s in made.beside if s.file == name]
        assert b"CreationDate" not in made.files[f"{name}.pdf"]


@pytest.mark.slow
@pytest.mark.parametrize("made", WITH, indirect=True)
def test_bars_measured_on_every_page(made: Any) -> None:
    for sheet, drawn in pages(made, "templates"):
        found = set()
        for bar in groups(sheet.items, "checkbar"):
            (x0, y0), (x1, y1) = next(i for i in bar.items if isinstance(i, Line)).points
            along = 0 if attr(bar, "axis") == "x" else 1
            level = (y0, x0)[along]
            mine = [s for s in drawn if all(abs(p[1 - along] - level) < 0.01 for p in s) and min(x0, x1) - 0.1 <= min(p[0] for p in s) and min(y0, y1) - 0.1 <= min(p[1] for p in s)]
            long = max(abs(s[1][along] - s[0][along]) for s in mine)
            assert abs(long - {"100 mm": 100.0, "4 in": 101.6}[attr(bar, "label")]) < 0.03, (sheet.code, long)
            found.add((attr(bar, "axis"), attr(bar, "label")))
        assert len(found) == 4, sheet.code


@pytest.mark.slow
@pytest.mark.parametrize("made", WITH, indirect=True)
def test_bores_stand_at_their_places_on_the_page(made: Any) -> None:
    """The arms that mark the centres of the pull's bores, from the heavy edges, against the model."""
    model = made.checked.model
    template = next(t for t in templates(model) if t.part.path == "drawer[1].front")
    seen = []
    for sheet, drawn in pages(made, "templates"):
        if template.part.name not in sheet.title:
            continue
        (tile,) = groups(sheet.items, "tile")
        net = ends(drawn)
        for group in groups(tile.items, "template"):
            if attr(group, "what") == "centre":
                for line in (i for i in group.items if isinstance(i, Line)):
                    assert all(net.around(p, 0.03) for p in line.points)
                    (x0, y0), (x1, y1) = line.points
                    seen.append((float(attr(tile, "x")) + (x0 + x1) / 2, float(attr(tile, "y")) + (y0 + y1) / 2))
    middles = sorted({(round(x, 2), round(y, 2)) for x, y in seen})
    assert len(middles) == 2
    gap = max(abs(middles[1][0] - middles[0][0]), abs(middles[1][1] - middles[0][1]))
    assert abs(gap - 96.0) < 0.05


@pytest.mark.slow
@pytest.mark.parametrize("made", WITH, indirect=True)
def test_words_of_the_labels_are_on_the_page(made: Any) -> None:
    document = pypdfium2.PdfDocument(made.files["labels.pdf"])
    own = [s for s in made.beside if s.file == "labels"]
    for sheet, page in zip(own, document, strict=True):
        text = "".join(page.get_textpage().get_text_bounded().split())
        for group in groups(sheet.items, "partlabel"):
            assert made.checked.model.part(attr(group, "part")).name.replace(" ", "") in text
    document.close()
