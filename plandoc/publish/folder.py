"""Writing a packet to disk whole or not at all.

Everything is first written into a new folder beside the target. Only then are the packet's files and folders put in
place of the old ones, one rename each; when one fails, those before it are put back.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path, PurePosixPath

# What packets hold at the top of their folder, and the files in its folders that are the packet's own: those go
# when a newer packet has them no more.
PACKET_NAMES = ("labels.pdf", "lists", "model.json", "packet.pdf", "sheets", "templates", "templates.pdf", "toolpaths")
OWN_FILES = re.compile(
    r"sheets/\d{2,}-[^/]+\.svg|templates/[A-Z]+-(?:left|right|front|rear|bottom|top)\.svg|toolpaths/[A-Za-z0-9-]+-(?:left|right|front|rear|bottom|top)-\d+-(?:(?:bit|drill)-[0-9.]+mm|v-bit-[0-9.]+deg)\.ngc|lists/(?:parts|hardware|stock|buying|cutting|setups|templates|steps|gluing|times)\.(?:csv|json)"
)


class Stranded(OSError):
    """The older packet could not be put back: it lies whole in a folder that the message names."""


def write_whole(target: Path, files: Mapping[str, bytes]) -> None:
    """Write all files of a packet below `target`, or leave everything as it was and raise.

    files: contents by relative path with `/`; top names outside PACKET_NAMES are refused (ValueError). Older packet
    files that are not in `files` are taken away; whatever else lies in the folder is kept.
    """
    names = {_checked(name): content for name, content in sorted(files.items())}
    target.parent.mkdir(parents=True, exist_ok=True)
    staging = Path(tempfile.mkdtemp(prefix=f".{target.name}.", dir=target.parent))
    try:
        fresh, old = staging / "new", staging / "old"
        fresh.mkdir()
        old.mkdir()
        for path, content in names.items():
            place = fresh / path
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(content)
        _keep_foreign(target, fresh)
        _swap(target, fresh, old)
    except Stranded:
        raise  # what is in the staging folder is all that there is of the older packet
    except BaseException:
        shutil.rmtree(staging, ignore_errors=True)
        raise
    shutil.rmtree(staging, ignore_errors=True)


def _checked(name: str) -> PurePosixPath:
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or not path.parts or path.parts[0] not in PACKET_NAMES:
        raise ValueError(f"{name!r} is no file of a packet")
    return path


def _keep_foreign(target: Path, fresh: Path) -> None:
    """Copy files that are not the packet's own out of its folders into the new ones."""
    for name in PACKET_NAMES:
        folder = target / name
        if not folder.is_dir() or folder.is_symlink():
            continue
        for path in sorted(folder.rglob("*")):
            place = fresh / path.relative_to(target)
            own = OWN_FILES.fullmatch(path.relative_to(target).as_posix())
            if path.is_file() and not own and not place.exists():
                place.parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(path, place)


def _swap(target: Path, fresh: Path, old: Path) -> None:
    created = not target.exists()
    target.mkdir(exist_ok=True)
    taken: list[str] = []
    placed: list[str] = []
    try:
        for name in PACKET_NAMES:
            if os.path.lexists(target / name):
                (target / name).rename(old / name)
                taken.append(name)
            if (fresh / name).exists():
                (fresh / name).rename(target / name)
                placed.append(name)
    except BaseException:
        try:
            for name in placed:
                (target / name).rename(fresh / name)
            for name in taken:
                (old / name).rename(target / name)
            if created:
                target.rmdir()
        except OSError as fault:
            raise Stranded(f"{fault.strerror or fault}; files of the older packet were left in {old}") from fault
        raise
