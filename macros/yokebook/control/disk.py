"""Each operation on the files of a target, one method each, so that a test can refuse or stop after any of them."""

from __future__ import annotations

import errno
import os
import shutil
import time
from contextlib import suppress
from pathlib import Path

from filelock import FileLock, Timeout


class Disk:
    """The machine's own disk, or a share that it sees as one."""

    def lock(self, path: Path, timeout_s: float) -> FileLock | None:
        """Take the system's lock on a file, which dies with its process; None where another process has it.

        No marker file stands in for a lock that the file system does not know: it would outlive a killed process.
        """
        lock = FileLock(path, timeout=timeout_s, fallback_to_soft=False, preserve_lock_file=True)
        try:
            lock.acquire()
        except Timeout:
            return None
        return lock

    def read(self, path: Path) -> bytes:
        """Return a file's bytes."""
        return path.read_bytes()

    def make_folder(self, path: Path) -> None:
        """Make a folder and those above it, where they are not there yet, and flush their names to the disk."""
        if path.is_dir():
            return
        if not path.parent.is_dir():
            self.make_folder(path.parent)
        path.mkdir(exist_ok=True)
        self._flush(path.parent)

    def write(self, path: Path, content: bytes) -> None:
        """Write a file and flush it to the disk."""
        with path.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())

    def replace(self, path: Path, into: Path) -> None:
        """Put a file in the place of another."""
        path.replace(into)
        self._flush(into.parent)

    def rename(self, folder: Path, into: Path) -> None:
        """Give a folder a name that nothing has; the names of all that is in it are flushed to the disk before."""
        if into.exists():
            raise FileExistsError(errno.EEXIST, "something has this name already", str(into))
        for within in (path for path in (*folder.rglob("*"), folder) if path.is_dir()):
            self._flush(within)
        folder.rename(into)
        self._flush(into.parent)

    def remove(self, path: Path) -> None:
        """Remove a file, or a folder with all that is in it."""
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        else:
            path.unlink(missing_ok=True)

    def seconds(self) -> float:
        """Return a count of seconds [s] that only ever grows; it tells no day."""
        return time.monotonic()

    def wait(self, duration_s: float) -> None:
        """Do nothing for a while."""
        time.sleep(duration_s)

    @staticmethod
    def _flush(folder: Path) -> None:
        """Flush the names in a folder, where the system can: a share or Windows cannot, and does it in its own time."""
        with suppress(OSError):
            opened = os.open(folder, os.O_RDONLY)
            try:
                os.fsync(opened)
            finally:
                os.close(opened)
