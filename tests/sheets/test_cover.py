"""The cover: sizes, index, check bars."""

from __future__ import annotations

from dataclasses import replace

import pytest

from plandoc.sheets.context import IndexRow
from plandoc.sheets.cover import collapsed, compose, overall_text, weight_text
from plandoc.shopwork.weights import part_weight
from tests.support.sample_model import sample_case
from tests.support.sheet_ctx import context, findings, groups, inside, lines, texts

FEW = tuple(
    IndexRow(code, title, n, kind)
    for n, (code, title, kind) in enumerate(
        [("0.1", "Cover", "cover"), ("2.1", "Elevations", "elevations"), ("3.1", "Section A-A", "section")], 1
    )
)
MANY = FEW + tuple(IndexRow(f"4.{n}", f"Part {n}", 3 + n, "parts") for n in range(1, 90))


def test_overall_sizes_are_those_of_the_model() -> None:
    assert overall_text(sample_case()) == "24 wide × 12 23/32 deep × 30 high"
    (draft,) = compose(context(sample_case(), FEW, "cover"))
    assert "24 wide × 12 23/32 deep × 30 high" in texts(draft.items)
    assert sum(p.count for p in sample_case().parts) == 7 and "7 pieces, 6 different" in texts(draft.items)


def test_weight_is_an_estimate_from_the_solids() -> None:
    ctx = context(sample_case(), FEW, "cover")
    said = weight_text(ctx)
    mass = sum(float(part_weight(p, {k: v.volume for k, v in ctx.solids.items()}) or 0) * p.count for p in ctx.model.parts)
    assert said.startswith(f"about {round(mass)} kg (") and "estimate" in said
    (draft,) = compose(ctx)
    assert said in " ".join(texts(draft.items))
    assert "REVISION" not in texts(draft.items)


def test_index_names_every_sheet_with_its_page() -> None:
    (draft,) = compose(context(sample_case(), FEW, "cover"))
    (index,) = groups(draft.items, "index")
    written = texts(index.items)
    assert [written[i : i + 3] for i in range(0, len(written), 3)] == [[r.code, r.title, str(r.number)] for r in FEW]


def test_long_index_puts_runs_of_one_kind_in_one_row() -> None:
    rows = collapsed(MANY)
    assert rows[-1] == ("4.1 – 4.89", "Part 1 … Part 89", "4 – 92")
    assert len(rows) == 4
    ctx = context(sample_case(), MANY, "cover")
    drafts = compose(ctx)
    assert inside(drafts, ctx)
    assert "4.1 – 4.89" in texts(drafts[0].items)


def test_no_title_of_the_index_is_cut_short_where_every_kind_has_a_row() -> None:
    rows = [IndexRow("0.1", "Cover and sheet index", 1, "cover"), IndexRow("0.2", "General notes", 2, "notes"), IndexRow("0.3", "Hazards and safety", 3, "notes")]
    many = [("6.0", "To buy", "buying"), ("6.1", "Parts list", "partslist"), ("6.2", "Hardware", "hardware"), ("6.3", "Cutting layouts", "cutting")]
    more = [("2.1", "Elevations", "elevations"), ("3.1", "Sections", "section"), ("4.1", "Part drawings", "parts"), ("7.1", "Machine set-ups", "setups")]
    last = [("8.0", "The job on one page", "overview"), ("8.1", "Procedure", "procedure"), ("9.1", "Exploded views", "exploded")]
    rows += [IndexRow(f"{code}{letter}", title, 0, kind) for code, title, kind in (*many, *more, *last) for letter in ("", "b")]
    rows += [IndexRow("", "", n, "templates", "templates") for n in range(48)] + [IndexRow("", "", n, "labels", "labels") for n in range(2)]
    numbered = tuple(replace(row, number=n) for n, row in enumerate(rows, 1))
    model = sample_case()
    info = replace(model.info, client="Observatory store, hill-top astronomy club", date="2031-05-09", notes=("Keeps all of it dry and in order.",) * 3)
    ctx = context(replace(model, info=info), numbered, "cover")
    x0, y0, x1, y1 = ctx.space
    ctx = replace(ctx, space=(x0, y0 + 10, x1, y1))  # below a table of revisions
    drafts = compose(ctx)
    (index,) = groups(drafts[0].items, "index")
    assert "Exploded views" in texts(index.items) and not [t for t in texts(index.items) if t.endswith("…")]
    assert inside(drafts, ctx) and findings(drafts, ctx) == []


@pytest.mark.parametrize(("paper", "orientation"), [("A4", "portrait"), ("letter", "landscape")])
def test_the_index_stands_below_the_picture_where_letters_are_large(paper: str, orientation: str) -> None:
    kinds = ("notes", "buying", "parts list", "hardware", "cutting", "elevations", "section", "parts", "setups", "overview", "procedure", "exploded")
    rows = tuple(IndexRow(f"{n}.1", f"All that is to be said of the {kind}", n, kind) for n, kind in enumerate(kinds, 1))
    rows += (IndexRow("", "", 1, "labels", "labels"),)
    ctx = context(sample_case(), rows, "cover", paper=paper, orientation=orientation, style="large-print")
    drafts = compose(ctx)
    (index,) = groups(drafts[0].items, "index")
    assert [row.title for row in rows[:-1] if row.title not in texts(index.items)] == []
    assert inside(drafts, ctx) and findings(drafts, ctx) == []


def test_notes_that_do_not_fit_are_left_to_the_general_notes() -> None:
    model = sample_case()
    long = tuple(f"Note {n} says a good deal more than fits on one line of a cover sheet." for n in range(40))
    ctx = context(replace(model, info=replace(model.info, notes=long)), FEW, "cover")
    drafts = compose(ctx)
    assert inside(drafts, ctx) and findings(drafts, ctx) == []
    assert "see the general notes" in texts(drafts[0].items)
    assert any(t.startswith("Note 0 says") for t in texts(drafts[0].items))


def test_check_bars_have_their_length_both_ways() -> None:
    (draft,) = compose(context(sample_case(), FEW, "cover"))
    (bars,) = groups(draft.items, "checkbars")
    lengths = {"x": [], "y": []}
    for line in lines(bars.items, "tb"):
        (ax, ay), (bx, by) = line.points
        if max(abs(bx - ax), abs(by - ay)) > 50:
            lengths["x" if ay == by else "y"].append(round(max(abs(bx - ax), abs(by - ay)), 6))
    assert sorted(lengths["x"]) == sorted(lengths["y"]) == [100.0, 101.6]


@pytest.mark.parametrize(
    ("paper", "orientation", "style"),
    [("letter", "landscape", "shop-inch"), ("A4", "portrait", "shop-metric"), ("A3", "landscape", "shop-metric")],
)
def test_cover_is_clean(paper: str, orientation: str, style: str) -> None:
    ctx = context(sample_case(), FEW, "cover", paper=paper, orientation=orientation, style=style)
    drafts = compose(ctx)
    assert findings(drafts, ctx) == []
    assert inside(drafts, ctx)
