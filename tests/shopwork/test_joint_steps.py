"""In which order and with which words tenons, tongues, dowels, plugs and keys are made and set."""

from __future__ import annotations

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
    assert titled(steps, "Drive the keys").texts[0].startswith("4 × key 12 mm × ")
