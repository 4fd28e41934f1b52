"""In which order and with which words tenons, tongues, dowels, plugs and keys are made and set."""

from __future__ import annotations

from plandoc.pipeline import check
from plandoc.shopwork.hardwarelist import spread_area
from plandoc.shopwork.operations import operations
from plandoc.shopwork.procedure import procedure
from plandoc.world import MemoryWorld
from tests.shopwork.test_steps_of_plans import steps_of, titled

TABLE = """plan "Frame"
  units mm
stock beam lumber 50 mm
  measured 45 mm
stock oak lumber 25 mm
  measured 18 mm
hardware peg dowel 6 mm x 60 mm
hardware pin dowel 8 mm x 50 mm
hardware s8 screw No 8 "Flat-head screw" long 50 mm
part post[1] from beam
  grain up
  across from 0 for 45 mm
  back from 0 for 45 mm
  up from 0 to 400 mm
part post[2] mirrors post[1] about across 200 mm
part rail[1] from oak
  grain across
  across between post[1] and post[2]
  back from 10 mm
  up from 100 mm to 170 mm
part rail[2] from oak
  grain across
  across between post[1] and post[2]
  back from 10 mm
  up from 300 mm to 370 mm
part skirt from oak
  grain across
  across from 0 to 400 mm
  back from -18 mm to 0
  up from 20 mm to 80 mm
"""


def test_mortises_come_before_the_tenons_that_are_fitted_to_them() -> None:
    steps = steps_of(TABLE + "joint tenon rail into post[1], post[2] deep 30 mm clearance 1 mm pegged peg draw 1 mm\n")
    titles = [s.title for s in steps]
    assert titles.index("Cut the mortises") < titles.index("Cut the tenons") < titles.index("Glue up Frame") < titles.index("Peg the tenons")
    mortises = titled(steps, "Cut the mortises")
    assert "Set-up: 6 mm wide, 58 mm long, 31 mm deep." in mortises.texts
    assert any("near edge 16 mm from the front" in t and "near edge 106 mm from the bottom end" in t for t in mortises.texts)
    assert any("fit it to its mortise" in c for c in titled(steps, "Cut the tenons").checks)
    head = titled(steps, "Peg the tenons").texts[0]
    assert head.startswith("4 × peg 6 mm × 60 mm. Bit 6 mm.") and "1 mm nearer to the shoulder" in head


def test_hidden_dowels_are_drilled_and_set_before_the_glue_up() -> None:
    steps = steps_of(TABLE + "joint dowel rail into post[1], post[2] with pin count 2\n")
    titles = [s.title for s in steps]
    assert titles.index("Drill the rows of holes") < titles.index("Set the hidden dowels") < titles.index("Glue up Frame")
    assert titled(steps, "hidden").texts[0].startswith("8 × dowel 8 mm × 50 mm. Glue each into its hole")


def test_plugs_follow_the_screws_on_the_same_face() -> None:
    steps = steps_of(TABLE + "joint tenon rail into post[1], post[2] deep 30 mm\njoint screw post into skirt with s8 count 2 plugged 6 mm\n")
    titles = [s.title for s in steps]
    assert titles.index("Drive the screws") < titles.index("Plug the screw holes")
    screws, plugs = titled(steps, "Drive the screws"), titled(steps, "Plug the screw holes")
    assert "Counterbore Ø10 ↧6." in screws.texts[0] and plugs.texts[0].startswith("4 × plug 10 mm × 6 mm.")
    assert all("from the front face" in t for t in (*screws.texts[1:], *plugs.texts[1:]))


def test_only_what_floats_in_its_groove_has_no_glue() -> None:
    """Two rails in grooves of one depth in one post: the one with room at the bottom floats, the other is glued."""
    text = TABLE + "joint groove rail[1] into post[1], post[2] deep 12 mm\njoint groove rail[2] into post[1], post[2] deep 14 mm clearance 2 mm\n"
    said = " ".join(titled(steps_of(text), "Glue up Frame").texts)
    assert said.count("(groove, enters 12 mm)") == said.count("(groove, enters 12 mm, without glue)") > 0, said


def test_keys_are_driven_without_glue() -> None:
    steps = steps_of(TABLE + "joint tenon rail into post[1], post[2] through proud 40 mm keyed 12 mm x 15 mm\n")
    closed = titled(steps, "Put together Frame")
    assert any("keyed tenon, no glue" in t for t in closed.texts)
    assert closed.waits == () and "glue" not in closed.tools and not [t for t in closed.texts if "wipe off" in t]
    assert titled(steps, "Drive the keys").texts[0].startswith("4 × key 12 mm × 15 mm where it stands, more than ")


def test_a_haunch_is_called_one_and_has_its_edge() -> None:
    """Beside the tenon of a rail, flush with the top of its post, a haunch fills the groove."""
    high = 'plan "Frame"\n  units mm to 0.5\n'
    high += "stock oak lumber 4/4\n  dressed 20 mm\npart leg from oak\n  grain up\n  across from 0 for 60 mm\n  back from 0\n  up from 0 to 400 mm\n"
    high += "part rail from oak\n  grain across\n  across from leg.right to 500 mm\n  back from 0\n  up from 330 mm to 400 mm\njoint tenon rail into leg deep 30 mm haunched 20 mm x 10 mm\n"
    texts = titled(steps_of(high), "Cut the tenons").texts
    (own,) = [n for n, text in enumerate(texts) if "haunch" in text]
    assert texts[own].startswith("Set-up: haunch ") and texts[own].endswith("20 mm wide, 10 mm long.")
    assert texts[own + 1] == "Rail (B): on the left end, at the top edge."


def test_a_joint_that_is_called_dry_gets_no_glue() -> None:
    """One rail glued, one dry: words, glue to buy and the area that is spread follow."""
    glue = 'hardware white_glue glue "Wood glue" covers 1 m x 1 m\nfit white_glue on post[1], post[2], rail[1], rail[2]\n'
    text = TABLE + glue + "joint tenon rail[1] into post[1], post[2] deep 30 mm\njoint tenon rail[2] into post[1], post[2] deep 30 mm"
    both, one = (check("t.plan", MemoryWorld({"t.plan": f"{text}{end}\n"})).model for end in ("", " dry"))
    assert both is not None and one is not None
    assert [j.dry for j in one.joints] == [False, False, True, True]
    step = titled(procedure(one), "Glue up Frame")
    said = " ".join(step.texts)
    assert said.count("(tenon, enters 30 mm)") == said.count("(tenon, enters 30 mm, dry)") > 0, said
    assert "No glue in what is called dry here." in step.texts
    assert "No glue in what is called dry here." not in titled(procedure(both), "Glue up Frame").texts
    areas = [spread_area(model, next(h for h in model.hardware if h.kind == "glue")) for model in (both, one)]
    assert areas[0] == 2 * (areas[1] or 0) > 0
    assert [o.kind for o in operations(one) if o.id.startswith("join:")] == ["glue_up", "glue_up", "dry_fit", "dry_fit"]


def test_what_only_stands_on_another_is_set_down_without_glue() -> None:
    """A case on a stand: the joint between them is dry, so they are put together last, and nothing is clamped or waited for."""
    head, _, frame = TABLE.partition("part post[1]")
    stand = "assembly stand\n" + "".join(f"  {line}\n" for line in f"part post[1]{frame}joint tenon rail into post[1], post[2] deep 30 mm".splitlines())
    case = """assembly box
  part low from oak
    grain across
    across from 0 to 400 mm
    back from 0 for 45 mm
    up from 0
  part side from oak
    grain up
    across from 0
    back from 0 for 45 mm
    up from low.top to 200 mm
  joint butt side into low with s8 count 1
place stand as stand
place box as case
  at up 400 mm
joint butt case.low into stand.post dry
"""
    steps = steps_of(head + stand + case)
    last = next(s for s in steps if any("(butt, dry)" in t for t in s.texts))
    assert last.title == "Put together Frame" and "No glue here." in last.texts and last.waits == () and last.glue == ()
    assert "glue" not in last.tools and not any("lamp" in t for t in last.texts)
