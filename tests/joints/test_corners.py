"""Mitres, box joints and dovetails: figures by hand in mm, and the fit measured on the solids.

The corner: a side 18 thick, 300 high; a top 18 thick from 18 to 300 across, its outer face flush with the side's end;
both 120 wide. Their corner is 18 x 120 x 18 = 38880 mm3.
"""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.geometry.bodies import FACES, Box, Prism, body_box
from plandoc.model.entities import Feature, Model
from tests.support.fitting import NOTHING, fit_of, whole
from tests.support.resolving import CORNER, sizes, sound

ROOM = Box((F(0), F(0), F(282)), (F(18), F(120), F(300)))
FRAME = """part stile from ply
  grain up
  across from 0 to 50 mm
  back from 0
  up from 0 to 300 mm
part rail from ply
  grain across
  across from 50 mm to 250 mm
  back from 0
  up from 0 to 50 mm
"""


def cut_features(model: Model, part: str, kind: str = "") -> list[Feature]:
    return [f for f in model.part(part).features if f.cuts and kind in ("", f.kind)]


def spans(features: list[Feature], axis: int) -> list[tuple[F, F]]:
    return [body_box(f.cuts[0]).span(axis) for f in features]


def places(features: list[Feature], axis: int) -> list[tuple[F, F]]:
    return [(f.lo, f.hi) for one in features for f in one.figures if f.role == "place" and f.axis == axis]


@pytest.mark.parametrize(
    "words",
    ["mitre top into side", "box top into side pins 20 mm", "box top into side pins 20 mm socket", "dovetail top into side tails 3", "dovetail top into side tails 4 tailed slope 6", "dovetail top into side wide 30 mm pins 8 mm", "dovetail top into side tails 3 half_blind lap 5 mm"],
)
def test_both_parts_fill_the_corner_and_share_no_wood(words: str) -> None:
    model = sound(CORNER + f"joint {words}\n").model
    fit = fit_of(model, "top", "side", ROOM)
    assert fit.shared < NOTHING and abs(fit.gap) < NOTHING
    assert whole(model, "top") and whole(model, "side")
    # Each takes a part of the corner.
    assert fit.of_a > 1000 and fit.of_b > 1000
    # The corner stands in no section as if it were a channel.
    assert model.joints[0].cut_depth == 0


@pytest.mark.parametrize(
    ("words", "gap"),
    [
        # Five faces between six pins, 0.2 each, 18 x 18.
        ("box top into side pins 20 mm fit 0.4 mm", 5 * F(2, 10) * 18 * 18),
        # Two flanks of each of three tails, 0.1 each: along the row, so over 18 x 18.
        ("dovetail top into side tails 3 fit 0.2 mm", 6 * F(1, 10) * 18 * 18),
        ("dovetail top into side tails 3 tailed fit 0.2 mm", 6 * F(1, 10) * 18 * 18),
    ],
)
def test_the_gap_is_the_allowance(words: str, gap: F) -> None:
    fit = fit_of(sound(CORNER + f"joint {words}\n").model, "top", "side", ROOM)
    assert fit.shared < NOTHING
    assert fit.gap == pytest.approx(float(gap))


def test_mitre_of_a_case() -> None:
    model = sound(CORNER + "joint mitre top into side\n").model
    assert sizes(model.part("top")) == (300, 120, 18) and sizes(model.part("side")) == (300, 120, 18)
    spans_of = {0: (0, 18), 2: (282, 300)}
    for part, along, through in (("top", 0, 2), ("side", 2, 0)):
        (cut,) = cut_features(model, part)
        assert cut.kind == "case mitre"
        assert [(f.axis, (f.lo, f.hi), f.role) for f in cut.figures] == [(axis, spans_of[axis], "size") for axis in (along, through)]
        assert cut.note.startswith("45°")
    fit = fit_of(model, "top", "side", ROOM)
    assert fit.of_a == pytest.approx(38880 / 2)
    assert set(model.joints[0].ways) == {FACES["right"], FACES["top"]}


def test_mitre_of_a_frame_with_a_spline() -> None:
    model = sound(FRAME + "joint mitre rail into stile spline 3 mm x 20 mm\n").model
    assert sizes(model.part("rail")) == (250, 50, 18)
    mitre, slot = cut_features(model, "rail")
    assert (mitre.kind, slot.kind) == ("frame mitre", "spline slot")
    # 18 thick: the slot stands from 7.5 to 10.5 behind the front.
    assert body_box(slot.cuts[0]).span(1) == (F(15, 2), F(21, 2))
    assert places([slot], 1) == [(0, F(15, 2))]
    (spline,) = model.joints[0].fasteners
    assert (spline.kind, spline.diameter) == ("spline", 3)
    # The diagonal of 50 x 50 is 70.71, cut to the plan's step of 0.1.
    assert spline.length == F(708, 10)
    room = Box((F(0), F(0), F(0)), (F(50), F(18), F(50)))
    fit = fit_of(model, "rail", "stile", room)
    assert fit.shared < NOTHING
    # Slots along the mitre of 70.71, 10 deep in each part and 3 wide; at both ends of the mitre a triangle of 10 x 10 / 2
    # lies outside the corner.
    assert fit.gap == pytest.approx((50 * 2**0.5 * 20 - 2 * 100) * 3, rel=1e-6)


def test_spline_of_a_case_lies_nearer_to_the_inner_corner() -> None:
    model = sound(CORNER + "joint mitre top into side spline 4 mm x 12 mm\n").model
    fit = fit_of(model, "top", "side", ROOM)
    assert fit.shared < NOTHING
    assert fit.gap == pytest.approx(4 * 12 * 120, rel=1e-6)
    assert fit.of_a == pytest.approx(fit.of_b, rel=1e-6)
    # A third of the way from the inner corner (18, 282): 6 outwards in both directions.
    (slot,) = cut_features(model, "top", "spline slot")
    assert slot.centre is not None
    assert [float(v) for v in slot.centre] == pytest.approx([12, 0, 288])
    assert slot.face == FACES["front"] and slot.through
    assert whole(model, "top") and whole(model, "side")


def test_unlike_widths_mitre_from_corner_to_corner() -> None:
    text = FRAME.replace("up from 0 to 50 mm", "up from 0 to 30 mm")
    model = sound(text + "joint mitre rail into stile\n", warnings=("PD481",)).model
    fit = fit_of(model, "rail", "stile", Box((F(0), F(0), F(0)), (F(50), F(18), F(30))))
    assert fit.shared < NOTHING and abs(fit.gap) < NOTHING
    # tan = 50 / 30 at the rail.
    assert cut_features(model, "rail")[0].note.startswith("59.0°")
    assert cut_features(model, "stile")[0].note.startswith("31.0°")


def test_box_joint_pins_alternate_from_the_reference_edge() -> None:
    model = sound(CORNER + "joint box top into side pins 20 mm\n").model
    # The top has the first, third and fifth piece; its sockets are the others.
    assert spans(cut_features(model, "top"), 1) == [(20, 40), (60, 80), (100, 120)]
    assert spans(cut_features(model, "side"), 1) == [(0, 20), (40, 60), (80, 100)]
    assert places(cut_features(model, "top"), 1) == [(0, 20), (0, 60)]
    other = sound(CORNER + "joint box top into side pins 20 mm socket\n").model
    assert spans(cut_features(other, "top"), 1) == [(0, 20), (40, 60), (80, 100)]


def test_odd_last_pin_is_told_and_evened() -> None:
    outcome = sound(CORNER + "joint box top into side pins 16 mm\n", warnings=("PD476",))
    # 7 x 16 = 112, 8 are left.
    assert "the last pin is 8 mm wide, the others 16 mm" in outcome.diagnostics[0].message
    even = sound(CORNER + "joint box top into side pins 16 mm even\n").model
    # 120 / 16 = 7.5, so 8 pins of 15.
    assert spans(cut_features(even, "top"), 1) == [(15, 30), (45, 60), (75, 90), (105, 120)]


def test_dovetail_row_by_hand() -> None:
    """Three tails on 120: pitch 40, pins 10 at the ends of the tails, so tails 30; slope 1 in 8 over 18: 2.25."""
    model = sound(CORNER + "joint dovetail top into side tails 3 slope 8\n").model
    sockets = cut_features(model, "side", "tail socket")
    assert spans(sockets, 1) == [(5, 35), (45, 75), (85, 115)]
    assert places(sockets, 1) == [(0, 5), (0, 45), (0, 85)]
    assert [f.row for f in sockets] == ["dovetail:top>side.tail socket"] * 3
    pins = cut_features(model, "top", "pin socket")
    assert spans(pins, 1) == [(F(131, 4), F(189, 4)), (F(291, 4), F(349, 4))]
    halves = cut_features(model, "top", "half-pin socket")
    assert spans(halves, 1) == [(0, F(29, 4)), (F(451, 4), 120)]
    cut = sockets[0].cuts[0]
    assert isinstance(cut, Prism)
    # Wide (30) at the outer face of the side, narrow (25.5) at its inner face.
    assert set(cut.outline.points) == {(18, F(29, 4)), (18, F(131, 4)), (0, 35), (0, 5)}
    assert "slope 1:8, narrow side 25.5 mm" in sockets[0].note
    assert model.joints[0].ways == (FACES["top"],)
    # The volume of the tails: 3 trapezoids (30 + 25.5) / 2 x 18, 18 thick.
    assert fit_of(model, "top", "side", ROOM).of_a == pytest.approx(3 * 27.75 * 18 * 18)


def test_tails_on_the_second_part_let_the_first_out_backwards() -> None:
    model = sound(CORNER + "joint dovetail top into side tails 3 tailed\n").model
    assert model.joints[0].ways == (FACES["right"],)
    assert len(cut_features(model, "top", "tail socket")) == 3
    assert len(cut_features(model, "side", "pin socket")) == 2


def test_half_blind_tails_stop_before_the_outer_face() -> None:
    model = sound(CORNER + "joint dovetail top into side tails 3 half_blind lap 5 mm\n").model
    assert sizes(model.part("top")) == (282 + 13, 120, 18)
    for socket in cut_features(model, "side", "tail socket"):
        assert body_box(socket.cuts[0]).span(0) == (5, 18)
        assert (socket.face, socket.depth) == (FACES["right"], 13)
    # In that face the sockets are narrow, pitch 40 less 10 less twice 13 / 8: the figures are those of the edges drawn there.
    first, *_ = cut_features(model, "side", "tail socket")
    row, base = 1, {p[1] for p in first.cuts[0].outline.points if p[0] == 18}
    assert {(g.lo, g.hi) for g in first.figures if g.axis == row and g.role == "size"} == {(min(base), max(base))}
    assert max(base) - min(base) == 30 - F(13, 4)
    assert {g.hi for g in first.figures if g.role == "place"} == {5 + F(13, 8)}
    assert first.note == "slope 1:8, 30 mm wide at the lap"


def test_softwood_slopes_more() -> None:
    pine = 'stock pine lumber 4/4 "Pine"\n  dressed 18 mm\n' + CORNER.replace("from ply", "from pine")
    (first, *_) = cut_features(sound(pine + "joint dovetail top into side tails 3\n").model, "side", "tail socket")
    assert first.note.startswith("slope 1:6")


@pytest.mark.parametrize("kind", ["mitre", "box", "dovetail"])
def test_turned_mirrored_and_mirrored_parts_fit(kind: str) -> None:
    more = {"mitre": "", "box": " pins 20 mm", "dovetail": " tails 3"}[kind]
    lines = CORNER + "part other_side mirrors side about 159 mm\n" + f"joint {kind} top into side, other_side{more}\n"
    inside = "".join(f"  {line}\n" for line in lines.splitlines()).replace("18 mm to 300 mm", "18 mm to 300 mm")
    text = f"assembly case\n{inside}place case\nplace case as twin\n  turned 90° about up\n  mirrored up\n  at across 900 mm\n"
    model = sound(text).model
    for name in ("case", "twin"):
        for side in ("side", "other_side"):
            top, stand = model.part(f"{name}.top"), model.part(f"{name}.{side}")
            room = top.box.common(stand.box)
            assert room is not None and room.volume == 38880
            fit = fit_of(model, top.path, stand.path, room)
            assert fit.shared < NOTHING and abs(fit.gap) < NOTHING
    assert model.part("case.top").box.size(0) == 318


def test_wider_second_part_is_cut_only_at_the_corner() -> None:
    """The side reaches 30 further back; there its end stays whole."""
    text = CORNER.replace("across from 0\n  back from 0 to 120 mm", "across from 0\n  back from 0 to 150 mm")
    for words in ("box top into side pins 20 mm", "dovetail top into side tails 3"):
        model = sound(text + f"joint {words}\n").model
        fit = fit_of(model, "top", "side", ROOM)
        assert fit.shared < NOTHING and abs(fit.gap) < NOTHING
        beyond = Box((F(0), F(120), F(282)), (F(18), F(150), F(300)))
        assert fit_of(model, "top", "side", beyond).of_b == pytest.approx(18 * 30 * 18)


@pytest.mark.parametrize(("name", "slope"), [("Eastern white pine", "1:6"), ("Douglas-fir", "1:6"), ("First choice oak", "1:8"), ("Pineapple wood", "1:8")])
def test_softwood_is_known_by_whole_words(name: str, slope: str) -> None:
    wood = f'stock board lumber 4/4 "{name}"\n  dressed 18 mm\n' + CORNER.replace("from ply", "from board")
    (first, *_) = cut_features(sound(wood + "joint dovetail top into side tails 3\n").model, "side", "tail socket")
    assert first.note.startswith(f"slope {slope}")
