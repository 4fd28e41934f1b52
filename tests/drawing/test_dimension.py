"""Dimensions round a view: figures, rows, gaps, small spaces."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plandoc.drawing.audit import audit
from plandoc.drawing.boxes import grown, item_extent, segment_meets_box, united
from plandoc.drawing.dimension import decimal_text, place_dimensions
from plandoc.drawing.dimension_request import DimensionRequest, Placed
from plandoc.drawing.display import Fill, Group, Line, Sheet, Text
from plandoc.drawing.style import load_style
from plandoc.quantity import Units, shop_number

METRIC = load_style("shop-metric")
INCH = load_style("shop-inch")
MM = Units("mm", Fraction(1, 2))
FRACTIONS = Units("inch", Fraction(1, 32))
VIEW = (80.0, 80.0, 200.0, 160.0)


def along(
    axis: str, start: float, end: float, units: Units = MM, scale: Fraction = Fraction(1), **more: object
) -> DimensionRequest:
    """A dimension between two points on the upper or left outline; start and end in paper mm from the corner."""
    value = Fraction(end - start).limit_denominator(1000) * scale
    p = (VIEW[0] + start, VIEW[1]) if axis == "x" else (VIEW[0], VIEW[1] + start)
    q = (VIEW[0] + end, VIEW[1]) if axis == "x" else (VIEW[0], VIEW[1] + end)
    return DimensionRequest(axis, p, q, value, shop_number(value, units), **more)  # type: ignore[arg-type]


def sheet_of(placed: Placed) -> Sheet:
    corners = ((80.0, 80.0), (200.0, 80.0), (200.0, 160.0), (80.0, 160.0))
    return Sheet(1, "test", "1", "TEST", (297.0, 260.0), (Line("vis", corners, True), *placed.groups))


def attr(group: Group, name: str) -> str:
    return dict(group.attrs)[name]


def line_of(group: Group) -> Line:
    first = group.items[0]
    assert isinstance(first, Line) and first.role == "dim"
    return first


def figures(group: Group) -> str:
    return " ".join(i.text for i in group.items if isinstance(i, Text))


def test_one_dimension_stands_ten_millimetres_off_with_gap_and_overshoot() -> None:
    placed = place_dimensions(VIEW, [along("x", 0, 120, kind="overall")], METRIC)
    (group,) = placed.groups
    assert group.kind == "dimension"
    assert line_of(group).points == ((80.0, 70.0), (200.0, 70.0))
    extensions = [i for i in group.items if isinstance(i, Line) and i.role == "ext"]
    assert [e.points for e in extensions] == [((80.0, 78.5), (80.0, 67.5)), ((200.0, 78.5), (200.0, 67.5))]
    assert [n for n, _ in group.attrs][:5] == ["axis", "from", "to", "mm", "kind"]
    assert (attr(group, "mm"), attr(group, "kind"), figures(group)) == ("120", "overall", "120")
    assert placed.crowded == ()


def test_vertical_figures_read_from_the_right_and_stand_left_of_their_line() -> None:
    for side in ("left", "right"):
        (group,) = place_dimensions(VIEW, [along("y", 0, 80, prefer=side)], METRIC).groups
        text = next(i for i in group.items if isinstance(i, Text))
        assert text.rotation == -90
        assert line_of(group).points[0][0] - text.at[0] == pytest.approx(METRIC.text_gap, abs=0.15)
        assert attr(group, "side") == side


def test_rows_step_evenly_and_the_overall_size_is_outermost() -> None:
    asked = [along("x", 0, 120, kind="overall")] + [along("x", 0, e, kind="loc") for e in (30, 55, 90)]
    groups = place_dimensions(VIEW, asked, METRIC).groups
    offs = [80.0 - line_of(g).points[0][1] for g in groups]
    assert offs == [10 + 3 * 7, 10, 17, 24]


def test_a_chain_shares_a_row() -> None:
    asked = [along("x", a, b) for a, b in ((0, 20), (20, 70), (70, 120))] + [along("x", 0, 120, kind="overall")]
    groups = place_dimensions(VIEW, asked, METRIC).groups
    assert [attr(g, "row") for g in groups] == ["0", "0", "0", "1"]


def test_equal_requests_come_once() -> None:
    assert len(place_dimensions(VIEW, [along("x", 0, 40), along("x", 0, 40)], METRIC).groups) == 1


def test_a_wanted_side_is_kept_and_otherwise_the_nearer_one_taken() -> None:
    low = DimensionRequest("x", (80, 158), (120, 158), Fraction(40), shop_number(Fraction(40), MM))
    groups = place_dimensions(VIEW, [along("x", 0, 50, prefer="below"), low], METRIC).groups
    assert [attr(g, "side") for g in groups] == ["below", "below"]


def test_reference_figures_stand_in_parentheses_and_counts_before_the_figure() -> None:
    asked = [along("x", 0, 40, kind="ref"), along("x", 40, 90, count=4)]
    ref, counted = place_dimensions(VIEW, asked, METRIC).groups
    assert figures(ref).replace(" ", "") == "(40)"
    assert figures(counted).startswith("4X")


def test_arrowheads_move_outside_a_small_space() -> None:
    (small,) = place_dimensions(VIEW, [along("x", 40, 46)], METRIC).groups
    low, high = (p[0] for p in line_of(small).points)
    assert low < 120 - 3 and high > 126 + 3
    heads = [i.loops[0] for i in small.items if isinstance(i, Fill)]
    assert sorted(h[0][0] for h in heads) == [120.0, 126.0]
    assert all(p[0] <= 120.001 or p[0] >= 125.999 for h in heads for p in h)


def test_dots_stand_between_consecutive_small_spaces() -> None:
    groups = place_dimensions(VIEW, [along("x", 40, 45), along("x", 45, 51)], METRIC).groups
    fills = [i.loops[0] for g in groups for i in g.items if isinstance(i, Fill)]
    dots = [f for f in fills if len(f) > 3]
    assert len(fills) == 3 and len(dots) == 1
    assert sum(p[0] for p in dots[0]) / len(dots[0]) == pytest.approx(125.0)


def test_ticks_instead_of_arrowheads() -> None:
    (group,) = place_dimensions(VIEW, [along("x", 0, 60)], METRIC, (), "tick").groups
    assert not any(isinstance(i, Fill) for i in group.items)
    strokes = [i for i in group.items if isinstance(i, Line) and i.role == "dim"][1:]
    assert len(strokes) == 2
    for stroke in strokes:
        (x0, y0), (x1, y1) = stroke.points
        assert x1 - x0 == pytest.approx(-(y1 - y0)) and (x1 - x0) ** 2 * 2 == pytest.approx(9.0)


def test_figures_keep_clear_of_obstacles() -> None:
    obstacle = (134.0, 64.0, 146.0, 69.6)
    (group,) = place_dimensions(VIEW, [along("x", 0, 120)], METRIC, [obstacle]).groups
    text = next(i for i in group.items if isinstance(i, Text))
    assert abs(text.at[0] - 140) > 8


def test_partly_overlapping_dimensions_go_to_opposite_sides() -> None:
    placed = place_dimensions(VIEW, [along("x", 0, 60), along("x", 30, 100)], METRIC)
    assert {attr(g, "side") for g in placed.groups} == {"above", "below"}
    assert audit(sheet_of(placed), METRIC) == ()


def test_the_unavoidable_is_told() -> None:
    asked = [along("x", a, a + 60) for a in (0, 20, 40)]
    placed = place_dimensions(VIEW, asked, METRIC)
    assert any("cross" in remark for remark in placed.crowded)
    assert any(f.rule == "dimension-lines-cross" for f in audit(sheet_of(placed), METRIC))


def test_bad_requests_are_refused() -> None:
    with pytest.raises(ValueError, match="along x or y"):
        place_dimensions(VIEW, [along("x", 0, 9), DimensionRequest("z", (0, 0), (1, 1), Fraction(1), shop_number(Fraction(1), MM))], METRIC)
    with pytest.raises(ValueError, match="needs a length"):
        place_dimensions(VIEW, [along("x", 5, 5)], METRIC)
    with pytest.raises(ValueError, match="arrow or a tick"):
        place_dimensions(VIEW, [along("x", 0, 9)], METRIC, (), "blob")


def test_nothing_stands_on_a_closed_side() -> None:
    asked = [along("x", a, a + 60) for a in (0, 20, 40)]
    placed = place_dimensions(VIEW, asked, METRIC, closed=frozenset({"above"}))
    assert [attr(g, "side") for g in placed.groups] == ["below"] * 3


def test_one_of_equal_steps_is_drawn_where_nothing_crosses_it() -> None:
    """The first step holds the beginning of a longer size outside it, the second does not."""
    def low(u: float) -> tuple[float, float]:
        return (VIEW[0] + u, VIEW[3])

    step = DimensionRequest("x", low(40), low(60), Fraction(20), shop_number(Fraction(20), MM), prefer="below", count=3, elsewhere=((low(60), low(80)), (low(80), low(100))))
    longer = DimensionRequest("x", low(50), low(110), Fraction(60), shop_number(Fraction(60), MM), prefer="below")
    placed = place_dimensions(VIEW, [step, longer], METRIC, closed=frozenset({"above"}))
    assert placed.crowded == () and placed.trouble == 0
    assert audit(sheet_of(placed), METRIC) == ()
    assert line_of(placed.groups[0]).points[0][0] in (140.0, 160.0)


def test_a_figure_without_room_goes_to_the_other_side_before_a_row_is_left_empty() -> None:
    asked = [along("x", 5, 8, FRACTIONS, prefer="below"), along("x", 8, 10, FRACTIONS, prefer="below"), along("x", 0, 24, FRACTIONS, prefer="below"), along("x", 0, 120, FRACTIONS, kind="overall", prefer="below")]
    placed = place_dimensions(VIEW, asked, INCH)
    for side in ("above", "below"):
        rows = {int(attr(g, "row")) for g in placed.groups if attr(g, "side") == side}
        assert rows == set(range(len(rows)))


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(254, 10), "25.4"),
        (Fraction(1, 3), "0.333333"),
        (Fraction(-5, 4), "-1.25"),
        (Fraction(0), "0"),
        (Fraction(1, 128) * Fraction(254, 10), "0.1984375"),
    ],
)
def test_decimals_are_exact_where_they_end(value: Fraction, text: str) -> None:
    assert decimal_text(value) == text


def test_the_same_requests_give_the_same_drawing() -> None:
    asked = [along("x", a, b, FRACTIONS) for a, b in ((0, 3), (3, 5), (5, 40), (40, 120))]
    assert place_dimensions(VIEW, asked, INCH) == place_dimensions(VIEW, asked, INCH)


# --- properties ------------------------------------------------------------------------------------------

cuts = st.lists(st.integers(2, 19), min_size=0, max_size=5, unique=True).map(sorted)


@st.composite
def ordinary_views(draw: st.DrawFn) -> tuple[DimensionRequest, ...]:
    """Chains, locations from a datum and overall sizes with room, as most parts have them."""
    out: list[DimensionRequest] = []
    for axis, full in (("x", 120), ("y", 80)):
        out.append(along(axis, 0, full, FRACTIONS, Fraction(127, 40), kind="overall"))
        ends = [0, *(c * full // 20 for c in draw(cuts)), full]
        kept = [ends[0]]
        for end in ends[1:]:
            if end - kept[-1] >= 13:
                kept.append(end)
        kept[-1] = full
        side = draw(st.sampled_from(("above", "below") if axis == "x" else ("left", "right")))
        if len(kept) > 2:
            for a, b in pairwise(kept):
                out.append(along(axis, a, b, FRACTIONS, Fraction(127, 40), prefer=side))
        for place in sorted(draw(st.sets(st.integers(4, 17), max_size=4))):
            out.append(along(axis, 0, place * full // 20, FRACTIONS, Fraction(127, 40), kind="loc"))
    return tuple(out)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(ordinary_views())
def test_ordinary_views_pass_the_audit(asked: tuple[DimensionRequest, ...]) -> None:
    placed = place_dimensions(VIEW, asked, INCH)
    assert placed.crowded == ()
    found = [f for f in audit(sheet_of(placed), INCH) if f.rule != "ink-outside-frame"]
    assert found == []
    wanted = {(attr_axis(r), decimal_text(r.value), r.number.plain()) for r in asked}
    got = {(attr(g, "axis"), attr(g, "mm"), plain_figure(g)) for g in placed.groups}
    assert got == wanted


def attr_axis(request: DimensionRequest) -> str:
    return request.world_axis or request.axis


def plain_figure(group: Group) -> str:
    """The figure read back from the lettering: whole, then numerator and denominator by their size."""
    texts = [i for i in group.items if isinstance(i, Text)]
    small = [t.text for t in texts if t.size < 3.0]
    whole = "".join(t.text for t in texts if t.size >= 3.0)
    fraction = f"{small[0]}/{small[1]}" if small else ""
    return (f"{whole} {fraction}" if whole.strip("≈") and fraction else whole + fraction).strip()


@settings(max_examples=15, deadline=None, derandomize=True)
@given(st.lists(st.integers(2, 9), min_size=1, max_size=4), st.sampled_from([MM, FRACTIONS]))
def test_small_spaces_in_a_chain_stay_legible(sizes: list[int], units: Units) -> None:
    ends = [50]
    for size in sizes:
        ends.append(ends[-1] + size)
    style = METRIC if units is MM else INCH
    asked = [along("x", a, b, units, prefer="above") for a, b in pairwise(ends)]
    asked += [along("x", 0, 50, units, prefer="above"), along("x", 0, 120, units, kind="overall", prefer="above")]
    placed = place_dimensions(VIEW, asked, style)
    assert [f for f in audit(sheet_of(placed), style) if f.rule in ("text-on-text", "line-through-text")] == []


@settings(max_examples=20, deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.integers(0, 100), st.integers(8, 60)), min_size=1, max_size=8))
def test_rows_are_whole_steps_and_sorted(pieces: list[tuple[int, int]]) -> None:
    asked = [along("x", a, min(120, a + size)) for a, size in pieces]
    placed = place_dimensions(VIEW, asked, METRIC)
    for group in placed.groups:
        y = line_of(group).points[0][1]
        off = 80 - y if attr(group, "side") == "above" else y - 160
        assert off == pytest.approx(10 + 7 * int(attr(group, "row")))
    for a, b in combinations(placed.groups, 2):
        if attr(a, "side") == attr(b, "side") and attr(a, "row") != attr(b, "row"):
            inner, outer = sorted((a, b), key=lambda g: int(attr(g, "row")))
            lows_highs = [sorted(e.points[0][0] for e in g.items if isinstance(e, Line) and e.role == "ext") for g in (inner, outer)]
            (i0, i1), (o0, o1) = lows_highs
            if min(i1, o1) - max(i0, o0) > 0.01:
                assert i1 - i0 <= o1 - o0 + 0.01


def test_a_figure_keeps_clear_of_the_ticks_of_the_next_row() -> None:
    """A figure in parentheses beside a small space reaches as far as the inner half of the oblique strokes outside it."""
    asked = [
        along("y", 10.15, 70, prefer="left"), along("y", 0, 10.15, kind="ref", prefer="left"),
        along("y", 0, 70, kind="overall", prefer="left"),
    ]  # fmt: skip
    placed = place_dimensions(VIEW, asked, METRIC, (), "tick")
    small = next(g for g in placed.groups if "(" in figures(g))
    box = united(e for i in small.items if isinstance(i, Text) and (e := item_extent(i)) is not None)
    for group in placed.groups:
        for line in (i for i in group.items if isinstance(i, Line) and i.role == "dim"):
            own_line = group is small and line is line_of(group)
            assert own_line or not segment_meets_box(*line.points, grown(box, 0.5)), attr(group, "mm")


def test_dimensions_of_the_other_direction_take_only_the_paper_that_they_cover() -> None:
    """Two sizes over a narrow end, with long figures that stand out at the left, leave the rows beside it as they are."""
    both = Units("inch", Fraction(1, 32), Units("mm", Fraction(1, 10)))
    style = load_style("shop-inch")
    end = (0.0, 0.0, 4.4, 55.0)

    def size(axis: str, a: float, b: float, **more: object) -> DimensionRequest:
        p, q = ((a, 0.0), (b, 0.0)) if axis == "x" else ((0.0, a), (0.0, b))
        value = Fraction(b - a).limit_denominator(1000) * 4
        return DimensionRequest(axis, p, q, value, shop_number(value, both), **more)  # type: ignore[arg-type]

    asked = [
        size("x", 0, 4.4, kind="overall", prefer="above"), size("x", 2.2, 4.4, prefer="above"),
        size("y", 0, 7.5, kind="loc", prefer="left"), size("y", 7.5, 27.5, count=2, prefer="left"),
    ]  # fmt: skip
    placed = place_dimensions(end, asked, style)
    rows = {attr(g, "row") for g in placed.groups if attr(g, "axis") == "y"}
    assert rows == {str(n) for n in range(len(rows))}
