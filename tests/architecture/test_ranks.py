"""A module imports only rooms below its own, or its own; no module is too long."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "plandoc"
RANKS = {
    "quantity": 0,
    "diagnostics": 0,
    "tables": 0,
    "registry": 0,
    "resources": 0,
    "world": 1,
    "cutting": 1,
    "geometry": 1,
    "toolpath": 2,
    "syntax": 2,
    "model": 3,
    "joints": 4,
    "shapes": 4,
    "hardware": 4,
    "vocabulary": 5,
    "build": 5,
    "checks": 6,
    "shopwork": 6,
    "drawing": 6,
    "sheets": 7,
    "packet": 8,
    "publish": 9,
    "pipeline": 10,
    "reference": 10,
    "library_pictures": 11,
    "words": 11,
    "commands": 12,
}
MODULES = sorted(PACKAGE.rglob("*.py"))


def room(name: str) -> str:
    """The room of a dotted module name, "" for the package itself."""
    parts = name.split(".")
    return parts[1] if len(parts) > 1 else ""


def imports(path: Path) -> list[str]:
    """Dotted names of the program's own modules that a file imports anywhere, functions included."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            assert node.level == 0, f"{path}: relative import"
            if node.module == "plandoc":
                found += [f"plandoc.{alias.name}" for alias in node.names]
            else:
                found.append(node.module)
    return [name for name in found if name.split(".")[0] == "plandoc" and name != "plandoc.__version__"]


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_go_down(path: Path) -> None:
    own = path.relative_to(PACKAGE).with_suffix("").parts[0]
    if own == "__init__":
        assert imports(path) == []
        return
    assert own in RANKS, f"{own} has no rank"
    for name in imports(path):
        other = room(name)
        assert other == own or RANKS[other] < RANKS[own], f"{path.relative_to(PACKAGE)} imports {name}"


def test_no_module_is_too_long() -> None:
    long = {str(p.relative_to(PACKAGE)): n for p in MODULES if (n := len(p.read_text(encoding="utf-8").splitlines())) > 600}
    assert long == {}


def test_the_top_level_is_as_laid_out() -> None:
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "plandoc", "grammar", "tests", "examples", "styles"}
    top = {p.name for p in PACKAGE.parent.iterdir() if not p.name.startswith(".")}
    built = {"packet-out", "out", "dist", "build-out"}  # ignored by git
    assert top - built == allowed
