"""The only door to files. A disk world for the command line, a memory world for tests and editors."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import Protocol

from plandoc.resources import library_folder

LIBRARY = "library/"
MAX_BYTES = 2_000_000


class Unreadable(Exception):
    """A file that cannot be read; the text says why."""


class World(Protocol):
    """Names are relative to the folder of the plan, with `/`; `library/...` is the shipped library."""

    reads: list[str]

    def read(self, name: str) -> str:
        """Text of a file. Raises Unreadable."""


def inside(name: str) -> str:
    """The name made plain. Raises Unreadable where it leads out of the folder."""
    if "\\" in name or name.startswith("/") or (len(name) > 1 and name[1] == ":"):
        raise Unreadable("it is not a path relative to the plan, written with /")
    parts: list[str] = []
    for part in PurePosixPath(name).parts:
        if part == "..":
            if not parts:
                raise Unreadable("it lies outside the folder of the plan")
            parts.pop()
        elif part != ".":
            parts.append(part)
    return "/".join(parts)


def decoded(data: bytes) -> str:
    """UTF-8 text with plain line ends. Raises Unreadable."""
    if len(data) > MAX_BYTES:
        raise Unreadable(f"it is larger than {MAX_BYTES // 1_000_000} MB, too large for a plan")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise Unreadable(f"it is not a text in UTF-8 (byte {fault.start + 1})") from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


class DiskWorld:
    """Files below one folder, and the library."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.reads: list[str] = []

    def read(self, name: str) -> str:
        """Text of a file below the folder or in the library. Raises Unreadable."""
        plain = inside(name)
        base = self.folder
        wanted = base / plain
        if plain.startswith(LIBRARY) and not wanted.exists():
            base = library_folder()
            wanted = base / plain.removeprefix(LIBRARY)
        self.reads.append(plain)
        try:
            real = wanted.resolve(strict=True)
            if not real.is_relative_to(base.resolve()):
                raise Unreadable("it lies outside the folder of the plan")
            if real.is_dir():
                raise Unreadable("it is a folder")
            with real.open("rb") as file:
                return decoded(file.read(MAX_BYTES + 1))
        except FileNotFoundError:
            raise Unreadable("there is no such file") from None
        except (OSError, ValueError, RuntimeError) as fault:
            raise Unreadable(getattr(fault, "strerror", None) or "it cannot be opened") from None


class MemoryWorld:
    """Texts by name, and the library that comes with the program."""

    def __init__(self, files: Mapping[str, str]) -> None:
        self.files = dict(files)
        self.reads: list[str] = []

    def read(self, name: str) -> str:
        """Text of that name. Raises Unreadable."""
        plain = inside(name)
        self.reads.append(plain)
        if plain.startswith(LIBRARY) and plain not in self.files:
            try:
                return decoded((library_folder() / plain.removeprefix(LIBRARY)).read_bytes())
            except OSError:
                raise Unreadable("there is no such file") from None
        if plain not in self.files:
            raise Unreadable("there is no such file")
        return decoded(self.files[plain].encode("utf-8"))
