"""Labels: one for every piece, with what the bench needs, cut lines, the drawing audit."""

from __future__ import annotations

import pytest

from plandoc.drawing.boxes import item_extent, overlap
from plandoc.drawing.display import Line, Text
from plandoc.model.entities import Model
from plandoc.sheets.context import IndexRow
from plandoc.sheets.labels import TEXT, compose
from plandoc.sheets.parts import compose as part_sheets
from plandoc.shopwork.procedure import procedure
from tests.support.resolving import sound
from tests.support.sample_model import sample_case
from tests.support.sheet_ctx import attr, context, findings, groups, lines, texts, trays

CLEATS = 'part cleat from ply "Cleat" count 15\n  size 300 mm x 40 mm\npart shelf from ply "Shelf"\n  grain across\n  across from 0 to 400 mm\n  back from 0 to 200 mm\n  up from 0\n'


@pytest.mark.parametrize("model", [sample_case(), trays(), sound(CLEATS).model], ids=["case", "trays", "cleats"])
def test_as_many_labels_as_pieces(model: Model) -> None:
    found = [g for d in compose(context(model)) for g in groups(d.items, "partlabel")]
    wanted = sorted((p.path, n) for p in model.parts for n in range(1, p.count + 1))
    assert sorted((attr(g, "part"), int(attr(g, "number"))) for g in found) == wanted


def test_a_count_gives_numbered_labels_on_further_pages() -> None:
    drafts = compose(context(sound(CLEATS).model, paper="A4", style="shop-metric"))
    assert [d.code for d in drafts] == ["L.1", "L.2"]  # 3 x 4 on a page, 16 pieces
    words = " ".join(texts([i for d in drafts for i in d.items]))
    assert "1 of 15" in words and "15 of 15" in words


def test_what_a_label_says() -> None:
    index = (IndexRow("4.3", "Part C", 9, "part", tuple(dict.fromkeys(p.mark for p in sample_case().parts))),)
    model = sample_case()
    for draft in compose(context(model, index)):
        for group in groups(draft.items, "partlabel"):
            part = model.part(attr(group, "part"))
            words = texts(group.items)
            assert words[0] == part.mark == attr(group, "mark")
            assert part.name in " ".join(words)
            assert "GRAIN" in words and "sheet 4.3" in " ".join(words)
            assert sum(w.count("×") for w in words) == 2
            mates = {j.b if j.a == part.path else j.a for j in model.joints if part.path in (j.a, j.b)}
            joins = " ".join(words[words.index(next(w for w in words if w.startswith("Joins"))) :]) if mates else ""
            for mate in mates:
                assert model.part(mate).mark in joins.replace(",", " ").split(), (part.path, mate, joins)


def test_labels_are_read_at_arms_length() -> None:
    """3.6 mm are preferred at 600 mm; the mark is larger than all else."""
    for draft in compose(context(sample_case())):
        for group in groups(draft.items, "partlabel"):
            sizes = [i.size for i in group.items if isinstance(i, Text)]
            assert sizes[0] == max(sizes) >= 9.0 and sorted(sizes)[len(sizes) // 2] >= TEXT - 0.6


def test_labels_do_not_touch_each_other_or_the_cutting_lines() -> None:
    for draft in compose(context(trays())):
        boxes = [e for g in groups(draft.items, "partlabel") if (e := item_extent(g))]
        assert not any(overlap(a, b, 2.0) for n, a in enumerate(boxes) for b in boxes[:n])
        for line in lines(draft.items, "tb"):
            (x0, y0), (x1, y1) = line.points
            assert not any(overlap(b, (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)), 0.5) for b in boxes)


def test_the_last_row_has_cutting_lines_only_round_its_labels() -> None:
    drafts = compose(context(sound(CLEATS).model, paper="A4", style="shop-metric"))
    cut = [i for g in groups(drafts[1].items, "cutlines") for i in g.items if isinstance(i, Line)]
    assert len(cut) == 3 + 4  # 4 pieces: a row of three and one more
    assert len(cut) == len({line.points for line in cut})


@pytest.mark.parametrize(("paper", "style"), [("letter", "shop-inch"), ("A4", "shop-metric"), ("A4", "large-print"), ("A3", "shop-metric")])
@pytest.mark.parametrize("orientation", ["landscape", "portrait"])
@pytest.mark.parametrize("model", [sample_case(), trays(), sound(CLEATS).model], ids=["case", "trays", "cleats"])
def test_nothing_to_mark_on_the_labels(model: Model, paper: str, style: str, orientation: str) -> None:
    ctx = context(model, paper=paper, style=style, orientation=orientation)
    assert findings(compose(ctx), ctx) == []


def test_a_rod_has_ends_but_no_reference_faces() -> None:
    text = 'stock stick dowel 20 mm "Rod"\n  material beech\npart bar from stick "Bar"\n  grain across\n  across from 0 to 300 mm\n  back from 0\n  up from 0\n'
    model = sound(text).model
    words = " ".join(texts([i for d in compose(context(model)) for i in d.items]))
    assert "Ø20" in words and "edge" not in words and "face" not in words
    drawn = [i for d in part_sheets(context(model)) for i in d.items]
    assert [w for w in texts(drawn) if "REFERENCE" in w] == ["REFERENCE: LEFT END"]
    checks = [c for step in procedure(model) for c in step.checks]
    assert any(c.startswith("Write mark on every piece") for c in checks) and not any("reference faces on" in c for c in checks)
