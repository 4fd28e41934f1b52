"""plandoc new DIR: a folder with a small plan to begin with."""

from __future__ import annotations

import argparse
import sys

from plandoc.commands import common

NAME, HELP = "new", "begin a plan in a new folder"

STARTER = '''\
plan "Wall shelf"
  units   inch to 1/32
  sheets  letter landscape

# Measure your stock and correct `measured`: every joint follows.
stock ply sheet 48" x 96" "3/4 plywood"
  called    3/4"
  measured  23/32"
  grain     along 96"
  material  birch plywood

set width  = 24"
set height = 30"
set depth  = 8"

part left_side from ply "Left side"
  grain   up
  across  from 0
  back    from 0 to depth
  up      from 0 to height

part right_side mirrors left_side about width / 2 "Right side"

for i from 1 to 3
  part shelf[i] from ply "Shelf"
    grain   across
    across  between left_side and right_side
    back    from 0 to depth
    up      from 1" + (i - 1) * 12"
  joint dado shelf[i] into left_side, right_side deep 1/4"
'''


def arguments(parser: argparse.ArgumentParser) -> None:
    """Options of this command."""
    parser.add_argument("folder", metavar="DIR")


def run(args: argparse.Namespace) -> int:
    """Writes DIR/NAME.plan; an existing file is left alone."""
    folder = common.path_of(args.folder)
    plan = folder / f"{folder.resolve().name}.plan"
    if common.path_of(str(plan)).exists():
        raise common.Usage(f"{str(plan)!r} is there already")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        plan.write_text(STARTER, encoding="utf-8")
    except OSError as fault:
        raise common.Usage(f"{str(plan)!r} cannot be written: {fault.strerror or fault}") from None
    sys.stdout.write(f"{plan}\n")
    return common.CLEAN
