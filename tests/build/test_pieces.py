"""Separate pieces of one plan, and the views that they get."""

from __future__ import annotations

import pytest

from plandoc.build.pieces import drawn_apart, piece_model, piece_name, pieces
from plandoc.model.entities import Model
from plandoc.pipeline import check
from plandoc.sheets.elevations import compose as elevations
from plandoc.sheets.section import compose as sections
from plandoc.sheets.section_plan import letter, section_cuts, sight_letter
from plandoc.world import MemoryWorld
from tests.support.sheet_ctx import attr, context, findings, groups, texts


def frame(name: str, at: int, wide: int = 400) -> str:
    """Two posts and a rail let into them, from `at` along the wall."""
    return f"""part {name}_post from board "{name.title()} post"
  grain up
  across from {at} mm for 50 mm
  back from 0
  up from 0 to 600 mm
part {name}_post_2 mirrors {name}_post about {at + wide // 2} mm "{name.title()} post"
part {name}_rail from board "{name.title()} rail"
  grain across
  across between {name}_post and {name}_post_2
  back from 0
  up from 200 mm for 60 mm
joint tenon {name}_rail into {name}_post, {name}_post_2 deep 25 mm
"""


def model(*texts: str) -> Model:
    head = 'plan "Frames"\n  units mm to 0.1\nstock board lumber 40 mm\n  measured 20 mm\n'
    found = check("f.plan", MemoryWorld({"f.plan": head + "".join(texts)}))
    assert found.good, found.diagnostics
    return found.model


def test_joined_and_close_parts_are_one_piece() -> None:
    near = model(frame("left", 0), frame("right", 425))
    assert pieces(near) == (tuple(p.path for p in near.placed),)
    apart = model(frame("left", 0), frame("right", 426))
    assert [len(p) for p in pieces(apart)] == [3, 3]
    assert pieces(apart)[1] == ("right_post", "right_post_2", "right_rail")


def test_pieces_are_drawn_apart_where_they_would_be_small_together() -> None:
    assert drawn_apart(model(frame("left", 0), frame("right", 600, 500))) == ()  # 600 of 1100 is more than half
    wide = model(frame("left", 0), frame("right", 1500, 500))
    assert [piece[0] for piece in drawn_apart(wide)] == ["left_post", "right_post"]
    assert piece_name(wide, drawn_apart(wide)[0]) == "Left post, Left rail"
    alike = model(frame("left", 0), frame("right", 1500))
    assert [piece[0] for piece in drawn_apart(alike)] == ["left_post"]


def test_a_piece_by_itself_has_only_what_belongs_to_it() -> None:
    wide = model(frame("left", 0), frame("right", 1500, 500))
    own = piece_model(wide, drawn_apart(wide)[1])
    assert [p.path for p in own.parts] == ["right_post", "right_post_2", "right_rail"]
    assert {j.a for j in own.joints} == {"right_rail"} and len(own.joints) == 2
    assert own.box is not None and own.box.span(0) == (1500, 2000)


@pytest.mark.parametrize("paper", ["A4", "A3"])
def test_each_piece_has_its_own_views_sections_and_letters(paper: str) -> None:
    wide = model(frame("left", 0), frame("right", 1500, 500))
    ctx = context(wide, paper=paper, style="shop-metric")
    drafts = elevations(ctx)
    assert [d.title for d in drafts] == ["Elevations: Left post, Left rail", "Elevations: Right post, Right rail"]
    assert [d.code for d in drafts] == ["2.1", "2.2"]
    for draft, size in zip(drafts, ("400", "500"), strict=True):
        overall = [attr(g, "mm") for g in groups(draft.items, "dimension") if attr(g, "kind") == "overall"]
        assert overall == ["600", size, "20"]
    cuts = section_cuts(wide)
    assert len({c.letter for c in cuts}) == len(cuts) and {c.piece[0] for c in cuts} == {"left_post", "right_post"}
    marks = [[attr(g, "letter") for g in groups(d.items, "cutting")] for d in drafts]
    assert marks == [[c.letter for c in cuts if c.piece[0] == name] for name in ("left_post", "right_post")]
    views = [t for d in sections(ctx) for t in texts(d.items) if t.startswith("SECTION ")]
    assert sorted(views) == [f"SECTION {c.letter}-{c.letter}" for c in cuts]
    assert findings((*drafts, *sections(ctx)), ctx) == []


def test_arrows_of_sight_of_two_pieces_have_letters_of_their_own() -> None:
    """One letter is kept from the end of the run for each piece that has views of its own."""
    wide = model(frame("left", 0), frame("right", 1500, 500))
    sights = [sight_letter(wide, n) for n in range(2)]
    assert sights == ["Z", "Y"] and not {letter(wide, n) for n in range(60)} & set(sights)


def test_a_rail_between_posts_has_its_height_and_its_size() -> None:
    own = model(frame("left", 0))
    (draft,) = elevations(context(own, style="shop-metric", paper="A4"))
    given = {(attr(g, "from"), attr(g, "to")): attr(g, "mm") for g in groups(draft.items, "dimension") if attr(g, "axis") == "z"}
    assert given["whole.bottom", "left_rail.bottom"] == "200"
    assert given["left_rail.bottom", "left_rail.top"] == "60"


def test_the_largest_piece_of_many_parts_has_the_name_of_the_plan() -> None:
    own = "part {0}_stile from board \"{1} stile\"\n  grain up\n  across from {2} mm for 50 mm\n  back from 30 mm\n  up from 0 to 600 mm\n"
    wide = model(frame("left", 0), own.format("left", "Left", 0), frame("right", 1500, 500), own.format("right", "Right", 1500))
    assert [piece_name(wide, piece) for piece in drawn_apart(wide)] == ["Left post to Left stile", "Frames"]
