"""The door to cairo: loads it with a font configuration that knows only the program's own typeface.

Cairo finds typefaces through fontconfig, which reads its configuration once, when the first text is set. So the
configuration is put in place, one letter is set, and the environment is given back as it was.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from functools import lru_cache
from pathlib import Path
from types import ModuleType
from xml.sax.saxutils import escape

from plandoc.resources import font_file

_ENVIRONMENT = "FONTCONFIG_FILE"


class CairoMissing(RuntimeError):
    """The system library cairo is not installed; the message says how to install it."""

    def __init__(self, cause: str = "") -> None:
        super().__init__(
            "the PDF needs the system library cairo, which was not found.\n"
            "  Debian, Ubuntu:  sudo apt-get install libcairo2\n"
            "  Fedora:          sudo dnf install cairo\n"
            "  macOS:           brew install cairo\n"
            "  Windows:         install the GTK runtime and put its bin folder on PATH\n"
            "SVG sheets and lists do not need it." + (f"\n({cause})" if cause else "")
        )


def font_configuration(cache: Path) -> str:
    """The fontconfig text that lets in the program's own font files and nothing else."""
    files = [font_file(), font_file(bold=True)]
    accepted = "".join(f"<glob>{escape(str(path))}</glob>" for path in files)
    return (
        '<?xml version="1.0"?>\n<!DOCTYPE fontconfig SYSTEM "fonts.dtd">\n<fontconfig>\n'
        f"<dir>{escape(str(files[0].parent))}</dir>\n<cachedir>{escape(str(cache))}</cachedir>\n"
        f"<selectfont><acceptfont>{accepted}</acceptfont><rejectfont><glob>*</glob></rejectfont></selectfont>\n"
        "<config><rescan><int>0</int></rescan></config>\n</fontconfig>\n"
    )


@lru_cache(maxsize=1)
def cairo() -> ModuleType:
    """The module cairocffi, ready to set the program's typeface. Raises CairoMissing."""
    folder = Path(tempfile.mkdtemp(prefix="plandoc-fonts-"))
    before = os.environ.get(_ENVIRONMENT)
    try:
        configuration = folder / "fonts.conf"
        configuration.write_text(font_configuration(folder / "cache"), encoding="utf-8")
        os.environ[_ENVIRONMENT] = str(configuration)
        module = _load()
        context = module.Context(module.ImageSurface(module.FORMAT_A8, 8, 8))
        context.select_font_face("Source Sans Pro")
        context.text_extents("H")
        return module
    finally:
        if before is None:
            os.environ.pop(_ENVIRONMENT, None)
        else:
            os.environ[_ENVIRONMENT] = before
        shutil.rmtree(folder, ignore_errors=True)


def _load() -> ModuleType:
    try:
        import cairocffi
    except OSError as fault:
        raise CairoMissing(str(fault).splitlines()[0] if str(fault) else "") from fault
    module: ModuleType = cairocffi
    return module
