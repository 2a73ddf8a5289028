"""Safe writing: a file or a folder is either the old one or the whole new one, never half."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

_BESIDE = ".partial"
_BEFORE = ".before"


def write_whole(path: Path, content: bytes) -> None:
    """Write a file beside its place, flush it to the disk, then rename it into place.

    Raises OSError as the system gives it; the file that was there is then untouched.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(path.name + _BESIDE)
    with beside.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(path)


def empty_beside(folder: Path) -> Path:
    """Return a new, empty folder beside `folder`, for its next state; what a killed run left is cleared."""
    recover(folder)
    beside = folder.with_name(folder.name + _BESIDE)
    if beside.exists():
        shutil.rmtree(beside)
    beside.mkdir(parents=True)
    return beside


def swap_in(beside: Path, folder: Path) -> None:
    """Put the finished folder `beside` in the place of `folder`.

    Two renames: a run that is killed between them leaves the old state under its second name, where `recover` finds it.
    """
    before = folder.with_name(folder.name + _BEFORE)
    if folder.exists():
        folder.rename(before)
    beside.rename(folder)
    if before.exists():
        shutil.rmtree(before)


def recover(folder: Path) -> None:
    """Undo what a run killed inside `swap_in` left: put the old state back, or clear it where the new one stands."""
    before = folder.with_name(folder.name + _BEFORE)
    if before.exists():
        if folder.exists():
            shutil.rmtree(before)
        else:
            before.rename(folder)
