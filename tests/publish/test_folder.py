"""A packet is written whole or not at all."""

import shutil
from pathlib import Path

import pytest

from plandoc.publish.folder import write_whole

FIRST = {
    "packet.pdf": b"pdf 1",
    "model.json": b"{}",
    "sheets/01-cover.svg": b"<svg/>",
    "sheets/02-part-a.svg": b"<svg/>",
    "lists/parts.csv": b"mark\n",
    "lists/setups.csv": b"machine\n",
}
SECOND = {"packet.pdf": b"pdf 2", "sheets/01-cover.svg": b"<svg>2</svg>", "lists/parts.csv": b"mark\nA\n"}


def tree(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_a_new_folder(tmp_path):
    write_whole(tmp_path / "deep" / "out", FIRST)
    assert tree(tmp_path / "deep" / "out") == FIRST
    assert [p.name for p in (tmp_path / "deep").iterdir()] == ["out"]


def test_a_newer_packet_takes_the_place_of_the_older_one(tmp_path):
    write_whole(tmp_path / "out", FIRST)
    write_whole(tmp_path / "out", SECOND)
    assert tree(tmp_path / "out") == SECOND


def test_other_files_are_kept(tmp_path):
    out = tmp_path / "out"
    write_whole(out, FIRST)
    foreign = {"notes.txt": b"mine", "photos/one.jpg": b"jpg", "sheets/marked up.pdf": b"x", "lists/prices.csv": b"y"}
    for name, content in foreign.items():
        (out / name).parent.mkdir(exist_ok=True)
        (out / name).write_bytes(content)
    write_whole(out, SECOND)
    assert tree(out) == {**SECOND, **foreign}


@pytest.mark.parametrize("failing", ["lists", "model.json", "packet.pdf", "sheets"])
@pytest.mark.parametrize("phase", ["taking", "placing"])
def test_a_failure_leaves_the_older_packet(tmp_path, monkeypatch, failing, phase):
    out = tmp_path / "out"
    write_whole(out, FIRST)
    real = Path.rename
    broken = []

    def rename(self, target):
        taking = self.parent == out
        if self.name == failing and not broken and taking == (phase == "taking"):
            broken.append(self)
            raise OSError("disk full")
        return real(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(OSError, match="disk full"):
        write_whole(out, {**FIRST, "packet.pdf": b"new", "sheets/01-cover.svg": b"new"})
    assert broken
    assert tree(out) == FIRST
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("number", range(len(FIRST)))
@pytest.mark.parametrize("fault", [OSError("disk full"), KeyboardInterrupt()], ids=["full", "stopped"])
def test_a_failure_at_any_file_leaves_the_older_packet(tmp_path, monkeypatch, number, fault):
    out = tmp_path / "out"
    write_whole(out, FIRST)
    (out / "sheets" / "sketch.svg").write_bytes(b"mine")
    before, real, written = tree(out), Path.write_bytes, []

    def write(self, content):
        written.append(self)
        if len(written) == number + 1:
            real(self, content[:1])  # half of it
            raise fault
        return real(self, content)

    monkeypatch.setattr(Path, "write_bytes", write)
    with pytest.raises(type(fault)):
        write_whole(out, {name: content + b" again" for name, content in FIRST.items()})
    assert len(written) == number + 1
    assert tree(out) == before
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_foreign_file_that_cannot_be_kept_leaves_the_older_packet(tmp_path, monkeypatch):
    out = tmp_path / "out"
    write_whole(out, FIRST)
    (out / "sheets" / "sketch.svg").write_bytes(b"mine")
    before = tree(out)

    def copy(source, target):
        raise PermissionError("no reading")

    monkeypatch.setattr(shutil, "copy2", copy)
    with pytest.raises(PermissionError):
        write_whole(out, SECOND)
    assert tree(out) == before
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_packet_that_cannot_be_put_back_is_not_thrown_away(tmp_path, monkeypatch):
    """From the third rename on nothing can be renamed any more: the older packet is then told to lie elsewhere."""
    out = tmp_path / "out"
    write_whole(out, FIRST)
    real, count = Path.rename, []

    def rename(self, target):
        count.append(self)
        if len(count) > 2:
            raise OSError("gone")
        return real(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(OSError, match="older packet were left in") as told:
        write_whole(out, dict.fromkeys(FIRST, b"new"))
    monkeypatch.undo()
    left = Path(str(told.value).rpartition(" in ")[2])
    found = {**{n: c for n, c in tree(out).items() if c != b"new"}, **tree(left)}
    assert found == FIRST


def test_a_failure_while_writing_leaves_nothing(tmp_path, monkeypatch):
    def write(self, content):
        raise OSError("disk full")

    monkeypatch.setattr(Path, "write_bytes", write)
    with pytest.raises(OSError, match="disk full"):
        write_whole(tmp_path / "out", FIRST)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["../packet.pdf", "/packet.pdf", "other.txt", "", "sheets/../../x.svg"])
def test_only_packet_files(tmp_path, name):
    with pytest.raises(ValueError, match="no file of a packet"):
        write_whole(tmp_path / "out", {name: b""})
    assert list(tmp_path.iterdir()) == []
