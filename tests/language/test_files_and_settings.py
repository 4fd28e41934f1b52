"""Includes, and values given on the command line."""

from __future__ import annotations

from fractions import Fraction as F

from plandoc.diagnostics import Sink, Source
from plandoc.model.loading import load
from plandoc.model.overrides import read_overrides
from plandoc.vocabulary import all_kinds, vocabulary
from plandoc.world import MemoryWorld
from tests.support.resolving import HEAD, STOCK, Outcome, resolved

PART = "part p from ply\n  size wide x 40 mm\n"


def test_names_are_relative_to_the_including_file() -> None:
    files = {
        "trial.plan": 'plan "T"\ninclude "shop/all.plan"\n' + PART,
        "shop/all.plan": 'include "stock.plan"\ninclude "../sizes.plan"\n',
        "shop/stock.plan": STOCK,
        "sizes.plan": "set wide = 90 mm\n",
    }
    outcome = resolved(files, name="trial.plan")
    assert not outcome.diagnostics, outcome.report
    assert outcome.model.parts[0].length == 90
    assert sorted(outcome.sources) == ["shop/all.plan", "shop/stock.plan", "sizes.plan", "trial.plan"]


def test_included_twice_counts_once() -> None:
    files = {"trial.plan": 'plan "T"\ninclude "a.plan"\ninclude "b.plan"\n' + PART, "a.plan": 'include "b.plan"\n' + STOCK, "b.plan": "set wide = 90 mm\n"}
    outcome = resolved(files)
    assert not outcome.diagnostics, outcome.report


def test_a_circle_of_includes_prints_the_way_round() -> None:
    files = {"trial.plan": 'plan "T"\ninclude "a.plan"\n' + STOCK + "set wide = 3 mm\n" + PART, "a.plan": 'include "b.plan"\n', "b.plan": 'include "a.plan"\n'}
    outcome = resolved(files)
    (fault,) = outcome.diagnostics
    assert (fault.code, fault.span.file) == ("PD121", "b.plan")
    assert "trial.plan -> a.plan -> b.plan -> a.plan" in fault.notes[0].text


def test_nothing_outside_of_the_folder_is_read() -> None:
    for name in ("../stock.plan", "/etc/passwd", "a/../../x.plan", "C:/x.plan", "..\\\\x.plan"):
        world = MemoryWorld({"trial.plan": f'plan "T"\ninclude "{name}"\n'})
        sink = Sink()
        load("trial.plan", world, vocabulary(all_kinds()), sink)
        assert [d.code for d in sink.finish()] == ["PD120"], name
        assert world.reads == ["trial.plan"]


def test_names_that_a_missing_file_may_have_held_are_not_reported() -> None:
    outcome = resolved('plan "T"\ninclude "not_there.plan"\n' + PART + "joint dado a into b deep c\n")
    assert outcome.codes == ["PD120"]


def with_settings(text: str, *settings: tuple[str, str]) -> Outcome:
    sink = Sink()
    sources: dict[str, Source] = {}
    overrides = read_overrides(settings, vocabulary(all_kinds()), sink, sources)
    assert not sink.finish()
    return resolved(HEAD + text, overrides)


def test_a_value_is_set_from_outside() -> None:
    text = "set wide = 90 mm\nset half = wide / 2\n" + PART
    assert with_settings(text).value("half") == "45 mm"
    outcome = with_settings(text, ("wide", '4"'))
    assert outcome.value("half") == "50.8 mm"
    assert outcome.model.parts[0].length == F(1016, 10)


def test_a_setting_may_use_names_of_the_plan() -> None:
    text = "set wide = 90 mm\nset deep = 30 mm\n" + PART
    assert with_settings(text, ("wide", "deep * 3 + ply.measured")).model.parts[0].length == 108


def test_the_measure_of_a_stock_is_set_from_outside() -> None:
    """Everything that depends on the sheet follows: the channel is as wide as the new sheet is thick."""
    text = """
part side from ply
  grain up
  across from 0
  back from 0 to 200 mm
  up from 0 to 500 mm
part shelf from ply
  grain across
  across from side.right to 400 mm
  back from 0 to 200 mm
  up from 100 mm
joint dado shelf into side deep 6 mm
"""
    assert with_settings(text).joint("shelf", "side").width == 18
    outcome = with_settings(text, ("ply.measured", "17.5 mm"))
    assert outcome.joint("shelf", "side").width == F(35, 2)
    assert outcome.model.part("shelf").length == F(400) - F(35, 2) + 6


def test_a_setting_that_meets_nothing_is_a_fault() -> None:
    outcome = with_settings("set wide = 90 mm\n" + PART, ("widht", "3 mm"))
    assert outcome.codes == ["PD234"]
    assert "`wide`" in outcome.diagnostics[0].mend


def test_a_setting_of_the_wrong_kind_is_reported_where_it_is_used() -> None:
    outcome = with_settings("set wide = 90 mm\n" + PART, ("wide", "90"))
    assert outcome.codes == ["PD204"]


def test_settings_that_cannot_be_read() -> None:
    for value in ("", "3 +", "(3", '"a', "{", "3 mm; 4"):
        sink = Sink()
        assert read_overrides([("wide", value)], vocabulary(all_kinds()), sink, {}) == {}
        assert [d.code for d in sink.finish()] == ["PD105"], value
