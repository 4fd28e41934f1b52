"""plandoc check PLAN: diagnostics only."""

from __future__ import annotations

import argparse
import sys

from plandoc.commands import common
from plandoc.diagnostics import render_json

NAME, HELP = "check", "say what is wrong with a plan, write nothing"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Options of this command."""
    common.add_plan(parser)
    parser.add_argument("--json", action="store_true", help="diagnostics as JSON on the standard output")
    parser.add_argument("--strict", action="store_true", help="exit code 2 where there are warnings")


def run(args: argparse.Namespace) -> int:
    """0 clean, 1 errors, 2 warnings under --strict."""
    checked = common.open_plan(args)
    if args.json:
        sys.stdout.write(render_json(checked.diagnostics, checked.sources))
    else:
        common.tell(checked)
        if not checked.diagnostics:
            sys.stdout.write("no errors, no warnings\n")
    if not checked.good:
        return common.ERRORS
    return common.WARNINGS if args.strict and checked.diagnostics else common.CLEAN
