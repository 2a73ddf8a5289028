"""What is on the disk when the power goes: nothing is named before it is flushed, and each name is flushed at once."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from fake_editions import assert_finished, publish
from yokebook.control.disk import Disk


@dataclass
class Events:
    """What was done, in order: "write" a file, or a name into a folder; "make" a folder in one; "flush" one."""

    told: list[tuple[str, Path]] = field(default_factory=list)
    named: list[tuple[int, Path, Path]] = field(default_factory=list)

    def add(self, what: str, path: Path) -> None:
        self.told.append((what, path))

    def is_flushed(self, path: Path, before: int, since: Collection[str] = ("write", "make")) -> bool:
        """Return whether, at a moment, a path was flushed since it was last changed."""
        done = [what for what, other in self.told[:before] if other == path and what in ("flush", *since)]
        return not done or done[-1] == "flush"

    def changed_below(self, path: Path, before: int) -> Iterator[Path]:
        """Yield what was changed of a path and below it, before a moment."""
        for what, other in self.told[:before]:
            if what != "flush" and other.is_relative_to(path):
                yield other


class WatchedDisk(Disk):
    """The real disk; what is written and made is told before it is."""

    def __init__(self, events: Events) -> None:
        self.events = events

    def write(self, path: Path, content: bytes) -> None:
        self.events.add("write", path)
        self.events.add("write", path.parent)
        super().write(path, content)

    def make_folder(self, path: Path) -> None:
        for folder in (path, *path.parents):
            if not folder.exists():
                self.events.add("make", folder.parent)
        super().make_folder(path)


def watch(monkeypatch: pytest.MonkeyPatch, events: Events) -> None:
    """Tell of each call of the system that flushes or names something."""
    flush = os.fsync

    def flush_and_tell(number: int) -> None:
        flush(number)
        events.add("flush", Path(f"/proc/self/fd/{number}").readlink())

    def told(name: Callable[..., None]) -> Callable[..., None]:
        def name_and_tell(path: Path, into: Path, **more: Any) -> None:
            name(path, into, **more)
            events.named.append((len(events.told), Path(path), Path(into)))
            events.add("write", Path(into).parent)

        return name_and_tell

    monkeypatch.setattr(os, "fsync", flush_and_tell)
    monkeypatch.setattr(os, "replace", told(os.replace))
    monkeypatch.setattr(os, "rename", told(os.rename))


@pytest.mark.skipif(not Path("/proc/self/fd").is_dir(), reason="the system tells no open files")
@pytest.mark.parametrize("published", [0, 1])
def test_what_is_named_was_flushed_and_its_name_is_flushed(
    published: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each file, each folder with the names in it, and the folders above; and no name waits while the next is given."""
    root, events = (tmp_path / "share/target").resolve(), Events()
    issues = {"CYL-01": 1, "CYL-02": 1}
    for _ in range(published):
        publish(root, issues)
    watch(monkeypatch, events)
    publish(root, issues, disk=WatchedDisk(events))
    edition = f"editions/{published + 1:04}"
    names = [into.relative_to(root).as_posix() for _, _, into in events.named]
    assert [edition, "editions.js"] == [name for name in names if name in (edition, "editions.js")]
    assert {"index.html", "go/cyl-01.html", "editions.html"} < set(names)
    copied = set(events.changed_below(root / f"{edition}.partial", len(events.told)))
    assert {
        f"{edition}.partial/{path.relative_to(root / edition).as_posix()}" for path in (root / edition).rglob("*")
    } < {path.relative_to(root).as_posix() for path in copied}
    for at, path, into in events.named:
        own = [path] if into.is_file() else [path, *events.changed_below(path, at)]
        above = [folder for folder in into.parents if folder.is_relative_to(tmp_path) and folder != into.parent]
        assert [] == [other for other in own if not events.is_flushed(other, at)], f"before {into} was named"
        assert [] == [other for other in above if not events.is_flushed(other, at, ["make"])], f"above {into}"
        assert ("flush", into.parent) == events.told[at + 1], f"at once after {into} was named"
    assert_finished(root)
