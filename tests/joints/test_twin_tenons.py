"""Twin tenons, in the width and in the thickness of the rail: figures by hand in mm, with the parts of test_tenons."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from plandoc.build.solids import part_solid
from plandoc.geometry.bodies import Box
from plandoc.model.entities import Feature, Model, Part
from plandoc.sheets.partnotes import work_lines
from plandoc.shopwork.hardwarelist import hardware_list
from plandoc.shopwork.wording import Work, work_words
from tests.joints.test_tenons import PEG, POST, RAIL, box, figures, made, room
from tests.support.fitting import gap
from tests.support.resolving import faulty, resolved, sound


def of(part: Part, kind: str) -> list[Feature]:
    return [f for f in part.features if f.kind == kind]


def rooms(model: Model, part: str, kind: str) -> list[Box]:
    return [room(f) for f in of(model.part(part), kind)]


def test_two_tenons_in_the_width() -> None:
    model = made("deep 30 mm twin 18 mm")
    # 6 of shoulder all round leave 58; 18 between two tenons of 20.
    wanted = [box(15, 16, 106, 45, 22, 126), box(15, 16, 144, 45, 22, 164)]
    assert rooms(model, "rail", "tenon") == wanted and rooms(model, "post", "mortise") == wanted
    assert model.part("rail").length == 330
    first, second = of(model.part("rail"), "tenon")
    assert figures(first) == [(0, 15, 45, "place"), (1, 10, 16, "place"), (1, 16, 22, "size"), (2, 100, 106, "place"), (2, 106, 126, "size")]
    assert [f for f in figures(second) if f[0] == 2] == [(2, 100, 144, "place"), (2, 144, 164, "size")]
    # Those of the post count from its own lower end.
    assert [[f for f in figures(m) if f[0] == 2] for m in of(model.part("post"), "mortise")] == [[(2, 0, 106, "place"), (2, 106, 126, "size")], [(2, 0, 144, "place"), (2, 144, 164, "size")]]
    assert part_solid(model.part("post")).volume == pytest.approx(45 * 45 * 400 - 2 * 30 * 6 * 20)


def test_sized_is_each_of_them() -> None:
    assert [r.span(2) for r in rooms(made("through sized 6 mm x 20 mm twin 20 mm"), "post", "mortise")] == [(105, 125), (145, 165)]


@pytest.mark.parametrize(
    ("words", "thick", "wide", "deep", "fit", "clearance"),
    [
        ("deep 30 mm twin 18 mm fit 0.4 mm clearance 2 mm", 6, 20, 30, F(2, 5), 2),
        ("through twin 18 mm fit 0.4 mm", 6, 20, 45, F(2, 5), 0),
        ("through abreast 6 mm fit 0.4 mm", 3, 64, 45, F(2, 5), 0),
    ],
)
def test_air_round_each_of_them(words: str, thick: int, wide: int, deep: int, fit: F, clearance: int) -> None:
    model = made(words)
    by_hand = 2 * ((thick + fit) * (wide + fit) * (deep + clearance) - thick * wide * deep)
    assert gap(model, model.joints[0]) == pytest.approx(float(by_hand), abs=1e-3)


def test_fit_lies_away_from_the_reference_faces_at_both() -> None:
    model = made("deep 30 mm twin 18 mm fit 0.4 mm")
    assert [r.span(2) for r in rooms(model, "post", "mortise")] == [(106, F(1264, 10)), (144, F(1644, 10))]
    assert [r.span(1) for r in rooms(model, "post", "mortise")] == [(16, F(224, 10))] * 2


def test_two_tenons_in_the_thickness() -> None:
    model = made("deep 30 mm abreast 6 mm")
    # 18 less 6 in four: tenons of 3, shoulders of 3 on the faces and the edges.
    assert rooms(model, "rail", "tenon") == [box(15, 13, 103, 45, 16, 167), box(15, 22, 103, 45, 25, 167)]
    assert [r.span(1) for r in rooms(made("deep 30 mm abreast 6 mm sized 4 mm"), "rail", "tenon")] == [(12, 16), (22, 26)]


def test_each_of_two_tenons_has_its_key_and_its_pegs() -> None:
    model = made("through proud 30 mm twin 18 mm keyed 6 mm x 12 mm")
    keys = rooms(model, "rail", "key mortise")
    assert [k.span(2) for k in keys] == [(113, 119), (151, 157)]
    assert len(model.joints[0].fasteners[0].centres) == 2
    pegged = made("deep 30 mm twin 18 mm pegged peg", extra=PEG)
    assert [c[2] for c in pegged.joints[0].fasteners[0].centres] == [116, 154]
    assert [(r.item, r.quantity) for r in hardware_list(pegged)] == [("peg", 2)]


def test_a_haunch_stands_beside_the_outer_of_the_two() -> None:
    model = made("deep 30 mm twin 18 mm haunched 10 mm x 8 mm")
    (haunch,) = rooms(model, "rail", "haunch")
    assert haunch.span(2) == (100, 110) and [r.span(2) for r in rooms(model, "rail", "tenon")] == [(110, 128), (146, 164)]


def test_a_wide_rail_is_divided_when_its_tenon_is_told_to_be_too_wide() -> None:
    """A tenon 6 thick and 118 wide is wider than five times its thickness and than 4 in.; two with 40 between are not."""
    text = POST + RAIL.replace("170 mm", "230 mm")
    outcome = sound(text + "joint tenon rail into post deep 30 mm\n", warnings=("PD412",))
    assert "twin 39.3 mm" in outcome.diagnostics[0].mend
    sound(text + "joint tenon rail into post deep 30 mm twin 39.3 mm\n")


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ("deep 30 mm twin 58 mm", "PD370"),
        ("deep 30 mm twin 0", "PD370"),
        ("deep 30 mm twin 0.2 mm fit 0.4 mm", "PD370"),
        ("deep 30 mm abreast 20 mm", "PD370"),
        ("deep 30 mm twin 10 mm abreast 4 mm", "PD371"),
        ("deep 30 mm abreast 4 mm mitred rear", "PD371"),
    ],
)
def test_what_cannot_be_two_tenons(words: str, code: str) -> None:
    (fault,) = faulty(POST + RAIL + f"joint tenon rail into post {words}\n")
    assert fault.code == code


def test_a_loose_tenon_is_one() -> None:
    (fault,) = faulty(POST + RAIL + "hardware strip slip 6 mm x 30 mm x 50 mm\njoint tenon rail into post loose strip twin 10 mm\n")
    assert (fault.code, fault.message) == ("PD371", "a loose tenon cannot be twin")


def test_mirrored_twins_are_figured_alike() -> None:
    inside = "".join(f"  {line}\n" for line in RAIL.splitlines())
    post = POST.split("part post")[0], "part post" + POST.split("part post")[1]
    body = "".join(f"  {line}\n" for line in post[1].splitlines()) + inside + "  joint tenon rail into post deep 30 mm twin 18 mm fit 0.4 mm\n"
    outcome = resolved('plan "Mirror"\n  units mm to 0.1\n' + post[0] + f"assembly frame\n{body}place frame as one\nplace frame as two\n  mirrored up\n  at across 900 mm\n")
    assert not outcome.diagnostics, outcome.report
    sizes = [sorted((f.axis, f.hi - f.lo, f.role) for m in of(outcome.model.part(f"{name}.post"), "mortise") for f in m.figures) for name in ("one", "two")]
    assert sizes[0] == sizes[1]


def test_note_and_procedure_tell_the_two_apart() -> None:
    model = made("deep 30 mm twin 18 mm")
    rail = model.part("rail")
    assert [line for line in work_lines(model, rail, model.info.units) if line[0].startswith("ENTERS")] == [("ENTERS POST (A) 30", "300 BETWEEN SHOULDERS")]
    first, second = of(rail, "tenon")
    assert [work_words("tenon", Work(model, rail, (one,), model.joints[0]))[1] for one in (first, second)] == [
        "on the left end, near edge 6 mm from the bottom edge", "on the left end, near edge 44 mm from the bottom edge",
    ]  # fmt: skip
