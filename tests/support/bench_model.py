"""A bench of solid wood: a seat glued up from three boards, battens, an apron, a plywood shelf, trimming allowances."""

from __future__ import annotations

from plandoc.model.entities import Model
from tests.support.resolving import resolved

BENCH = '''plan "Bench"
  allowance long 1/2", wide 1/4"
stock ash lumber 5/4 "White ash"
  dressed  1"
  boards   random 4" to 6" x 6' to 8'
  rack     5" x 30" count 2
  price    6 a board foot
stock oak lumber 4/4 "White oak"
  dressed  3/4"
stock stud batten 2x4 "Spruce"
  price    0.80 a foot
stock ply sheet 48" x 96" "1/2 birch plywood"
  called   1/2"
  faces    good one side
stock tape banding 1/32" x 7/8" "Birch tape"
  price    0.50 a foot
part seat from ash "Seat"
  grain   across
  across  from 0 to 48"
  back    from 0 to 15"
  up      from 17"
  glued   from 3 boards jointing 1/8"
part leg[1] from stud
  across  from 1"
  back    from 1"
  up      from 0 to seat.bottom
  wide    back
part leg[2] mirrors leg[1] about 24"
part apron from oak
  across  between leg[1] and leg[2]
  back    from 2"
  up      from 12" for 4"
part shelf from ply
  grain   across
  across  between leg[1] and leg[2]
  back    from 1" to 13"
  up      from 4"
'''


def bench(more: str = "") -> Model:
    outcome = resolved(BENCH + more)
    assert not outcome.diagnostics, outcome.report
    return outcome.model
