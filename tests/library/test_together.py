"""A cabinet of the library's assemblies alone."""

from __future__ import annotations

from fractions import Fraction

from tests.support.library_plans import MM_HEAD, compiled, part, size

NAMES = ("drawer", "sliding_tray", "toe_base", "adjustable_shelves")
CABINET = (
    MM_HEAD
    + "".join(f'include "library/{name}.plan"\n' for name in NAMES)
    + """
set opening = 120 mm
part left_side from birch
  grain up
  across from 0
  back from 0 to 500 mm
  up from 0 to 900 mm
part right_side mirrors left_side about 300 mm
part floor from birch
  grain across
  across between left_side and right_side
  back from 0 to 500 mm
  up from 0
joint rabbet floor into left_side, right_side deep 6 mm
for i from 1 to 2
  place drawer as drawer[i]
    left_case = left_side
    right_case = right_side
    runner = slide_450
    stock = ply
    bottom_stock = thin
    front_stock = birch
    front_screw = screw_no6_25
    handle = pull_128
    opening_high = opening
    overlay = 16 mm
    over_top = if i == 2 then 16 mm else -1.5 mm
    over_bottom = if i == 1 then 16 mm else -1.5 mm
    corners = if i == 1 then dovetailed else half_blind
    at up floor.top + (i - 1) * opening
place sliding_tray
  left_case = left_side
  right_case = right_side
  stock = birch
  deep = 480 mm
  at up floor.top + 3 * opening
place adjustable_shelves
  left_case = left_side
  right_case = right_side
  stock = birch
  pin = shelf_pin_5
  deep = 450 mm
  first = 500 mm
  holes = 10
  on = [4]
place toe_base
  stock = birch
  wide = 600 mm
  deep = 500 mm
  fastener = screw_no8_50
  high = 80 mm
  at up -80 mm
"""
)


def test_all_of_them_in_one_cabinet() -> None:
    """564 between the sides; two drawers of which the fronts share the room between them, one 3 mm gap."""
    cabinet = compiled(CABINET)
    for i in (1, 2):
        # 564 - 2 x 12.7 = 538.6, down to half a millimetre; the front covers 16 of both sides, and in height 16 at one end and -1.5 at the other.
        assert size(cabinet, f"drawer[{i}].body.box.box_front")[0] == Fraction("538.5")
        assert size(cabinet, f"drawer[{i}].body.front") == (596, Fraction("134.5"))
    low, high = part(cabinet, "drawer[1].body.front"), part(cabinet, "drawer[2].body.front")
    assert high.box.lo[2] - low.box.hi[2] == 3
    assert low.box.lo[2] == 18 - 16
    assert size(cabinet, "sliding_tray.body.board") == (564 + 2 * 5, 480)
    assert size(cabinet, "shelf[1]") == (561, 450)
    assert part(cabinet, "front_rail").box.hi[2] == 0
    assert [m.target for m in cabinet.model.motions] == ["drawer[1].body", "drawer[2].body", "sliding_tray.body"]
