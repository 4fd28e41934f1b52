"""The `plandoc` command."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from types import ModuleType

from plandoc import __version__
from plandoc.commands import check, common, explain, listing, new, packet

COMMANDS: tuple[ModuleType, ...] = (packet, check, listing, new, explain)


def parser() -> argparse.ArgumentParser:
    """All commands with their options."""
    top = argparse.ArgumentParser(prog="plandoc", description="Compile a written furniture plan into a drawing packet.")
    top.add_argument("--version", action="version", version=f"plandoc {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for module in COMMANDS:
        sub = commands.add_parser(module.NAME, help=module.HELP, description=module.HELP)
        module.arguments(sub)
        sub.set_defaults(run=module.run)
    return top


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command. 0 done, 1 the plan or the command line has errors, 2 warnings under --strict, 3 our own fault."""
    args = parser().parse_args(argv)
    try:
        code: int = args.run(args)
        return code
    except common.Usage as fault:
        sys.stderr.write(f"plandoc {args.command}: {fault}\n")
        return common.ERRORS
    except BrokenPipeError:
        return common.CLEAN
    except Exception as fault:
        return internal(args, fault)


def internal(args: argparse.Namespace, fault: Exception) -> int:
    """Our own fault: said as such, with the innermost place, without a traceback."""
    import traceback

    frames = [f for f in traceback.extract_tb(fault.__traceback__) if "plandoc" in f.filename]
    where = f"{frames[-1].filename.rsplit('plandoc', 1)[-1].lstrip('/')}:{frames[-1].lineno}" if frames else "?"
    sys.stderr.write(f"plandoc {args.command}: internal error, not a fault of the plan: {type(fault).__name__}: {fault} (at {where})\n")
    sys.stderr.write("nothing was written. Please report it together with the plan.\n")
    return common.INTERNAL


if __name__ == "__main__":
    sys.exit(main())
