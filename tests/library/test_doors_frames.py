"""Doors, face frames, leg frames and boxes of the library: every size by hand, in inches and millimetres, turned and mirrored."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from plandoc.build.solids import part_solid
from plandoc.model.entities import Step
from plandoc.pipeline import Checked
from plandoc.quantity import INCH
from plandoc.resources import library_folder
from plandoc.shopwork.procedure import procedure
from tests.support.library_plans import INCH_HEAD, MM_HEAD, WAYS, compiled, inch, inch_size, part, size
from tests.support.resolving import resolved

PAGE = (library_folder() / "README.md").read_text(encoding="utf-8")
EXAMPLES = dict(re.findall(r"```plan (\w+)\n(.*?)```", PAGE, re.DOTALL))
FILES = ("panel_door", "slab_door", "face_frame", "leg_frame", "lidded_box")
INCH_WOOD = """stock maple lumber 4/4 "Maple"
  dressed 3/4"
stock thick lumber 8/4 "Maple"
  dressed 1 3/4"
stock half lumber 4/4 "Cherry"
  dressed 1/2"
stock tape banding 1/32" x 7/8" "Birch edge banding"
"""
MM_WOOD = """stock maple lumber 27 mm "Maple"
  dressed 20 mm
stock thick lumber 52 mm "Maple"
  dressed 45 mm
stock half lumber 20 mm "Cherry"
  dressed 12 mm
stock tape banding 1 mm x 22 mm "Birch edge banding"
"""


def placed(head: str, name: str, way: str = "", **values: str) -> Checked:
    """The assembly in a plan of its own, without errors and without warnings."""
    lines = [f"include \"library/{name}.plan\"", f"place {name}", *(f"  {key} = {value}" for key, value in values.items()), *([f"  {way}"] if way else [])]
    return compiled(head + (INCH_WOOD if head is INCH_HEAD else MM_WOOD) + "\n".join(lines) + "\n")


def in_inches(name: str, way: str = "", **values: str) -> Checked:
    return placed(INCH_HEAD, name, way, **values)


def in_mm(name: str, way: str = "", **values: str) -> Checked:
    return placed(MM_HEAD, name, way, **values)


def fasteners(checked: Checked) -> int:
    return sum(len(f.centres) for j in checked.model.joints for f in j.fasteners)


def volume(checked: Checked, tail: str) -> float:
    return part_solid(part(checked, tail)).volume


DOOR = {"stock": "maple", "panel_stock": "thin"}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(("joints", "deep"), [("stub", "3/8"), ("tenoned", "1 1/4")])
def test_panel_door_in_inches(joints: str, deep: str, way: str) -> None:
    door = in_inches("panel_door", way, **DOOR, wide='16"', high='24"', joints=joints, bottom_wide='3"')
    # 16 - 2 x 2 1/4 = 11 1/2 inside; grooves 3/8: + 3/4; less 1/16. Upwards 24 - 3 - 2 1/4 = 18 3/4 + 3/4 - 1/16.
    assert inch_size(door, "panel") == (inch("19 7/16"), inch("12 3/16"))
    assert inch_size(door, "rail[1]") == (inch("11 1/2") + 2 * inch(deep), 3)
    assert inch_size(door, "rail[2]") == (inch("11 1/2") + 2 * inch(deep), inch("2 1/4"))
    assert inch_size(door, "stile[1]") == inch_size(door, "stile[2]") == (24, inch("2 1/4"))
    (motion,) = door.model.motions
    assert motion.target == "panel_door.leaf" and abs(motion.swing) == 95


@pytest.mark.parametrize("way", WAYS)
def test_panel_door_in_millimetres(way: str) -> None:
    door = in_mm("panel_door", way, **DOOR, wide="400 mm", high="600 mm", stile_wide="60 mm", groove="10 mm", play="2 mm", tenon="35 mm", joints="tenoned", hung="at_right")
    # 400 - 120 + 20 - 2; 600 - 120 + 20 - 2; 280 + 2 x 35.
    assert size(door, "panel") == (498, 298)
    assert size(door, "rail[1]") == size(door, "rail[2]") == (350, 60)


def test_the_stile_has_one_groove_for_panel_and_stub_tenons() -> None:
    door = in_mm("panel_door", **DOOR, wide="400 mm", high="600 mm", stile_wide="60 mm", groove="10 mm")
    assert [f.kind for f in part(door, "stile[1]").features] == ["groove"]
    assert volume(door, "stile[1]") == pytest.approx(600 * (60 * 20 - 10 * 6))
    # A stub tenon is as thick as the groove and as wide as its rail, in which the groove for the panel runs through to its tip.
    assert volume(door, "rail[1]") == pytest.approx(280 * (60 * 20 - 10 * 6) + 2 * 10 * 6 * 50, abs=1)


def test_a_shared_groove_that_is_not_there_is_found() -> None:
    text = MM_HEAD + MM_WOOD + (
        "part post from maple\n  grain up\n  across from 0 for 60 mm\n  back from 0\n  up from 0 to 600 mm\n"
        "part rail from maple\n  grain across\n  across from post.right for 280 mm\n  back from 0\n  up from 100 mm for 60 mm\n"
        "joint tongue rail into post deep 10 mm sized 6 mm shared\n"
    )  # fmt: skip
    with pytest.raises(AssertionError, match="PD340"):
        compiled(text)


def test_the_swinging_edge_of_the_door() -> None:
    left = in_mm("panel_door", **DOOR, wide="400 mm", high="600 mm").model.motions[0]
    right = in_mm("panel_door", **DOOR, wide="400 mm", high="600 mm", hung="at_right").model.motions[0]
    assert left.pivot is not None and right.pivot is not None
    assert (left.pivot[0], right.pivot[0]) == (0, 400)
    assert not in_mm("panel_door", **DOOR, wide="400 mm", high="600 mm", hung='"none"').model.motions


@pytest.mark.parametrize("way", WAYS)
def test_slab_door(way: str) -> None:
    door = in_inches("slab_door", way, stock="birch", wide='16"', high='24"', banding="tape", handle="pull_3_in", hung="at_right")
    assert inch_size(door, "slab") == (24, 16)
    assert len([f for f in part(door, "slab").features if f.kind == "edge band"]) == 4
    plain = in_mm("slab_door", way, stock="birch", wide="400 mm", high="600 mm", handle="knob_m4")
    assert size(plain, "slab") == (600, 400)


def test_the_handle_of_a_slab_door() -> None:
    door = in_inches("slab_door", stock="birch", wide='16"', high='24"', handle="pull_3_in", hung="at_right")
    # 3 in between the bores, one above the other: 2 in from the left edge, 12 in up.
    (fitting,) = door.model.fittings
    assert {(p[0] / INCH, p[2] / INCH) for p in fitting.points} == {(2, Fraction(21, 2)), (2, Fraction(27, 2))}


CASED = """part left_side from birch
  grain up
  across from 0
  back from 0 to 300 mm
  up from 0 to 604 mm
include "library/{name}.plan"
place {name}
  wide = 400 mm
  high = 600 mm
  hinge = hinge_inset
  post = left_side
  at across left_side.right + 2 mm, up 2 mm
{more}"""


@pytest.mark.parametrize(("name", "more"), [("slab_door", "  stock = birch\n"), ("panel_door", "  stock = maple\n  panel_stock = thin\n  stile_wide = 60 mm\n")])
def test_hinges_of_a_door_on_a_case_side(name: str, more: str) -> None:
    door = compiled(MM_HEAD + MM_WOOD + CASED.format(name=name, more=more))
    (fitting,) = door.model.fittings
    assert fitting.item == "hinge_inset" and fitting.quantity == 2


FRAME = {"stock": "maple", "columns": "2"}
JOINTS = [("pocketed", "screw_no8_1_1_4_in", "screw_no8_30"), ("dowelled", "dowel_3_8_1_1_2_in", "dowel_8_40"), ("tenoned", '"none"', '"none"')]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(("joints", "item", "metric"), JOINTS)
def test_face_frame(joints: str, item: str, metric: str, way: str) -> None:
    frame = in_inches("face_frame", way, **FRAME, wide='36"', openings='[6", 8", 10"]', joints=joints, fastener=item)
    tenons = inch("1 1/2") if joints == "tenoned" else 0
    # 1 1/2 + 6 + 1 1/2 + 8 + 1 1/2 + 10 + 1 1/2; 36 - 3; (33 - 1 1/2) / 2; 30 - 3.
    assert inch_size(frame, "stile[1]") == inch_size(frame, "stile[2]") == (30, inch("1 1/2"))
    assert inch_size(frame, "top_rail") == inch_size(frame, "bottom_rail") == (33 + tenons, inch("1 1/2"))
    assert {inch_size(frame, f"mid[{i}]") for i in (1, 2, 3, 4)} == {(inch("15 3/4") + tenons, inch("1 1/2"))}
    assert inch_size(frame, "inner[1]") == (27 + tenons, inch("1 1/2"))
    # Two rails, four rails between openings, one stile between columns: seven parts with two ends, two screws or dowels at each.
    assert fasteners(frame) == (0 if joints == "tenoned" else 28)
    one = in_mm("face_frame", way, stock="maple", wide="900 mm", openings="[200 mm]", stile_wide="40 mm", bottom_wide="50 mm", top_wide="40 mm", joints=joints, fastener=metric, tenon="20 mm")
    assert size(one, "stile[1]") == (290, 40)
    assert size(one, "top_rail") == (820 + (40 if joints == "tenoned" else 0), 40)


LEGS = {"leg_stock": "thick", "apron_stock": "maple"}


@pytest.mark.parametrize("way", WAYS)
def test_leg_frame(way: str) -> None:
    frame = in_inches("leg_frame", way, **LEGS, wide='30"', deep='18"', high='28"')
    # Tenons: 1 3/4 - 1/8 - (3/4 + 1/4) / 2 - 1/8 = 1. Aprons 30 - 3 1/2 + 2, 18 - 3 1/2 + 2.
    assert inch_size(frame, "apron[1]") == inch_size(frame, "apron[2]") == (inch("28 1/2"), 4)
    assert inch_size(frame, "apron[3]") == inch_size(frame, "apron[4]") == (inch("16 1/2"), 4)
    assert {inch_size(frame, f"leg[{i}]") for i in (1, 2, 3, 4)} == {(28, inch("1 3/4"))}
    metric = in_mm("leg_frame", way, **LEGS, wide="800 mm", deep="500 mm", high="700 mm", apron_high="100 mm", set_back="5 mm", tenon="22 mm", taper_to="25 mm", taper_from="120 mm")
    # 800 - 90 + 44, 500 - 90 + 44.
    assert size(metric, "apron[1]") == (754, 100)
    assert size(metric, "apron[3]") == (454, 100)


def test_the_two_inner_faces_of_a_leg_are_tapered() -> None:
    sizes = {"wide": "800 mm", "deep": "500 mm", "high": "700 mm"}
    straight, tapered = (in_mm("leg_frame", **LEGS, **sizes, **more) for more in ({}, {"taper_to": "25 mm", "taper_from": "120 mm"}))
    # A frustum from 45 to 25 square over 580 mm: 580 / 3 x (45² + 45 x 25 + 25²).
    gone = 580 * 45**2 - 580 / 3 * (45**2 + 45 * 25 + 25**2)
    for i in (1, 2, 3, 4):
        assert volume(straight, f"leg[{i}]") - volume(tapered, f"leg[{i}]") == pytest.approx(gone)


BOX = {"stock": "half", "bottom_stock": "thin"}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("lid", ["none", "loose", "hinged"])
@pytest.mark.parametrize("corners", ["boxed", "dovetailed", "mitred"])
def test_lidded_box(corners: str, lid: str, way: str) -> None:
    hinge = {"hinge": "butt_1_1_2_in"} if lid == "hinged" else {}
    box = in_inches("lidded_box", way, **BOX, wide='12"', deep='8"', high='4"', corners=corners, lid='"none"' if lid == "none" else lid, **hinge)
    # 12 - 1 = 11; grooves: a third of 1/2 down to 5/32: + 5/16, less 1/16. 8 - 1 + 5/16 - 1/16.
    assert inch_size(box, "box_bottom") == (inch("11 1/4"), inch("7 1/4"))
    assert inch_size(box, "box_front") == inch_size(box, "box_back") == (12, 4)
    assert inch_size(box, "box_left") == inch_size(box, "box_right") == (8, 4)
    if lid != "none":
        assert inch_size(box, "box_lid") == (12, 8)
    if lid == "loose":
        # 12 - 1 - 1/8, 8 - 1 - 1/8.
        assert inch_size(box, "box_rim") == (inch("10 7/8"), inch("6 7/8"))
    assert len(box.model.motions) == (lid != "none")


@pytest.mark.parametrize("corners", ["boxed", "dovetailed", "mitred"])
def test_lidded_box_in_millimetres(corners: str) -> None:
    box = in_mm("lidded_box", **BOX, wide="300 mm", deep="200 mm", high="100 mm", play="2 mm", corners=corners, lid="hinged", overhang="10 mm", hinge="butt_40")
    # 300 - 24 + 2 x 4 - 2; 200 - 24 + 8 - 2. Lid 300 + 20, 200 + 10.
    assert size(box, "box_bottom") == (282, 182)
    assert size(box, "box_lid") == (320, 210)


WORDS = [
    ("lidded_box", BOX | {"wide": '12"', "deep": '8"', "high": '4"'}, "corners", "dovetaild", "dovetailed"),
    ("lidded_box", BOX | {"wide": '12"', "deep": '8"', "high": '4"'}, "lid", "losse", "loose"),
    ("face_frame", {"stock": "maple", "wide": '30"', "openings": '[6"]', "fastener": "dowel_3_8_1_1_2_in"}, "joints", "dowl", "dowelled"),
    ("panel_door", DOOR | {"wide": '16"', "high": '24"'}, "joints", "tennoned", "tenoned"),
    ("panel_door", DOOR | {"wide": '16"', "high": '24"'}, "hung", "at_lft", "at_left"),
    ("slab_door", {"stock": "birch", "wide": '16"', "high": '24"'}, "hung", "at_lft", "at_left"),
]


@pytest.mark.parametrize(("name", "values", "word", "wrong", "right"), WORDS)
def test_a_misspelt_word_is_told_and_a_right_one_may_stand_in_quotes(name: str, values: dict[str, str], word: str, wrong: str, right: str) -> None:
    def codes(value: str) -> list[tuple[str, str, str]]:
        lines = [f'include "library/{name}.plan"', f"place {name}", *(f"  {key} = {given}" for key, given in values.items()), f"  {word} = {value}"]
        return [(d.code, d.message, d.mend) for d in resolved(INCH_HEAD + INCH_WOOD + "\n".join(lines) + "\n").diagnostics]

    ((code, message, mend),) = codes(wrong)
    assert code == "PD201" and f"`{wrong}`" in message
    assert right in mend or name == "face_frame"
    # A text is not known to be a word: the last branch says which words there are.
    told = codes(f'"{wrong}"')
    assert told and {code for code, _, _ in told} == {"PD201"}
    assert all(f"`{word}_is_" in message and right in message for _, message, _ in told)
    quoted = {"at_left": "left", "dowelled": "dowel"}.get(right, right)
    assert codes(f'"{quoted}"') == codes(right) == []


def steps(checked: Checked, name: str) -> Step:
    """The only step whose title begins so."""
    (found,) = [step for step in procedure(checked.model) if step.title.startswith(name)]
    return found


def test_a_solid_panel_gets_no_glue_and_the_frame_is_checked_by_its_diagonals() -> None:
    """Solid wood must be free to move in its grooves; a panel of sheet stock may be glued in."""
    size = {"wide": "300 mm", "high": "400 mm", "stile_wide": "60 mm"}
    step = steps(in_mm("panel_door", **(DOOR | {"panel_stock": "half"}), **size, play="6 mm"), "Glue up")
    words = " ".join(step.texts)
    assert "No glue on Door panel" in words
    assert re.search(r"Door panel \(\w\) in Left door stile \(\w\) \(groove, enters [^;]*, without glue\)", words)
    assert not re.search(r"tongue, [^;)]*without glue", words)
    assert "No glue" not in " ".join(steps(in_mm("panel_door", **DOOR, **size), "Glue up").texts)
    # 300 and 400 give 500.
    assert any("from the front" in check and "300 mm × 400 mm: 500 mm" in check for check in step.checks)


@pytest.mark.parametrize("file", FILES)
def test_the_example_of_the_page(file: str) -> None:
    checked = compiled(EXAMPLES[file])
    assert any(p.path.startswith(f"{file}.") for p in checked.model.parts)


@pytest.mark.parametrize("file", FILES)
def test_every_value_is_told_in_the_head_and_on_the_page(file: str) -> None:
    text = (library_folder() / f"{file}.plan").read_text(encoding="utf-8")
    head = "\n".join(line for line in text.splitlines() if line.startswith("#"))
    table = PAGE.split(f"\n## {file}\n")[1].split("\n## ")[0]
    declared = re.search(rf"^assembly {file}\((.*)\) \"", text, re.MULTILINE)
    assert declared is not None
    names = re.findall(r"(?:^|, )([a-z_]+)(?= = |,|$)", re.sub(r"\([^()]*(?:\([^()]*\)[^()]*)*\)", "()", declared[1]))
    assert len(names) > 5
    assert [n for n in names if not re.search(rf"\b{n}\b", head) or f"`{n}`" not in table] == []
