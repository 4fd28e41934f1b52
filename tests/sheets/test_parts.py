"""Part sheets as they are printed: values, completeness, no faults of draughtsmanship, scales, marks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from math import hypot
from pathlib import Path

import pytest

from plandoc.drawing.audit import audit
from plandoc.drawing.boxes import item_extent
from plandoc.drawing.dimension_request import NoteRequest
from plandoc.drawing.display import Circle, Fill, Group, Item, Line, Sheet, Text, walk
from plandoc.drawing.draft import Draft
from plandoc.drawing.leaders import Notes
from plandoc.drawing.scales import listed_scales
from plandoc.drawing.style import load_style
from plandoc.geometry.bodies import AXES, box_prism
from plandoc.geometry.solid import Solid
from plandoc.model.entities import Model, Part
from plandoc.model.marks import opposite_hands
from plandoc.pipeline import check
from plandoc.quantity import Units, shop_text
from plandoc.sheets.context import SheetContext
from plandoc.sheets.partblock import ELSEWHERE, Block
from plandoc.sheets.partfaces import part_views
from plandoc.sheets.partnotes import heading_lines, rim_side
from plandoc.sheets.partpages import fits, own_scale, packed, room_of, shared_scale
from plandoc.sheets.parts import compose, hands, part_drawings
from plandoc.sheets.registry import sheet_kinds
from plandoc.world import DiskWorld
from tests.support.resolving import resolved
from tests.support.sample_model import inch, sample_case
from tests.support.sheet_ctx import context as sheet_context

SPACE = (15.7, 15.7, 263.7, 172.6)  # what a letter sheet, landscape, leaves above its title block


def solid_of(part: Part) -> Solid:
    adds = [box_prism(part.shoulder), *(p for f in part.features for p in f.adds)]
    return Solid.from_prisms(adds, [p for f in part.features for p in f.cuts])


def context(model: Model, space: tuple[float, float, float, float] = SPACE) -> SheetContext:
    solids = {part.path: solid_of(part) for part in model.parts}
    return SheetContext(model, solids, load_style(model.info.style), space)


@lru_cache(maxsize=1)
def drafts() -> tuple[Draft, ...]:
    return compose(context(sample_case()))


def groups(items: tuple[Item, ...], kind: str) -> Iterator[Group]:
    for item in items:
        if isinstance(item, Group):
            if item.kind == kind:
                yield item
            yield from groups(item.items, kind)


def of_part(path: str) -> Group:
    for draft in drafts():
        for group in groups(draft.items, "part"):
            attrs = dict(group.attrs)
            if path in (attrs["part"], attrs.get("opposite-part")):
                return group
    raise KeyError(path)


def words(group: Group) -> str:
    return " ".join(leaf.text for leaf in walk((group,)) if isinstance(leaf, Text))


def view(path: str, proj: str) -> Group:
    return next(v for v in groups((of_part(path),), "view") if dict(v.attrs)["proj"] == proj)


def own_marks(draft: Draft) -> list[str]:
    """The parts whose main view a sheet has, without the faces that it shows (`A right`)."""
    return [mark for mark in draft.marks if " " not in mark]


def test_every_mark_is_drawn_once_in_mark_order() -> None:
    shown = [mark for draft in drafts() for mark in own_marks(draft)]
    assert shown == ["A", "B", "C", "D", "E", "F"]
    assert [draft.code for draft in drafts()] == [f"4.{n}" for n in range(1, len(drafts()) + 1)]


def test_printed_dimensions_are_those_of_the_plan() -> None:
    ctx = context(sample_case())
    for drawing in part_drawings(ctx):
        measures = drawing.plan.measures
        wanted = sorted(("xyz"[m.axis], m.hi - m.lo, m.kind) for m in measures if m.kind != "table")
        drawn = []
        for kind in ("dimension", "thickness"):
            for group in groups((of_part(drawing.part.path),), kind):
                attrs = dict(group.attrs)
                drawn.append((attrs["axis"], Fraction(attrs["mm"]), attrs["kind"]))
        assert sorted(drawn) == wanted


def test_the_lettering_says_the_value() -> None:
    for draft in drafts():
        for group in groups(draft.items, "dimension"):
            text = shop_text(Fraction(dict(group.attrs)["mm"]), Units())
            digits = "".join(leaf.text for leaf in walk((group,)) if isinstance(leaf, Text))
            printed = "".join(c for c in digits.split("X ")[-1] if c.isdigit())
            assert printed == "".join(c for c in text if c.isdigit())


def test_overall_sizes_are_on_every_part() -> None:
    for part in sample_case().parts:
        if part.path == "shelf":
            continue  # drawn with its twin, the bottom
        found = {}
        for kind in ("dimension", "thickness"):
            for group in groups((of_part(part.path),), kind):
                attrs = dict(group.attrs)
                if attrs["kind"] == "overall":
                    found[attrs["axis"]] = Fraction(attrs["mm"])
        assert found == {"xyz"[axis]: part.box.size(axis) for axis in AXES}


def test_the_view_is_to_scale() -> None:
    part = sample_case().part("left_side")
    for group in groups((of_part("left_side"),), "view"):
        ratio = dict(group.attrs)["scale"].split(":")
        scale = Fraction(int(ratio[0]), int(ratio[1]))
        xs = [x for leaf in group.items if isinstance(leaf, Line) and leaf.role == "vis" for x, _ in leaf.points]
        assert abs(max(xs) - min(xs) - float(part.length * scale)) < 0.01


def test_scales_are_listed_and_the_same_in_all_views_of_a_part() -> None:
    for draft in drafts():
        assert set(draft.scales) <= set(listed_scales(Units()))
        assert list(draft.scales) == sorted(draft.scales, reverse=True)
        for part in groups(draft.items, "part"):
            assert len({dict(v.attrs)["scale"] for v in groups((part,), "view")}) == 1


def test_everything_lies_in_the_drawing_space_and_parts_keep_apart() -> None:
    for draft in drafts():
        boxes = [item_extent(group) for group in groups(draft.items, "part")]
        for box in boxes:
            assert box is not None
            assert box[0] >= SPACE[0] - 0.01 and box[1] >= SPACE[1] - 0.01
            assert box[2] <= SPACE[2] + 0.01 and box[3] <= SPACE[3] + 0.01
        for i, a in enumerate(boxes):
            for b in boxes[i + 1 :]:
                assert a is not None and b is not None
                assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_nothing_is_printed_on_anything_else() -> None:
    style = load_style("shop-inch")
    findings = []
    for number, draft in enumerate(drafts(), 1):
        x0, y0, x1, y1 = SPACE
        frame = Group("frame", (Line("frame", ((x0 - 3, y0 - 3), (x1 + 3, y0 - 3), (x1 + 3, y1 + 3), (x0 - 3, y1 + 3)), True),))
        sheet = Sheet(number, draft.kind, draft.code, draft.title, (279.4, 215.9), (*draft.items, frame))
        findings += [f for f in audit(sheet, style) if f.rule in ("text-on-text", "leaders-cross", "ink-outside-frame")]
    assert findings == []


def test_of_two_opposite_hands_one_is_drawn_and_the_other_told() -> None:
    group = of_part("right_side")
    assert dict(group.attrs) == {"part": "left_side", "mark": "A", "opposite": "B", "opposite-part": "right_side"}
    as_drawn, opposite = list(groups((group,), "heading"))
    assert [dict(g.attrs) for g in (as_drawn, opposite)] == [{"mark": "A", "count": "1"}, {"mark": "B", "count": "1"}]
    assert "LEFT SIDE (AS DRAWN)" in words(as_drawn)
    assert "RIGHT SIDE (OPPOSITE HAND) 1 REQUIRED, MIRROR IMAGE OF A, THE SAME FIGURES FROM RIGHT FACE" in words(opposite)
    assert not any(dict(g.attrs)["mark"] == "B" for d in drafts() for g in groups(d.items, "part"))


def test_parts_that_differ_in_more_than_the_mirror_are_drawn_each() -> None:
    model = sample_case()
    left, right = model.part("left_side"), model.part("right_side")
    assert opposite_hands(left, right) and opposite_hands(right, left)
    assert not opposite_hands(left, left)  # the same hand
    feature = right.features[0]
    for other in (
        replace(right, datum=left.datum),  # measured from other faces
        replace(right, features=(replace(feature, note="deburr"), *right.features[1:])),
        replace(right, features=right.features[1:]),
        replace(right, features=(*right.features, replace(feature, text="R", cuts=()))),
        replace(right, stock=model.part("back").stock),
    ):
        assert not opposite_hands(left, other)
        parts = tuple(other if part is right else part for part in model.parts)
        assert [alike[0].mark for alike, _ in hands(parts)][:2] == ["A", "B"]


def test_notes_give_what_the_dimensions_do_not() -> None:
    notes = [words(group) for group in groups((of_part("left_side"),), "leader")]
    flat = sorted("".join(note.split()) for note in notes)
    assert flat == ["2XDADO2332WIDE932", "4XØ1438", "RABBET2332WIDE38", "RABBET732WIDE38"]
    front = ["".join(words(group).split()) for group in groups((of_part("drawer_front"),), "leader")]
    assert sorted(front) == ["2XØ316THRU", "“TOOLS”1HIGH116"]


def test_the_heading_says_what_the_maker_needs() -> None:
    heading = words(next(groups((of_part("bottom"),), "heading")))
    for phrase in ("BOTTOM, FIXED SHELF", "2 REQUIRED", "BIRCH PLYWOOD", "BETWEEN SHOULDERS"):
        assert phrase in heading
    side = words(next(groups((of_part("left_side"),), "heading")))
    assert "2 DADOES FOR BOTTOM, FIXED SHELF (C)" in " ".join(side.split())


def test_lettering_is_drawn_at_its_place_and_height() -> None:
    front = view("drawer_front", "front")
    scale = Fraction(1, int(dict(front.attrs)["scale"].split(":")[1]))
    letters = [leaf for leaf in front.items if isinstance(leaf, Line) and leaf.role == "dim"]
    outline = [p for leaf in front.items if isinstance(leaf, Line) and leaf.role == "vis" for p in leaf.points]
    left, bottom = min(x for x, _ in outline), max(y for _, y in outline)
    xs, ys = ([p[i] for leaf in letters for p in leaf.points] for i in (0, 1))
    assert len(letters) == 6  # two strokes for T, one for each other letter
    start = sample_case().part("drawer_front").box.lo[0]
    assert abs((min(xs) + max(xs)) / 2 - left - float((inch(3) - start) * scale)) < 0.5
    assert abs(bottom - (min(ys) + max(ys)) / 2 - float(inch(1) * scale)) < 0.2
    assert abs(max(ys) - min(ys) - float(inch(1) * scale)) < 0.2


def test_each_part_has_its_mark_in_a_circle_and_a_titled_view_with_its_scale() -> None:
    for draft in drafts():
        for part in groups(draft.items, "part"):
            heading = next(groups((part,), "heading"))
            assert any(isinstance(leaf, Circle) for leaf in heading.items)
            for each in groups((part,), "view"):
                titles = [leaf.text for leaf in each.items if isinstance(leaf, Text) and leaf.role == "vtitle"]
                assert len(titles) == 1 and titles[0].split()[-1] in ("FACE", "EDGE", "END")
                assert f"SCALE {dict(each.attrs)['scale']}" in words(each)


def test_first_angle_puts_the_edge_on_the_other_side() -> None:
    model = sample_case()
    side = replace(model, parts=(model.parts[0],), joints=(), fittings=(), steps=(), motions=())

    def edge_is_above(model: Model) -> bool:
        part = compose(context(model))[0].items
        tops = {dict(v.attrs)["proj"]: item_extent(v) for v in groups(part, "view")}
        above, front = tops["top"], tops["front"]
        assert above is not None and front is not None
        return above[1] < front[1]

    assert edge_is_above(side)
    assert not edge_is_above(replace(side, info=replace(side.info, projection="first")))


def test_upright_paper_has_all_parts_too() -> None:
    model = sample_case()
    ctx = context(replace(model, parts=model.parts[:3]), (15.7, 15.7, 200.2, 236.0))
    made = compose(ctx)
    assert [mark for draft in made for mark in own_marks(draft)] == ["A", "B", "C"]
    for draft in made:
        for group in groups(draft.items, "part"):
            box = item_extent(group)
            assert box is not None and box[2] <= 200.21 and box[3] <= 236.01


def test_same_plan_same_sheets() -> None:
    model = sample_case()
    few = replace(model, parts=(model.parts[2], model.parts[6]), joints=())
    assert compose(context(few)) == compose(context(few))


def test_kinds_are_registered_once() -> None:
    names = [kind.name for kind in sheet_kinds()]
    assert {"part", "parts-list", "hardware", "notes"} <= set(names)
    assert len(names) == len(set(names))


def test_the_size_that_no_view_shows_has_its_own_word() -> None:
    """A strip with holes in its edge is drawn by that edge: what lies behind the paper is its width, 40."""
    plan = """
plan "Strip"
  units mm
stock oak lumber 27 mm
  dressed 20 mm
part strip from oak
  grain across
  across from 0 to 400 mm
  back from 0 for 40 mm
  up from 0
  hole 8 mm deep 22 mm on front at (60 mm, 10 mm), (340 mm, 10 mm)
"""
    model = resolved(plan).model
    (drawing,) = part_drawings(context(model))
    lettering = " ".join(text.text for draft in compose(context(model)) for text in walk(draft.items) if isinstance(text, Text))
    assert drawing.part.thickness == 20
    assert "40 WIDE" in lettering and "THICK" not in lettering


def test_a_rod_has_a_diameter_and_no_work() -> None:
    plan = """
plan "Rail"
  units mm
stock rod dowel 20 mm "Beech rod"
part bar from rod
  grain across
  across from 0 to 380 mm
  back from 0 for 20 mm
  up from 0
"""
    model = resolved(plan).model
    rows = [" ".join(text.text for text in walk(draft.items) if isinstance(text, Text)) for draft in compose(context(model))]
    assert "Ø20 × L 380" in " ".join(rows) and "T 20" not in " ".join(rows)
    assert not any(word == "ROD" for row in rows for word in row.replace("BEECH ROD", "").split())


DRAWER = """
plan "Drawer"
  units inch to 1/32
stock ply sheet 48" x 96"
  called   1/2"
  measured 15/32"
assembly box "Box"
  part front from ply
    grain across
    across from 0 for 18 3/4"
    back from 0
    up from 0 for 3"
  part left from ply "Left side"
    grain back
    across from 0
    back from front.rear to 16"
    up from 0 to 3"
    hole 3/32" deep 5/16" on left at (1 1/2", 1 3/4"), (7 1/2", 1 3/4"), (14 1/4", 1 3/4")
  part right mirrors left about 9 3/8" "Right side"
  part bottom from ply "Bottom"
    grain across
    across between left and right
    back from front.rear to 16"
    up from 3/8"
  part rear from ply "Back"
    grain across
    across between left and right
    back to 15 1/2"
    up from bottom.top to 3"
  joint rabbet left, right into front deep 7/32"
  joint groove bottom into front, left, right deep 3/16"
  joint dado rear into left, right deep 3/16"
place box as box
"""


def test_views_on_another_sheet_are_named_on_both() -> None:
    """The sides have holes outside and channels inside; the view of the other face prints larger by itself."""
    model = resolved(DRAWER).model
    made = compose(context(model))
    apart = 0
    for part in model.parts:
        sheets = [d for d in made if any(dict(g.attrs)["mark"] == part.mark for g in groups(d.items, "part"))]
        if len(sheets) < 2:
            continue
        apart += 1
        main, further = sorted(sheets, key=lambda d: part.mark not in d.marks)
        for here, there in ((main, further), (further, main)):
            own = next(g for g in groups(here.items, "part") if dict(g.attrs)["mark"] == part.mark)
            assert f"SHEET {there.code}" in words(own)
    assert apart
    assert all(ELSEWHERE not in " ".join(t.text for t in walk(d.items) if isinstance(t, Text)) for d in made)


PANELS = """
plan "Two panels"
  units inch to 1/32
stock ply sheet 48" x 96" "Birch plywood"
  called 3/4"
  measured 23/32"
stock tape banding 1/32" x 7/8"
assembly unit
  part panel from ply
    grain up
    across from 0 to 14"
    back from 0
    up from 0 to 20"
    outline on front
      start   0, 0
      line to 14", 0
      line to 14", 12"
      arc  to 8", 18" radius 6" turning left
      line to 3", 20"
      arc  to 0, 17" radius 3" turning right
    hole 1/4" through on front at 2", 4" row 4 every 2" along up
    pocket deep 1/4" on front
      start 4", 2"
      line to 10", 2"
      arc to 4", 6" rise 1 1/2" turning left
    cutout round 2 1/2" on front at 9", 12"
    banded left, bottom with tape outside
    letter "No 2" high 1/2" on rear at 6", 9"
place unit as unit[1]
place unit as unit[2]
  at across 160"
  mirrored across
"""


def test_further_views_of_two_parts_share_a_sheet_and_both_places_name_the_other() -> None:
    made = compose(context(resolved(PANELS).model))
    assert [d.title for d in made] == ["Part A: Panel", "Part B: Panel", "Parts A, B, continued"]
    said = [t.text for d in made for t in walk(d.items) if isinstance(t, Text) and "4." in t.text]
    assert [text[-9:] for text in said] == ["SHEET 4.3", "SHEET 4.3", "SHEET 4.1", "SHEET 4.2"]


def test_further_views_fill_sheets_that_have_room() -> None:
    """Two further views of the sides are no reason for two more sheets."""
    model = resolved(DRAWER).model
    made = compose(context(model))
    alone = [d for d in made if not d.marks]
    assert len(alone) <= 1
    seen: list[str] = []
    for draft in made:
        seen += own_marks(draft)
        assert all(dict(g.attrs)["mark"] in seen for g in groups(draft.items, "part"))  # never before the main view
    assert [d.code for d in made] == [f"4.{n}" for n in range(1, len(made) + 1)]


def test_a_part_gives_way_only_as_far_as_its_work_stays_readable() -> None:
    """A channel 6 mm wide: 3 mm on paper at 1:2, 1.2 mm at 1:5."""
    plan = """
plan "Slat"
  units mm
stock oak lumber 27 mm
  dressed 20 mm
part slat from oak
  grain across
  across from 0 to 300 mm
  back from 0 for 60 mm
  up from 0
  WORK
"""
    channel = resolved(plan.replace("WORK", "pocket 6 mm x 40 mm deep 5 mm on top at 150 mm, 30 mm")).model
    bare = resolved(plan.replace("WORK", "hole 6 mm on top at 150 mm, 30 mm")).model
    found = []
    for model in (channel, bare):
        ctx = context(model)
        (drawing,) = part_drawings(ctx)
        own = own_scale(drawing, ctx)
        found.append((own, shared_scale(drawing, ctx, own)))
    assert found[0][0] == found[0][1] == Fraction(1, 2)
    assert found[1] == (Fraction(1, 2), Fraction(1, 5))


def test_drawings_share_a_sheet_in_columns() -> None:
    """A high drawing at the left, two low ones one over the other at its right."""
    def block(mark: str, wide: float, high: float) -> Block:
        return Block(mark, mark, Fraction(1, 2), (), (0.0, 0.0, wide, high))

    ctx = context(sample_case(), (0.0, 0.0, 200.0, 150.0))
    layout = packed([block("A", 90.0, 140.0), block("B", 90.0, 65.0), block("C", 90.0, 65.0)], ctx)
    assert layout is not None and layout.upright
    assert [[b.mark for b in line] for line in layout.lines] == [["A"], ["B", "C"]]
    assert packed([block("A", 90.0, 140.0), block("B", 90.0, 85.0), block("C", 90.0, 85.0)], ctx) is None


def test_kinds_of_work_share_lines_of_the_heading() -> None:
    model = resolved(DRAWER).model
    side = next(d for d in part_drawings(context(model)) if d.part.name == "Left side" and not d.continued)
    row = " ".join(next(r for r in heading_lines(model, side.plan, side.alike) if "GROOVE" in " ".join(r)))
    assert "GROOVE FOR BOTTOM" in row and "; DADO FOR BACK" in row and row.endswith("3 HOLES")


def test_a_sheet_of_further_views_comes_after_all_their_parts() -> None:
    """Both sides of this case have further views; these share one sheet, which is not put before the second side."""
    model = check("pinned-wall-case.plan", DiskWorld(Path(__file__).parents[2] / "examples" / "pinned-wall-case")).model
    made = compose(context(model))
    seen: list[str] = []
    for draft in made:
        seen += own_marks(draft)
        assert all(dict(g.attrs)["mark"] in seen for g in groups(draft.items, "part"))
    assert sorted(seen) == sorted({part.mark for part in model.parts})


def test_thickness_does_not_stand_in_an_opening() -> None:
    """A frame of 20 mm wood all round an opening: the words stand beside the title, not in the air."""
    plan = """
plan "Mask"
  units mm
stock ply sheet 1220 mm x 2440 mm
  called 6 mm
part mask from ply
  grain across
  across from 0 to 300 mm
  back from 0 for 200 mm
  up from 0
  cutout 260 mm x 160 mm on top at centre
"""
    outcome = resolved(plan)
    assert not outcome.codes
    (drawing,) = part_drawings(context(outcome.model))
    (main,) = groups(drawing.block(Fraction(1, 2)).items, "view")
    ends = [p for leaf in walk(main.items) if isinstance(leaf, Line) and leaf.role == "vis" for p in leaf.points]
    opening = (10.0, 10.0, 140.0, 90.0)
    left, top = min(x for x, _ in ends), min(y for _, y in ends)
    for kind in ("thickness", "grain"):
        for group in groups((main,), kind):
            x0, y0, x1, y1 = item_extent(group) or opening
            inside = opening[0] < x0 - left and x1 - left < opening[2] and opening[1] < y0 - top and y1 - top < opening[3]
            assert not inside, kind


def test_a_mortise_prints_the_width_of_its_tenon() -> None:
    """Across the leg 7.4 is no thickness, so it was printed to the plan's step, 7.5; the tenon has 7.4."""
    plan = """
plan "Frame"
  units mm
stock oak lumber 52 mm
  dressed 45 mm
stock thin lumber 27 mm
  dressed 22.4 mm
part leg from oak
  grain up
  across from 0 for 45 mm
  back from 0 for 45 mm
  up from 0 to 300 mm
part rail from thin
  grain across
  across from leg.right to 300 mm
  back from 10 mm
  up from 200 mm for 70 mm
joint tenon rail into leg deep 25 mm sized 7.4 mm
"""
    outcome = resolved(plan)
    assert not outcome.codes
    printed: dict[str, set[str]] = {}
    for draft in compose(context(outcome.model)):
        for part in groups(draft.items, "part"):
            for group in groups((part,), "dimension"):
                if dict(group.attrs)["mm"] == "7.4":
                    printed.setdefault(dict(part.attrs)["mark"], set()).add(words(group))
    assert printed == {"A": {"7.4"}, "B": {"7.4"}}


def test_a_heading_is_as_wide_as_its_sheet_lets_it_be() -> None:
    """Beside the views of the drawer side, 1:4, some 65 mm are left: its title stands in three lines there."""
    ctx = sheet_context(check("eyepiece-cabinet.plan", DiskWorld(Path(__file__).parents[2] / "examples" / "eyepiece-cabinet")).model)
    drawing = next(d for d in part_drawings(ctx) if d.key == "N")
    block = drawing.block(Fraction(1, 4))
    assert own_scale(drawing, ctx) == Fraction(1, 4) and fits(block, *room_of(ctx))
    titles = [item for item in walk(block.items) if isinstance(item, Text) and item.role == "vtitle"]
    assert [item.text for item in titles][:3] == ["DRAWER BOX", "SIDE, LEFT (AS", "DRAWN)"]


def test_every_view_marks_its_reference_faces() -> None:
    """A groove 3 mm from the edge leaves no room for the signs in the view, the edge of 12 mm none at all: they stand before it."""
    plan = """
plan "Side"
  units mm to 0.5
stock board sheet 1200 mm x 600 mm
  called 12 mm
  measured 12 mm
part side from board
  grain back
  across from 0
  back from 0 to 400 mm
  up from 0 to 90 mm
part low from board
  grain back
  across from side.right to 300 mm
  back from 0 to 400 mm
  up from 3 mm
joint groove low into side deep 6 mm
"""
    drawn = [g for d in compose(context(resolved(plan).model)) for g in groups(d.items, "view") if dict(g.attrs)["part"] == "side"]
    assert len(drawn) == 2
    for view in drawn:
        marks = [i.loops[0] for i in view.items if isinstance(i, Fill)]
        assert marks, view.id
        edges = [i for i in view.items if isinstance(i, Line) and i.role == "vis"]
        low, high = min(y for e in edges for _, y in e.points), max(y for e in edges for _, y in e.points)
        for loop in marks:
            assert any(abs(y - at) < 0.01 for _, y in loop for at in (low, high)), "the sign touches the edge"


def test_leaders_of_finger_notches_end_on_the_rim_that_is_drawn() -> None:
    """The half of a notch's circle towards its pocket is not there: leaders come from the other side, wherever there is room."""
    plan = """
plan "Tray"
  units mm
stock board sheet 1200 mm x 600 mm
  called 20 mm
  measured 20 mm
part tray from board
  grain across
  across from 0 to 320 mm
  back from 0 to 200 mm
  up from 0
  pocket round 44 mm deep 8 mm on top at 160 mm, 150 mm
    finger 18 mm to rear
  pocket round 44 mm deep 8 mm on top at 160 mm, 60 mm
    finger 16 mm to right
"""
    model = resolved(plan).model
    part = model.parts[0]
    main = part_views(part)[0]
    ways = {f.id: rim_side(part, main, f) for f in part.features}
    assert ways == {"tray.pocket1": None, "tray.pocket1.finger1": (0.0, -1.0), "tray.pocket2": None, "tray.pocket2.finger1": (1.0, 0.0)}
    style = load_style(model.info.style)
    for way in ((0.0, -1.0), (0.0, 1.0), (1.0, 0.0), (-1.0, 0.0)):
        note = NoteRequest((50.0, 40.0), ("Ø18",), 5.0, "arrow", "f", (), way)
        (group,) = Notes((0.0, 0.0, 100.0, 80.0), [note], style, [], []).place(None).groups
        ends = [p for i in walk(group.items) if isinstance(i, Line) for p in i.points]
        x, y = min(((x - 50.0, y - 40.0) for x, y in ends), key=lambda p: hypot(*p))
        assert hypot(x, y) == pytest.approx(5.0)
        assert x * way[0] + y * way[1] > 0, way
