"""plandoc list PLAN WHAT: one of the lists of the packet on the standard output."""

from __future__ import annotations

import argparse
import csv
import io
import sys

from plandoc.commands import common

NAME, HELP = "list", "print one of the lists"
WHAT = ("parts", "hardware", "stock", "buying", "cutting", "setups", "templates", "steps", "gluing", "times")
OF_STEPS = ("steps", "gluing", "times")


def arguments(parser: argparse.ArgumentParser) -> None:
    """Options of this command."""
    common.add_plan(parser)
    parser.add_argument("what", choices=WHAT)
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true")
    form.add_argument("--csv", action="store_true")


def run(args: argparse.Namespace) -> int:
    """The list, as a table unless another form is asked for."""
    from plandoc.publish.everylist import LISTS, Told, json_text
    from plandoc.shopwork.procedure import procedure

    checked = common.open_plan(args)
    common.tell(checked)
    if not checked.good:
        return common.ERRORS
    model = checked.model
    volumes = {path: solid.volume for path, solid in checked.solids.items()}
    text = LISTS[args.what](Told(model, volumes, procedure(model) if args.what in OF_STEPS else ()))
    if args.csv:
        sys.stdout.write(text)
    elif args.json:
        sys.stdout.write(json_text(text))
    else:
        sys.stdout.write(table(list(csv.reader(io.StringIO(text)))))
    return common.CLEAN


def table(rows: list[list[str]]) -> str:
    """Columns of equal width; columns that are empty in every row are left out."""
    if not rows:
        return ""
    keep = [i for i in range(len(rows[0])) if any(r[i] for r in rows[1:])] or list(range(len(rows[0])))
    widths = [max(len(r[i]) for r in rows) for i in keep]
    lines = ["  ".join(r[i].ljust(w) for i, w in zip(keep, widths, strict=True)).rstrip() for r in rows]
    return "\n".join(lines) + "\n"
