"""The checks on cuts with slopes and arcs, whose box says too much."""

from __future__ import annotations

from plandoc.build.solids import solids
from plandoc.checks.registry import run_checks
from plandoc.diagnostics import Sink
from tests.shapes.test_work import BOARD
from tests.support.resolving import sound


def codes(lines: str) -> list[str]:
    below = "".join(f"  {line}\n" for line in lines.split("\n"))
    model = sound(BOARD + below).model
    sink = Sink()
    run_checks(model, solids(model), sink)
    return [d.code for d in sink.finish()]


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
