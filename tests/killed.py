"""Work on a target in a process that is killed: after its n-th operation, or after a while."""

from __future__ import annotations

import os
import shutil
import signal
import time
import warnings
from collections.abc import Callable
from functools import partial
from pathlib import Path

from fake_editions import publish
from shared import made_once
from yokebook.control.disk import Disk
from yokebook.control.target import Target

ISSUES = ({"CYL-01": 1}, {"CYL-01": 1, "CYL-02": 1}, {"CYL-01": 2, "CYL-02": 1})


class MortalDisk(Disk):
    """A disk on which the process dies right after its n-th operation, or half-way through it where it writes."""

    def __init__(self, dies_after: float, *, half: bool = False) -> None:
        self.left, self.half = dies_after, half

    def _count(self) -> None:
        self.left -= 1
        if self.left <= 0:
            os.kill(os.getpid(), signal.SIGKILL)

    def make_folder(self, path: Path) -> None:
        super().make_folder(path)
        self._count()

    def write(self, path: Path, content: bytes) -> None:
        path.write_bytes(content[: len(content) // 2] if self.half and self.left <= 1 else content)
        self._count()

    def replace(self, path: Path, into: Path) -> None:
        super().replace(path, into)
        self._count()

    def rename(self, folder: Path, into: Path) -> None:
        super().rename(folder, into)
        self._count()

    def remove(self, path: Path) -> None:
        super().remove(path)
        self._count()

    @staticmethod
    def _flush(folder: Path) -> None:
        return None


def in_a_process(work: Callable[[], object], kill_after_s: float | None = None) -> bool:
    """Run some work in a process of its own, killed after a while; return whether it came to its end."""
    with warnings.catch_warnings():
        # A worker of the tests has threads besides this one; the child needs none of them.
        warnings.simplefilter("ignore", DeprecationWarning)
        child = os.fork()
    if child == 0:
        status = 1
        try:
            work()
            status = 0
        finally:
            os._exit(status)
    if kill_after_s is not None:
        time.sleep(kill_after_s)
        os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0
    return not os.WIFSIGNALED(status)


def publish_next(root: Path, disk: Disk) -> None:
    """Publish one edition more into a target."""
    number = len(Target(root).editions().editions)
    publish(root, ISSUES[min(number, len(ISSUES) - 1)], disk=disk)


def starting_from(root: Path, published: int) -> int:
    """Make a new target that has the first so many editions."""
    if published:
        shutil.copytree(
            made_once(f"{published} editions", partial(_publish_first, published)), root, dirs_exist_ok=True
        )
    return published


def _publish_first(published: int, root: Path) -> None:
    for number in range(published):
        publish(root, ISSUES[number])
