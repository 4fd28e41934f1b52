"""The checks on cuts with slopes and arcs, whose box says too much."""

from __future__ import annotations

import pytest

from plandoc.build.solids import solids
from plandoc.checks.registry import run_checks
from plandoc.diagnostics import Diagnostic, Sink
from tests.shapes.test_work import BOARD
from tests.support.resolving import sound


def told(lines: str, part: str = BOARD) -> tuple[Diagnostic, ...]:
    below = "".join(f"  {line}\n" for line in lines.split("\n"))
    model = sound(part + below).model
    sink = Sink()
    run_checks(model, solids(model), sink)
    return sink.finish()


def codes(lines: str) -> list[str]:
    return [d.code for d in told(lines)]


def test_sound_shapes_are_sound() -> None:
    assert codes("round 30 mm on top corners\nchamfer 3 mm on top at front\narch at rear rise 20 mm span 100 mm") == []
    assert codes("mitre 30° at right point rear\nbevel 15° at left point top\ncompound 20° x 5° at front point left, top") == []
    assert codes("hole 5 mm through on top at centre countersunk 10 mm\nslot 9 mm x 40 mm deep 6 mm on top lies back at 50 mm, 60 mm") == []
    assert codes("pocket round 60 mm deep 5 mm on top at centre\n  step round 30 mm core 10 mm deep 12 mm") == []


def test_a_hole_where_the_outline_has_taken_the_wood() -> None:
    """It lies within the box of the corner that goes off: beyond the arc it takes nothing, within the arc it does."""
    assert codes("round 100 mm on top corner front, left\nhole 5 mm through on top at 10 mm, 10 mm") == ["PD345"]
    assert codes("round 100 mm on top corner front, left\nhole 5 mm through on top at 50 mm, 50 mm") == []
    assert codes("chamfer 100 mm on top corner front, left\nhole 5 mm through on top at 20 mm, 20 mm") == ["PD345"]
    assert codes("chamfer 100 mm on top corner front, left\nhole 5 mm through on top at 60 mm, 60 mm") == []


def test_a_rounded_pocket_within_a_pocket() -> None:
    first = "pocket 80 mm x 60 mm radius 20 mm deep 9 mm on top at centre\n"
    assert codes(first + "pocket 60 mm x 40 mm radius 10 mm deep 5 mm on top at centre") == ["PD345"]
    assert codes(first + "pocket 60 mm x 40 mm radius 10 mm deep 12 mm on top at centre") == []
    # its box lies within the other's, its square corners do not
    assert codes(first + "pocket 80 mm x 60 mm deep 5 mm on top at centre") == []


def test_beyond_a_compound_cut() -> None:
    cut = "compound 45° x 5° at right point rear, top\n"
    assert codes(cut + "hole 5 mm through on top at 10 mm, 10 mm from right") == ["PD345"]
    assert codes(cut + "hole 5 mm through on top at 10 mm, 190 mm from right") == []


def test_a_free_outline_that_leaves_two_pieces() -> None:
    cutout = "cutout on top\n  start 100 mm, 0\n  line to 140 mm, 0\n  line to 180 mm, 200 mm\n  line to 140 mm, 200 mm"
    assert codes(cutout) == ["PD342"]


def test_an_edge_that_is_gone_cannot_be_rounded() -> None:
    taper = "taper on front at right to 150 mm long 100 mm\n"
    assert codes(taper + "round 3 mm on right at top, rear") == []
    assert codes(taper + "round 3 mm on right at front") == ["PD345"]
    assert codes(taper + "round 3 mm on right") == ["PD345"]


ARC_OUTLINE = "outline on top\n  start 0, 0\n  line to 300 mm, 0\n  line to 300 mm, 100 mm\n  arc to 200 mm, 200 mm radius 100 mm turning left\n  line to 0, 200 mm"


@pytest.mark.parametrize(
    ("other", "line", "gone"),
    [
        ("arch at front rise 20 mm span 120 mm", "the arch", "takes about 120 mm of the edge between front and top"),
        ("arch at front rise 20 mm span 120 mm offset 10 mm", "the arch", "takes about 120 mm of the edge between front and top"),
        (ARC_OUTLINE, "the outline", "takes about 100 mm of the edge between right and top"),
        ("taper on front at right to 150 mm long 100 mm", "the slope", "takes about 100 mm of the edge between front and top"),
    ],
)
def test_a_round_keeps_to_the_straight_edge(other: str, line: str, gone: str) -> None:
    for work, named in (("round 4 mm on top", "round-over"), ("chamfer 4 mm on top", "chamfer")):
        (found,) = told(f"{other}\n{work}")
        assert found.code == "PD348" and found.message == f"the {named} of board keeps to the straight edge, it does not follow {line}"
        assert found.mend.endswith(f"note {'R 4 mm' if named == 'round-over' else '4 mm × 45°'} along {line}")
        assert gone in found.notes[0].text


def test_a_bowed_edge_is_not_rounded_along_the_bow() -> None:
    """Its middle touches the straight edge, so not all of the round is gone."""
    assert codes("arch at front rise 2 mm bowed\nround 4 mm on top at front") == ["PD348"]
    assert codes("arch at front rise 20 mm bowed\nround 4 mm on top at rear, left") == []
    assert codes("arch at left rise 20 mm bowed\nround 4 mm on top at front, rear, right") == []


def test_edges_that_stay_whole_are_rounded_in_silence() -> None:
    arch = "arch at front rise 20 mm\n"
    assert codes(arch + "round 4 mm on top at rear, left, right") == []
    assert codes(arch + "round 4 mm on rear") == []
    assert codes("taper on front at right to 150 mm long 100 mm\nround 4 mm on top at rear") == []
    assert codes("round 30 mm on top corners\nround 4 mm on top") == []
    assert codes("notch 20 mm x 20 mm at front, right\nround 4 mm on top") == []


ROD = "stock rod dowel 20 mm\npart pin from rod\n  grain up\n  across from 0\n  back from 0\n  up from 0 to 200 mm\n"


def test_a_hole_across_a_rod_is_in_whole_wood() -> None:
    assert told("hole 4 mm through on front at centre, 100 mm", ROD) == ()
    assert told("hole 4 mm deep 12 mm on left at centre, 60 mm", ROD) == ()
    # along the rod, beyond its circle
    (found,) = told("hole 4 mm deep 12 mm on top at 4 mm, 4 mm", ROD)
    assert found.code == "PD361"
