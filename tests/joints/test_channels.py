"""Dado, groove, rabbet and slide: what both parts become. All figures by hand, in mm; boards are 18 thick.

The case: two sides 200 deep and 500 high, 400 apart outside, so 364 between them.
"""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.geometry.bodies import Box, body_box
from plandoc.model.entities import Feature, Model
from tests.support.resolving import faulty, sizes, sound

SIDES = """
part left_side from ply
  grain up
  across from 0
  back   from 0 to 200 mm
  up     from 0 to 500 mm
part right_side mirrors left_side about 200 mm
"""


def shelf(up: str, name: str = "shelf", back: str = "from 0 to 200 mm") -> str:
    return f"part {name} from ply\n  grain across\n  across between left_side and right_side\n  back {back}\n  up {up}\n"


CASE = SIDES + shelf("from 100 mm")


def channel_of(model: Model, part: str) -> Feature:
    """The one channel of a part."""
    (found,) = (f for f in model.part(part).features if f.kind in ("dado", "groove", "rabbet", "slide"))
    return found


def box_of(feature: Feature) -> Box:
    (cut,) = feature.cuts
    return body_box(cut)


def box(*numbers: int | F) -> Box:
    x0, y0, z0, x1, y1, z1 = (F(n) for n in numbers)
    return Box((x0, y0, z0), (x1, y1, z1))


def test_dado_grows_the_shelf_by_its_depth_at_both_ends() -> None:
    model = sound(CASE + "joint dado shelf into left_side, right_side deep 6 mm\n").model
    part = model.part("shelf")
    assert sizes(part) == (364 + 2 * 6, 200, 18)
    assert (part.shoulder.span(0), part.box.span(0)) == ((18, 382), (12, 388))
    assert box_of(channel_of(model, "left_side")) == box(12, 0, 100, 18, 200, 118)
    assert box_of(channel_of(model, "right_side")) == box(382, 0, 100, 388, 200, 118)
    # The sides keep their size.
    assert sizes(model.part("left_side")) == (500, 200, 18)


def test_dado_record() -> None:
    joint = sound(CASE + "joint dado shelf into left_side deep 6 mm fit 0.2 mm\n").joint("shelf", "left_side")
    assert (joint.kind, joint.entry.name, joint.face.name) == ("dado", "left", "right")
    assert (joint.depth, joint.cut_depth, joint.width, joint.fit, joint.clearance) == (6, 6, F(182, 10), F(2, 10), 0)
    assert (joint.run_axis, joint.thickness_axis, joint.edge, joint.glued) == (1, 2, False, True)
    assert (joint.stop_lo, joint.stop_hi) == (0, 0)
    # The fit is shared on both sides of the shelf.
    assert joint.channel.span(2) == (F(999, 10), F(1181, 10))


def test_one_end_only() -> None:
    model = sound(CASE + "joint dado shelf into left_side deep 6 mm\njoint butt shelf into right_side\n").model
    assert model.part("shelf").length == 370


def test_stopped_dado_leaves_the_tongue_notched() -> None:
    model = sound(CASE + "joint dado shelf into left_side, right_side deep 6 mm stopped 15 mm from front\n").model
    assert box_of(channel_of(model, "left_side")) == box(12, 15, 100, 18, 200, 118)
    tongues = [f for f in model.part("shelf").features if f.kind == "tongue"]
    assert [body_box(f.adds[0]) for f in tongues] == [box(12, 15, 100, 18, 200, 118), box(382, 15, 100, 388, 200, 118)]
    # The shelf itself still comes to the front edge: it is cut as long as its tongues reach, 200 deep.
    assert sizes(model.part("shelf")) == (376, 200, 18)
    assert model.joints[0].stop_lo == 15 and model.joints[0].stop_hi == 0
    # How far the tongue stays back is a figure of the part drawing.
    assert any((f.axis, f.lo, f.hi) == (1, 0, 15) for f in tongues[0].figures)


def test_stopped_at_both_ends() -> None:
    model = sound(CASE + "joint dado shelf into left_side deep 6 mm stopped 15 mm from front, rear\n").model
    assert box_of(channel_of(model, "left_side")) == box(12, 15, 100, 18, 185, 118)


def test_a_shelf_that_stops_short_needs_no_notch() -> None:
    text = SIDES + shelf("from 100 mm", back="from 20 mm to 200 mm") + "joint dado shelf into left_side deep 6 mm stopped 20 mm from front\n"
    model = sound(text).model
    (tongue,) = (f for f in model.part("shelf").features if f.kind == "tongue")
    assert body_box(tongue.adds[0]) == box(12, 20, 100, 18, 200, 118)
    assert tongue.figures == ()


def test_rabbet_is_open_at_the_edge_and_takes_its_fit_inwards() -> None:
    model = sound(SIDES + shelf("to 500 mm", "lid") + "joint rabbet lid into left_side, right_side deep 6 mm fit 0.5 mm\n").model
    # The lid lies from 482 to 500; the fit makes the rabbet reach 0.5 further down, not over the edge.
    assert box_of(channel_of(model, "left_side")) == box(12, 0, F(4815, 10), 18, 200, 500)
    assert model.joints[0].edge
    assert model.part("lid").length == 376


def test_rabbet_at_the_lower_edge() -> None:
    model = sound(SIDES + shelf("from 0", "floor") + "joint rabbet floor into left_side deep 6 mm fit 0.5 mm\n").model
    assert box_of(channel_of(model, "left_side")) == box(12, 0, 0, 18, 200, F(185, 10))


def test_slide_has_play_in_width_and_at_the_bottom() -> None:
    model = sound(CASE + "joint slide shelf into left_side, right_side deep 8 mm clearance 1 mm\n").model
    assert box_of(channel_of(model, "left_side")) == box(10, 0, F(995, 10), 18, 200, F(1185, 10))
    # 8 deep less 1 of play at each end.
    assert model.part("shelf").length == 364 + 2 * 7
    joint = model.joints[0]
    assert (joint.depth, joint.cut_depth, joint.width, joint.clearance, joint.glued) == (7, 8, 19, 1, False)


def test_groove_of_a_drawer_bottom_grows_its_corners() -> None:
    """A panel let into front, left and right: its two front corners are filled, the rear edge stays."""
    text = """
part front from ply
  grain across
  across from 0 to 300 mm
  back   from 0
  up     from 0 to 80 mm
part left from ply
  grain back
  across from 0
  back   from front_end to 250 mm
  up     from 0 to 80 mm
part right from ply
  grain back
  across to 300 mm
  back   from front_end to 250 mm
  up     from 0 to 80 mm
set front_end = front.rear
part floor from thin
  grain across
  across between left and right
  back   from front_end to 250 mm
  up     from 10 mm
joint groove floor into front, left, right deep 6 mm
"""
    text = text.replace("part left ", "part box_left ").replace("part right ", "part box_right ").replace("between left and right", "between box_left and box_right").replace("front, left, right", "front, box_left, box_right")
    model = sound(text).model
    floor = model.part("floor")
    assert floor.shoulder == box(18, 18, 10, 282, 250, 16)
    assert floor.box == box(12, 12, 10, 288, 250, 16)
    assert sizes(floor) == (276, 238, 6)
    adds = [body_box(a) for f in floor.features for a in f.adds]
    corners = [box(12, 12, 10, 18, 18, 16), box(282, 12, 10, 288, 18, 16)]
    assert all(c in adds for c in corners)
    # The grooves run through their parts, to where the panel lies.
    assert box_of(channel_of(model, "front")) == box(0, 12, 10, 300, 18, 16)
    assert box_of(channel_of(model, "box_left")) == box(12, 18, 10, 18, 250, 16)


def test_mirrored_sides_get_mirrored_channels_at_the_same_distance_from_the_shared_edges() -> None:
    text = SIDES + shelf("from 100 mm") + shelf("from 300 mm", "upper", back="from 20 mm to 180 mm") + "joint dado shelf, upper into left_side, right_side deep 6 mm stopped 20 mm from front\n"
    model = sound(text).model
    left, right = model.part("left_side"), model.part("right_side")
    ours = [box_of(f) for f in left.features if f.kind == "dado"]
    theirs = [box_of(f) for f in right.features if f.kind == "dado"]
    assert [(b.span(1), b.span(2)) for b in ours] == [(b.span(1), b.span(2)) for b in theirs]
    assert [b.span(0) for b in ours] == [(12, 18)] * 2
    assert [b.span(0) for b in theirs] == [(382, 388)] * 2
    # Both are figured from the bottom edge.
    for part in (left, right):
        places = [f for feature in part.features for f in feature.figures if f.axis == 2 and f.role == "place"]
        assert [(f.lo, f.hi, f.datum) for f in places] == [(0, 100, -1), (0, 300, -1)]


@pytest.mark.parametrize(
    ("word", "text", "right_word"),
    [
        ("groove", CASE + "joint groove shelf into left_side deep 6 mm\n", "dado"),
        ("rabbet", CASE + "joint rabbet shelf into left_side deep 6 mm\n", "dado"),
        ("dado", SIDES + shelf("to 500 mm") + "joint dado shelf into left_side deep 6 mm\n", "rabbet"),
        ("dado", SIDES + "part panel from thin\n  grain up\n  across between left_side and right_side\n  back from 100 mm\n  up from 0 to 500 mm\njoint dado panel into left_side deep 6 mm\n", "groove"),
    ],
)
def test_the_word_of_the_trade(word: str, text: str, right_word: str) -> None:
    outcome = sound(text, warnings=("PD402",))
    (warning,) = outcome.diagnostics
    assert f"this {word} is a {right_word}" in warning.message
    assert warning.mend.startswith(f"joint {right_word} ")
    # The joint is made all the same.
    assert len(outcome.model.joints) == 1


def test_right_words_pass() -> None:
    sound(CASE + "joint dado shelf into left_side deep 6 mm\n")
    sound(SIDES + shelf("to 500 mm") + "joint rabbet shelf into left_side deep 6 mm\n")
    panel = "part panel from thin\n  grain up\n  across between left_side and right_side\n  back from 100 mm\n  up from 0 to 500 mm\n"
    sound(SIDES + panel + "joint groove panel into left_side deep 6 mm\n")


def test_the_gap_is_told() -> None:
    text = SIDES + "part short from ply\n  grain across\n  across from 18 mm to 381 mm\n  back from 0 to 200 mm\n  up from 100 mm\njoint dado short into right_side deep 6 mm\n"
    (fault,) = faulty(text)
    assert fault.code == "PD310"
    assert fault.notes[0].text == "between them lie 1 mm in the direction across"


def test_the_overlap_is_told() -> None:
    text = SIDES + "part deep_in from ply\n  grain across\n  across from 12 mm to 382 mm\n  back from 0 to 200 mm\n  up from 100 mm\njoint dado deep_in into left_side deep 6 mm\n"
    (fault,) = faulty(text)
    assert fault.code == "PD311"
    assert "6 mm inside `left_side`" in fault.message


def test_half_of_the_thickness_is_the_limit_of_a_warning() -> None:
    sound(CASE + "joint dado shelf into left_side deep 9 mm\n")
    sound(CASE + "joint dado shelf into left_side deep 9.1 mm\n", warnings=("PD401",))
    (fault,) = faulty(CASE + "joint dado shelf into left_side deep 18 mm\n")
    assert fault.code == "PD321"


def test_thinner_stock_changes_every_figure_that_follows() -> None:
    """The same plan with a sheet of 17 mm: 2 mm more between the sides, channels 1 mm narrower."""
    thick = sound(CASE + "joint dado shelf into left_side, right_side deep 6 mm\n").model
    text = (CASE + "joint dado shelf into left_side, right_side deep 6 mm\n").replace("from ply", "from thinner")
    thin = sound("stock thinner sheet 48\" x 96\"\n  called 17 mm\n" + text).model
    assert thin.part("shelf").length == thick.part("shelf").length + 2
    assert box_of(channel_of(thin, "left_side")).size(2) == 17


def test_a_family_joins_each_of_its_members() -> None:
    text = SIDES + "".join(shelf(f"from {100 * i} mm", f"shelf[{i}]") for i in (1, 2, 3)) + "joint dado shelf into left_side, right_side deep 6 mm\n"
    model = sound(text).model
    assert len(model.joints) == 6
    assert len({p.mark for p in model.parts if p.path.startswith("shelf")}) == 1
    assert len([f for f in model.part("left_side").features if f.kind == "dado"]) == 3


def test_a_panel_with_room_in_its_grooves() -> None:
    """180 deep between two rails of 18; grooves 6 deep, of which the panel takes 5 at both sides."""
    text = """
part rail_1 from ply
  grain  across
  across from 0 to 300 mm
  back   from 0
  up     from 0 to 60 mm
part rail_2 mirrors rail_1 about back 108 mm
part panel from thin
  grain  across
  across from 0 to 300 mm
  back   between rail_1 and rail_2
  up     from 20 mm
joint groove panel into rail_1, rail_2 deep 6 mm clearance 1 mm fit 0.5 mm
"""
    model = sound(text).model
    assert model.part("panel").box.span(1) == (18 - 5, 198 + 5)
    for rail in ("rail_1", "rail_2"):
        (groove,) = [f for f in model.part(rail).features if f.kind == "groove"]
        assert groove.depth == 6 and box_of(groove).size(2) == F("6.5")  # the clearance does not make it wider
    assert {j.clearance for j in model.joints} == {1} and all(j.glued for j in model.joints)
    (fault,) = faulty(text.replace("clearance 1 mm", "clearance 6 mm"))
    assert fault.code == "PD322"
