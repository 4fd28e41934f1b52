"""Operations follow from the model, with stable ids."""

from __future__ import annotations

from dataclasses import replace

from plandoc.geometry.bodies import box_prism
from plandoc.model.entities import Feature
from plandoc.shopwork.operations import is_cut_to_size, operations, work_items
from plandoc.tables import operation
from tests.support.sample_model import sample_case
from tests.support.tray_model import tray_case


def test_every_mark_is_cut_once() -> None:
    model = sample_case()
    cuts = [op for op in operations(model) if op.verb == "cut"]
    assert [op.id for op in cuts] == ["cut:A", "cut:B", "cut:C", "cut:D", "cut:E", "cut:F"]
    assert cuts[2].parts == ("bottom", "shelf")
    assert {op.kind for op in cuts} == {"sheet_breakdown"}


def test_machine_work_is_grouped_by_mark_and_kind() -> None:
    made = {op.id: op for op in operations(sample_case()) if op.verb == "make"}
    assert made["make:A:dado"].features == ("left_side.bottom", "left_side.shelf")
    assert made["make:A:hole_row"].features == tuple(f"left_side.pins.{n}" for n in (1, 2, 3, 4))
    assert made["make:F:lettering"].features == ("drawer_front.word",)
    assert "make:C:tenon" not in made  # tongues of full section are there as soon as the part is cut


def test_fastener_holes_belong_to_the_fastening() -> None:
    model = tray_case()
    ids = [op.id for op in operations(model)]
    assert not any(i.startswith(("make:A:hole", "make:B:hole")) for i in ids)
    kinds = {op.id: op.kind for op in operations(model)}
    assert kinds["fasten:top>left_side:1"] == "pinning"
    assert kinds["fasten:tray[1].lip>tray[1].blank:1"] == "screwing"
    assert kinds["join:tray[1].blank>left_side"] == "sliding_in"
    assert kinds["fit:runner1"] == "fit_slide"
    assert kinds["make:D:round_pocket"] == "round_pocket"


def test_ids_are_unique_known_and_do_not_change_with_the_order_of_steps() -> None:
    for model in (sample_case(), tray_case()):
        every = operations(model)
        ids = [op.id for op in every]
        assert len(ids) == len(set(ids))
        assert all(operation(op.kind) for op in every)
        assert operations(replace(model, steps=())) == every
        items = work_items(model)
        assert {item.operation for item in items} == set(ids)


def test_a_placed_part_without_joint_is_set_in_place() -> None:
    assert [op.parts for op in operations(sample_case()) if op.verb == "place"] == [("drawer_front",)]
    assert not [op for op in operations(tray_case()) if op.verb == "place"]


def test_a_panel_with_tongues_on_three_edges_is_simply_cut_larger() -> None:
    model = tray_case()
    panel = model.part("bottom")
    up = panel.shoulder.with_span(1, panel.shoulder.hi[1], panel.shoulder.hi[1] + 6)
    third = Feature("bottom-rear", "tongue", None, adds=(box_prism(up),))
    wider = replace(panel, box=panel.box.union(up), features=(*panel.features, third))
    assert all(is_cut_to_size(wider, feature) for feature in wider.features)
    short = Feature(
        "bottom-short", "tongue", None, adds=(box_prism(up.with_span(0, up.lo[0] + 30, up.hi[0])),)
    )
    assert not is_cut_to_size(wider, short)
