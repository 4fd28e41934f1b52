"""What the commands share: opening a plan, telling what is wrong, exit codes."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from plandoc.diagnostics import Diagnostic, render_text
from plandoc.diagnostics.render import summary
from plandoc.pipeline import Checked, Timer, _untimed, check
from plandoc.world import DiskWorld

CLEAN, ERRORS, WARNINGS, INTERNAL = 0, 1, 2, 3


@contextmanager
def without_collection() -> Iterator[None]:
    """Without the search for reference cycles: one packet makes few, and the search takes about a tenth of the time."""
    on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if on:
            gc.enable()


class Usage(Exception):
    """A fault of the command line itself."""


def add_plan(parser: argparse.ArgumentParser) -> None:
    """The plan and its settings."""
    parser.add_argument("plan", metavar="PLAN", help="the plan file")
    parser.add_argument("--set", dest="settings", metavar="NAME=VALUE", action="append", default=[], help="another value for a `set` line, or for a stock: birch.measured=0.7\"")


def settings_of(args: argparse.Namespace) -> list[tuple[str, str]]:
    """Pairs of name and text. Raises Usage."""
    pairs = []
    for item in args.settings:
        name, equals, value = item.partition("=")
        if not equals or not name.strip():
            raise Usage(f"--set wants NAME=VALUE, this is {item!r}")
        pairs.append((name.strip(), value.strip()))
    return pairs


def path_of(text: str) -> Path:
    """A path that the command line names. Raises Usage where no file can have that name."""
    path = Path(text)
    try:
        os.stat(path)
    except (FileNotFoundError, NotADirectoryError):
        return path
    except (OSError, ValueError) as fault:
        shown = repr(text if len(text) <= 60 else text[:57] + "...")
        raise Usage(f"{shown} cannot be the name of a file: {getattr(fault, 'strerror', None) or fault}") from None
    return path


def open_plan(args: argparse.Namespace, timer: Timer = _untimed) -> Checked:
    """Check the plan that the command line names. Raises Usage where the file is not there."""
    path = path_of(args.plan)
    if not path.is_file():
        raise Usage(f"there is no plan {args.plan!r}" if not path.is_dir() else f"{args.plan!r} is a folder; name the plan file in it")
    return check(path.name, DiskWorld(path.parent), settings_of(args), timer)


def tell(checked: Checked) -> None:
    """Print all diagnostics, and their sum, to the error stream."""
    tell_all(checked.diagnostics, checked)


def tell_all(diagnostics: Sequence[Diagnostic], checked: Checked) -> None:
    """Print these diagnostics of a plan, and their sum, to the error stream."""
    if diagnostics:
        sys.stderr.write(render_text(diagnostics, checked.sources))
        sys.stderr.write("\n" + summary(diagnostics) + "\n")
