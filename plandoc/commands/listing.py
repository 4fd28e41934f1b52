"""plandoc list PLAN WHAT: parts, hardware, stock, steps, cutting or set-ups on the standard output."""

from __future__ import annotations

import argparse
import csv
import io
import json
import sys

from plandoc.commands import common

NAME, HELP = "list", "print one of the lists"
WHAT = ("parts", "hardware", "stock", "steps", "cutting", "setups")


def arguments(parser: argparse.ArgumentParser) -> None:
    """Options of this command."""
    common.add_plan(parser)
    parser.add_argument("what", choices=WHAT)
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true")
    form.add_argument("--csv", action="store_true")


def run(args: argparse.Namespace) -> int:
    """The list, as a table unless another form is asked for."""
    from plandoc.publish.cuttinglist import cutting_csv
    from plandoc.publish.files import part_rows
    from plandoc.publish.packetlists import hardware_csv, parts_csv, stock_csv
    from plandoc.publish.setuplist import setups_csv
    from plandoc.publish.steplist import steps_csv
    from plandoc.shopwork.hardwarelist import hardware_list
    from plandoc.shopwork.layouts import layouts
    from plandoc.shopwork.procedure import procedure
    from plandoc.shopwork.stocklist import stock_list

    checked = common.open_plan(args)
    common.tell(checked)
    if not checked.good:
        return common.ERRORS
    model = checked.model
    volumes = {path: solid.volume for path, solid in checked.solids.items()}
    if args.what == "parts":
        text = parts_csv(part_rows(model, volumes, ()), model.info.units)
    elif args.what == "hardware":
        text = hardware_csv(hardware_list(model))
    elif args.what == "stock":
        text = stock_csv(stock_list(model, volumes), model.info.units)
    elif args.what == "cutting":
        text = cutting_csv(layouts(model))
    elif args.what == "setups":
        text = setups_csv(model)
    else:
        text = steps_csv(procedure(model))
    rows = list(csv.reader(io.StringIO(text)))
    if args.csv:
        sys.stdout.write(text)
    elif args.json:
        head = rows[0]
        sys.stdout.write(json.dumps([dict(zip(head, r, strict=True)) for r in rows[1:]], indent=1, ensure_ascii=False) + "\n")
    else:
        sys.stdout.write(table(rows))
    return common.CLEAN


def table(rows: list[list[str]]) -> str:
    """Columns of equal width; columns that are empty in every row are left out."""
    if not rows:
        return ""
    keep = [i for i in range(len(rows[0])) if any(r[i] for r in rows[1:])] or list(range(len(rows[0])))
    widths = [max(len(r[i]) for r in rows) for i in keep]
    lines = ["  ".join(r[i].ljust(w) for i, w in zip(keep, widths, strict=True)).rstrip() for r in rows]
    return "\n".join(lines) + "\n"
