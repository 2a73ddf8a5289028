"""Safe writing: a file or a folder is either the old one or the whole new one, never half."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from yokebook.errors import Level, Problem

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


def not_written(path: Path, error: OSError, example: str = "") -> Problem:
    """Return the problem of a file or folder that was to be written, and that the system refused."""
    above = (path.parent, *path.parent.parents)
    in_the_way = next((part for part in above if os.path.isfile(part)), None)  # noqa: PTH113  # Path's own may raise
    wrong = f"the disk did not let the program write this ({error.strerror or type(error).__name__})"
    allowed = "a folder in which you may write, on a disk with room; then run it again"
    if in_the_way:
        wrong = f"{in_the_way.as_posix()} is a file, and a folder has to be in its place"
        allowed = "the file renamed or moved, or another folder; then run it again"
    return Problem(path.as_posix(), 0, 0, Level.ERROR, "E613", wrong, allowed=allowed, example=example)


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
    shutil.rmtree(before, ignore_errors=True)  # the new state stands; what is left is cleared before the next one


def recover(folder: Path) -> None:
    """Undo what a run killed inside `swap_in` left: put the old state back, or clear it where the new one stands."""
    before = folder.with_name(folder.name + _BEFORE)
    if before.exists():
        if folder.exists():
            shutil.rmtree(before)
        else:
            before.rename(folder)
