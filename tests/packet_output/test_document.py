"""The PDF as a document: pages, printing, outline, labels, fonts, text, no dates."""

from __future__ import annotations

from typing import Any

import pypdfium2
import pytest

from plandoc.drawing.style import paper_size

POINT = 72 / 25.4


def test_every_page_is_the_paper_of_the_plan(made: Any) -> None:
    info = made.checked.model.info
    width, height = paper_size(made.style, info.paper, info.orientation)
    for page in made.reader.pages:
        assert [float(v) for v in page.mediabox] == pytest.approx([0, 0, width * POINT, height * POINT], abs=0.01)
        assert page.get("/Rotate", 0) == 0


def test_printing_is_not_scaled(made: Any) -> None:
    assert made.reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_a_sheet_a_page_an_outline_entry_and_a_label(made: Any) -> None:
    codes = [groups[0].data["code"] for groups in made.drawn.values()]
    assert len(set(codes)) == len(codes) == len(made.sheets) == len(made.reader.pages)
    assert list(made.reader.page_labels) == codes
    outline = list(made.reader.outline)
    assert [entry.title.split()[0] for entry in outline] == codes
    assert [made.reader.get_destination_page_number(entry) for entry in outline] == list(range(len(codes)))


def test_file_names_are_numbered_in_packet_order(made: Any) -> None:
    for number, (file, groups) in enumerate(made.drawn.items(), 1):
        assert file.startswith(f"sheets/{number:02d}-{groups[0].data['kind']}")
        assert groups[0].data["number"] == str(number)


def test_all_fonts_are_embedded(made: Any) -> None:
    seen = 0
    for page in made.reader.pages:
        for entry in page["/Resources"]["/Font"].values():
            font = entry.get_object()
            descendants = font.get("/DescendantFonts")
            descriptor = (descendants[0].get_object() if descendants else font)["/FontDescriptor"].get_object()
            assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor)
            seen += 1
    assert seen >= len(made.reader.pages)


def test_the_words_of_the_title_block_can_be_selected_on_every_page(made: Any) -> None:
    document = pypdfium2.PdfDocument(made.files["packet.pdf"])
    info = made.checked.model.info
    for page, groups in zip(document, made.drawn.values(), strict=True):
        block = next(e for e in groups if e.kind == "titleblock")
        text = page.get_textpage().get_text_bounded()
        plain = "".join(text.split())
        words = [w.text for w in block.texts]
        assert any(info.title.upper() == w.upper() for w in words)
        assert block.data["code"] in words
        for word in words:
            assert "".join(word.split()) in plain, word
    document.close()


def test_there_is_no_clock_in_the_files(made: Any) -> None:
    """No creation or modification date; the plan's own date is printed as text only."""
    data = made.files["packet.pdf"]
    assert made.reader.metadata.creation_date is None and made.reader.metadata.modification_date is None
    assert b"CreationDate" not in data and b"ModDate" not in data and b"(D:" not in data
    for name, content in made.files.items():
        if not name.endswith(".pdf"):
            assert b"\r" not in content and b"date>" not in content, name


def test_the_title_of_the_document_is_the_plans(made: Any) -> None:
    info = made.checked.model.info
    assert made.reader.metadata.title == info.title
    assert made.reader.metadata.author == (info.author or None)
