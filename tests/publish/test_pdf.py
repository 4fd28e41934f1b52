"""The packet as PDF: true pages, own letters, full-size printing, the same bytes every time."""

import builtins
import hashlib
import io
import os
import subprocess
import sys
import time

import cairocffi
import pypdfium2
import pytest
from pypdf import PdfReader

from plandoc.drawing.display import Arc, Circle, Fill, Line, Sheet, Text
from plandoc.drawing.style import load_style
from plandoc.model.entities import PlanInfo
from plandoc.publish import fonts
from plandoc.publish.pdf import CairoMissing, pdf_bytes
from plandoc.publish.svg import svg_text

STYLE = load_style("shop-inch")
INFO = PlanInfo("Nightstand – oak", author="J. Carpenter", client="Workshop class")
WORDS = ("GRAIN", "23", "DO NOT SCALE – USE THE FIGURES", "≈597", "Ø1/4", "Part A: side & back")
RULE = (Line("vis", ((50.0, 60.0), (150.0, 60.0))), Line("vis", ((50.0, 60.0), (50.0, 160.0))))


def sheets():
    texts = tuple(Text("note", (60.0, 70.0 + 8 * i), word, 3.0, bold=bool(i % 2)) for i, word in enumerate(WORDS))
    turned = Text("dimtxt", (40.0, 150.0), "READ FROM THE RIGHT", 3.5, "middle", -90)
    return (
        Sheet(1, "cover", "0.1", "Cover", (279.4, 215.9), RULE + texts),
        Sheet(2, "part", "4.1", "Part A", (210.0, 297.0), (*RULE, turned)),
        Sheet(3, "part", "4.2", "Part B", (420.0, 297.0), RULE),
    )


def make():
    pages = sheets()
    return pdf_bytes(pages, [svg_text(page, STYLE) for page in pages], STYLE, INFO)


@pytest.fixture(scope="module")
def pdf():
    return make()


@pytest.fixture(scope="module")
def reader(pdf):
    return PdfReader(io.BytesIO(pdf))


def test_pages_are_as_large_as_their_sheets(reader):
    boxes = [(float(page.mediabox.width), float(page.mediabox.height)) for page in reader.pages]
    for box, sheet in zip(boxes, sheets(), strict=True):
        assert box == pytest.approx([side * 72 / 25.4 for side in sheet.size], abs=0.5)


def test_it_prints_at_full_size(reader):
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_outline_and_page_labels(reader):
    assert [entry.title for entry in reader.outline] == ["0.1  Cover", "4.1  Part A", "4.2  Part B"]
    assert [reader.get_destination_page_number(entry) for entry in reader.outline] == [0, 1, 2]
    assert list(reader.page_labels) == ["0.1", "4.1", "4.2"]


def test_title_and_author_but_no_date(reader, pdf):
    assert reader.metadata.title == "Nightstand – oak" and reader.metadata.author == "J. Carpenter"
    assert reader.metadata.creation_date is None and reader.metadata.modification_date is None
    assert b"Date" not in pdf and b"(D:" not in pdf


def test_the_words_are_text(reader):
    first, second = (" ".join(page.extract_text().split()) for page in reader.pages[:2])
    assert all(word in first for word in WORDS)
    assert "READ FROM THE RIGHT" in second


def test_only_our_typeface_is_used_and_it_is_embedded(reader):
    names = set()
    for page in reader.pages:
        for entry in page["/Resources"].get("/Font", {}).values():
            font = entry.get_object()
            descendants = font.get("/DescendantFonts")
            descriptor = (descendants[0].get_object() if descendants else font)["/FontDescriptor"].get_object()
            assert any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3"))
            names.add(font["/BaseFont"].split("+")[-1])
    assert names == {"SourceSansPro-Regular", "SourceSansPro-Semibold"}


def drawn_points(page):
    """The points (mm) that the page's paths go through, transforms applied."""
    matrix, stack, points = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), [], []
    for operands, operator in page.get_contents().operations:
        if operator == b"q":
            stack.append(matrix)
        elif operator == b"Q":
            matrix = stack.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = (float(n) for n in operands)
            ma, mb, mc, md, me, mf = matrix
            matrix = (
                a * ma + b * mc, a * mb + b * md, c * ma + d * mc, c * mb + d * md,
                e * ma + f * mc + me, e * mb + f * md + mf,
            )  # fmt: skip
        elif operator in (b"m", b"l"):
            x, y = (float(n) for n in operands)
            a, b, c, d, e, f = matrix
            points.append(((a * x + c * y + e) * 25.4 / 72, (b * x + d * y + f) * 25.4 / 72))
    return points


def test_a_printed_line_is_as_long_and_where_it_was_drawn(reader):
    for page, sheet in zip(reader.pages, sheets(), strict=True):
        height = sheet.size[1]
        points = drawn_points(page)
        for x, y in ((50.0, 60.0), (150.0, 60.0), (50.0, 160.0)):
            assert min(abs(px - x) + abs(height - py - y) for px, py in points) < 0.02


def test_a_printed_line_measured_on_the_picture(pdf):
    """Counted in pixels at 1270 to the inch (50 to the mm), middle of the butt ends."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        dots = 50
        picture = document[2].render(scale=25.4 * dots / 72, grayscale=True, crop=_crop(document[2])).to_numpy()
        row = picture[int(10 * dots)]
        dark = [i for i, value in enumerate(row.reshape(-1)) if value < 128]
        length = (dark[-1] - dark[0] + 1) / dots
        assert length == pytest.approx(100.0 + 0.25, abs=0.1)  # 0.25: half the pen at the mitred corner
    finally:
        document.close()


def _crop(page):
    """Margins (points) that leave x 40..170 and y 50..70 mm."""
    width, height = page.get_size()
    mm = 72 / 25.4
    return (40 * mm, height - 70 * mm, width - 170 * mm, 50 * mm)


def test_sheets_and_svgs_must_pair():
    pages = sheets()
    with pytest.raises(ValueError):
        pdf_bytes(pages, [svg_text(pages[0], STYLE)], STYLE, INFO)
    with pytest.raises(ValueError, match="at least one sheet"):
        pdf_bytes((), (), STYLE, INFO)


def test_the_identifier_follows_from_the_contents(reader):
    pages = sheets()[:1]
    other = PdfReader(io.BytesIO(pdf_bytes(pages, [svg_text(pages[0], STYLE)], STYLE, INFO)))
    first, second = (r.trailer["/ID"][0].original_bytes for r in (reader, other))
    assert first != second and len(first) == 16


@pytest.mark.slow
def test_same_bytes_in_other_processes_folders_and_moments(pdf, tmp_path):
    program = (
        "import hashlib, importlib.util, sys\n"
        f"spec = importlib.util.spec_from_file_location('made', {str(__file__)!r})\n"
        "made = importlib.util.module_from_spec(spec); spec.loader.exec_module(made)\n"
        "print(hashlib.sha256(made.make()).hexdigest())\n"
    )
    found = [hashlib.sha256(pdf).hexdigest()]
    for seed, zone in (("0", "UTC"), ("4711", "Pacific/Kiritimati")):
        time.sleep(1.05)  # cairo's own date is in whole seconds
        folder = tmp_path / f"folder {seed}"
        folder.mkdir()
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "HOME": str(folder), "TMPDIR": str(folder)}
        run = subprocess.run([sys.executable, "-c", program], cwd=folder, env=env, capture_output=True, text=True, check=True)
        found.append(run.stdout.strip())
        assert not list(folder.iterdir())  # no font cache is left behind
    assert len(set(found)) == 1


def test_a_missing_cairo_is_told_with_the_way_to_get_it(monkeypatch):
    real = builtins.__import__

    def without(name, *args, **more):
        if name == "cairocffi":
            raise OSError('no library called "cairo-2" was found')
        return real(name, *args, **more)

    fonts.cairo.cache_clear()
    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(CairoMissing, match="apt-get install libcairo2") as caught:
        fonts.cairo()
    assert "brew install cairo" in str(caught.value) and "GTK" in str(caught.value)
    assert "cairo-2" in str(caught.value)
    monkeypatch.undo()
    fonts.cairo.cache_clear()
    assert fonts.cairo() is cairocffi


def test_the_environment_is_given_back(monkeypatch):
    monkeypatch.setenv("FONTCONFIG_FILE", "/somewhere/else.conf")
    fonts.cairo.cache_clear()
    fonts.cairo()
    assert os.environ["FONTCONFIG_FILE"] == "/somewhere/else.conf"


def test_the_short_way_draws_what_cairosvg_draws():
    """The same picture as cairosvg's own conversion, which takes every element the long way."""
    fonts.cairo()
    import cairosvg

    square = ((20.0, 20.0), (60.0, 20.0), (60.0, 50.0))
    hole = ((45.0, 25.0), (55.0, 25.0), (55.0, 35.0))
    page = Sheet(
        1, "part", "4.1", "Part A", (120.0, 100.0),
        (
            Fill("tone", (square, hole)), Fill("ink", (((70.0, 20.0), (80.0, 22.0), (70.0, 24.0)),)),
            Line("vis", ((10.0, 10.0), (100.0, 10.0), (90.0, 60.0)), closed=True), Line("hid", ((10.0, 70.0), (100.0, 80.0))),
            Circle("vis", (80.0, 40.0), 8.0), Arc("vis", (80.0, 40.0), 12.0, 10.0, 200.0),
            Text("note", (10.0, 95.0), "GRAIN", 5.0), Text("note", (110.0, 90.0), "READ", 5.0, "start", -90.0, bold=True),
        ),
    )  # fmt: skip
    svg = svg_text(page, STYLE)
    pictures = []
    for data in (pdf_bytes((page,), (svg,), STYLE, INFO), cairosvg.svg2pdf(bytestring=svg.encode())):
        document = pypdfium2.PdfDocument(data)
        pictures.append(document[0].render(scale=2.0, grayscale=True).to_numpy().astype(int))
        document.close()
    assert pictures[0].shape == pictures[1].shape
    assert (pictures[0] < 128).sum() > 2000
    assert abs(pictures[0] - pictures[1]).max() <= 40
    assert (abs(pictures[0] - pictures[1]) > 8).sum() < 50
