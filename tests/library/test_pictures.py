"""The pictures beside the library are those that the program draws of the examples."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from plandoc.library_pictures import examples, library_examples, library_picture
from plandoc.resources import library_folder

PICTURES = library_folder() / "pictures"


@pytest.mark.parametrize("name", list(library_examples()))
def test_the_picture_is_that_of_the_example(name: str) -> None:
    """Same bytes; `python -m plandoc.library_pictures` writes them anew."""
    data = library_picture(name, library_examples()[name])
    assert (PICTURES / f"{name}.svg").read_bytes() == data
    lettering = [e.text for e in ElementTree.fromstring(data).iter() if e.tag.endswith("}text")]
    assert lettering and all(lettering)  # the parts are named


def test_every_picture_has_its_example() -> None:
    assert {p.name for p in PICTURES.iterdir()} == {f"{name}.svg" for name in library_examples()}


def test_the_page_shows_every_picture() -> None:
    page = (library_folder() / "README.md").read_text(encoding="utf-8")
    assert [n for n in library_examples() if f"(pictures/{n}.svg)" not in page] == []


def test_two_examples_of_one_name_are_a_fault() -> None:
    with pytest.raises(ValueError, match="tray"):
        examples('```plan tray\nplan "A"\n```\n\n```plan tray\nplan "B"\n```\n')


def test_a_faulty_example_is_reported() -> None:
    with pytest.raises(ValueError, match="PD201"):
        library_picture("x", 'plan "X"\npart a from nothing\n  size 3" x 4"\n')
