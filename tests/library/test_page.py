"""library/README.md and the heads of the files say what the assemblies declare."""

from __future__ import annotations

import re

import pytest

from plandoc.library_pictures import library_examples
from plandoc.resources import library_folder
from tests.support.library_plans import compiled

PAGE = (library_folder() / "README.md").read_text(encoding="utf-8")
# Files and the assemblies that they are for: those that no other assembly places, in every file but the lists of names.
PLANS = {p.stem: p.read_text(encoding="utf-8") for p in sorted(library_folder().glob("*.plan"))}
PLACED = {name for text in PLANS.values() for name in re.findall(r"^ +place (\w+)", text, re.MULTILINE)}
FOUND = {file: tuple(n for n in re.findall(r"^assembly (\w+)", text, re.MULTILINE) if n not in PLACED or n == file) for file, text in PLANS.items()}
ASSEMBLIES = {file: names for file, names in FOUND.items() if names}
CASES = [(file, name) for file, names in ASSEMBLIES.items() for name in names]


def test_only_hardware_and_words_have_no_assembly() -> None:
    assert set(PLANS) - set(ASSEMBLIES) == {"hardware", "words"}
    assert set(library_examples()) == {name for names in ASSEMBLIES.values() for name in names}


def text_of(file: str) -> str:
    return (library_folder() / f"{file}.plan").read_text(encoding="utf-8")


def values(file: str, assembly: str) -> list[tuple[str, bool]]:
    """The values of an assembly, and whether each has one of its own."""
    head = re.search(rf"^assembly {assembly}\((.*)\) \"", text_of(file), re.MULTILINE)
    assert head is not None
    pieces, depth = [""], 0
    for letter in head[1]:
        depth += (letter in "([") - (letter in ")]")
        if letter == "," and depth == 0:
            pieces.append("")
        else:
            pieces[-1] += letter
    return [(piece.split("=")[0].strip(), "=" in piece) for piece in pieces]


@pytest.mark.parametrize(("file", "assembly"), CASES)
def test_every_value_is_told_in_the_head_of_the_file_and_on_the_page(file: str, assembly: str) -> None:
    head = "\n".join(line for line in text_of(file).splitlines() if line.startswith("#"))
    section = PAGE.split(f"\n## {file}\n")[1].split("\n## ")[0]
    table = " ".join(line.split("|")[1] for line in section.splitlines() if line.startswith("| `"))
    found = values(file, assembly)
    assert len(found) > 3
    assert [name for name, _ in found if not re.search(rf"\b{name}\b", head)] == []
    assert [name for name, _ in found if f"`{name}`" not in table] == []


@pytest.mark.parametrize("file", list(ASSEMBLIES))
def test_the_page_names_no_value_that_is_not_there(file: str) -> None:
    section = PAGE.split(f"\n## {file}\n")[1].split("\n## ")[0]
    known = {name: own for assembly in ASSEMBLIES[file] for name, own in values(file, assembly)}
    rows = [line.split(" | ") for line in section.splitlines() if line.startswith("| `")]
    assert rows
    for row in rows:
        for name in re.findall(r"`(\w+)`", row[0]):
            assert name in known
            assert ("must be given" in row[3]) == (not known[name]) or name == "deep"


@pytest.mark.parametrize(("file", "assembly"), CASES)
def test_the_example_is_sound(file: str, assembly: str) -> None:
    """Without errors and without warnings."""
    example = library_examples()[assembly]
    assert f'include "library/{file}.plan"' in example and f"place {assembly}\n" in example
    assert len(compiled(example).model.placed) > 1
