"""Data that travels with the program: the grammar, the styles and the typeface.

In an installed wheel grammar/ and styles/ lie inside the package as `_data`; in a checkout they lie beside it.
"""

from __future__ import annotations

from importlib import resources
from pathlib import Path


def data_folder(kind: str) -> Path:
    """The folder of data files of that kind (`grammar`, `styles`). Raises FileNotFoundError."""
    package = Path(str(resources.files("plandoc")))
    for folder in (package / "_data" / kind, package.parent / kind):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"the installation of plandoc has no {kind} folder")


def font_file(bold: bool = False) -> Path:
    """The TrueType file of the lettering: Source Sans Pro Regular, or Semibold where bold."""
    name = "SourceSansPro-Semibold.ttf" if bold else "SourceSansPro-Regular.ttf"
    path = Path(str(resources.files("font_source_sans_pro"))) / "files" / name
    if not path.is_file():
        raise FileNotFoundError(f"the typeface {name} is missing: install the package font-source-sans-pro")
    return path


def library_folder() -> Path:
    """The folder of ready assemblies written in the plan language."""
    return Path(str(resources.files("plandoc"))) / "library"
