"""plandoc packet PLAN: write the drawing packet."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from plandoc.commands import common

NAME, HELP = "packet", "write the drawing packet"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Options of this command."""
    common.add_plan(parser)
    parser.add_argument("-o", "--out", metavar="DIR", help="folder of the packet (default: PLAN-packet beside the plan)")
    parser.add_argument("--only", metavar="KIND,...", default="", help="only sheets of these kinds")


def run(args: argparse.Namespace) -> int:
    """Exit code; nothing is written where the plan has errors."""
    from plandoc.sheets.registry import sheet_kinds

    only = [k for k in args.only.split(",") if k]
    known = [k.name for k in sheet_kinds()]
    unknown = [k for k in only if k not in known]
    if unknown:
        raise common.Usage(f"no sheets of the kind {unknown[0]!r}; there are {', '.join(known)}")
    with common.without_collection():
        return _write(args, only)


def _write(args: argparse.Namespace, only: list[str]) -> int:
    from plandoc.pipeline import packet
    from plandoc.publish.folder import write_whole

    plan = Path(args.plan)
    out = common.path_of(args.out) if args.out else None
    checked = common.open_plan(args)
    common.tell(checked)
    if not checked.good:
        sys.stderr.write("nothing was written\n")
        return common.ERRORS
    made = packet(checked, only)
    target = out or plan.with_name(plan.stem + "-packet")
    try:
        write_whole(target, made.files)
    except OSError as fault:
        raise common.Usage(f"the packet cannot be written to {str(target)!r}: {fault.strerror or fault}") from None
    common.tell_all(made.warnings, checked)
    for remark in made.remarks:
        sys.stderr.write(remark + "\n")
    sheets = sum(name.startswith("sheets/") for name in made.files)
    sys.stdout.write(f"{target}: {sheets} sheets, {len(made.files)} files\n")
    return common.CLEAN
